package engrave

import (
	"cmp"
	"math"
	"slices"

	"hardbars/score/notation"
)

// Sizes of tuplet signs in staff spaces: common practice.
const (
	figureSize   = 0.9  // of the font's figures
	figureGap    = 0.4  // from a figure to a beam, a bracket or other ink
	bracketHook  = 0.75 // towards the notes
	bracketGap   = 0.5  // from a bracket to the ink under it
	bracketSlope = 0.15 // over its width, at most
	bracketRise  = 1.5  // from end to end, at most
	bracketArm   = 0.5  // on both sides of the number, at least
)

// tuplets draws the numbers and brackets of tuplets, the innermost first so
// that the outer ones stand beyond them.
func (l *layout) tuplets() {
	var found []group
	for i := range l.score.Tuplets {
		if g, ok := l.groupOf(&l.score.Tuplets[i]); ok {
			found = append(found, g)
		}
	}
	slices.SortStableFunc(found, func(a, b group) int { return cmp.Compare(b.Depth, a.Depth) })
	for _, g := range found {
		switch {
		case g.Bracket:
			l.bracketTuplet(g)
		case g.Text != "":
			l.numberTuplet(g)
		}
	}
}

// group is a tuplet with what the system shows of it.
type group struct {
	*notation.Tuplet
	chords        []*chord
	before, after bool // it goes on to the left or the right of the system
	above         bool
	staff         int     // whose skyline it stands at
	left, right   float64 // from the first head to the last
}

// groupOf finds the chords of a tuplet; ok is false where the system shows none.
func (l *layout) groupOf(t *notation.Tuplet) (g group, ok bool) {
	first, last := &l.score.Chords[t.From], &l.score.Chords[t.To]
	if !first.At.Less(l.to) || last.End().Cmp(l.from) <= 0 {
		return g, false
	}
	g = group{Tuplet: t, before: first.At.Less(l.from), after: !last.At.Less(l.to)}
	for _, c := range l.chords {
		if c.index >= t.From && c.index <= t.To && l.inGroup(c, first, last) {
			g.chords = append(g.chords, c)
		}
	}
	if len(g.chords) == 0 {
		return g, false
	}
	g.above = g.goesAbove()
	g.staff = g.outerStaff()
	g.left, g.right = math.Inf(1), math.Inf(-1)
	for _, c := range g.chords {
		for _, h := range c.heads {
			g.left, g.right = min(g.left, h.x), max(g.right, h.x+h.width)
		}
	}
	return g, true
}

// inGroup reports whether a chord between the first and the last of a tuplet is
// of it: of its voice, and on a staff between theirs or on their beam.
func (l *layout) inGroup(c *chord, first, last *notation.Chord) bool {
	if c.Voice != first.Voice || c.Grace > 0 || c.Hidden || len(c.heads) == 0 {
		return false
	}
	return c.Staff >= min(first.Staff, last.Staff) && c.Staff <= max(first.Staff, last.Staff) ||
		c.beam != nil && (c.beam.holds(first) || c.beam.holds(last))
}

// holds reports whether a chord is on a beam.
func (b *beam) holds(n *notation.Chord) bool {
	for _, c := range b.chords {
		if c.Chord == n {
			return true
		}
	}
	return false
}

// goesAbove is the side of a tuplet: as the file says, and else where the beam
// or most of the stems are.
func (g *group) goesAbove() bool {
	if g.Side != notation.Auto {
		return g.Side == notation.Above
	}
	up := 0
	for _, c := range g.chords {
		switch {
		case c.Rest && c.voices < 2:
		case c.up && !c.Rest || c.Rest && c.upper:
			up++
		default:
			up--
		}
	}
	return up >= 0
}

// outerStaff is the staff farthest to the tuplet's side.
func (g *group) outerStaff() int {
	staff := g.chords[0].Staff
	for _, c := range g.chords {
		if g.above == (c.Staff < staff) {
			staff = c.Staff
		}
	}
	return staff
}

