package engrave

import "math"

// Slopes of beams, from the first stem to the last, in staff spaces: common
// practice.
const (
	steepest = 1.75 // of any beam
	gradient = 0.2  // over its width
	flattest = 0.5  // where stems are lengthened to the middle line
	kneeSlop = 1.0  // of a beam with stems from both sides
)

// slants are the slopes by the interval from the first head to the last, in
// steps of the scale: common practice.
var slants = [...]float64{0, 0.25, 0.5, 0.75, 1, 1.25, 1.25, 1.5}

// What counts how much against a place for a beam, by trial.
const (
	tooShort  = 3.0   // for a square space that the shortest stem falls short of its best
	tooLong   = 1.0   // for a square space that it is longer
	cramped   = 100.0 // for each space that a stem is shorter than it can be
	offSlope  = 2.0   // for a square space between the slope and the one wanted
	floating  = 0.3   // for each beam end that stands in the middle of a staff's space
	inTheWay  = 12.0  // for each space of what a beam would run through
	around    = 0.25  // kept free around that, in spaces
	nearStaff = 0.3   // how far outside a staff its lines still count, in spaces
)

// slant settles where a beam lies and how steep it is: of all places on a grid
// of quarter spaces the one that does least harm to the lengths of the stems,
// to the slope that the notes ask for, to the white between the beam and the
// staff lines, and to what stands between the stems.
func (l *layout) slant(b *beam) {
	f := l.newFit(b)
	low, high := f.reach()
	ref := l.top[b.chords[0].Staff-1]
	least := math.Inf(1)
	for _, s := range f.slopes() {
		for y := ref + quarter(low-ref); y <= high; y += 0.25 {
			if cost := f.cost(y, y+s, least); cost < least {
				least, b.y1, b.y2 = cost, y, y+s
			}
		}
	}
}

// fit weighs places for a beam.
type fit struct {
	l      *layout
	b      *beam
	kneed  bool
	target float64   // the slope that the notes ask for, as y2−y1
	best   []float64 // for each stem y of the middle of the outermost beam, at best
	least  []float64 // the same with the shortest stem
	deep   float64   // from the middle of the outermost beam to the inner edge of the innermost
	others []Box     // what stands between the stems
}

func (l *layout) newFit(b *beam) *fit {
	f := &fit{l: l, b: b, kneed: b.kneed()}
	half, most := l.font.Defaults.Beam*b.scale()/2, 1
	for _, c := range b.chords {
		short := c.near().y + c.dir()*l.leastLength(c)*c.scale
		f.best = append(f.best, l.bestEnd(c)-c.dir()*half)
		f.least = append(f.least, short-c.dir()*half)
		most = max(most, beamsOf(c))
	}
	f.deep = half + float64(most-1)*l.beamPitch()*b.scale()
	f.others = l.among(b)
	f.target = f.wanted()
	return f
}

// among is what stands between the stems of a beam on its staves: heads of
// other voices with their flags, rests, grace notes with their stems, and
// changes of clef.
func (l *layout) among(b *beam) []Box {
	var found []Box
	put := func(staff int, box Box) {
		const edge = 0.05
		if staff >= b.highest() && staff <= b.lowest() && box.Right > b.x1+edge && box.Left < b.x2-edge {
			found = append(found, box)
		}
	}
	for _, c := range l.chords {
		if c.beam == b || c.Hidden || c.x > b.x2 {
			continue
		}
		for _, h := range c.heads {
			box := l.headBox(c, h)
			if c.Grace > 0 {
				box.Top, box.Bottom = min(box.Top, c.stemEnd), max(box.Bottom, c.stemEnd)
			}
			put(h.staff, box)
		}
		if flag := flagOf(c); flag != "" {
			at := l.flagOrigin(c)
			put(c.near().staff, l.boxOf(Item{Glyph: flag, X: at.X, Y: at.Y, Scale: c.scale}))
		}
	}
	for _, col := range l.columns {
		for _, s := range col.clefs {
			put(s.staff, l.boxOf(Item{Glyph: s.glyph, X: col.x + s.dx, Y: l.yOf(s.staff, s.pos), Scale: s.scale}))
		}
	}
	return found
}

func (l *layout) headBox(c *chord, h head) Box {
	half := Box{Left: h.x, Right: h.x + h.width, Top: h.y - 0.5*c.scale, Bottom: h.y + 0.5*c.scale}
	if h.note != nil || h.glyph == "" {
		return half
	}
	g := l.font.Glyph(h.glyph).Box
	return Box{Left: h.x + g.Left, Right: h.x + g.Right, Top: h.y + g.Top*c.scale, Bottom: h.y + g.Bottom*c.scale}
}

// wanted is the slope that the notes ask for: level where the outer notes are
// the same, where the group goes round the same notes, and where one between
// lies nearer to the beam than both; else by the interval.
func (f *fit) wanted() float64 {
	first, last := f.b.chords[0], f.b.chords[len(f.b.chords)-1]
	rise := math.Round((last.near().y - first.near().y) * 2)
	if f.kneed || rise == 0 || f.b.concave() || f.b.goesRound() {
		return 0
	}
	slope := min(steepest, f.steepest())
	if n := int(math.Abs(rise)); n < len(slants) {
		slope = min(slope, slants[n])
	}
	if f.lengthened(first) || f.lengthened(last) {
		slope = min(slope, flattest)
	}
	return math.Copysign(slope, rise)
}

