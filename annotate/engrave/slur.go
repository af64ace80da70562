package engrave

import (
	"cmp"
	"math"
	"slices"

	"hardbars/score"
	"hardbars/score/notation"
)

// Sizes of slurs in staff spaces: common practice.
const (
	slurEndGap   = 0.35 // from the ink at an end to the slur
	slurClear    = 0.35 // from ink under a slur to it
	slurMeets    = 0.3  // how far two slurs that meet at a chord keep from its middle
	slurFirst    = 0.6  // height of the arch of a short slur
	slurHighest  = 2.6  // of a long one, where nothing pushes it higher
	slurGrowth   = 0.13 // by which it grows with its length at first
	slurSteep    = 4    // how much worse a very high arch is than a lifted end
	slurLift     = 3.0  // ends are lifted so far at most
	slurCap      = 9.0  // of the height of any slur, over its width where that is less
	crossCap     = 18.0 // the same of one from staff to staff
	slurBad      = 6    // how bad a slur is for which the other side is tried
	slurRuns     = 6    // how much worse a space run through is than a space of height
	slurLiftStep = 0.5
	mainAside    = 0.1 // from a head to the slur from its grace notes, and under its middle
	mainUnder    = 0.35
	slurOpen     = 0.6 // of the end of a slur that goes on past the system, beyond its last chord
	shortestSlur = 1.5
)

// slurs draws the bows over chords, the shortest first, so that the longer ones
// clear them.
func (l *layout) slurs() {
	var found []*slur
	for i := range l.score.Slurs {
		s := l.slurOf(&l.score.Slurs[i])
		if s == nil {
			continue
		}
		if slices.ContainsFunc(found, s.twin) {
			s.settle(!s.above)
		}
		found = append(found, s)
	}
	slices.SortStableFunc(found, func(a, b *slur) int { return a.length().Cmp(b.length()) })
	for i, s := range found {
		l.fitSlur(s, found, found[:i])
		l.drawSlur(s)
	}
}

// slur is a slur with what the system shows of it.
type slur struct {
	*notation.Slur
	from, to *chord   // nil where that end is not on the system
	covered  []*chord // of its voices, from end to end
	above    bool
	staff    int // that it stands at; 0 where it goes from one to another
	a, b     point
	bow      bow
}

// first and last are the outer chords of a slur on the system.
func (s *slur) first() *chord {
	if s.from != nil {
		return s.from
	}
	return s.covered[0]
}

func (s *slur) last() *chord {
	if s.to != nil {
		return s.to
	}
	return s.covered[len(s.covered)-1]
}

// length is how long it lasts on the system.
func (s *slur) length() score.Rat { return s.last().At.Sub(s.first().At) }

// slurOf finds what the system shows of a slur; nil where that is nothing.
func (l *layout) slurOf(n *notation.Slur) *slur {
	s := &slur{Slur: n, from: l.slurEnd(n.From), to: l.slurEnd(n.To)}
	switch {
	case s.from == nil && s.to == nil && !l.spans(n):
		return nil
	case s.from == nil && n.From >= 0 && !l.score.Chords[n.From].At.Less(l.to):
		return nil
	}
	if s.from != nil && s.to != nil && before(s.to, s.from) {
		s.from, s.to = s.to, s.from
	}
	s.cover(l)
	if len(s.covered) == 0 {
		return nil
	}
	s.settle(l.slurAbove(s))
	return s
}

// settle puts a slur on a side.
func (s *slur) settle(above bool) {
	s.above = above
	s.staff = s.first().outer(above).staff
	if s.last().outer(above).staff != s.staff {
		s.staff = 0
	}
}

// twin reports whether a slur joins the same chords as another, on a side that
// the score leaves open: one of the two goes above, one below.
func (s *slur) twin(other *slur) bool {
	return s.From == other.From && s.To == other.To && s.Side == notation.Auto && other.above == s.above
}

// slurEnd is the chord on the system that a slur ends at.
func (l *layout) slurEnd(index int) *chord {
	if c := l.index[index]; index >= 0 && c != nil && len(c.heads) > 0 {
		return c
	}
	return nil
}

