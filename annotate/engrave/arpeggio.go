package engrave

import (
	"math"
	"slices"

	"hardbars/annotate/smufl"
	"hardbars/score"
	"hardbars/score/notation"
)

// Sizes of arpeggio signs and glissandi in staff spaces: common practice.
const (
	arpeggioGap  = 0.3  // from the sign to what stands right of it
	arpeggioPast = 0.5  // past the middle of the outer heads
	arpeggioHook = 0.5  // of the bracket for what is not to be spread
	slideGap     = 0.35 // from a head's edge to a glissando
	slideWave    = 1.2  // length of one wave
	slideSwing   = 0.25 // to each side
	slideText    = 1.7  // of the em
	slideHalfway = 2.0  // how far up or down a glissando goes that leaves the system
)

// arpeggios draws arpeggio signs and the lines of glissandi.
func (l *layout) arpeggios() {
	for _, s := range l.score.Arpeggios {
		if r := l.arpeggioRange(s); len(r.chords) > 0 {
			l.drawArpeggio(s, r)
		}
	}
	for _, s := range l.score.Slides {
		l.drawSlide(s)
	}
}

// arpeggioRange is what an arpeggio sign stands before on the system.
type arpeggioRange struct {
	chords      []int // indices into score.Chords
	top, bottom float64
	high, low   int // the staves of the outer heads
}

// arpeggioRange finds the heads that a sign stands before. Hidden ones count: the
// score has them to tell how far the sign goes.
func (l *layout) arpeggioRange(s notation.Arpeggio) arpeggioRange {
	r := arpeggioRange{top: math.Inf(1), bottom: math.Inf(-1), high: math.MaxInt}
	for _, i := range s.Chords {
		n := &l.score.Chords[i]
		if n.Rest || !l.holds(n) {
			continue
		}
		r.chords = append(r.chords, i)
		for k, note := range n.Notes {
			if len(s.Notes) > 0 && !slices.Contains(s.Notes, note.ID) {
				continue
			}
			y := l.yOf(note.Staff, positionOf(note.Written, clefAt(l.score, note.Staff, n.At)))
			if c := l.index[i]; c != nil {
				y = c.heads[k].y
			}
			r.top, r.bottom = min(r.top, y-arpeggioPast), max(r.bottom, y+arpeggioPast)
			r.high, r.low = min(r.high, note.Staff), max(r.low, note.Staff)
		}
	}
	if r.top > r.bottom {
		r.chords = nil
	}
	return r
}

// drawArpeggio draws one sign, left of all that strikes on its staves.
func (l *layout) drawArpeggio(s notation.Arpeggio, r arpeggioRange) {
	n := &l.score.Chords[r.chords[0]]
	left := l.xAt(n.At)
	for _, c := range l.chords {
		if c.At == n.At && c.Grace == n.Grace && !c.Rest && c.standsOn(r.high, r.low) {
			left = min(left, c.left)
		}
	}
	it := Item{Role: RoleArpeggio, Note: -1, Chord: r.chords[0]}
	if r.high == r.low {
		it.Staff = r.high
	}
	if s.Not {
		l.drawArpeggioBracket(it, left-arpeggioGap, r.top, r.bottom)
		return
	}
	l.drawWiggle(it, s.Arrow, left-arpeggioGap, r.top, r.bottom)
}

// standsOn reports whether a chord has a head on one of some staves.
func (c *chord) standsOn(high, low int) bool {
	return slices.ContainsFunc(c.heads, func(h head) bool { return h.staff >= high && h.staff <= low })
}

// drawArpeggioBracket draws a bracket with its hooks to the right, which end at x.
func (l *layout) drawArpeggioBracket(it Item, x, top, bottom float64) {
	w := l.font.Defaults.TupletBracket
	for _, s := range []Stroke{
		{X1: x - arpeggioHook, Y1: top - w/2, X2: x - arpeggioHook, Y2: bottom + w/2, Width: w},
		{X1: x - arpeggioHook, Y1: top, X2: x, Y2: top, Width: w},
		{X1: x - arpeggioHook, Y1: bottom, X2: x, Y2: bottom, Width: w},
	} {
		it.Stroke = &s
		l.add(it)
	}
}

// drawWiggle stacks wiggles upwards, or downwards with an arrow down, so that
// their right edge is at x. The font has them lying down: they are turned.
func (l *layout) drawWiggle(it Item, arrow string, x, top, bottom float64) {
	body, tip := l.font.Glyph("wiggleArpeggiatoUp"), l.font.Glyph("wiggleArpeggiatoUpArrow")
	at, dir := bottom, -1.0
	if arrow == "down" {
		body, tip = l.font.Glyph("wiggleArpeggiatoDown"), l.font.Glyph("wiggleArpeggiatoDownArrow")
		at, dir = top, 1
	}
	long := bottom - top
	if arrow != "" {
		long -= tip.Advance
	}
	n := int(math.Max(1, math.Round(long/body.Advance)))
	if arrow == "" { // what is too long or too short is so at both ends
		at += dir * (long - float64(n)*body.Advance) / 2
	}
	// Turned upwards, what is above the baseline lies left of it.
	base := x
	if dir > 0 {
		base = x + body.Box.Top
	}
	if arrow != "" {
		base -= max(tip.Box.Bottom, body.Box.Top-tip.Box.Top)
	}
	draw := func(outline []Segment) {
		it.Shape = outline
		l.add(it)
	}
	for range n {
		draw(turned(body.Outline, base, at, dir))
		at += dir * body.Advance
	}
	if arrow != "" {
		draw(turned(tip.Outline, base, at, dir))
	}
}