// steepest is the most that a beam of this width may rise.
func (f *fit) steepest() float64 {
	return max(0.25, math.Floor((f.b.x2-f.b.x1)*gradient*4)/4)
}

// lengthened reports whether a stem is longer than its notes ask for, to reach
// the middle line.
func (f *fit) lengthened(c *chord) bool { return c.outside() < -7 }

// concave reports whether a chord between the outer two lies nearer to the beam
// than both.
func (b *beam) concave() bool {
	first, last := b.chords[0], b.chords[len(b.chords)-1]
	dir := first.dir()
	outer := max(first.near().y*dir, last.near().y*dir)
	for _, c := range b.chords[1 : len(b.chords)-1] {
		if c.near().y*dir > outer {
			return true
		}
	}
	return false
}

// goesRound reports whether the second half of a beam's notes is as the first.
func (b *beam) goesRound() bool {
	n := len(b.chords)
	if n < 4 || n%2 != 0 {
		return false
	}
	for i, c := range b.chords[:n/2] {
		if c.near().y != b.chords[n/2+i].near().y {
			return false
		}
	}
	return true
}

// slopes are the slopes to try, never against the one wanted.
func (f *fit) slopes() []float64 {
	low, high := min(f.target, 0), max(f.target, 0)
	if f.kneed {
		high = min(kneeSlop, f.steepest())
		low = -high
	}
	tried := []float64{f.target}
	for s := low; s <= high; s += 0.25 {
		tried = append(tried, s)
	}
	return tried
}

// reach is between which y the beam's first end can lie.
func (f *fit) reach() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, y := range f.best {
		low, high = min(low, y), max(high, y)
	}
	const further = 4
	return low - further, high + further
}

// cost is the harm that a beam does between two ends; what is beyond a limit is
// not looked at further.
func (f *fit) cost(y1, y2, limit float64) float64 {
	cost := offSlope * (y2 - y1 - f.target) * (y2 - y1 - f.target)
	for _, up := range [2]bool{true, false} {
		cost += f.stemCost(y1, y2, up)
	}
	if cost >= limit {
		return cost
	}
	first, last := f.b.chords[0], f.b.chords[len(f.b.chords)-1]
	cost += floating * float64(f.floats(y1, -first.dir())+f.floats(y2, -last.dir()))
	return cost + inTheWay*f.collisions(y1, y2)
}

// stemCost is the harm to the stems of one direction: the one that comes out
// shortest counts.
func (f *fit) stemCost(y1, y2 float64, up bool) (cost float64) {
	shortest := math.Inf(1)
	for i, c := range f.b.chords {
		if c.up != up {
			continue
		}
		y := f.line(y1, y2, c.stemX)
		shortest = min(shortest, (y-f.best[i])*c.dir())
		cost += cramped * max(0, (f.least[i]-y)*c.dir())
	}
	switch {
	case math.IsInf(shortest, 1):
		return 0
	case shortest < 0:
		return cost + tooShort*shortest*shortest
	}
	return cost + tooLong*shortest*shortest
}

// line is y at x of a beam between two ends.
func (f *fit) line(y1, y2, x float64) float64 {
	if f.b.x2 == f.b.x1 {
		return y1
	}
	return y1 + (y2-y1)*(x-f.b.x1)/(f.b.x2-f.b.x1)
}

// floats is how many beams at one end stand in the middle of a space of a
// staff, where they neither sit on a line, nor hang from it, nor lie across it.
func (f *fit) floats(y, inwards float64) int {
	n := 0
	half, pitch := f.l.font.Defaults.Beam/2, f.l.beamPitch()*f.b.scale()
	for d := 0.0; d <= f.deep-half; d += pitch {
		n += f.l.floatsAt(y + inwards*d)
	}
	return n
}

func (l *layout) floatsAt(y float64) int {
	for _, top := range l.top {
		d := y - top
		if d > -nearStaff && d < 4+nearStaff && math.Abs(d-math.Floor(d)-0.5) < 0.125 {
			return 1
		}
	}
	return 0
}

// collisions is how much of a beam's depth runs through what stands between
// the stems.
func (f *fit) collisions(y1, y2 float64) (depth float64) {
	half := f.l.font.Defaults.Beam * f.b.scale() / 2
	inwards := -f.b.chords[0].dir()
	for _, o := range f.others {
		y := f.line(y1, y2, (o.Left+o.Right)/2)
		top, bottom := min(y-inwards*half, y+inwards*f.deep), max(y-inwards*half, y+inwards*f.deep)
		depth += max(0, min(bottom, o.Bottom+around)-max(top, o.Top-around))
	}
	return depth
}

// quarter is a length rounded to a quarter of a space.
func quarter(y float64) float64 { return math.Round(y*4) / 4 }
