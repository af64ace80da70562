package hand

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hardbars/score"
)

// The finger-pair spans of Parncutt, Sloboda, Clarke, Raekallio & Desain 1997,
// "An Ergonomic Model of Keyboard Fingering for Melodic Fragments", Music
// Perception 14(4): MaxComf and MaxPrac in semitones. The rows of 3-5 and 4-5
// are from memory.
var parncutt = []struct{ a, b, maxComf, maxPrac int }{
	{1, 2, 8, 10}, {1, 3, 10, 12}, {1, 4, 12, 14}, {1, 5, 13, 15},
	{2, 3, 3, 5}, {2, 4, 5, 7}, {2, 5, 8, 10},
	{3, 4, 2, 4}, {3, 5, 5, 7},
	{4, 5, 3, 5},
}

// modelHand reaches 15 semitones, on the average 15 twelfths of the 164.5 mm
// of an octave: by Boyle, Boyle & Booker 2015 that takes a span of 210 mm, a
// little less than the 216 mm of a tenth.
func modelHand(side score.Hand) Hand { return Hand{side, 170 + 3*164.5/12*23/23.5} }

func TestPairSpanOfTheModelHand(t *testing.T) {
	for _, c := range parncutt {
		for _, side := range []score.Hand{score.Right, score.Left} {
			comfortable, practical := modelHand(side).PairSpan(c.a, c.b)
			// Five fingers at rest on white keys may be as far apart as 2 semitones a step.
			if want := max(c.maxComf, 2*(c.b-c.a)); comfortable != want || practical != c.maxPrac {
				t.Errorf("%s %d-%d: comfortable %d, practical %d, want %d and %d", side, c.a, c.b, comfortable, practical, want, c.maxPrac)
			}
			if c2, p2 := modelHand(side).PairSpan(c.b, c.a); c2 != comfortable || p2 != practical {
				t.Errorf("%d-%d and %d-%d differ", c.a, c.b, c.b, c.a)
			}
		}
	}
}

// Every other hand is the model's made larger or smaller, in whole semitones,
// and no smaller than five fingers on five white keys.
func TestPairSpanScales(t *testing.T) {
	for _, c := range parncutt {
		lastComfortable, lastPractical := 0, 0
		for mm := 100.0; mm <= 320; mm++ {
			h := Hand{score.Right, mm}
			comfortable, practical := h.PairSpan(c.a, c.b)
			ratio := h.Reach() / (15 * 164.5 / 12)
			if exact := ratio * float64(c.maxComf); math.Abs(float64(comfortable)-exact) > 0.5+1e-3 && comfortable != 2*(c.b-c.a) {
				t.Errorf("%d-%d at %g mm: %d in comfort, exactly %g", c.a, c.b, mm, comfortable, exact)
			}
			if comfortable < lastComfortable || practical < lastPractical || practical < comfortable || comfortable < 2*(c.b-c.a) {
				t.Errorf("%d-%d at %g mm: %d and %d, a smaller hand %d and %d", c.a, c.b, mm, comfortable, practical, lastComfortable, lastPractical)
			}
			lastComfortable, lastPractical = comfortable, practical
		}
	}
}

// What pianists take these chords with: common practice. The left hand mirrors.
func TestGrasp(t *testing.T) {
	for _, c := range []struct {
		hand         score.Hand
		keys, finger string
		over         int
	}{
		{score.Right, "60 64 67 72", "1 2 3 5", 0}, // C E G C
		{score.Right, "60 65 69 72", "1 2 4 5", 0}, // C F A C
		{score.Right, "60 67 74", "1 2 5", -1},     // C G D
		{score.Right, "62 65 69 74", "1 2 3 5", 1}, // D F A D: 4 semitones from 2 to 3
		{score.Left, "60 65 69 72", "5 3 2 1", 1},  // C F A C: F and A under 3 and 2
		{score.Left, "60 63 67 72", "5 4 2 1", 0},  // C E♭ G C
		{score.Right, "60 62 64 65 67", "1 2 3 4 5", -1},
		{score.Right, "60 62 67 72", "1 1 2 5", -3},          // C D G C: the thumb on C and D
		{score.Right, "60 62 64 66 69 72", "1 1 2 3 4 5", 1}, // the thumb on C and D; 3 semitones from 3 to 4
		{score.Right, "60 74", "1 5", 1},
	} {
		var keys []int
		for _, word := range strings.Fields(c.keys) {
			var k int
			fmt.Sscan(word, &k)
			keys = append(keys, k)
		}
		f, ok := modelHand(c.hand).Grasp(keys)
		if got := strings.Trim(fmt.Sprint(f.Fingers), "[]"); !ok || got != c.finger || f.Over != c.over {
			t.Errorf("%s %s: fingers %s, %d over, %t; want %s, %d over", c.hand, c.keys, got, f.Over, ok, c.finger, c.over)
		}
	}
	for _, keys := range [][]int{{60}, {60, 61, 62, 63, 64, 65}, {60, 62, 64, 65, 67, 69, 71}} {
		if f, ok := modelHand(score.Right).Grasp(keys); ok {
			t.Errorf("%v: fingers %v", keys, f.Fingers)
		}
	}
}

// No fingering is less past comfort than the one found: against every way to put fingers
// on keys, counted out in full.
func TestGraspIsBest(t *testing.T) {
	h := Hand{score.Right, 201}
	for a := 61; a < 66; a++ {
		for b := a + 1; b < 72; b++ {
			for c := b + 1; c < 76; c++ {
				keys := []int{60, a, b, c}
				least := 100
				for skip := 1; skip <= 5; skip++ {
					var fingers []int
					for finger := 1; finger <= 5; finger++ {
						if finger != skip {
							fingers = append(fingers, finger)
						}
					}
					worst := -100
					for i := range 3 {
						comfortable, _ := h.PairSpan(fingers[i], fingers[i+1])
						worst = max(worst, keys[i+1]-keys[i]-comfortable)
					}
					least = min(least, worst)
				}
				if a == 62 { // C and D under the thumb, three fingers of the other four
					for _, fingers := range [][]int{{1, 2, 3}, {1, 2, 4}, {1, 2, 5}, {1, 3, 4}, {1, 3, 5}, {1, 4, 5}} {
						worst := -100
						for i := range 2 {
							comfortable, _ := h.PairSpan(fingers[i], fingers[i+1])
							worst = max(worst, keys[i+2]-keys[i+1]-comfortable)
						}
						least = min(least, worst)
					}
				}
				if f, _ := h.Grasp(keys); max(f.Over, 0) != max(least, 0) {
					t.Fatalf("%v: fingers %v are %d past comfort, the best are %d", keys, f.Fingers, f.Over, least)
				}
			}
		}
	}
}
