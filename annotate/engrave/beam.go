package engrave

import (
	"math"
	"slices"

	"hardbars/score/notation"
)

// gather finds the chords that share beams, by what the file says of their
// first beam.
func (l *layout) gather() {
	var all, open []*beam
	for _, c := range l.chords {
		if !beamed(c) {
			continue
		}
		b := joins(open, c)
		if b == nil {
			b = &beam{}
			all, open = append(all, b), append(open, b)
		}
		b.chords = append(b.chords, c)
		if c.Beams[0] == "end" {
			open = slices.DeleteFunc(open, func(o *beam) bool { return o == b })
		}
	}
	for _, b := range all {
		b.before, b.after = l.cut(b)
		if len(b.chords) < 2 && !b.before && !b.after {
			continue // what the file joins with nothing has a flag
		}
		for _, c := range b.chords {
			c.beam = b
		}
	}
}

// beamed reports whether a chord has a beam.
func beamed(c *chord) bool {
	return len(c.Beams) > 0 && flagsOf(c.Value) > 0 && c.stemmed()
}

// joins is the open beam that a chord goes on with, nil where it begins one:
// of its voice the beam that ends where the chord stands, on its staff if there
// are two, and else the one begun last.
func joins(open []*beam, c *chord) *beam {
	if c.Beams[0] == "begin" {
		return nil
	}
	var found *beam
	best := -1
	for _, b := range open {
		last := b.chords[len(b.chords)-1]
		if last.Voice != c.Voice || (last.Grace > 0) != (c.Grace > 0) {
			continue
		}
		fit := 0
		if last.End().Cmp(c.At) == 0 {
			fit = 2
		}
		if last.Staff == c.Staff {
			fit++
		}
		if fit >= best {
			found, best = b, fit
		}
	}
	return found
}

// cut reports whether a beam goes on before or after what the system holds.
func (l *layout) cut(b *beam) (before, after bool) {
	first, last := b.chords[0], b.chords[len(b.chords)-1]
	chords := l.score.Chords
	if first.Beams[0] != "begin" {
		for i := first.index - 1; i >= 0 && chords[i].Bar >= first.Bar-1 && !before; i-- {
			before = goesOn(&chords[i], first) && chords[i].Beams[0] != "end" && chords[i].At.Less(l.from)
		}
	}
	if last.Beams[0] != "end" {
		for i := last.index + 1; i < len(chords) && chords[i].Bar <= last.Bar+1 && !after; i++ {
			after = goesOn(&chords[i], last) && chords[i].Beams[0] != "begin" && !chords[i].At.Less(l.to)
		}
	}
	return before, after
}

// goesOn reports whether a chord beside the system is of a voice's beams.
func goesOn(c *notation.Chord, of *chord) bool {
	return len(c.Beams) > 0 && c.Voice == of.Voice && c.Grace == 0 && of.Grace == 0
}

// direct settles the stems of a beam: each as the file says; where it says
// nothing, from both staves towards each other, by voice, and else by the head
// farthest from the middle line.
func (b *beam) direct() {
	common, told := b.commonDirection()
	for _, c := range b.chords {
		switch {
		case c.Stem == notation.StemUp || c.Stem == notation.StemDown:
			c.up = c.Stem == notation.StemUp
		case b.crosses() && !told:
			c.up = c.Staff > b.highest()
		default:
			c.up = common
		}
	}
	b.up = b.chords[0].up
}

// commonDirection is the way that the stems of a beam go together, and whether
// the file says so of any.
func (b *beam) commonDirection() (up, told bool) {
	for _, c := range b.chords {
		if c.Stem == notation.StemUp || c.Stem == notation.StemDown {
			return c.Stem == notation.StemUp, true
		}
	}
	first := b.chords[0]
	switch {
	case first.voices > 1:
		return first.upper, false
	case first.Grace > 0:
		return true, false
	}
	return lean(b.chords...) > 0, false
}

// highest and lowest are the staves that a beam's chords stand on.
func (b *beam) highest() int {
	staff := b.chords[0].Staff
	for _, c := range b.chords {
		staff = min(staff, c.Staff)
	}
	return staff
}