// spans reports whether a slur begins before the system and ends after it.
func (l *layout) spans(n *notation.Slur) bool {
	if n.From < 0 || n.To < 0 {
		return false
	}
	return l.score.Chords[n.From].At.Less(l.from) && !l.score.Chords[n.To].At.Less(l.to)
}

// cover finds the chords under a slur, those of its voices, in time.
func (s *slur) cover(l *layout) {
	voices := map[string]bool{}
	for _, i := range []int{s.From, s.To} {
		if i >= 0 {
			voices[l.score.Chords[i].Voice] = true
		}
	}
	for _, c := range l.chords {
		if !voices[c.Voice] || len(c.heads) == 0 || c != s.from && c != s.to && c.Rest {
			continue
		}
		if (s.from == nil || !before(c, s.from)) && (s.to == nil || !before(s.to, c)) {
			s.covered = append(s.covered, c)
		}
	}
	slices.SortStableFunc(s.covered, func(a, b *chord) int { return cmp.Compare(a.centre(), b.centre()) })
}

// before reports whether a chord stands left of another.
func before(c, d *chord) bool {
	return c.At.Less(d.At) || c.At == d.At && c.x < d.x-cell
}

// slurAbove is the side of a slur, the same on all its systems: it is settled
// over all of its bars.
func (l *layout) slurAbove(s *slur) bool {
	if s.Side != notation.Auto {
		return s.Side == notation.Above
	}
	if s.From < 0 || s.To < 0 || s.from != nil && s.to != nil {
		return s.goesAbove()
	}
	bars, chords := l.score.Bars, l.score.Chords
	all := &layout{font: l.font, score: l.score, from: bars[chords[s.From].Bar].Start, to: bars[chords[s.To].Bar].End()}
	all.guess()
	all.collect()
	all.directions()
	whole := &slur{Slur: s.Slur, from: all.slurEnd(s.From), to: all.slurEnd(s.To)}
	if whole.cover(all); len(whole.covered) > 0 {
		return whole.goesAbove()
	}
	return s.goesAbove()
}

// goesAbove is the side of a slur by rule: by voice where there are several;
// away from grace notes' stems; and else away from the stems, above where they
// differ.
func (s *slur) goesAbove() bool {
	c := s.first()
	if c.Grace > 0 && s.to != nil && c.At == s.to.At {
		return !c.up
	}
	if c.voices > 1 && c.Staff == s.last().Staff {
		return c.upper
	}
	return slices.ContainsFunc(s.covered, func(c *chord) bool { return !c.up && !c.Rest })
}

// endSlur settles where a slur begins and ends: beyond the ink at its first and
// last chord, and at the edge of the system where it goes on.
func (l *layout) endSlur(s *slur, all []*slur) {
	s.a, s.b = l.slurPoint(s, s.first(), all), l.slurPoint(s, s.last(), all)
	for _, other := range all {
		if other == s || other.above != s.above {
			continue
		}
		if s.from != nil && other.to == s.from {
			s.a.X = max(s.a.X, s.from.centre()+slurMeets)
		}
		if s.to != nil && other.from == s.to {
			s.b.X = min(s.b.X, s.to.centre()-slurMeets)
		}
	}
	if s.to == nil {
		s.b.X = max(l.lastBarline()-tieBeside, s.a.X+shortestSlur)
		s.b.Y += toward(s.above) * slurOpen
	}
	if s.from == nil {
		s.a.X = min(l.bowStart(), s.b.X-shortestSlur)
		s.a.Y += toward(s.above) * slurOpen
	}
	if lacks := shortestSlur*0.6 - (s.b.X - s.a.X); lacks > 0 {
		s.a.X, s.b.X = s.a.X-lacks/2, s.b.X+lacks/2
	}
}