// dir is the way from the notes to the sign: −1 up, 1 down.
func (g *group) dir() float64 {
	if g.above {
		return -1
	}
	return 1
}

// shared is the beam that all chords of a tuplet are on, nil where there is
// none.
func (g *group) shared() *beam {
	var b *beam
	for _, c := range g.chords {
		switch {
		case c.Rest:
		case c.beam == nil || b != nil && c.beam != b:
			return nil
		default:
			b = c.beam
		}
	}
	return b
}

func (l *layout) sky(staff int, above bool) *skyline {
	if above {
		return l.above[staff-1]
	}
	return l.below[staff-1]
}

// numberTuplet draws a number alone: at the middle of the beam where it is on
// that side, and else beyond all ink.
func (l *layout) numberTuplet(g group) {
	n := l.figures(g.Text)
	half := figureSize*0.75 + figureGap
	b := g.shared()
	if b == nil || !b.kneed() && b.up != g.above {
		x := (g.left + g.right) / 2
		y := l.sky(g.staff, g.above).reach(x-n.width/2, x+n.width/2)
		l.drawFigures(g, n, x, y+g.dir()*half)
		return
	}
	x := (g.chords[0].stemX + g.chords[len(g.chords)-1].stemX) / 2
	if b.kneed() {
		g.above = b.freeAbove(x)
	}
	l.drawFigures(g, n, x, l.besideBeam(g, b, x, n.width)+g.dir()*half)
}

// besideBeam is y of the edge of a beam that a number stands at, or of other
// ink that reaches farther there.
func (l *layout) besideBeam(g group, b *beam, x, width float64) float64 {
	if staff := b.staff(); staff > 0 {
		return l.sky(staff, g.above).reach(x-width/2, x+width/2)
	}
	dir, far := g.dir(), math.Inf(-1)
	for _, p := range b.strokes(1, 0, len(b.chords)-1, 0) {
		dy := l.offset(b, p)
		far = max(far, dir*(b.at(x-width/2)+dy), dir*(b.at(x+width/2)+dy))
	}
	return dir * (far + l.font.Defaults.Beam*b.scale()/2)
}

// freeAbove reports whether the room above a beam with stems from both sides is
// free at x: where the stem next to it comes from below.
func (b *beam) freeAbove(x float64) bool {
	nearest := b.chords[0]
	for _, c := range b.chords {
		if math.Abs(c.stemX-x) < math.Abs(nearest.stemX-x) {
			nearest = c
		}
	}
	return nearest.up
}

// bracketTuplet draws a bracket, and the number in a gap in its middle.
func (l *layout) bracketTuplet(g group) {
	n := l.figures(g.Text)
	if lacks := n.room() + 2*bracketArm - (g.right - g.left); lacks > 0 {
		g.left, g.right = g.left-lacks/2, g.right+lacks/2
	}
	if g.before {
		g.left -= 1
	}
	if g.after {
		g.right += 1
	}
	y1, y2 := l.bracketLine(g, n)
	line := func(x1, x2 float64) {
		slope := (y2 - y1) / (g.right - g.left)
		l.addTuplet(g, Stroke{X1: x1, Y1: y1 + (x1-g.left)*slope, X2: x2, Y2: y1 + (x2-g.left)*slope})
	}
	mid := (g.left + g.right) / 2
	if g.Text == "" {
		line(g.left, g.right)
	} else {
		line(g.left, mid-n.room()/2)
		line(mid+n.room()/2, g.right)
		l.drawFigures(g, n, mid, (y1+y2)/2)
	}
	if !g.before {
		l.addTuplet(g, Stroke{X1: g.left, Y1: y1, X2: g.left, Y2: y1 - g.dir()*bracketHook})
	}
	if !g.after {
		l.addTuplet(g, Stroke{X1: g.right, Y1: y2, X2: g.right, Y2: y2 - g.dir()*bracketHook})
	}
}

