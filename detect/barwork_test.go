package detect

import (
	"math"
	"strings"
	"testing"

	"hardbars/score/scoretest"
)

// workOf is the plain work of the first bar of a piece at quarter = 60, over
// what is comfortable for the default player.
func workOf(t *testing.T, right, left string) float64 {
	t.Helper()
	return Analyze(scoretest.Piece{QPM: 60, Right: strings.Split(right, " & "), Left: []string{left}}.Score(t), DefaultPlayer(), nil).BarDemand[0]
}

// TestPlainWork works the figure out on paper: bars of four seconds.
func TestPlainWork(t *testing.T) {
	still := math.Pow(1.0/3, 0.4) // both hands stay where they are
	octave := math.Pow(2.0/3, 0.4)
	way := 164.5 / 1000 // metres to the octave, in a second
	for _, c := range []struct {
		name, right, left string
		want              float64
	}{
		{"one note", "C5:4", "r:4", still},
		{"a chord of three", "C5+E5+C6:4", "r:4", 9 * octave},
		{"both hands", "C5:4", "C3:4", 2 * still},
		{"an octave's way", "C5:1 C6:3", "r:4", (1 + 1 + way) * octave},
		{"with a chord", "C5+C6:1 C5+E5+C6:3", "r:4", (4 + 9 + 2) * octave},
		{"the key again", "C5:1 C5:3", "r:4", (1 + 1 + 1) * still},
		{"another finger holds", "C5:4 & r:2 D5:2", "r:4", (1 + 1 + 0.5 + 0.0235/2) * math.Pow((1+1.0/7)/3, 0.4)},
		{"two voices on a key", "C5:4 & C5:2 r:2", "r:4", 4 * still},
		{"forte", "@f C5:4", "r:4", 1.1 * still},
		{"pianissimo", "@pp C5:4", "r:4", still / 1.21},
	} {
		if got, want := workOf(t, c.right, c.left), c.want/4/12; math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %g, want %g", c.name, got, want)
		}
	}
}

// TestPlainWorkComfort plays what WorkRate is said to be: there the work is 1
// where the hands cover an octave each.
func TestPlainWorkComfort(t *testing.T) {
	p := scoretest.Piece{QPM: 90, Right: []string{"C5+G5:1 C5+C6:1 D5+A5:1 B4+F5:1"}, Left: []string{"C3+G3:1 E3+C4:1 D3+A3:1 G3+D4:1"}}
	if got := Analyze(p.Score(t), DefaultPlayer(), nil).BarDemand[0]; math.Abs(got-1) > 0.15 {
		t.Errorf("four voices in chords at 90: %g, want about 1", got)
	}
}

// TestPlacesAndWork joins the two at a right angle.
func TestPlacesAndWork(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Right: []string{"C5+E5:1 D5+F5:1 E5+G5:1 F5+A5:1 | r:4"}, Left: []string{"r:4 | C3:4"}}.Score(t)
	work := Analyze(s, DefaultPlayer(), nil).BarDemand
	place := &Detector{Kind: "leap", Run: func(p *Pass) { p.Report(in(0, 0, "a", 1.5)) }}
	got := Analyze(s, DefaultPlayer(), []*Detector{place}).BarDemand
	if math.Abs(got[0]-math.Hypot(1.5, work[0])) > 1e-12 || got[1] != work[1] || work[1] == 0 {
		t.Errorf("bars %v with a place of 1.5 in the first, %v without", got, work)
	}
}
