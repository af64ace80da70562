package engrave

import (
	"math"

	"hardbars/score/notation"
)

// Sizes of ties in staff spaces: common practice.
const (
	tieBeside   = 0.15 // from a head's edge to a tie that stands beside it
	tieOver     = 0.65 // from a head's middle to a tie that stands over it
	tieAside    = 0.3  // the same for one that stands beside it
	tieHalf     = 1.8  // of a tie that only leaves a head, or only comes into it
	tieLong     = 2.5  // of one that comes in from before, at most
	shortestTie = 1.0
	bowBehind   = 0.4 // from a clef or a signature to a bow
	comingRoom  = 1.0 // before the first note of a system that a bow comes to
	tieRise     = 0.3 // height of the arch: so much, and of the length so much more
	tieBulge    = 0.07
	highestTie  = 1.1
)

// ties draws the bows between heads of one pitch. A tie with one end on the
// system is drawn as half a bow: to the edge where it goes on in the next
// system, out of the left where it comes from before.
func (l *layout) ties() {
	for _, t := range l.score.Ties {
		from, to := l.tieEnd(t.From), l.tieEnd(t.To)
		if from != nil || to != nil {
			l.drawTie(t, from, to)
		}
	}
}

// comingRoom is the room that a system leaves before its first note for the half
// of a bow that comes from before.
func (l *layout) comingRoom() float64 {
	for _, c := range l.chords {
		if l.from.Less(c.At) {
			break
		}
		for _, t := range l.score.Ties {
			if l.byID[t.To] == c && l.byID[t.From] == nil {
				return comingRoom
			}
		}
		for _, s := range l.score.Slurs {
			if s.To == c.index && l.index[s.From] == nil {
				return comingRoom
			}
		}
	}
	return 0
}

// bowStart is where bows that come from before the system begin: behind its
// clef, key and time.
func (l *layout) bowStart() float64 {
	return l.music + noteWhite - startMusic - l.comingRoom() + bowBehind
}

// tied is a head that a tie ends at.
type tied struct {
	chord *chord
	index int // into chord.heads
}

func (t *tied) head() *head { return &t.chord.heads[t.index] }

// tieEnd finds a head by its Note.ID; nil where the system does not show it.
func (l *layout) tieEnd(id int) *tied {
	c := l.byID[id]
	if id < 0 || c == nil {
		return nil
	}
	for i, h := range c.heads {
		if h.note.ID == id {
			return &tied{c, i}
		}
	}
	return nil
}

func (l *layout) drawTie(t notation.Tie, from, to *tied) {
	at := to
	if to == nil {
		at = from
	}
	staff := at.head().staff
	if from != nil && from.head().staff != staff {
		staff = 0
	}
	it := Item{Role: RoleTie, Note: at.head().note.ID, Chord: at.chord.index, Staff: staff}
	l.addBow(it, l.bestTie(t, from, to), l.font.Defaults.TieEnd, l.font.Defaults.TieMiddle, false)
}

// bestTie is the bow that meets the least ink, of those that look right: on the
// side that the rules ask for before the other, over the heads before beside
// them, to the head before to the accidental in front of it, and flat before
// high.
func (l *layout) bestTie(t notation.Tie, from, to *tied) (best bow) {
	above := tieAbove(t, from, to)
	sides := []bool{above, !above}
	if t.Side != notation.Auto {
		sides = sides[:1]
	}
	free := []bool{false}
	if l.freeFor(from, above) && l.freeFor(to, above) {
		free = []bool{true, false}
	}
	least := math.Inf(1)
	for i, above := range sides {
		for k, over := range free {
			for n, short := range []bool{false, true} {
				for m, high := range []float64{1, 1.6, 0.6} {
					if over && (i > 0 || short) {
						continue
					}
					w := l.tieOf(t, from, to, above, over, short, high)
					cost := 6*l.met(w) + 0.8*float64(i) + 0.1*float64(k) + 0.3*float64(n) + 0.15*float64(m)
					if cost < least {
						best, least = w, cost
					}
					if least == 0 {
						return best
					}
				}
			}
		}
	}
	return best
}

// tieOf is one way to draw a tie: above or below, over the heads or beside them,
// to the head or short, to the accidentals before it; and so much higher than
// by rule.
func (l *layout) tieOf(t notation.Tie, from, to *tied, above, over, short bool, high float64) bow {
	var a, b point
	if from != nil {
		a = from.end(above, over, 1)
	}
	if to != nil {
		b = to.end(above, over, -1)
		if short {
			b.X = min(b.X, l.signsBefore(to)-tieBeside)
		}
	}
	at := to
	switch {
	case from == nil:
		a = point{X: max(min(l.bowStart(), b.X-shortestTie), b.X-tieLong), Y: b.Y}
	case to == nil && t.To < 0:
		at, b = from, point{X: a.X + tieHalf, Y: a.Y}
	case to == nil:
		at, b = from, point{X: max(l.lastBarline()-tieBeside, a.X+shortestTie), Y: a.Y}
	}
	return l.tieBow(at.head().staff, a, b, toward(above), high)
}

