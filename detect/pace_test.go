package detect

import (
	"slices"
	"testing"

	"hardbars/score"
	"hardbars/score/scoretest"
)

func TestPaces(t *testing.T) {
	for _, c := range []struct {
		time                string
		comfortable, target float64 // quarters a minute
		from, to            string
	}{
		{"6/8", 70.5, 99, "dotted quarter = 47", "dotted quarter = 66"},
		{"3/4", 47.9, 66, "quarter = 47", "quarter = 66"},
		{"3/4", 66, 66, "quarter = 66", "quarter = 66"},
		{"3/4", 90, 66, "quarter = 66", "quarter = 66"},
		{"3/4", 0, 66, "quarter = 66", "quarter = 66"},
		{"3/4", 52.7, 52.8, "quarter = 52", "quarter = 53"},
		{"2/2", 120.4, 119.99, "half = 60", "half = 60"},
		// Metronomes go no slower than 30 or 40: a smaller value is counted.
		{"2/2", 50, 120, "quarter = 50", "quarter = 120"},
		{"6/8", 30, 99, "eighth = 60", "eighth = 198"},
		{"4/4", 14, 40, "sixteenth = 56", "sixteenth = 160"},
	} {
		r := Analyze(scoretest.Piece{Time: c.time, QPM: c.target, Right: []string{"C4:1"}}.Score(t), DefaultPlayer(), nil)
		sp := &Spot{Comfortable: c.comfortable, Target: c.target, Occurrences: []Occurrence{{}}}
		from, to := r.Paces(sp)
		if from.String() != c.from || to.String() != c.to {
			t.Errorf("%s, %g to %g: %s to %s, want %s to %s", c.time, c.comfortable, c.target, from, to, c.from, c.to)
		}
		if sp.Comfortable > 0 && sp.Comfortable < sp.Target && from.QPM() > sp.Comfortable {
			t.Errorf("%s is faster than %g quarters", from, sp.Comfortable)
		}
	}
}

// A beat that is no single note value is counted in quarters.
func TestPaceIn(t *testing.T) {
	if got := PaceIn(score.R(5, 8), 60).String(); got != "quarter = 60" {
		t.Errorf("got %s", got)
	}
}

func TestLadder(t *testing.T) {
	quarter := score.Int(1)
	for _, c := range []struct {
		start, target int
		want          []int
	}{
		{30, 46, []int{30, 33, 36, 39, 42, 45, 46}}, {76, 80, []int{76, 80}}, {79, 80, []int{79, 80}}, {80, 80, nil}, {1, 3, []int{1, 2, 3}},
	} {
		var got []int
		for _, p := range Ladder(Pace{quarter, c.start}, Pace{quarter, c.target}) {
			got = append(got, p.PerMinute)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("from %d to %d: %v, want %v", c.start, c.target, got, c.want)
		}
	}
}
