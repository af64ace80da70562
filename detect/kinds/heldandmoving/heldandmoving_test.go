package heldandmoving

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// holdsIn describes what a hand holds: "C3 to 4, 3 attacks, 4 fingers".
func holdsIn(found []detect.Occurrence, s *score.Score) string {
	var all []string
	for _, o := range found {
		d := o.Detail.(Detail)
		until := s.Bars[d.Until.Index-1].Start.Add(d.Until.Offset)
		all = append(all, fmt.Sprintf("%s to %s, %d attacks, %d fingers", detecttest.Join(d.Held, "+"), until, d.Attacks, d.FingersLeft))
	}
	return strings.Join(all, "; ")
}

func TestHolds(t *testing.T) {
	const moving = "r:1/2 E3:1/2 F3:1/2 E3:1/2 "
	for _, c := range []struct {
		name string
		left []string
		want string
	}{
		{"a key down, others move", []string{"C3:4", moving + "r:2"}, "C3 to 4, 3 attacks, 4 fingers"},
		{"two keys down", []string{"C3+G3:4", moving + "r:2"}, "C3+G3 to 4, 3 attacks, 3 fingers"},
		{"another finger comes to hold", []string{"C3:4", moving + "r:2", "r:1 A3:3"}, "C3 to 4, 3 attacks, 3 fingers"},
		{"one attack only", []string{"C3:4", "r:1 E3:1 r:2"}, ""},
		{"nothing is held", []string{"C3:1/2 E3:1/2 F3:1/2 E3:1/2 r:2"}, ""},
		{"up to the next stroke on the key", []string{"C3:4", "r:1/2 E3:1/2 F3:1/2 C3:1/2 E3:1/2 F3:1/2 r:1"}, "C3 to 3/2, 2 attacks, 4 fingers"},
		{"the pedal holds", []string{"@ped C3:4 @lift", moving + "r:2"}, ""},
		{"the player chooses when to change", []string{`@"con pedale" C3:4`, moving + "r:2"}, "C3 to 4, 3 attacks, 4 fingers"},
		{"up to the press of the pedal", []string{"C3:4 @lift", "r:1/2 E3:1/2 F3:1/2 E3:1/2 @ped G3:1 F3:1"}, "C3 to 2, 3 attacks, 4 fingers"},
		{"over a change", []string{"@ped C3:2~ @change C3:2 @lift", "r:1/2 E3:1/2 F3:1/2 E3:1/2 r:2"}, "C3 to 2, 3 attacks, 4 fingers"},
		{"the pedal lifts before the end", []string{"@ped C3:2~ @lift C3:2", moving + "r:2"}, "C3 to 4, 3 attacks, 4 fingers"},
		{"no hand reaches that far", []string{"C3:4", "r:1/2 A4:1/2 B4:1/2 A4:1/2 r:2"}, ""},
		{"until no hand reaches that far", []string{"C3:4", "r:1/2 E3:1/2 F3:1/2 A4:1/2 E3:1/2 r:3/2"}, "C3 to 3/2, 2 attacks, 4 fingers"},
		{"a hold within a longer one belongs to it", []string{"C3:4", "r:1/2 G3:2 r:3/2", "r:1 E3:1/2 F3:1/2 r:2"}, "C3 to 4, 3 attacks, 3 fingers"},
		{"a hold that goes on for longer is another", []string{"C3:2 r:2", "r:1/2 G3:7/2", "r:1 E3:1/2 F3:1/2 E3:1/2 F3:1/2 r:1"}, "C3 to 2, 3 attacks, 3 fingers; G3 to 4, 4 attacks, 3 fingers"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := scoretest.Piece{QPM: 60, Right: []string{"r:4"}, Left: c.left}.Score(t)
			if got := holdsIn(Detector.Find(s, detect.DefaultPlayer()), s); got != c.want {
				t.Errorf("found %q, want %q", got, c.want)
			}
		})
	}
}

// Staccato notes are let go.
func TestStaccatoIsNotHeld(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Right: []string{"r:4"}, Left: []string{"C3:4", "r:1/2 E3:1/2 F3:1/2 E3:1/2 r:2"}}.Score(t)
	s.Notes[0].Articulations = []string{"staccato"}
	if found := Detector.Find(s, detect.DefaultPlayer()); len(found) > 0 {
		t.Errorf("found %+v", found)
	}
}

// Four attacks a second beside one key are comfortable for a returning player,
// three beside two. Who reaches a ninth is past comfort from there on: demand is
// then 1 at least, whatever the tempo.
func TestHeldDemand(t *testing.T) {
	for _, c := range []struct {
		left  []string
		qpm   float64
		want  float64
		timed bool
	}{
		{[]string{"C3:4", "r:1/2 E3:1/2 F3:1/2 E3:1/2 r:2"}, 120, 1, true},
		{[]string{"C3+G3:4", "r:1/2 E3:1/2 F3:1/2 E3:1/2 r:2"}, 90, 1, true},
		{[]string{"C3:4", "r:1/2 C4:1/2 G3:1/2 C4:1/2 r:2"}, 30, 0.25, true},
		{[]string{"C3:4", "r:1/2 D4:1/2 G3:1/2 D4:1/2 r:2"}, 30, 1, false},
		{[]string{"C3:4", "r:1/2 D4:1/2 G3:1/2 D4:1/2 r:2"}, 240, 2, true},
		{[]string{"C3:4", "r:1/2 E4:1/2 G3:1/2 E4:1/2 r:2"}, 30, 1, false},
	} {
		who := detect.DefaultPlayer()
		who.SpanMM = [2]float64{193, 193}
		found := Detector.Find(scoretest.Piece{QPM: c.qpm, Right: []string{"r:4"}, Left: c.left}.Score(t), who)
		if len(found) != 1 || math.Abs(found[0].Demand-c.want) > 1e-9 || found[0].Timed != c.timed {
			t.Errorf("%q at %g: %+v, want one of demand %g, timed %t", c.left, c.qpm, found, c.want, c.timed)
		}
	}
}
