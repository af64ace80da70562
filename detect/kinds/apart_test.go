package kinds

import (
	"testing"

	"hardbars/detect"
	"hardbars/score/scoretest"
)

// What one kind finds, another that is near to it does not.
func TestKindsApart(t *testing.T) {
	for _, c := range []struct {
		name     string
		found    detect.Kind
		notFound []detect.Kind
		piece    scoretest.Piece
	}{
		{"a filled octave has a sixth on top", "octave-run", []detect.Kind{"parallel-sixths"},
			scoretest.Piece{QPM: 60, Right: []string{"C4+E4+C5:1 D4+F4+D5:1 E4+G4+E5:1 r:1"}}},
		{"sixths are no thirds", "parallel-sixths", []detect.Kind{"parallel-thirds"},
			scoretest.Piece{QPM: 75, Right: []string{"r:4"}, Left: []string{"@mf E3+C4:1/2 F3+D4:1/2 G3+E4:1/2 r:5/2"}}},
		{"a chord in reach is not spread", "wide-stretch", []detect.Kind{"spread-chord", "spread-octave"},
			scoretest.Piece{QPM: 60, Right: []string{"C4+D4+G4+D5:4"}}},
		{"a chord out of reach is no stretch", "spread-chord", []detect.Kind{"wide-stretch"},
			scoretest.Piece{QPM: 60, Right: []string{"C4+G4+E5+C6:4"}}},
	} {
		s := c.piece.Score(t)
		if d := Find(c.found); d != nil && len(d.Find(s, detect.DefaultPlayer())) != 1 {
			t.Errorf("%s: %s is found %d times", c.name, c.found, len(d.Find(s, detect.DefaultPlayer())))
		}
		for _, kind := range c.notFound {
			if d := Find(kind); d != nil && len(d.Find(s, detect.DefaultPlayer())) != 0 {
				t.Errorf("%s: found as %s", c.name, kind)
			}
		}
	}
}