func (b *beam) lowest() int {
	staff := b.chords[0].Staff
	for _, c := range b.chords {
		staff = max(staff, c.Staff)
	}
	return staff
}

// crosses reports whether a beam's chords stand on more than one staff.
func (b *beam) crosses() bool { return b.highest() != b.lowest() }

// kneed reports whether stems come from both sides.
func (b *beam) kneed() bool {
	for _, c := range b.chords {
		if c.up != b.up {
			return true
		}
	}
	return false
}

// staff is the staff that a beam belongs to: none where it lies between two.
func (b *beam) staff() int {
	switch {
	case b.crosses() && b.kneed():
		return 0
	case b.up:
		return b.highest()
	}
	return b.lowest()
}

// scale is the size of its notes.
func (b *beam) scale() float64 { return b.chords[0].scale }

// at is y of the middle of the outermost beam.
func (b *beam) at(x float64) float64 {
	if b.x2 == b.x1 {
		return b.y1
	}
	return b.y1 + (b.y2-b.y1)*(x-b.x1)/(b.x2-b.x1)
}

// setBeam lays a beam and ends the stems of its chords on it.
func (l *layout) setBeam(b *beam) {
	b.x1, b.x2 = b.chords[0].stemX, b.chords[len(b.chords)-1].stemX
	l.slant(b)
	half := l.font.Defaults.Beam * b.scale() / 2
	for _, c := range b.chords {
		c.stemEnd = b.at(c.stemX) + c.dir()*half
	}
	for _, p := range b.strokes(1, 0, len(b.chords)-1, 0) {
		for _, c := range b.chords[p.from : p.to+1] {
			y := b.at(c.stemX) + l.offset(b, p) + c.dir()*half
			if (y-c.stemEnd)*c.dir() > 0 {
				c.stemEnd = y
			}
		}
	}
	l.keepRoom(b)
}

// kneeRoom is what the stems to a beam between two staves get beyond their
// shortest.
const kneeRoom = 0.5

// keepRoom lets a beam between two staves stand in the skylines of both, so
// that they leave room for its stems.
func (l *layout) keepRoom(b *beam) {
	if !b.crosses() || !b.kneed() {
		return
	}
	for _, c := range b.chords {
		near := c.near()
		y := near.y + c.dir()*(l.leastLength(c)+kneeRoom)*c.scale
		switch {
		case !c.up && near.staff < b.lowest():
			l.below[near.staff-1].raise(b.x1, b.x2, y)
		case c.up && near.staff > b.highest():
			l.above[near.staff-1].raise(b.x1, b.x2, y)
		}
	}
}

// beamStroke is one stroke of a beam.
type beamStroke struct {
	level    int     // from 1, the outermost
	from, to int     // chords; equal for what ends at one stem
	side     float64 // where it lies from the outermost beam: 1 below, −1 above
}

// strokes finds the strokes from a level on between two chords, and those of the
// levels within each. Of a beam with stems from both sides, strokes lie on the
// side that most of their own stems come from.
func (b *beam) strokes(level, from, to int, side float64) []beamStroke {
	var found []beamStroke
	for i := from; i <= to; i++ {
		if flagsOf(b.chords[i].Value) < level {
			continue
		}
		p := beamStroke{level: level, from: i, to: i, side: side}
		for i < to && b.joined(level, i) {
			i++
		}
		p.to = i
		if level == 2 {
			p.side = b.side(p.from, p.to)
		}
		found = append(found, p)
		found = append(found, b.strokes(level+1, p.from, p.to, p.side)...)
	}
	return found
}

// side is where most stems between two chords come from: 1 below, −1 above.
func (b *beam) side(from, to int) float64 {
	sum := -b.chords[from].dir() / 2
	for _, c := range b.chords[from : to+1] {
		sum -= c.dir()
	}
	return math.Copysign(1, sum)
}