// turned is a glyph's outline turned by a quarter so that it runs upwards
// (dir −1) or downwards (dir 1) from x, y.
func turned(outline []smufl.Segment, x, y, dir float64) []Segment {
	path := make([]Segment, len(outline))
	for i, s := range outline {
		path[i] = Segment{
			Op: s.Op,
			X1: x - dir*s.Y1, Y1: y + dir*s.X1,
			X2: x - dir*s.Y2, Y2: y + dir*s.X2,
			X: x - dir*s.Y, Y: y + dir*s.X,
		}
	}
	return path
}

// drawSlide draws a glissando from head to head, straight or in waves, and its
// words over its middle.
func (l *layout) drawSlide(s notation.Slide) {
	from, to := l.tieEnd(s.From), l.tieEnd(s.To)
	if from == nil && to == nil {
		return
	}
	a, b := l.slideEnds(s, from, to)
	at := from
	if at == nil {
		at = to
	}
	it := Item{Role: RoleLine, Note: at.head().note.ID, Chord: at.chord.index}
	if from != nil && to != nil && from.head().staff == to.head().staff {
		it.Staff = at.head().staff
	}
	if s.Wavy {
		it.Shape = wave(a, b, l.font.Defaults.OctaveLine)
	} else {
		it.Stroke = &Stroke{X1: a.X, Y1: a.Y, X2: b.X, Y2: b.Y, Width: l.font.Defaults.OctaveLine}
	}
	l.add(it)
	if s.Text != "" {
		words := Item{Role: RoleWords, Note: -1, Chord: at.chord.index, Staff: it.Staff, Text: s.Text, Face: Face{Size: slideText, Italic: true}}
		box := l.boxOf(words)
		words.X = (a.X+b.X)/2 - (box.Right - box.Left)
		words.Y = (a.Y+b.Y)/2 - 0.4
		l.add(words)
	}
}

// slideEnds is where a glissando begins and ends: at the heads' edges, and at
// the edge of the system where a head is not on it.
func (l *layout) slideEnds(s notation.Slide, from, to *tied) (a, b point) {
	if from != nil {
		a = point{X: max(from.head().x+from.head().width, from.chord.right) + slideGap, Y: from.head().y}
	}
	if to != nil {
		b = point{X: l.leftOfHead(to) - slideGap, Y: to.head().y}
	}
	switch {
	case from == nil:
		a = point{X: min(l.music, b.X-tieHalf), Y: b.Y - l.slideStep(s)}
	case to == nil:
		b = point{X: max(l.lastBarline(), a.X+tieHalf), Y: a.Y + l.slideStep(s)}
	}
	return a, b
}

// leftOfHead is the left edge of a head with its accidental.
func (l *layout) leftOfHead(t *tied) float64 {
	h := t.head()
	if h.note.Accidental != "" {
		return t.chord.left
	}
	return h.x
}

// slideStep is how far down a glissando goes while it leaves the system.
func (l *layout) slideStep(s notation.Slide) float64 {
	low, lowOK := l.writtenPitch(s.From)
	high, highOK := l.writtenPitch(s.To)
	switch {
	case !lowOK || !highOK || low.Staff() == high.Staff():
		return 0
	case low.Staff() < high.Staff():
		return -slideHalfway
	}
	return slideHalfway
}

// writtenPitch finds the pitch of a head anywhere in the score.
func (l *layout) writtenPitch(id int) (p score.Pitch, ok bool) {
	for i := range l.score.Chords {
		for _, n := range l.score.Chords[i].Notes {
			if n.ID == id {
				return n.Written, true
			}
		}
	}
	return p, false
}

// wave is a wavy line from one place to another, w thick.
func wave(from, to point, w float64) []Segment {
	length := math.Hypot(to.X-from.X, to.Y-from.Y)
	n := int(math.Max(1, math.Round(length/slideWave)))
	ux, uy := (to.X-from.X)/length, (to.Y-from.Y)/length
	at := func(along, aside float64) point {
		return point{X: from.X + ux*along - uy*aside, Y: from.Y + uy*along + ux*aside}
	}
	step := length / float64(n)
	path := make([]Segment, 0, 2*n+2)
	half := func(first, last int, turn, side float64) {
		for i := first; i != last; i += int(turn) {
			start := float64(i) * step
			swing := slideSwing / 0.29 // a curve with its handles on both sides swings out by so much of them
			if turn < 0 {
				swing = -swing
			}
			p, q, r := at(start+turn*step/2, side-swing), at(start+turn*step/2, side+swing), at(start+turn*step, side)
			path = append(path, Segment{Op: 'C', X1: p.X, Y1: p.Y, X2: q.X, Y2: q.Y, X: r.X, Y: r.Y})
		}
	}
	p := at(0, -w/2)
	path = append(path, Segment{Op: 'M', X: p.X, Y: p.Y})
	half(0, n, 1, -w/2)
	p = at(length, w/2)
	path = append(path, Segment{Op: 'L', X: p.X, Y: p.Y})
	half(n, 0, -1, w/2)
	return path
}
