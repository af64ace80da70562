package rotation

import (
	"math"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

func piece(t *testing.T, qpm float64, left string) *score.Score {
	return scoretest.Piece{QPM: qpm, Left: []string{left}}.Score(t)
}

// Written values do not decide: in twice the values at twice the tempo it is the
// same place, and just as hard.
func TestRotationInAllaBreve(t *testing.T) {
	common := Detector.Find(piece(t, 84, strings.Repeat("C2:1/4 C3:1/4 ", 4)+"r:2"), detect.DefaultPlayer())
	cut := Detector.Find(piece(t, 168, strings.Repeat("C2:1/2 C3:1/2 ", 4)), detect.DefaultPlayer())
	if len(common) != 1 || len(cut) != 1 || math.Abs(common[0].Demand-cut[0].Demand) > 1e-9 {
		t.Errorf("in sixteenths %+v, in eighths %+v", common, cut)
	}
}

// Eight strokes in sixteenths at 105 are seven a second, what a returning player
// does in comfort; forty without a rest count for two ninths more.
func TestRotationDemand(t *testing.T) {
	find := func(pairs int, qpm, mm float64, pair string) detect.Occurrence {
		text := strings.Repeat(pair+" ", pairs)
		return Detector.Find(piece(t, qpm, text+"r:2"), detecttest.WithSpan(mm))[0]
	}
	for _, c := range []struct {
		pairs           int
		qpm, mm, demand float64
		pair            string
	}{
		{4, 105, 201, 1, "C2:1/4 C3:1/4"},
		{4, 210, 201, 2, "C2:1/4 C3:1/4"},
		{20, 105, 201, 1 + 16.0/72, "C2:1/4 C3:1/4"},
		{4, 105, 170, 164.5 / (164.5 - 23.5), "C2:1/4 C3:1/4"}, // who just reaches an octave
	} {
		if o := find(c.pairs, c.qpm, c.mm, c.pair); math.Abs(o.Demand-c.demand) > 1e-9 || !o.Timed {
			t.Errorf("%d pairs at %g with %g mm: demand %g, want %g", c.pairs, c.qpm, c.mm, o.Demand, c.demand)
		}
	}
}
