package engrave

import (
	"slices"

	"hardbars/score"
	"hardbars/score/notation"
)

const (
	staffHeight = 4.0  // of the five lines
	firstGuess  = 11.0 // from one staff's top line to the next, the first time
	leastApart  = 8.5  // from one staff's top line to the next
	inkApart    = 1.0  // between the ink of two staves
)

// measure collects what a line holds and how wide it must be; nothing is drawn.
func (e *excerpt) measure(line line) *layout {
	l := &layout{
		font: e.font, score: e.score, picks: e.picks,
		from: line.from, to: line.to, width: e.width,
		first: line.from == e.from, opens: line.from == e.from && !e.cut, last: line.to == e.to,
	}
	l.guess()
	l.collect()
	l.directions()
	l.makeColumns()
	l.measureStart()
	return l
}

// system sets one line: twice, because how far its staves must be apart is
// known only when all ink stands.
func (e *excerpt) system(line line, first, last, short bool) *layout {
	here := *e
	here.score = withoutSilent(e.score, line.from, line.to)
	l := here.measure(line)
	l.first, l.last = first, last
	l.short = short && last
	l.justify()
	l.ink()
	l.moveStaves()
	l.settled = true
	l.ink()
	return l
}

func (l *layout) guess() {
	l.top = make([]float64, l.score.Staves)
	for i := range l.top {
		l.top[i] = float64(i) * firstGuess
	}
}

// collect gathers the chords of the line, with the staff and place of each head.
func (l *layout) collect() {
	l.byID, l.index = map[int]*chord{}, map[int]*chord{}
	chords := l.score.Chords
	for i := chordFrom(chords, l.from); i < len(chords) && !l.to.Less(chords[i].At); i++ {
		if c := &chords[i]; l.holds(c) && !c.Hidden {
			l.collectChord(i, c)
		}
	}
	l.rankVoices()
	l.mergeRests()
}

// chordFrom is the index of the first chord at or after an instant.
func chordFrom(chords []notation.Chord, at score.Rat) int {
	i, _ := slices.BinarySearchFunc(chords, at, func(c notation.Chord, at score.Rat) int { return c.At.Cmp(at) })
	return i
}

// holds reports whether a chord stands on the line. Grace notes at the end of a
// bar stand before its barline.
func (l *layout) holds(c *notation.Chord) bool {
	if c.GraceAfter && l.score.Bars[c.Bar].End() == c.At {
		return l.from.Less(c.At) && !l.to.Less(c.At)
	}
	return !c.At.Less(l.from) && c.At.Less(l.to)
}

func (l *layout) collectChord(i int, n *notation.Chord) {
	c := &chord{Chord: n, index: i, scale: scaleOf(n)}
	if n.Rest {
		c.heads = []head{{staff: n.Staff, glyph: restGlyph(n)}}
	}
	for k := range n.Notes {
		note := &n.Notes[k]
		clef := clefAt(l.score, note.Staff, n.At)
		h := head{note: note, staff: note.Staff, pos: positionOf(note.Written, clef), glyph: headGlyph(n, note)}
		if h.glyph != "" {
			h.width = l.font.Glyph(h.glyph).Box.Right * c.scale
		}
		c.heads = append(c.heads, h)
		l.byID[note.ID] = c
	}
	l.chords = append(l.chords, c)
	l.index[i] = c
}

// Sizes of small notes (common practice).
const (
	graceScale = 0.65
	cueScale   = 0.75
)

func scaleOf(c *notation.Chord) float64 {
	switch {
	case c.Grace > 0:
		return graceScale
	case c.Cue:
		return cueScale
	}
	return 1
}

// ink draws everything, with the staves where they stand now.
func (l *layout) ink() {
	l.items, l.told = nil, nil
	l.above, l.below = nil, nil
	for _, top := range l.top {
		l.above = append(l.above, newSkyline(true, l.width, top))
		l.below = append(l.below, newSkyline(false, l.width, top+staffHeight))
	}
	l.settleHeads()
	l.drawStaves()
	l.drawStart()
	l.drawBarlines()
	l.drawClefChanges()
	l.drawHeads()
	l.drawRests()
	l.stems()
	l.ties()
	l.arpeggios()
	l.closeMarks()
	l.tuplets()
	l.slurs()
	l.farMarks()
	l.lyrics()
	l.signs()
	l.lines()
	l.drawNumbers()
	l.endings()
	l.headings()
	l.drawLeftOut()
	l.pickOut()
}

// moveStaves puts the staves as far apart as their ink needs.
func (l *layout) moveStaves() {
	old := slices.Clone(l.top)
	for i := 1; i < len(l.top); i++ {
		need := leastApart
		for k, low := range l.below[i-1].cells {
			high := l.above[i].cells[k]
			need = max(need, low-old[i-1]-(high-old[i])+inkApart)
		}
		l.top[i] = l.top[i-1] + need
	}
}

// settleHeads gives the heads their y, now that the staves stand.
func (l *layout) settleHeads() {
	for _, c := range l.chords {
		for i := range c.heads {
			h := &c.heads[i]
			h.y = l.yOf(h.staff, h.pos)
		}
	}
}

// yOf is the y of a place of a staff, in half spaces below its top line.
func (l *layout) yOf(staff, pos int) float64 { return l.top[staff-1] + float64(pos)/2 }

// columnX is the x of an instant between columns.
func columnX(xs []instant, at score.Rat) float64 {
	if len(xs) == 0 {
		return 0
	}
	i, found := slices.BinarySearchFunc(xs, at, func(in instant, at score.Rat) int { return in.at.Cmp(at) })
	switch {
	case found:
		return xs[i].x
	case i == 0:
		return xs[0].x
	case i == len(xs):
		return xs[i-1].x
	}
	a, b := xs[i-1], xs[i]
	part := at.Sub(a.at).Div(b.at.Sub(a.at)).Float()
	return a.x + (b.x-a.x)*part
}