// slurPoint is where a slur meets a chord: over its head, or at the stem's tip
// where the stem is on that side, and beyond all that stands there.
func (l *layout) slurPoint(s *slur, c *chord, all []*slur) point {
	if s.toMain(c) {
		return besideMain(s.from, c)
	}
	h := c.outer(s.above)
	dir := toward(s.above)
	p := point{X: c.centre(), Y: h.y + dir*0.5*c.scale}
	if c.stemmed() && c.up == s.above {
		p = point{X: c.stemX, Y: c.stemEnd}
	}
	const half = 0.25
	for _, it := range l.items {
		if !l.underSlur(s, it, all) && !l.strikesWith(it, c) {
			continue
		}
		if top, bottom, ok := it.over(p.X-half, p.X+half); ok {
			p.Y = farther(s.above, farther(s.above, top, bottom), p.Y)
		}
	}
	p.Y += dir * slurEndGap
	return p
}

// strikesWith reports whether an item is a head that strikes with a chord on its
// staff, in whatever voice.
func (l *layout) strikesWith(it Item, c *chord) bool {
	other := l.index[it.Chord]
	return it.Role == RoleHead && other != nil && other.At == c.At && other.Grace == c.Grace && it.Staff == c.Staff
}

// toMain reports whether a slur comes to a chord from its own grace notes, with
// the chord's stem or other heads in the way.
func (s *slur) toMain(c *chord) bool {
	return c == s.to && s.from != nil && s.from.Grace > 0 && s.from.At == c.At && c.Grace == 0 && !s.above && (!c.up || len(c.heads) > 1)
}

// besideMain is where a slur from grace notes meets their chord: left of the
// head nearest to them, under its middle.
func besideMain(grace, c *chord) point {
	y := grace.heads[0].y
	near := &c.heads[0]
	for i := range c.heads {
		if h := &c.heads[i]; math.Abs(h.y-y) < math.Abs(near.y-y) {
			near = h
		}
	}
	return point{X: near.x - mainAside, Y: near.y + mainUnder}
}

// underSlur reports whether a slur must clear an item: what stands at its voices'
// chords, and at other chords of its staff; from grace notes to their chord the
// notes themselves.
func (l *layout) underSlur(s *slur, it Item, all []*slur) bool {
	switch it.Role {
	case RoleHead, RoleAccidental, RoleDot, RoleStem, RoleFlag, RoleBeam, RoleRest, RoleMark, RoleTremolo, RoleFingering, RoleTie, RoleTuplet:
	case RoleSlur:
		return s.holdsSlur(it.Chord, all)
	default:
		return false
	}
	c := l.index[it.Chord]
	if c == nil {
		return false
	}
	if s.to != nil && s.toMain(s.to) {
		return c.Grace > 0 && s.covers(c) || c == s.to && it.Role == RoleAccidental
	}
	if c.Voice == s.first().Voice || c.Voice == s.last().Voice {
		return c.Staff == s.first().Staff || c.Staff == s.last().Staff || s.covers(c) && c.Grace == 0
	}
	return c.Staff == s.staff
}

func (s *slur) covers(c *chord) bool { return slices.Contains(s.covered, c) }

// holdsSlur reports whether the slur that begins or ends at a chord lies within.
func (s *slur) holdsSlur(index int, all []*slur) bool {
	for _, other := range all {
		if other != s && other.first().index == index && other.above == s.above &&
			s.covers(other.first()) && s.covers(other.last()) {
			return true
		}
	}
	return false
}

// fitSlur shapes a slur. One whose side the score leaves open goes to the other
// side where that is much better.
func (l *layout) fitSlur(s *slur, all, done []*slur) {
	l.endSlur(s, all)
	cost := l.shapeSlur(s, done)
	if s.staff == 0 {
		l.crossSlur(s, all, done)
		return
	}
	whole := s.from != nil && s.to != nil
	if cost < slurBad || s.Side != notation.Auto || !whole {
		return
	}
	other := *s
	other.settle(!s.above)
	l.endSlur(&other, all)
	if l.shapeSlur(&other, done)+slurBad/2 < cost {
		*s = other
	}
}

