package kinds_test

import (
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score/scoretest"
)

// What a returning amateur plays in comfort, in quarter notes a minute, figure by
// figure: the tempo of the hardest place of any kind in it must lie within what
// teachers expect. Common practice throughout.
func TestComfortableYardsticks(t *testing.T) {
	for _, kind := range []detect.Kind{"leap", "fast-run", "parallel-thirds", "octave-run", "rotation", "repeated-notes", "ornament"} {
		if kinds.Find(kind) == nil {
			return // the figures are those of all of these together
		}
	}
	two := func(bar string) string { return bar + " | " + bar }
	for _, c := range []struct {
		name, time  string
		left        string
		least, most float64
	}{
		{"waltz bass, octave and a third from bass to chord", "3/4", two("C2:1 E3+G3+C4:1 E3+G3+C4:1"), 90, 190},
		{"waltz bass within the octave", "3/4", two("C3:1 E3+G3:1 E3+G3:1"), 150, 0},
		{"stride bass, two octaves in quarters", "4/4", two("C2:1 E4+G4:1 G2:1 E4+G4:1"), 70, 150},
		{"Alberti bass in sixteenths", "4/4", two(strings.Repeat("C3:1/4 G3:1/4 E3:1/4 G3:1/4 ", 4)), 88, 144},
		{"Alberti bass in eighths", "4/4", two(strings.Repeat("C3:1/2 G3:1/2 E3:1/2 G3:1/2 ", 2)), 176, 288},
		{"scale in sixteenths", "4/4", "C2:1/4 D2:1/4 E2:1/4 F2:1/4 G2:1/4 A2:1/4 B2:1/4 C3:1/4 D3:1/4 E3:1/4 F3:1/4 G3:1/4 A3:1/4 B3:1/4 C4:1/4 D4:1/4", 80, 120},
		{"broken arpeggio over three octaves in sixteenths", "4/4", "C2:1/4 E2:1/4 G2:1/4 C3:1/4 E3:1/4 G3:1/4 C4:1/4 E4:1/4 G4:1/4 E4:1/4 C4:1/4 G3:1/4 E3:1/4 C3:1/4 G2:1/4 E2:1/4", 66, 120},
		{"octave tremolo in sixteenths", "4/4", two(strings.Repeat("C2:1/4 C3:1/4 ", 8)), 76, 120},
		{"broken octaves that climb, in sixteenths", "4/4", "C2:1/4 C3:1/4 D2:1/4 D3:1/4 E2:1/4 E3:1/4 F2:1/4 F3:1/4 G2:1/4 G3:1/4 A2:1/4 A3:1/4 B2:1/4 B3:1/4 C3:1/4 C4:1/4", 50, 100},
		{"octaves in eighths", "4/4", "C2+C3:1/2 D2+D3:1/2 E2+E3:1/2 F2+F3:1/2 G2+G3:1/2 A2+A3:1/2 B2+B3:1/2 C3+C4:1/2", 50, 90},
		{"thirds in eighths", "4/4", "C3+E3:1/2 D3+F3:1/2 E3+G3:1/2 F3+A3:1/2 G3+B3:1/2 A3+C4:1/2 B3+D4:1/2 C4+E4:1/2", 63, 108},
		{"trill written out in sixteenths", "4/4", strings.Repeat("C4:1/4 D4:1/4 ", 8), 90, 140},
		{"nocturne bass, a tenth and back, in eighths", "6/8", two("C2:1/2 G2:1/2 E3:1/2 G3:1/2 E3:1/2 G2:1/2"), 66, 0},
	} {
		s := scoretest.Piece{Time: c.time, QPM: 100, Right: []string{}, Left: []string{c.left}}.Score(t)
		r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
		comfortable, hardest := 0.0, ""
		for _, sp := range r.Spots {
			if sp.Comfortable > 0 && (comfortable == 0 || sp.Comfortable < comfortable) {
				comfortable, hardest = sp.Comfortable, string(sp.Kind)+": "+sp.Why
			}
		}
		if comfortable > 0 && comfortable < c.least || c.most > 0 && (comfortable == 0 || comfortable > c.most) {
			t.Errorf("%s: comfortable at quarter = %.0f, want %g to %g (%s)", c.name, comfortable, c.least, c.most, hardest)
		}
	}
}
