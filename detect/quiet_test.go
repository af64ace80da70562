package detect

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/score"
)

func TestQuietPlaces(t *testing.T) {
	softRun := in(3, 8, "s", 0.3)
	for _, c := range []struct {
		name     string
		found    []Occurrence
		all      string
		loudOnly string
	}{
		{"well inside comfort", []Occurrence{in(3, 3, "a", 0.3)}, "3 A 0.3", ""},
		{"at the threshold it is loud", []Occurrence{in(3, 3, "a", 0.33)}, "3 A 0.33", "3 A 0.33"},
		{"no rounding below it", []Occurrence{in(3, 3, "a", 0.32999)}, "3 A 0.33", "3 A 0.33"},
		{"the quiet come last though they return", []Occurrence{in(3, 3, "q", 0.32), in(9, 9, "q", 0.32), in(15, 15, "q", 0.32), in(21, 21, "a", 0.33)},
			"21 A 0.33, 3 B 0.32, 9 B 0.32, 15 B 0.32", "21 A 0.33"},
		{"quiet edges do not stretch a spot", []Occurrence{in(3, 3, "q", 0.3), in(4, 4, "a", 1), in(5, 5, "q", 0.3)},
			"4 A 1, 3–5 B 0.3", "4 A 1"},
		{"what lies between belongs", []Occurrence{in(4, 4, "a", 1), in(5, 5, "q", 0.3), in(6, 6, "a", 1)}, "4–6 A 1", "4–6 A 1"},
		{"quiet ones bridge no gap", []Occurrence{in(4, 4, "a", 1), in(5, 5, "q", 0.3), in(6, 6, "q", 0.3), in(7, 7, "a", 1)},
			"4 A 1, 7 A 1, 5–6 B 0.3", "4 A 1, 7 A 1"},
		{"a quiet run with something hard inside", []Occurrence{softRun, in(5, 5, "a", 1)}, "5 A 1, 3–8 B 0.3", "5 A 1"},
	} {
		r := reportOf(c.found...)
		if got := spotsIn(r); got != c.all {
			t.Errorf("%s: got %q, want %q", c.name, got, c.all)
		}
		loud := r.WithoutQuiet()
		if got := spotsIn(loud); got != c.loudOnly || loud.LeftOut != len(r.Spots)-len(loud.Spots) {
			t.Errorf("%s: loud are %q with %d left out, want %q", c.name, got, loud.LeftOut, c.loudOnly)
		}
		for i := range loud.Spots {
			if loud.Spots[i].ID != fmt.Sprint(i+1) {
				t.Errorf("%s: the loud ones are not numbered without gaps: %s is at %d", c.name, loud.Spots[i].ID, i+1)
			}
		}
		if again := loud.WithoutQuiet(); again.LeftOut != loud.LeftOut || spotsIn(again) != spotsIn(loud) {
			t.Errorf("%s: leaving out twice is not the same", c.name)
		}
	}
}

// A quiet spot of another hand or kind belongs to no spot of this one.
func TestQuietInAnotherHand(t *testing.T) {
	left, other := in(5, 5, "q", 0.3), in(5, 5, "q", 0.3)
	left.Hand, other.Kind = score.Left, "spread-octave"
	r := reportOf(in(4, 6, "a", 1), left, other)
	if got, want := spotsIn(r), "4–6 A 1, 5 B 0.3, 5 C 0.3"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A family that has loud members and quiet ones names the loud ones only, when
// only they are shown.
func TestFamiliesWithoutQuiet(t *testing.T) {
	r := reportOf(in(3, 3, "a", 1), in(9, 9, "a", 0.3), in(15, 15, "a", 2), in(21, 21, "q", 0.2))
	if got, want := familiesIn(r), "A: 2 3 1, B: 4"; got != want {
		t.Errorf("all: %q, want %q", got, want)
	}
	if got, want := familiesIn(r.WithoutQuiet()), "A: 2 1"; got != want {
		t.Errorf("loud: %q, want %q", got, want)
	}
	if got, want := familiesIn(r), "A: 2 3 1, B: 4"; got != want {
		t.Errorf("the whole report was changed: %q, want %q", got, want)
	}
}

func familiesIn(r *Report) string {
	var all []string
	for _, f := range r.Families {
		all = append(all, f.ID+": "+strings.Join(f.Spots, " "))
	}
	return strings.Join(all, ", ")
}
