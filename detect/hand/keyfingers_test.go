package hand_test

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/detect/hand"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// fingersIn lists key fingers by the notes' names, in order.
func fingersIn(t *testing.T, right, left string) string {
	t.Helper()
	s := scoretest.Piece{QPM: 100, Right: []string{right}, Left: []string{left}}.Score(t)
	hands := [2]hand.Hand{{Side: score.Right, SpanMM: 201}, {Side: score.Left, SpanMM: 201}}
	f := hand.Finger(s, hands, func(from, to score.Rat) float64 { return to.Sub(from).Float() * 0.6 })
	key := f.KeyFingers(s, 0, len(s.Bars)-1)
	var all []string
	for n := range s.Notes {
		if finger, told := key[n]; told {
			all = append(all, fmt.Sprint(s.Notes[n].Pitch, ":", finger))
		}
	}
	return strings.Join(all, " ")
}

func TestKeyFingers(t *testing.T) {
	for _, c := range []struct{ name, right, left, want string }{
		{"a scale: its beginning and both sides of each crossing",
			"C4:1/4 D4:1/4 E4:1/4 F4:1/4 G4:1/4 A4:1/4 B4:1/4 C5:1/4 D5:1/4 E5:1/4 F5:1/4 G5:1/4 A5:1/4 B5:1/4 C6:1/2", "r:4",
			"C4:1 E4:3 F4:1 B4:4 C5:1 E5:3 F5:1"},
		{"five fingers over five keys: the beginning", "C4:1 D4:1 E4:1 F4:1 | G4:1 F4:1 E4:1 D4:1", "r:4", "C4:1"},
		{"a figure that comes again: once", "r:4", "C3:1/2 G3:1/2 E3:1/2 G3:1/2 C3:1/2 G3:1/2 E3:1/2 G3:1/2", "C3:5"},
	} {
		if got := fingersIn(t, c.right, c.left); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// Fingers of the score are not told again, and all fingers are those of every
// other note.
func TestPrintedFingersAreNotSuggested(t *testing.T) {
	s := scoretest.Piece{QPM: 100, Right: []string{"C4:1 D4:1 E4:1 F4:1"}, Left: []string{"r:4"}}.Score(t)
	s.Notes[0].Fingering = "2"
	hands := [2]hand.Hand{{Side: score.Right, SpanMM: 201}, {Side: score.Left, SpanMM: 201}}
	f := hand.Finger(s, hands, func(from, to score.Rat) float64 { return to.Sub(from).Float() })
	if key := f.KeyFingers(s, 0, 0); key[0] != 0 {
		t.Errorf("the printed finger is suggested: %v", key)
	}
	if all := f.AllFingers(s, 0, 0); len(all) != 3 || all[0] != 0 {
		t.Errorf("all fingers: %v", all)
	}
}
