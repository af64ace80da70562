package handcrossing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score/scoretest"
)

// crossingsIn describes hands in each other's way: "crossed@1 left over",
// "one key@0 right gives way".
func crossingsIn(found []detect.Occurrence) string {
	var all []string
	for _, o := range found {
		d := o.Detail.(Detail)
		who := d.GivesWay.String() + " gives way"
		if d.Over != nil {
			who = d.Over.String() + " over"
		}
		all = append(all, fmt.Sprintf("%s@%s %s", d.Way, o.From, who))
	}
	return strings.Join(all, ", ")
}

func TestHandCrossings(t *testing.T) {
	const chords = "E4+G4:1 E4+G4:1 E4+G4:1 E4+G4:1"
	for _, c := range []struct{ name, right, left, want string }{
		{"each in its place", "C5:1 D5:1 E5:2", "C3:2 E3:2", ""},
		{"the left over the right", chords, "C3:1 r:1 C5:1 r:1", "crossed@2 left over"},
		{"the right under the left", "C5:1 r:1 G3:1 r:1", "C4+E4:1 C4+E4:1 C4+E4:1 C4+E4:1", "crossed@2 right over"},
		{"over the right, which is between two chords", "E4+G4:1/2 r:1/2 E4+G4:1/2 r:1/2 E4+G4:1/2 r:1/2 E4+G4:1/2 r:1/2", "C3:1/2 r:1 C5:1/2 r:2", "crossed@3/2 left over"},
		{"where the right was long ago", "E4+G4:1 r:3", "r:3 C5:1", ""},
		{"where the right comes only later", "r:3 E4+G4:1", "C5:1 r:3", ""},
		{"the right goes up as the left comes", "E4:1 r:1 E5:2", "C3:1 C4:1/2 G4:1/2 r:2", ""},
		{"fingers between each other", "C4+G4:2 C5:2", "E4:2 C3:2", "interlocked@0 left over"},
		{"next to each other", "C4+G4:2 C5:2", "B3:2 C3:2", ""},
		{"a key held and struck", "C4:4", "r:1 C4:1 r:2", "one key@0 right gives way"},
		{"a key struck within a beat", "C4:1/2 r:7/2", "r:1 C4:1 r:2", "one key@0 right gives way"},
		{"a key struck after more than a beat", "C4:1/2 r:7/2", "r:3/2 C4:1/2 r:2", ""},
		{"the left has it first", "r:1/2 C4:1/2 r:3", "C4:1/2 r:7/2", "one key@0 left gives way"},
		{"struck together, and the left lets go first", "C4:2 r:2", "C4:1 r:3", "one key@0 left gives way"},
		{"struck together, and the right lets go first", "C4:1 r:3", "C4:2 r:2", "one key@0 right gives way"},
		{"struck together by a full hand and a free one", "C4+E4+G4:2 r:2", "C4:2 r:2", "one key@0 right gives way"},
		{"one hand alone strikes a key twice", "C4:1/2 C4:1/2 r:3", "r:4", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := Detector.Find(scoretest.Piece{QPM: 60, Right: []string{c.right}, Left: []string{c.left}}.Score(t), detect.DefaultPlayer())
			if got := crossingsIn(found); got != c.want {
				t.Errorf("found %q, want %q", got, c.want)
			}
		})
	}
}

// Attacks of both hands at 3 a second, and 0.2 s from one stroke of a key to
// the other, are comfortable for a returning player. A crossing is never less
// than 0.5, and neither is a key struck together.
func TestCrossingDemand(t *testing.T) {
	for _, c := range []struct {
		name, right, left string
		qpm, want         float64
		timed             bool
	}{
		{"chords in quarter notes at 180, the left crossing on one", "E4+G4:1 E4+G4:1 E4+G4:1 E4+G4:1", "r:2 C5:1 r:1", 180, 1, true},
		{"the same at 60", "E4+G4:1 E4+G4:1 E4+G4:1 E4+G4:1", "r:2 C5:1 r:1", 60, 0.5, false},
		{"a key after a half beat at 150", "C4:1/2 r:7/2", "r:1/2 C4:1/2 r:3", 150, 1, true},
		{"together", "C4:1 r:3", "C4:1 r:3", 100, 0.5, false},
	} {
		found := Detector.Find(scoretest.Piece{QPM: c.qpm, Right: []string{c.right}, Left: []string{c.left}}.Score(t), detect.DefaultPlayer())
		if len(found) != 1 || math.Abs(found[0].Demand-c.want) > 1e-9 || found[0].Timed != c.timed {
			t.Errorf("%s: %+v, want one of demand %g, timed %t", c.name, found, c.want, c.timed)
		}
	}
}