// joined reports whether a level joins a chord to the next: as the file says of
// that level, and wherever both have it where the file says nothing.
func (b *beam) joined(level, i int) bool {
	left, right := b.chords[i], b.chords[i+1]
	if flagsOf(left.Value) < level || flagsOf(right.Value) < level {
		return false
	}
	before, after := word(left, level), word(right, level)
	return level == 1 ||
		(before == "" || before == "begin" || before == "continue") &&
			(after == "" || after == "continue" || after == "end")
}

// word is what the file says of a level of a chord's beams.
func word(c *chord, level int) string {
	if level > len(c.Beams) {
		return ""
	}
	return c.Beams[level-1]
}

// hookLength is how long a broken secondary beam is: about as a head is wide,
// common practice.
const hookLength = 1.1

// stubLength is how far a beam that is cut reaches beyond its last stem.
const stubLength = 1.6

// ends is where a stroke begins and ends, from the outer edges of its stems.
func (l *layout) ends(b *beam, p beamStroke) (x1, x2 float64) {
	first, last := b.chords[p.from], b.chords[p.to]
	half := l.stemWidth(first) / 2
	x1, x2 = first.stemX-half, last.stemX+half
	before, after := b.leaves(p)
	if before {
		x1 -= stubLength
	}
	if after {
		x2 += stubLength
	}
	if before || after || p.from != p.to || len(b.chords) == 1 {
		return x1, x2
	}
	if b.hooksBack(p) {
		x1 = first.stemX - b.hook(p.from-1)
	} else {
		x2 = last.stemX + b.hook(p.from)
	}
	return x1, x2
}

// leaves reports whether a stroke goes on before or after the system.
func (b *beam) leaves(p beamStroke) (before, after bool) {
	if p.from == 0 && b.before {
		w := word(b.chords[0], p.level)
		before = w == "continue" || w == "end"
	}
	if last := len(b.chords) - 1; p.to == last && b.after {
		w := word(b.chords[last], p.level)
		after = w == "begin" || w == "continue"
	}
	return before, after
}

// hook is the length of a hook between a chord and the next.
func (b *beam) hook(i int) float64 {
	gap := b.chords[i+1].stemX - b.chords[i].stemX
	return min(hookLength*b.scale(), gap*0.6)
}

// hooksBack reports whether a hook points to the chord before: inwards at the
// ends of a beam; inside it to the dotted note that it completes, as the file
// says where there is none, and else to the note that it fills a beat with.
func (b *beam) hooksBack(p beamStroke) bool {
	if p.from == 0 || p.from == len(b.chords)-1 {
		return p.from > 0
	}
	c := b.chords[p.from]
	before, after := b.chords[p.from-1].Value.Dots > 0, b.chords[p.from+1].Value.Dots > 0
	w := word(c, p.level)
	switch {
	case before != after:
		return before
	case !before && (w == "forward hook" || w == "backward hook"):
		return w == "backward hook"
	}
	pair := c.Length.Add(c.Length)
	return pair.Sign() > 0 && c.At.Div(pair).Den() != 1
}

// offset is how far below the outermost beam a stroke lies.
func (l *layout) offset(b *beam, p beamStroke) float64 {
	return p.side * float64(p.level-1) * l.beamPitch() * b.scale()
}

func (l *layout) drawBeam(b *beam) {
	w := l.font.Defaults.Beam * b.scale()
	for _, p := range b.strokes(1, 0, len(b.chords)-1, 0) {
		x1, x2 := l.ends(b, p)
		dy := l.offset(b, p)
		l.add(Item{
			Role: RoleBeam, Note: -1, Chord: b.chords[p.from].index, Staff: b.staff(),
			Shape: bar(x1, b.at(x1)+dy, x2, b.at(x2)+dy, w),
		})
	}
}

// bar is a slanted stroke with upright ends, w thick, around the line between
// two places.
func bar(x1, y1, x2, y2, w float64) []Segment {
	return []Segment{
		{Op: 'M', X: x1, Y: y1 - w/2},
		{Op: 'L', X: x2, Y: y2 - w/2},
		{Op: 'L', X: x2, Y: y2 + w/2},
		{Op: 'L', X: x1, Y: y1 + w/2},
	}
}
