package hand

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"hardbars/score"
)

// shareChords lets the other hand help with chords that are too wide or have too
// many keys for one, and have no arpeggio sign, where it is near and free: as many
// notes as need be, from the side on which it lies.
func (a *assigner) shareChords() {
	for i := range a.steps {
		for _, hand := range []score.Hand{score.Left, score.Right} {
			if !a.hands[hand].Covers(a.strikes(i, hand)) && !a.spreads(i, hand) {
				a.shareChord(i, hand)
			}
		}
	}
}

func (a *assigner) shareChord(step int, hand score.Hand) {
	chord := a.inReach(step, hand)
	for n := 1; n < len(chord); n++ {
		given, kept := a.keys(chord[:n]), a.keys(chord[n:])
		if slices.ContainsFunc(chord[:n], func(n int) bool { return a.fixed[n] }) {
			return
		}
		if a.hands[hand].Covers(kept) && a.wanted(step, hand) && a.canHelp(1-hand, step, given) && a.inOrder(step, hand, given) {
			a.give(chord[:n], 1-hand, cannotTake(hand))
			return
		}
	}
}

// wanted reports whether a chord is worth a change of hands: where the other hand
// strikes as well, a tenth is left as it is written, for many hands take it and
// others roll it. Common practice.
func (a *assigner) wanted(step int, hand score.Hand) bool {
	const tenth = 9 * WhiteWidth
	chord := a.strikes(step, hand)
	return len(a.strikes(step, 1-hand)) == 0 || len(chord) > 5 || Extent(chord) > tenth
}

// inReach are the notes that a hand strikes, those nearest to the other hand first.
func (a *assigner) inReach(step int, hand score.Hand) []int {
	var chord []int
	for _, n := range a.steps[step].struck {
		if a.Notes[n].Hand == hand {
			chord = append(chord, n)
		}
	}
	sort.SliceStable(chord, func(i, j int) bool {
		if hand == score.Left {
			i, j = j, i
		}
		return a.key(chord[i]) < a.key(chord[j])
	})
	return chord
}

// inOrder reports whether the keys that a hand gives away lie on the other hand's
// side, or at least within what that hand strikes.
func (a *assigner) inOrder(step int, hand score.Hand, given []int) bool {
	others := a.strikes(step, 1-hand)
	switch {
	case len(others) == 0:
		return true
	case hand == score.Left:
		return given[0] <= others[len(others)-1]
	}
	return others[0] <= given[len(given)-1]
}

// Twice the rate of practised aimed movement, 10 bits a second (Fitts 1954, as
// tabulated by MacKenzie 1991), is more than any hand can; shared is what comes near.
const leapBits = 16.0

// way is how far a hand travels between two grasps beyond what it covers from
// where it lies; 0 where it lies over both, or moves by less than leastWay.
func (a *assigner) way(hand score.Hand, from, to []int) float64 {
	moves := min(Distance(from[0], to[0]), Distance(from[len(from)-1], to[len(to)-1]))
	if moves < leastWay {
		return 0
	}
	return min(moves, max(0, Extent(union(from, to))-a.hands[hand].Reach()))
}

// leastWay is what is worth a change of hands, in mm: more than a fourth. Common practice.
const leastWay = 4 * WhiteWidth

// bits is the demand of the way, in bits a second.
func bits(way, seconds float64) float64 {
	if way < WhiteWidth/2 || seconds <= 0 {
		return 0
	}
	return math.Log2(2*way/WhiteWidth) / seconds
}

// shareLeaps lets an idle hand take what the other could only reach by a jump
// that is faster than hands are.
func (a *assigner) shareLeaps() {
	for i := range a.steps {
		for _, hand := range []score.Hand{score.Left, score.Right} {
			to := a.strikes(i, hand)
			prev := a.nextStep(i, -1, hand)
			if len(to) == 0 || prev < 0 {
				continue
			}
			if a.leap(prev, i, hand) < leapBits {
				continue
			}
			a.shareLeap(prev, i, hand)
		}
	}
}

func (a *assigner) leap(from, to int, hand score.Hand) float64 {
	return bits(a.way(hand, a.strikes(from, hand), a.strikes(to, hand)), a.seconds(from, to))
}