// crossSlur shapes a slur from staff to staff: an arch over all, one under all, or
// an S between the staves, whichever runs through the least ink.
func (l *layout) crossSlur(s *slur, all, done []*slur) {
	best := *s
	least := l.crossCost(s, done)
	other := *s
	other.settle(!s.above)
	l.endSlur(&other, all)
	l.shapeSlur(&other, done)
	if cost := l.crossCost(&other, done) + 1; cost < least {
		best, least = other, cost
	}
	if s.from != nil && s.to != nil {
		other = l.waved(s, all)
		if cost := l.crossCost(&other, done) + 3; cost < least {
			best = other
		}
	}
	*s = best
}

// waved is a slur as an S: from the side of its first chord that faces the last
// to the side of the last that faces the first.
func (l *layout) waved(s *slur, all []*slur) slur {
	from, to := *s, *s
	from.above = s.first().Staff > s.last().Staff
	to.above = !from.above
	l.endSlur(&from, all)
	l.endSlur(&to, all)
	a, d := from.a, to.b
	width, fall := d.X-a.X, d.Y-a.Y
	w := *s
	w.bow = bow{a, point{X: a.X + 0.45*width, Y: a.Y + 0.08*fall}, point{X: d.X - 0.45*width, Y: d.Y - 0.08*fall}, d}
	return w
}

// crossCost is how much ink a slur runs through, and how far it goes beyond its
// ends.
func (l *layout) crossCost(s *slur, done []*slur) (cost float64) {
	const parts, white = 40, 0.2
	high, low := min(s.bow.a.Y, s.bow.d.Y), max(s.bow.a.Y, s.bow.d.Y)
	for i := 1; i < parts; i++ {
		p := s.bow.at(float64(i) / parts)
		cost = max(cost, (high-p.Y)/4, (p.Y-low)/4)
	}
	for _, it := range l.items {
		if it.Box.Right < s.bow.a.X || s.bow.d.X < it.Box.Left || !l.underSlur(s, it, done) {
			continue
		}
		for i := 2; i < parts-1; i++ {
			p := s.bow.at(float64(i) / parts)
			if top, bottom, ok := it.over(p.X-cell/2, p.X+cell/2); ok && top-white < p.Y && p.Y < bottom+white {
				cost++
			}
		}
	}
	return cost
}

// drawSlur draws a slur.
func (l *layout) drawSlur(s *slur) {
	it := Item{Role: RoleSlur, Note: -1, Chord: s.first().index, Staff: s.staff}
	l.addBow(it, s.bow, l.font.Defaults.SlurEnd, l.font.Defaults.SlurMiddle, s.Dashed)
	if s.staff == 0 { // signs above the upper staff and below the lower one keep clear of it
		it = l.items[len(l.items)-1]
		upper, lower := s.staves()
		l.above[upper-1].raiseInk(it)
		l.below[lower-1].raiseInk(it)
	}
}

// staves are the upper and the lower staff that a slur ends at.
func (s *slur) staves() (upper, lower int) {
	a, b := s.first().outer(s.above).staff, s.last().outer(s.above).staff
	return min(a, b), max(a, b)
}

// hurdle is a place that a slur must clear: at t of its bow, so far to its side
// of the line between its ends as it would stand unlifted.
type hurdle struct{ t, y float64 }

// arch is how a slur may go: its ends lifted, its arch higher at one end.
type arch struct {
	lift1, lift2 float64
	high, lean   float64 // height of the control points, and how much of it leans to the right
}

// rise is how far an arch stands from the line between the unlifted ends.
func (a arch) rise(t float64) float64 {
	u := 1 - t
	return a.lift1*u + a.lift2*t + a.high*a.bulge(t)
}

// bulge is the part of its height that the arch has at t.
func (a arch) bulge(t float64) float64 {
	u := 1 - t
	return 3 * u * t * ((1-a.lean)*u + (1+a.lean)*t)
}