// signsBefore is where the accidentals begin that stand before a head and would
// be run through by a bow to it.
func (l *layout) signsBefore(t *tied) float64 {
	h := t.head()
	left := h.x
	for _, it := range l.items {
		if it.Role == RoleAccidental && it.Staff == h.staff && it.Box.Right <= h.x && it.Box.Right > h.x-4 && it.Box.Top < h.y+0.8 && it.Box.Bottom > h.y-0.8 {
			if c := l.index[it.Chord]; c != nil && c.At == t.chord.At {
				left = min(left, it.Box.Left)
			}
		}
	}
	return left
}

// tieWhite is kept free around a tie.
const tieWhite = 0.12

// met is how deep a bow runs into heads and signs, taken together.
func (l *layout) met(w bow) (sum float64) {
	const parts = 16
	half := l.font.Defaults.TieMiddle/2 + tieWhite
	for _, it := range l.items {
		if !tieObstacles[it.Role] || it.Box.Right < w.a.X || w.d.X < it.Box.Left {
			continue
		}
		for i := 0; i <= parts; i++ {
			p := w.at(float64(i) / parts)
			if in := min(p.X-it.Box.Left, it.Box.Right-p.X); in <= 0 {
				continue
			}
			sum += max(0, min(p.Y+half-it.Box.Top, it.Box.Bottom-p.Y+half))
		}
	}
	return sum
}

var tieObstacles = map[Role]bool{
	RoleHead: true, RoleAccidental: true, RoleDot: true, RoleRest: true, RoleFlag: true, RoleClef: true, RoleKey: true, RoleTime: true,
}

// lastBarline is where the last bar on the system ends.
func (l *layout) lastBarline() float64 {
	if len(l.bars) == 0 {
		return l.width
	}
	return l.bars[len(l.bars)-1].right
}

// tieAbove is the side of a tie: as the file says; by voice where there are
// several; in a chord the lower heads below and the upper ones above; and else
// away from the stem, above where the two stems differ.
func tieAbove(t notation.Tie, from, to *tied) bool {
	if t.Side != notation.Auto {
		return t.Side == notation.Above
	}
	at := from
	if at == nil || to != nil && len(at.chord.heads) == 1 && len(to.chord.heads) > 1 {
		at = to
	}
	c := at.chord
	middle := 2*at.index - (len(c.heads) - 1)
	switch {
	case c.voices > 1 && c.Grace == 0:
		return c.upper
	case middle != 0:
		return middle > 0
	}
	return !c.up || from != nil && to != nil && from.chord.up != to.chord.up
}

// freeFor reports whether a tie may begin over a head and not beside it: where no
// stem and no other head is in its way.
func (l *layout) freeFor(t *tied, above bool) bool {
	if t == nil {
		return true
	}
	h := t.head()
	if t.chord.stemmed() && t.chord.up == above {
		return false
	}
	for _, c := range l.chords {
		if c.At != t.chord.At || c.Rest || c.Grace != t.chord.Grace {
			continue
		}
		for i := range c.heads {
			k := &c.heads[i]
			away := float64(k.pos-h.pos) * toward(above)
			if k.staff == h.staff && away > 0 && away < 4 {
				return false
			}
		}
	}
	return true
}

// end is where a tie meets a head: on its right for the note that it leaves
// (side 1), on its left for the note that it comes to (side −1).
func (t *tied) end(above, over bool, side float64) point {
	h, dir := t.head(), toward(above)
	if over {
		return point{X: h.x + h.width*(0.5+0.2*side), Y: h.y + dir*tieOver}
	}
	y := h.y + dir*tieAside
	if side < 0 {
		return point{X: h.x - tieBeside, Y: y}
	}
	x := h.x + h.width + tieBeside
	if t.chord.Value.Dots > 0 {
		x = max(x, t.chord.right+tieBeside)
	}
	return point{X: x, Y: y}
}

// tieBow is the bow of a tie: flat, its arch so much higher than by rule, and off
// the lines of the staff.
func (l *layout) tieBow(staff int, a, b point, dir, high float64) bow {
	if lacks := shortestTie*0.7 - (b.X - a.X); lacks > 0 {
		a.X, b.X = a.X-lacks/2, b.X+lacks/2
	}
	width := b.X - a.X
	rise := min(highestTie, tieRise+tieBulge*width) * high
	apex := l.offLine(staff, (a.Y+b.Y)/2+dir*rise, dir)
	rise = dir * (apex - (a.Y+b.Y)/2)
	in := width * 0.25
	return bow{
		a, point{X: a.X + in, Y: a.Y + dir*rise/0.75}, point{X: b.X - in, Y: b.Y + dir*rise/0.75}, b,
	}
}

// offLine moves the middle of a bow off a line of the staff.
func (l *layout) offLine(staff int, y, dir float64) float64 {
	const white = 0.2 // from a line's middle, at least
	line := math.Round(y - l.top[staff-1])
	if off := y - l.top[staff-1] - line; line >= 0 && line <= staffHeight && math.Abs(off) < white {
		return l.top[staff-1] + line + dir*white
	}
	return y
}