// shareLeap gives what stands after a leap to the other hand, up to where the
// hand that leaps has come back or is there in time; or else what stands before it.
func (a *assigner) shareLeap(from, to int, hand score.Hand) {
	if notes, ok := a.beyond(from, to, 1, hand); ok {
		a.giveLeap(notes, from, to, hand)
	} else if notes, ok := a.beyond(to, from, -1, hand); ok {
		a.giveLeap(notes, from, to, hand)
	}
}

func (a *assigner) giveLeap(notes []int, from, to int, hand score.Hand) {
	seconds := a.seconds(from, to)
	way := a.way(hand, a.strikes(from, hand), a.strikes(to, hand))
	a.give(notes, 1-hand, fmt.Sprintf("the %s would leap %.0f mm in %.2f s, and the other is free", hand.Name(), way, seconds))
}

// mostShared is how many strokes an idle hand takes from the other at once;
// whatever goes on for longer was meant for the hand it is written for.
const mostShared = 8

// beyond are the notes from one side of a leap on that the other hand can take:
// until the hand that leaps has time to come, or is there again. The other hand
// must be entirely free meanwhile, and must not leap itself.
func (a *assigner) beyond(stay, go1, way int, hand score.Hand) ([]int, bool) {
	other := 1 - hand
	var notes []int
	var reach []int
	last := stay
	for i, count := go1, 0; i >= 0 && i < len(a.steps); i += way {
		keys := a.strikes(i, hand)
		if len(keys) > 0 {
			if count > 0 && bits(a.way(hand, a.strikes(stay, hand), keys), a.seconds(min(stay, i), max(stay, i))) < leapBits/2 {
				break
			}
			count++
			if count > mostShared {
				return nil, false
			}
		}
		if len(a.strikes(i, other)) > 0 || len(a.keysOf(a.steps[i].held, other)) > 0 {
			return nil, false
		}
		for _, n := range a.steps[i].struck {
			if a.Notes[n].Hand == hand {
				if a.fixed[n] {
					return nil, false
				}
				notes = append(notes, n)
			}
		}
		reach = union(reach, keys)
		last = i
	}
	if len(notes) == 0 || !a.hands[other].Covers(firstFive(reach)) || Extent(reach) > a.hands[other].Reach() {
		return nil, false
	}
	return notes, a.canCome(min(go1, last), max(go1, last), reach, other) && a.onItsSide(stay, reach, hand)
}

// firstFive lets a hand that plays its keys one after the other be judged by
// its reach alone.
func firstFive(keys []int) []int {
	if len(keys) > 5 {
		return []int{keys[0], keys[len(keys)-1]}
	}
	return keys
}

// canCome reports whether a hand has time to come to keys and to go back.
func (a *assigner) canCome(first, last int, keys []int, hand score.Hand) bool {
	if prev := a.nextStep(first, -1, hand); prev >= 0 && bits(a.way(hand, a.strikes(prev, hand), keys), a.seconds(prev, first)) > leapBits/2 {
		return false
	}
	next := a.nextStep(last, 1, hand)
	return next < 0 || bits(a.way(hand, keys, a.strikes(next, hand)), a.seconds(last, next)) <= leapBits/2
}

// onItsSide reports whether keys lie on the other hand's side of those that a
// hand keeps: hands that help do not cross.
func (a *assigner) onItsSide(stay int, keys []int, hand score.Hand) bool {
	kept := a.strikes(stay, hand)
	if hand == score.Left {
		return keys[0] > kept[len(kept)-1]
	}
	return keys[len(keys)-1] < kept[0]
}

// sayImpossible says once where one hand is asked for what no hand of its span
// can take, and nobody helps.
func (a *assigner) sayImpossible() {
	var bars []int
	for i := range a.steps {
		for _, hand := range []score.Hand{score.Right, score.Left} {
			if !a.hands[hand].Covers(a.strikes(i, hand)) && !a.spreads(i, hand) {
				bars = append(bars, a.BarAt(a.steps[i].at))
			}
		}
	}
	if len(bars) > 0 {
		a.say(bars, "no hand of this span can take a chord at once: share, roll or leave out")
	}
}