// shapeSlur finds the arch that clears everything and looks best: low, and with
// its ends near its notes. It tells how far that is from the best that there
// could be.
func (l *layout) shapeSlur(s *slur, done []*slur) (cost float64) {
	width := s.b.X - s.a.X
	flat := bow{a: s.a, b: point{X: s.a.X + inset(width), Y: s.a.Y}, c: point{X: s.b.X - inset(width), Y: s.b.Y}, d: s.b}
	hurdles := l.hurdles(s, flat, done)
	least := (slurFirst + (slurHighest-slurFirst)*(1-math.Exp(-slurGrowth*width/(slurHighest-slurFirst)*0.6))) / 0.75
	most := max(1.5*least, min(slurCap, 0.5*width+1.5)/0.75)
	if s.staff == 0 {
		most = crossCap / 0.75
	}
	best := arch{}
	cost = math.Inf(1)
	for _, lean := range []float64{0, -0.4, 0.4} {
		for lift1 := 0.0; lift1 <= slurLift; lift1 += slurLiftStep {
			for lift2 := 0.0; lift2 <= slurLift; lift2 += slurLiftStep {
				a := arch{lift1: lift1, lift2: lift2, lean: lean, high: least}
				missed := a.clear(hurdles, most)
				if c := a.cost(least, width) + slurRuns*missed; c < cost {
					best, cost = a, c
				}
				if cost == 0 {
					break
				}
			}
		}
	}
	dir := toward(s.above)
	s.bow = flat
	s.bow.a.Y += dir * best.lift1
	s.bow.d.Y += dir * best.lift2
	s.bow.b.Y = lineAt(s.bow, s.bow.b.X) + dir*best.high*(1-best.lean)
	s.bow.c.Y = lineAt(s.bow, s.bow.c.X) + dir*best.high*(1+best.lean)
	return cost
}

// inset is how far the control points of a slur stand in from its ends: long
// slurs rise soon and then lie flat.
func inset(width float64) float64 { return min(width/3, 1.7+0.08*width) }

// lineAt is y of the line between a bow's ends.
func lineAt(w bow, x float64) float64 { return heightAt(w.a, w.d, x) }

// clear raises an arch until it is over all hurdles, or as high as it may be,
// and tells how deep it runs into what it misses.
func (a *arch) clear(hurdles []hurdle, most float64) (missed float64) {
	for _, h := range hurdles {
		if need := h.y - a.lift1*(1-h.t) - a.lift2*h.t; need > a.high*a.bulge(h.t) {
			a.high = min(most, need/a.bulge(h.t))
		}
	}
	for _, h := range hurdles {
		missed = max(missed, h.y-a.rise(h.t))
	}
	return missed
}

// cost is how far an arch is from the best that there could be.
func (a arch) cost(least, width float64) float64 {
	over := a.high - least
	high := max(0, a.high-max(1.6*least, 0.3*width))
	return over + slurSteep*high + 1.2*(a.lift1+a.lift2) + 0.6*math.Abs(a.lift1-a.lift2) + math.Abs(a.lean)
}

// hurdles is what a slur must clear, by the t at which it passes.
func (l *layout) hurdles(s *slur, flat bow, done []*slur) (found []hurdle) {
	dir := toward(s.above)
	mid := l.font.Defaults.SlurMiddle / 2
	for _, it := range l.items {
		left, right := max(it.Box.Left, s.a.X), min(it.Box.Right, s.b.X)
		if right <= left || !l.underSlur(s, it, done) {
			continue
		}
		n := int(math.Ceil((right - left) / (2 * cell)))
		for i := range n + 1 {
			x := left + (right-left)*float64(i)/float64(n)
			top, bottom, ok := it.over(x-cell/2, x+cell/2)
			if !ok {
				continue
			}
			y := dir * farther(s.above, top, bottom)
			t := flat.timeAt(x)
			if t < 0.02 || t > 0.98 {
				continue // where it begins or ends, which is beyond the ink already
			}
			if y += slurClear + mid - dir*lineAt(flat, x); y > 0 {
				found = append(found, hurdle{t, y})
			}
		}
	}
	return found
}
