package parallelthirds

import (
	"math"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

func TestParallelThirds(t *testing.T) {
	for _, c := range []struct {
		name, right string
		want        string // first pair, last pair, count@start in quarters
	}{
		{"three", "C5+E5:1 D5+F5:1 E5+G5:1 r:1", "C5+E5 E5+G5 3@0"},
		{"two", "C5+E5:1 D5+F5:1 E5:1 r:1", ""},
		{"major, minor, diminished and augmented", "C5+E5:1 D5+F5:1 C#5+Eb5:1 Eb5+G#5:1", "C5+E5 Eb5+G#5 4@0"},
		{"spelled as a second or a fourth: no third", "F5+G#5:1 C#5+F5:1 D5+F5:1 r:1", ""},
		{"seconds and fourths", "C5+D5:1 D5+E5:1 C5+F5:1 D5+G5:1", ""},
		{"tenths", "C4+E5:1 D4+F5:1 E4+G5:1 r:1", ""},
		{"one pair repeated", "C5+E5:1 C5+E5:1 C5+E5:1 C5+E5:1", ""},
		{"repeats at the ends", "C5+E5:1/2 C5+E5:1/2 D5+F5:1 E5+G5:1 E5+G5:1", "C5+E5 E5+G5 3@1/2"},
		{"a repeat inside", "C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 E5+G5:1/2 F5+A5:1 r:1", "C5+E5 F5+A5 5@0"},
		{"each pair twice", "C5+E5:1/2 C5+E5:1/2 D5+F5:1/2 D5+F5:1/2 E5+G5:1/2 E5+G5:1/2 r:1", ""},
		{"to and fro", "C5+E5:1/2 D5+F5:1/2 C5+E5:1/2 D5+F5:1/2 r:2", "C5+E5 D5+F5 4@0"},
		{"one note moves", "C5+E5:1 C#5+E5:1 C5+E5:1 r:1", "C5+E5 C5+E5 3@0"},
		{"a single note between", "C5+E5:1 D5+F5:1 G5:1/2 E5+G5:1/2 F5+A5:1", ""},
		{"full chords in parallel", "G4+C5+E5:1 A4+D5+F5:1 B4+E5+G5:1 r:1", ""},
		{"octaves with a third inside", "E4+C5+E5:1 F4+D5+F5:1 G4+E5+G5:1 r:1", ""},
		{"not the bottom of fuller chords", "C5+E5+B5:1 D5+F5+C6:1 E5+G5+D6:1 r:1", ""},
		{"a short rest", "C5+E5:1/2 r:1/2 D5+F5:1/2 r:1/2 E5+G5:1 r:1", "C5+E5 E5+G5 3@0"},
		{"a rest of a quarter note", "C5+E5:1/2 D5+F5:1/2 r:1 E5+G5:1 F5+A5:1", ""},
		{"grace notes between", "C5+E5:1 gG5 D5+F5:1 gA5 E5+G5:1 r:1", "C5+E5 E5+G5 3@0"},
		{"a tie is not struck again", "C5+E5:1 D5+F5:1~ D5+F5:2", ""},
		{"across the barline", "r:2 C5+E5:1 D5+F5:1 | E5+G5:1 F5+A5:1 r:2", "C5+E5 F5+A5 4@2"},
		{"two runs", "C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 C6:1/2 E5+G5:1/2 D5+F5:1/2 C5+E5:1/2 r:1/2", "C5+E5 E5+G5 3@0; E5+G5 C5+E5 3@2"},
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

// Attacks of the hand count, whichever voice they are in: two voices make
// thirds together, and a bass note alone comes between.
func TestParallelThirdsOfVoices(t *testing.T) {
	voices := []string{"E5:1 F5:1 G5:1 r:1", "C5:1 D5:1 E5:1 r:1"}
	if found := Detector.Find(scoretest.Piece{QPM: 60, Right: voices, Left: []string{"r:4"}}.Score(t), detect.DefaultPlayer()); len(found) != 1 {
		t.Errorf("thirds of two voices: got %d", len(found))
	}
	voices = []string{"C5+E5:1 D5+F5:1 E5+G5:1 r:1", "r:3/2 G4:1/2 r:2"}
	if found := Detector.Find(scoretest.Piece{QPM: 60, Right: voices, Left: []string{"r:4"}}.Score(t), detect.DefaultPlayer()); len(found) != 0 {
		t.Errorf("a note of another voice between: got %d", len(found))
	}
}

// A voice number that changes in the middle does not end a run: the line goes on.
func TestParallelThirdsAcrossVoiceNumbers(t *testing.T) {
	voices := []string{"C5+E5:1 D5+F5:1 r:2", "r:2 E5+G5:1 F5+A5:1"}
	found := Detector.Find(scoretest.Piece{QPM: 60, Right: voices, Left: []string{"r:4"}}.Score(t), detect.DefaultPlayer())
	if len(found) != 1 || found[0].Detail.(detect.PairsDetail).Count != 4 {
		t.Errorf("got %+v, want one run of four", found)
	}
}

// A melody over repeated thirds makes thirds with them where it enters: that
// is no run of thirds.
func TestParallelThirdsUnderMelody(t *testing.T) {
	found := Detector.Find(scoretest.Piece{
		QPM:   60,
		Right: []string{"E5:1 C5:1 E5:1 C5:1", strings.Repeat("A4+C5:1/2 ", 8)},
		Left:  []string{"r:4"},
	}.Score(t), detect.DefaultPlayer())

	if len(found) != 0 {
		t.Errorf("got %+v", found[0].Detail)
	}
}

// How many, how fast, how high and how soft: four sixteenths at 90 to the
// quarter note are six thirds a second, twice a returning player's three.
func TestParallelThirdsSaysHow(t *testing.T) {
	piece := scoretest.Piece{
		QPM:   90,
		Right: []string{"@pp C5+E5:1/2 D5+F5:1/4 E5+G5:1/4 F5+Ab5:1/4 E5+G5:1/4 r:5/2"},
		Left:  []string{"r:4"},
	}
	o := Detector.Find(piece.Score(t), detect.DefaultPlayer())[0]
	d := o.Detail.(detect.PairsDetail)
	if d.Count != 5 || math.Abs(d.PerSecond-6) > 1e-9 || d.Highest.String() != "Ab5" || d.Dynamic != "pp" {
		t.Errorf("got %+v", d)
	}
	if math.Abs(o.Demand-2) > 1e-9 || !o.Timed || o.Hand != score.Right || o.To != score.R(3, 2) {
		t.Errorf("got %+v", o)
	}
	if want := "5 thirds in a row in the right hand, up to A♭5, pp, at 6.0 a second, where 3.0 is comfortable."; o.Why != want {
		t.Errorf("why %q", o.Why)
	}
	piece.QPM = 45
	if half := Detector.Find(piece.Score(t), detect.DefaultPlayer())[0]; math.Abs(half.Demand-1) > 1e-9 {
		t.Errorf("at half the tempo the demand is %v", half.Demand)
	}
}

// The rate is that of thirds that move: repeats in between make nothing faster.
func TestParallelThirdsRateOfMoves(t *testing.T) {
	o := Detector.Find(scoretest.Piece{
		QPM:   60,
		Right: []string{"C5+E5:1/2 D5+F5:1/2 E5+G5:1/8 E5+G5:1/8 E5+G5:1/4 F5+A5:1/2 r:2"},
		Left:  []string{"r:4"},
	}.Score(t), detect.DefaultPlayer())[0]
	if d := o.Detail.(detect.PairsDetail); math.Abs(d.PerSecond-2) > 1e-9 || d.Count != 6 {
		t.Errorf("got %+v", d)
	}
}

// The same run in another key is the same problem; in another rhythm it is not.
func TestParallelThirdsShape(t *testing.T) {
	shape := func(right string) string {
		return Detector.Find(scoretest.Piece{QPM: 60, Right: []string{right}, Left: []string{"r:4"}}.Score(t), detect.DefaultPlayer())[0].Shape
	}
	base := shape("C5+E5:1 D5+F5:1 C5+E5:1 r:1")
	if other := shape("E4+G#4:1 F#4+A4:1 E4+G#4:1 r:1"); other != base {
		t.Errorf("transposed: %q and %q", base, other)
	}
	if other := shape("C5+E5:1 D5+F5:1/2 C5+E5:1/2 r:2"); other == base {
		t.Errorf("another rhythm: both %q", base)
	}
	if other := shape("C5+E5:1 D5+F5:1 E5+G5:1 r:1"); other == base {
		t.Errorf("another line: both %q", base)
	}
}