func (l *layout) addTuplet(g group, s Stroke) {
	s.Width = l.font.Defaults.TupletBracket
	l.add(Item{Role: RoleTuplet, Note: -1, Chord: g.chords[0].index, Staff: g.staff, Stroke: &s})
}

// bracketLine is y of both ends of a bracket: along the ink at its ends, not
// too steep, and clear of all ink under it.
func (l *layout) bracketLine(g group, n figures) (y1, y2 float64) {
	sky, dir := l.sky(g.staff, g.above), g.dir()
	width, rise := g.right-g.left, g.rise()
	push := math.Inf(-1)
	for x := g.left; x < g.right; x += cell {
		end := min(x+cell, g.right)
		free := bracketGap
		switch {
		case x == g.left || end == g.right:
			free += bracketHook - figureGap/2
		case math.Abs(x-(g.left+g.right)/2) < n.room()/2:
			free = figureSize*0.75 + figureGap
		}
		tilt := min(dir*rise*(x-g.left)/width, dir*rise*(end-g.left)/width)
		push = max(push, dir*sky.reach(x, end)+free-tilt)
	}
	return dir * push, dir*push + rise
}

// rise is how far a bracket rises or falls from end to end: with the beam that
// it stands at, and else with the outer notes; level where they are the same,
// or where one between reaches farther than both.
func (g *group) rise() float64 {
	width := g.right - g.left
	if b := g.shared(); b != nil && b.up == g.above && !b.kneed() {
		return b.at(g.right) - b.at(g.left)
	}
	var tips []float64
	for _, c := range g.chords {
		if !c.Rest {
			tips = append(tips, g.tip(c))
		}
	}
	if len(tips) < 2 {
		return 0
	}
	first, last, dir := tips[0], tips[len(tips)-1], g.dir()
	rise := min(bracketRise, bracketSlope*width, math.Abs(last-first))
	for _, y := range tips {
		if dir*y > max(dir*first, dir*last) {
			rise = 0
		}
	}
	if rise < 0.25 {
		return 0
	}
	return math.Copysign(rise, last-first)
}

// tip is y of a chord's end on the tuplet's side.
func (g *group) tip(c *chord) float64 {
	dir := g.dir()
	return dir * max(dir*c.heads[0].y, dir*c.heads[len(c.heads)-1].y, dir*c.stemEnd)
}

// figures is the number of a tuplet as glyphs, or as words where it holds more
// than figures.
type figures struct {
	items []Item // from x = 0, on the baseline
	width float64
}

// room is the gap that the number needs in a bracket.
func (n figures) room() float64 {
	if len(n.items) == 0 {
		return 0
	}
	return n.width + 2*figureGap
}

func (l *layout) figures(text string) (n figures) {
	for _, r := range text {
		name := "tupletColon"
		switch {
		case r >= '0' && r <= '9':
			name = "tuplet" + string(r)
		case r != ':':
			return l.wordFigures(text)
		}
		n.items = append(n.items, Item{Glyph: name, X: n.width, Scale: figureSize})
		n.width += l.font.Glyph(name).Advance * figureSize
	}
	return n
}

// wordFigures is the number of a tuplet in words.
func (l *layout) wordFigures(text string) figures {
	it := Item{Text: text, Face: Face{Size: 2, Italic: true, Bold: true}}
	box := l.boxOf(it)
	return figures{items: []Item{it}, width: box.Right - box.Left}
}

// drawFigures draws a tuplet's number around a middle.
func (l *layout) drawFigures(g group, n figures, x, y float64) {
	staff := g.staff
	if b := g.shared(); b != nil && !g.Bracket && b.kneed() {
		staff = b.staff()
	}
	for _, it := range n.items {
		it.Role, it.Note, it.Chord, it.Staff = RoleTuplet, -1, g.chords[0].index, staff
		it.X += x - n.width/2
		it.Y = y + 0.75*figureSize
		l.add(it)
	}
}
