package hand

import (
	"math"
	"slices"

	"hardbars/score"
)

// WidestPair is MaxPrac, the widest practical span of two fingers in
// semitones, the thumb being 1: Parncutt, Sloboda, Clarke, Raekallio & Desain
// 1997. Those of 3-5 and 4-5 are from memory.
var WidestPair = [6][6]int{
	1: {2: 10, 3: 12, 4: 14, 5: 15},
	2: {3: 5, 4: 7, 5: 10},
	3: {4: 4, 5: 7},
	4: {5: 5},
}

// The figures are those of a hand that reaches 15 semitones, MaxPrac of 1-5:
// on the average over the keyboard 205.6 mm. Every other hand is taken to be
// that hand made larger or smaller.
const (
	modelReach     = 15 * OctaveMM / 12
	PastComfort    = 2 // semitones: MaxComf = MaxPrac − 2
	fiveFingerStep = 2 // semitones from finger to finger at rest on white keys
)

// PairSpan is how far apart the keys under two fingers of a hand may be, in
// whole semitones: in comfort, and at the most. Both are the model hand's
// figures times the reach of this hand over that of the model, rounded. Five
// fingers at rest on five white keys are in comfort, however small the hand.
func (h Hand) PairSpan(a, b int) (comfortable, practical int) {
	a, b = min(a, b), max(a, b)
	most := WidestPair[a][b]
	comfortable = max(h.scaled(most-PastComfort), fiveFingerStep*(b-a))
	return comfortable, max(h.scaled(most), comfortable)
}

// scaled is a figure of the model hand for this one, the same on every machine.
func (h Hand) scaled(semitones int) int {
	return int(math.Round(math.Round(1000*float64(semitones)*h.Reach()/modelReach) / 1000))
}

// Grasp is which finger takes which key of a chord.
type Grasp struct {
	Fingers []int // of each key, low to high; the thumb is 1, and may take two neighbouring white keys
	Lower   int   // index of the lower of the two neighbouring keys that are furthest past comfort, or nearest to it
	Over    int   // by how many semitones they are; 0 or less: within comfort
}

// Grasp is the easiest fingering of a chord, keys sorted low to
// high: the one whose worst pair of neighbours is least past comfort. Among
// those a thumb on one key goes before a thumb on two, then what keeps the
// worst pair, and then all pairs together, furthest within comfort. ok is
// false for fewer than two keys, and for more than the hand has fingers for.
func (h Hand) Grasp(keys []int) (best Grasp, ok bool) {
	var least [4]int
	for _, fingers := range h.grasps(keys) {
		f, sum := h.judge(keys, fingers)
		cost := [4]int{max(f.Over, 0), f.doubled(), f.Over, sum}
		if !ok || slices.Compare(cost[:], least[:]) <= 0 {
			best, least, ok = f, cost, true
		}
	}
	return best, ok
}

// doubled is 1 where the thumb takes two keys, otherwise 0.
func (f Grasp) doubled() int {
	n := 0
	for i := range len(f.Fingers) - 1 {
		if f.Fingers[i] == f.Fingers[i+1] {
			n++
		}
	}
	return n
}

// judge measures one fingering; sum is over all pairs of neighbours.
func (h Hand) judge(keys, fingers []int) (f Grasp, sum int) {
	f = Grasp{Fingers: fingers, Over: math.MinInt}
	for i := range len(keys) - 1 {
		if fingers[i] == fingers[i+1] {
			continue // the thumb on two keys
		}
		comfortable, _ := h.PairSpan(fingers[i], fingers[i+1])
		over := keys[i+1] - keys[i] - comfortable
		sum += over
		if over > f.Over {
			f.Lower, f.Over = i, over
		}
	}
	return f, sum
}

// grasps lists which fingers can take keys, low to high, in order and
// without crossing.
func (h Hand) grasps(keys []int) [][]int {
	if len(keys) < 2 || len(keys) > 6 {
		return nil
	}
	var all [][]int
	if len(keys) <= 5 {
		all = handfuls[h.Side][len(keys)]
	}
	if len(keys) < 3 || !h.thumbTakesTwo(keys) {
		return all
	}
	all = slices.Clip(all)
	for _, fingers := range handfuls[h.Side][len(keys)-1] {
		switch {
		case h.Side == score.Right && fingers[0] == 1:
			all = append(all, append([]int{1}, fingers...))
		case h.Side == score.Left && fingers[len(fingers)-1] == 1:
			all = append(all, append(slices.Clip(fingers), 1))
		}
	}
	return all
}

// handfuls are the sets of fingers of a hand, by how many they are, in the
// order in which they lie on the keys.
var handfuls = [2][6][][]int{score.Right: setsOfFingers(false), score.Left: setsOfFingers(true)}

func setsOfFingers(littleFirst bool) (sets [6][][]int) {
	for set := range 1 << 5 {
		var fingers []int
		for i := range 5 {
			if set&(1<<i) != 0 {
				fingers = append(fingers, i+1)
			}
		}
		if littleFirst {
			slices.Reverse(fingers)
		}
		sets[len(fingers)] = append(sets[len(fingers)], fingers)
	}
	return sets
}
