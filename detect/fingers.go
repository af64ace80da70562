package detect

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
func (p Player) PairSpan(h score.Hand, a, b int) (comfortable, practical int) {
	a, b = min(a, b), max(a, b)
	most := WidestPair[a][b]
	comfortable = max(p.scaled(h, most-PastComfort), fiveFingerStep*(b-a))
	return comfortable, max(p.scaled(h, most), comfortable)
}

// scaled is a figure of the model hand for this one.
func (p Player) scaled(h score.Hand, semitones int) int {
	return int(math.Round(Round3(float64(semitones) * p.Reach(h) / modelReach)))
}

// Fingering is which finger takes which key of a chord.
type Fingering struct {
	Fingers []int // of each key, low to high; the thumb is 1, and may take two neighbouring white keys
	Lower   int   // index of the lower of the two neighbouring keys that are furthest past comfort, or nearest to it
	Over    int   // by how many semitones they are; 0 or less: within comfort
}

// Finger gives a hand the easiest fingering of a chord, keys sorted low to
// high: the one whose worst pair of neighbours is least past comfort. Among
// those a thumb on one key goes before a thumb on two, then what keeps the
// worst pair, and then all pairs together, furthest within comfort. ok is
// false for fewer than two keys, and for more than the hand has fingers for.
func (p Player) Finger(h score.Hand, keys []int) (best Fingering, ok bool) {
	var least [4]int
	for _, fingers := range fingerings(h, keys) {
		f, sum := p.judge(h, keys, fingers)
		cost := [4]int{max(f.Over, 0), f.doubled(), f.Over, sum}
		if !ok || slices.Compare(cost[:], least[:]) <= 0 {
			best, least, ok = f, cost, true
		}
	}
	return best, ok
}

// doubled is 1 where the thumb takes two keys, otherwise 0.
func (f Fingering) doubled() int {
	n := 0
	for i := range len(f.Fingers) - 1 {
		if f.Fingers[i] == f.Fingers[i+1] {
			n++
		}
	}
	return n
}

// judge measures one fingering; sum is over all pairs of neighbours.
func (p Player) judge(h score.Hand, keys, fingers []int) (f Fingering, sum int) {
	f = Fingering{Fingers: fingers, Over: math.MinInt}
	for i := range len(keys) - 1 {
		if fingers[i] == fingers[i+1] {
			continue // the thumb on two keys
		}
		comfortable, _ := p.PairSpan(h, fingers[i], fingers[i+1])
		over := keys[i+1] - keys[i] - comfortable
		sum += over
		if over > f.Over {
			f.Lower, f.Over = i, over
		}
	}
	return f, sum
}

// fingerings lists what fingers can take keys, low to high, in order and
// without crossing.
func fingerings(h score.Hand, keys []int) [][]int {
	if len(keys) < 2 || len(keys) > 6 {
		return nil
	}
	var all [][]int
	if len(keys) <= 5 {
		all = handfuls[h][len(keys)]
	}
	if len(keys) < 3 || !thumbTakesTwo(h, keys) {
		return all
	}
	all = slices.Clip(all)
	for _, fingers := range handfuls[h][len(keys)-1] {
		switch {
		case h == score.Right && fingers[0] == 1:
			all = append(all, append([]int{1}, fingers...))
		case h == score.Left && fingers[len(fingers)-1] == 1:
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
