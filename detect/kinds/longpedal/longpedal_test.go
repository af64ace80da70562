package longpedal

import (
	"fmt"
	"math/bits"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score/scoretest"
)

// longPedalsIn describes long pedals: "2 harmonies, middle: C4–D4; lift 1+2".
func longPedalsIn(r *detect.Report) string {
	var all []string
	for _, o := range detecttest.Found(r, Detector.Kind) {
		d := o.Detail.(Detail)
		var clashes, lifts []string
		for _, c := range d.Clashes {
			clashes = append(clashes, c.Pitches[0].String()+"–"+c.Pitches[1].String())
		}
		for _, l := range d.PartLifts {
			lifts = append(lifts, fmt.Sprintf("%s+%s", l.Bar, l.Offset))
		}
		all = append(all, fmt.Sprintf("%d harmonies, %s: %s; lift %s", d.Harmonies, d.Register, strings.Join(clashes, " "), strings.Join(lifts, " ")))
	}
	return strings.Join(all, ", ")
}

func TestLongPedalsFound(t *testing.T) {
	for _, c := range []struct {
		name, right, left, want string
	}{
		{"one chord", "r:4", "@ped C3+E3+G3:4", ""},
		{"tonic and dominant", "r:4", "@ped C3+E3+G3:2 B2+D3+G3:2", "2 harmonies, low: B2–C3 C3–D3 D3–E3; lift 1+2"},
		{"no pedal", "r:4", "C3+E3+G3:2 B2+D3+G3:2", ""},
		{"the pedal changes with the harmony", "r:4", "@ped C3+E3+G3:2 @change B2+D3+G3:2", ""},
		{"lifted before", "r:4", "@ped C3+E3+G3:1 @lift r:1 B2+D3+G3:2", ""},
		{"the same chord broken", "r:4", "@ped C3:1 E3:1 G3:1 E3:1", ""},
		{"a chord and its seventh", "r:4", "@ped G2+B2+D3:2 G2+D3+F3:2", ""},
		{"a passing melody", "C5:1 D5:1 E5:1 F5:1", "@ped C3+G3:4", ""},
		{"a passing melody in octaves", "C5+C6:1 D5+D6:1 E5+E6:1 F5+F6:1", "@ped C3+G3:4", ""},
		{"one note by the way in the accompaniment", "r:4", "@ped C3+E3:1 F3:1 E3:1 G3:1", ""},
		{"another chord that makes no second", "r:4", "@ped C3+E3+G3:2 A5+C6+F6:2", ""},
		{"the bass steps", "E5:2 F5:2", "@ped C3:2 D3:2", "2 harmonies, middle: E5–F5 C3–D3; lift 1+2"},
		{"a bass and its chord are one harmony", "r:4", "@ped C3:1 F3+G3+B3:1 r:2", ""},
		{"back to the first chord", "r:4", "@ped C4+E4+G4:1 D4+F4+A4:1 C4+E4+G4:2",
			"3 harmonies, middle: C4–D4 D4–E4 E4–F4 F4–G4 G4–A4; lift 1+1 1+2"},
		{"what the hand holds over is no matter of the pedal", "r:4", "@ped C4+E4+G4:2~ C4+D4+E4+F4+G4:2", ""},
		{"con pedale", "r:4", `@"con pedale" C3+E3+G3:2 B2+D3+G3:2`, ""},
	} {
		s := scoretest.Piece{QPM: 60, Right: []string{c.right}, Left: []string{c.left}}.Score(t)
		if got := longPedalsIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})); got != c.want {
			t.Errorf("%s: found %q, want %q", c.name, got, c.want)
		}
	}
}

// The lower, the muddier.
func TestLongPedalRegisters(t *testing.T) {
	before := 2.0
	for octave := 1; octave <= 6; octave++ {
		name := func(steps string) string {
			return strings.Join(strings.Split(steps, ""), fmt.Sprintf("%d+", octave)) + fmt.Sprint(octave)
		}
		s := scoretest.Piece{QPM: 60, Left: []string{"@ped " + name("CEG") + ":2 " + name("DFA") + ":2"}}.Score(t)
		found := detecttest.Found(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector}), Detector.Kind)
		if len(found) != 1 {
			t.Fatalf("octave %d: found %d", octave, len(found))
		}
		if found[0].Demand > before {
			t.Errorf("octave %d asks for %g, more than %g an octave lower", octave, found[0].Demand, before)
		}
		before = found[0].Demand
	}
}

// Ten kinds of chord on twelve roots, of which augmented triads are the same on
// three roots and diminished sevenths on four (from memory: 8·12 + 4 + 3).
func TestChords(t *testing.T) {
	different := map[int]bool{}
	for _, c := range chords {
		different[c] = true
		if n := bits.OnesCount(uint(c)); n != 3 && n != 4 {
			t.Errorf("a chord of %d pitch classes", n)
		}
	}
	if len(different) != 8*12+4+3 {
		t.Errorf("%d different chords, want 103", len(different))
	}
}
