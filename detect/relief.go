package detect

import (
	"fmt"
	"math"
	"slices"

	"hardbars/detect/hand"
	"hardbars/score"
)

// relief is notes of a chord that is too much for one hand, and whether the
// other hand can take them.
type relief struct {
	hand  score.Hand // the other one
	notes []int      // low to high
	free  bool       // it strikes and holds nothing at that instant
	near  bool       // it covers them with what it has down or, where it is free, gets there and on in comfort
	mm    float64    // from them to the nearest key that it plays at that instant or, where it is free, before or after, whichever is further
}

// ReliefDetail is relief in JSON.
type ReliefDetail struct {
	Pitches []score.Pitch `json:"pitches"`
	Free    bool          `json:"free"`
	Near    bool          `json:"near"`
	MM      float64       `json:"mm"`
}

// Relief finds the fewest notes on the side of the other hand without which a
// hand covers the rest; ok is false where that takes all of them.
func (p *Pass) Relief(hand score.Hand, notes []int) (r relief, ok bool) {
	r.hand = 1 - hand
	for n := 1; n < len(notes); n++ {
		own, given := notes[n:], notes[:n]
		if hand == score.Left {
			own, given = notes[:len(notes)-n], notes[len(notes)-n:]
		}
		if p.Player.Hand(hand).Covers(p.Keys(own)) {
			r.notes = given
			p.ask(&r)
			return r, true
		}
	}
	return r, false
}

// ask looks at what the other hand has to do at that instant, before and after.
func (p *Pass) ask(r *relief) {
	at, keys := p.Score.Notes[r.notes[0]].Onset, p.Keys(r.notes)
	events := p.Events[r.hand]
	next, _ := slices.BinarySearchFunc(events, at, func(e Event, at score.Rat) int {
		if at.Less(e.At) {
			return 1
		}
		return -1
	})
	var down []int
	if next > 0 {
		down = p.downAt(events[next-1], at)
	}
	if len(down) > 0 {
		r.mm = gap(keys, down)
		r.near = p.Player.Hand(r.hand).Covers(JoinKeys(keys, down))
		return
	}
	r.free, r.near = true, p.Player.Hand(r.hand).Covers(keys)
	there := stroke{At: at, Keys: keys}
	if next > 0 {
		there.After = at.Sub(events[next-1].At)
		p.way(r, stroke{At: events[next-1].At, Keys: p.Keys(events[next-1].Struck)}, there)
	}
	if next < len(events) {
		p.way(r, there, stroke{At: events[next].At, After: events[next].At.Sub(at), Keys: p.Keys(events[next].Struck)})
	}
}

// downAt are the keys that a hand has down at an instant, sorted, the event
// being its last one until then.
func (p *Pass) downAt(e Event, at score.Rat) []int {
	notes := slices.DeleteFunc(slices.Concat(e.Struck, e.Held), func(n int) bool {
		return p.Score.Notes[n].End().Cmp(at) <= 0
	})
	return JoinKeys(p.Keys(notes), nil)
}

// way adds one move of the other hand.
func (p *Pass) way(r *relief, from, to stroke) {
	l := Leap{Hand: r.hand, From: from, To: to}
	if p.waited(l) {
		return
	}
	r.mm = max(r.mm, gap(from.Keys, to.Keys))
	if !p.travels(&l) {
		return
	}
	r.near = r.near && l.Bits()/p.Clock.Seconds(from.At, to.At) <= p.Player.Can(LeapRate)
}

// gap is the distance in mm between the nearest keys of two sets.
func gap(a, b []int) float64 {
	least := math.Inf(1)
	for _, x := range a {
		for _, y := range b {
			least = min(least, hand.Distance(x, y))
		}
	}
	return least
}

func (p *Pass) TakenOver(r relief) *ReliefDetail {
	return &ReliefDetail{p.Pitches(r.notes), r.free, r.near, Round1(r.mm)}
}

// WayOut is what to do about keys that are too much for one hand.
func (p *Pass) WayOut(hand score.Hand, notes []int) string {
	roll := p.rollWords(p.Rolled(hand, notes))
	r, ok := p.Relief(hand, notes)
	switch {
	case !ok:
		return roll
	case r.near && r.free:
		return fmt.Sprintf("the %s hand is free to take %s; otherwise %s", r.hand, p.PrettyNames(r.notes), roll)
	case r.near:
		return fmt.Sprintf("the %s hand can take %s with what it has down; otherwise %s", r.hand, p.PrettyNames(r.notes), roll)
	case r.free:
		return fmt.Sprintf("%s; the %s hand is free, but too far off to take %s", roll, r.hand, p.PrettyNames(r.notes))
	}
	return fmt.Sprintf("%s; the %s hand has no room for %s", roll, r.hand, p.PrettyNames(r.notes))
}

// Rolled parts notes, low to high, into groups that a hand covers one after
// the other: as many as it can in the last, so that few come early.
func (p *Pass) Rolled(side score.Hand, notes []int) [][]int {
	return p.rolledBy(p.Player.Hand(side), notes)
}

func (p *Pass) rolledBy(h hand.Hand, notes []int) [][]int {
	var groups [][]int
	for len(notes) > 0 {
		first := 0
		for first < len(notes)-1 && !h.Covers(p.Keys(notes[first:])) {
			first++
		}
		groups = append(groups, notes[first:])
		notes = notes[:first]
	}
	slices.Reverse(groups)
	return groups
}

// rollWords says in which order groups come: "strike C2 just before G2 and E3".
func (p *Pass) rollWords(groups [][]int) string {
	words := "strike " + p.PrettyNames(groups[0])
	for _, g := range groups[1:] {
		words += " just before " + p.PrettyNames(g)
	}
	return words
}
