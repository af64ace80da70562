package parallelsixths

import (
	"math"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

func TestParallelSixths(t *testing.T) {
	for _, c := range []struct {
		name, right string
		want        string // first pair, last pair, count@start in quarters
	}{
		{"three", "E4+C5:1 F4+D5:1 G4+E5:1 r:1", "E4+C5 G4+E5 3@0"},
		{"two", "E4+C5:1 F4+D5:1 E4:1 r:1", ""},
		{"major, minor, diminished and augmented", "E4+C5:1 F4+D5:1 E4+Cb5:1 Eb4+C#5:1", "E4+C5 Eb4+C#5 4@0"},
		{"an augmented fifth sounds like a sixth and is none", "C4+G#4:1 D4+A#4:1 E4+B#4:1 r:1", ""},
		{"fifths and sevenths", "C4+G4:1 D4+C5:1 E4+B4:1 F4+E5:1", ""},
		{"the first of three is the top of a filled octave", "C4+E4+C5:1 B3+F4+D5:1 C4+G4+E5:1 r:1", ""},
		{"full chords in parallel", "B3+E4+C5:1 C4+F4+D5:1 D4+G4+E5:1 r:1", ""},
		{"first inversions have a fourth on top", "E4+G4+C5:1 F4+A4+D5:1 G4+B4+E5:1 r:1", ""},
		{"a third between", "E4+C5:1 F4+D5:1 G4+B4:1 A4+F5:1", ""},
		{"one pair repeated", "E4+C5:1 E4+C5:1 E4+C5:1 E4+C5:1", ""},
		{"across the barline", "r:2 E4+C5:1 F4+D5:1 | G4+E5:1 A4+F5:1 r:2", "E4+C5 A4+F5 4@2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, o := range Detector.Find(scoretest.Piece{QPM: 60, Right: []string{c.right}, Left: []string{"C3:4"}}.Score(t), detect.DefaultPlayer()) {
				d := o.Detail.(detect.PairsDetail)
				first, last := d.Pitches[0], d.Pitches[1]
				got = append(got, detecttest.Join(first[:], "+")+" "+detecttest.Join(last[:], "+")+" "+
					score.Int(int64(d.Count)).String()+"@"+o.From.String())
			}
			if strings.Join(got, "; ") != c.want {
				t.Errorf("got %q, want %q", strings.Join(got, "; "), c.want)
			}
		})
	}
}

// Eighths at 75 to the quarter are 2½ sixths a second, what a returning player
// does in comfort.
func TestParallelSixthsDemand(t *testing.T) {
	piece := scoretest.Piece{QPM: 75, Right: []string{"r:4"}, Left: []string{"@mf E3+C4:1/2 F3+D4:1/2 G3+E4:1/2 r:5/2"}}
	o := Detector.Find(piece.Score(t), detect.DefaultPlayer())[0]
	if math.Abs(o.Demand-1) > 1e-9 || !o.Timed || o.Hand != score.Left || o.Label != "3 sixths" {
		t.Errorf("got %+v", o)
	}
	if want := "3 sixths in a row in the left hand, up to E4, mf, at 2.5 a second, where 2.5 is comfortable."; o.Why != want {
		t.Errorf("why %q", o.Why)
	}
	piece.QPM = 150
	if fast := Detector.Find(piece.Score(t), detect.DefaultPlayer())[0]; math.Abs(fast.Demand-2) > 1e-9 {
		t.Errorf("at twice the tempo the demand is %v", fast.Demand)
	}
}
