package melodyoveraccompaniment

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score/scoretest"
)

// melodiesIn describes what sings: "upper E5 D5@0".
func melodiesIn(found []detect.Occurrence) string {
	var all []string
	for _, o := range found {
		d := o.Detail.(Detail)
		all = append(all, fmt.Sprintf("%s %s@%s", d.Voice, detecttest.Join(d.Melody, " "), o.From))
	}
	return strings.Join(all, ", ")
}

func TestMelodies(t *testing.T) {
	const eighths = "C4:1/2 G4:1/2 C4:1/2 G4:1/2 "
	for _, c := range []struct {
		name   string
		voices []string
		want   string
	}{
		{"half notes over eighths", []string{"E5:2 D5:2", eighths + eighths}, "upper E5 D5@0"},
		{"eighths that begin after the melody", []string{"E5:2 D5:2", "r:1/2 C4:1/2 E4:1/2 G4:1/2 r:1/2 B3:1/2 D4:1/2 G4:1/2"}, "upper E5 D5@0"},
		{"in one voice with the melody's chord", []string{"G4+E5:2 F4+D5:2", "r:1/2 C4:1/2 D4:1/2 C4:1/2 r:1/2 C4:1/2 D4:1/2 C4:1/2"}, "upper E5 D5@0"},
		{"one note only", []string{"E5:4", eighths + eighths}, ""},
		{"one note again and again", []string{"E5:2 E5:2", eighths + eighths}, ""},
		{"one quicker note under each", []string{"E5:2 D5:2", "r:1 C4:1 r:1 C4:1"}, ""},
		{"above and below the melody", []string{"E5:2 D5:2", "C4:1/2 G5:1/2 C4:1/2 G5:1/2 C4:1/2 G5:1/2 C4:1/2 G5:1/2"}, ""},
		{"as slow as the melody", []string{"E5:2 D5:2", "r:1 C4:2 C4:1"}, ""},
		{"a rest of a beat parts it", []string{"E5:1 r:1 D5:1 r:1", "C4:1/2 G4:1/2 r:1 C4:1/2 G4:1/2 r:1"}, ""},
		{"a shorter rest does not", []string{"E5:3/2 r:1/2 D5:2", eighths + eighths}, "upper E5 D5@0"},
		{"no accompaniment", []string{"E5:2 D5:2"}, ""},
		{"eighths over three low notes that step", []string{"C4:1 D4:1 E4:2", "G4:1/2 E5:1/2 G4:1/2 E5:1/2 G4:1/2 E5:1/2 r:1"}, "lower C4 D4 E4@0"},
		{"over low notes a fourth apart", []string{"C4:1 G3:1 C4:2", "G4:1/2 E5:1/2 G4:1/2 B4:1/2 G4:1/2 E5:1/2 r:1"}, "lower C4 G3 C4@0"},
		{"over basses a fifth apart", []string{"C4:1 G4:1 C4:2", "A4:1/2 E5:1/2 A4:1/2 E5:1/2 A4:1/2 E5:1/2 r:1"}, ""},
		{"over two low notes", []string{"C4:2 D4:2", "G4:1/2 E5:1/2 G4:1/2 E5:1/2 G4:1/2 E5:1/2 r:1"}, ""},
		{"more than a tenth above", []string{"C4:1 D4:1 E4:2", "G4:1/2 A5:1/2 G4:1/2 A5:1/2 G4:1/2 A5:1/2 r:1"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := Detector.Find(scoretest.Piece{QPM: 60, Right: c.voices, Left: []string{"r:4"}}.Score(t), detect.DefaultPlayer())
			if got := melodiesIn(found); got != c.want {
				t.Errorf("found %q, want %q", got, c.want)
			}
		})
	}
}

// Double notes sing where one slur makes them a line whose top moves over notes
// that do not go along in one interval.
func TestSingingTops(t *testing.T) {
	for _, c := range []struct {
		name, right      string
		slurFrom, slurTo int // attacks; the same for no slur
		want             string
	}{
		{"a line", "C5+E5:1 B4+F5:1 C5+G5:1 A4+F5:1", 0, 3, "upper E5 F5 G5 F5@0"},
		{"without a slur", "C5+E5:1 B4+F5:1 C5+G5:1 A4+F5:1", 0, 0, ""},
		{"the slur ends too soon", "C5+E5:1 B4+F5:1 C5+G5:1 A4+F5:1", 0, 2, ""},
		{"thirds are a run of thirds", "C5+E5:1 D5+F5:1 E5+G5:1 D5+F5:1", 0, 3, ""},
		{"the top stays", "C5+G5:1 D5+G5:1 E5+G5:1 D5+G5:1", 0, 3, ""},
		{"single notes between", "C5+E5:1/2 A5:1/2 B4+F5:1/2 A5:1/2 C5+G5:1/2 A5:1/2 A4+F5:1", 0, 6, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := scoretest.Piece{QPM: 60, Right: []string{c.right}, Left: []string{"r:4"}}.Score(t)
			if events := detect.NewPass(s, detect.DefaultPlayer()).Events[0]; c.slurFrom < c.slurTo {
				s.Notes[events[c.slurFrom].Struck[0]].SlurStart = 1
				s.Notes[events[c.slurTo].Struck[0]].SlurEnd = 1
			}
			if got := melodiesIn(Detector.Find(s, detect.DefaultPlayer())); got != c.want {
				t.Errorf("found %q, want %q", got, c.want)
			}
		})
	}
}

// Eighths at 90 are 3 a second, what is comfortable for a returning player
// beside a melody. A key held besides takes a finger.
func TestMelodyDemand(t *testing.T) {
	found := Detector.Find(scoretest.Piece{
		QPM: 90, Left: []string{"r:4"},
		Right: []string{"@p E5:2 D5:2", "A4:1/2 G4:1/2 A4:1/2 G4:1/2 A4:1/2 G4:1/2 A4:1/2 G4:1/2", "E4:4"},
	}.Score(t), detect.DefaultPlayer())

	if len(found) != 1 {
		t.Fatalf("found %d places, want 1", len(found))
	}
	if o, d := found[0], found[0].Detail.(Detail); math.Abs(o.Demand-1) > 1e-9 || !o.Timed || d.FingersLeft != 3 || d.Dynamic != "p" {
		t.Errorf("demand %g, %+v; want 1 and 3 fingers left at p", o.Demand, d)
	}
}
