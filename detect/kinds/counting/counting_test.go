package counting

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// countedIn describes what is found: "right syncopation 7".
func countedIn(found []detect.Occurrence) string {
	var all []string
	for _, o := range found {
		d := o.Detail.(Detail)
		all = append(all, fmt.Sprintf("%s %s %d", o.Hand, d.What, d.Count))
	}
	return strings.Join(all, "; ")
}

func TestCountingFound(t *testing.T) {
	for _, c := range []struct{ name, time, right, left, want string }{
		{"syncopation", "4/4", "C5:1/2 D5:1 E5:1 F5:1 G5:1/2", "C3:1 D3:1 E3:1 F3:1", "right syncopation 3"},
		{"tied over the barline", "4/4", "r:1 r:1 r:1 C5:1/2 D5:1/2~ | D5:1/2 E5:1 F5:1 G5:1 A5:1/2", "r:4 | C3:4", "right syncopation 4"},
		{"two beats held over", "4/4", "C5:1/2 D5:1 E5:1 F5:1/2 G5:1", "C3:4", ""},
		{"a long note", "4/4", "C5:1/2 D5:7/2", "C3:1 D3:1 E3:1 F3:1", ""},
		{"rests on the beat", "4/4", "r:1/2 C5:1/2 r:1/2 C5:1/2 r:1/2 C5:1/2 r:1/2 C5:1/2", "C3:4", ""},
		{"twos, then threes", "2/4", "C5:1/2 D5:1/2 E5:1/3 F5:1/3 G5:1/3", "C3:2", "right division 5"},
		{"twos, then fours", "2/4", "C5:1/2 D5:1/2 E5:1/4 F5:1/4 G5:1/4 A5:1/4", "C3:2", ""},
		{"a beat between", "3/4", "C5:1/2 D5:1/2 E5:1 E5:1/3 F5:1/3 G5:1/3", "C3:3", ""},
		{"threes, then twos in six eighths", "6/8", "C5:1/2 D5:1/2 E5:1/2 F5:3/4 G5:3/4", "C3:3", "right division 5"},
	} {
		s := scoretest.Piece{Time: c.time, QPM: 90, Right: []string{c.right}, Left: []string{c.left}}.Score(t)
		if got := countedIn(Detector.Find(s, detect.DefaultPlayer())); got != c.want {
			t.Errorf("%s: found %q, want %q", c.name, got, c.want)
		}
	}
}

// Three beats in three quarters at 60 are one a second, twice that where no hand
// helps; two a second are comfortable.
func TestSyncopationByHand(t *testing.T) {
	for left, want := range map[string]float64{"C3:1 D3:1 E3:1 F3:1": 0.5, "C3:4": 1} {
		s := scoretest.Piece{QPM: 60, Right: []string{"C5:1/2 D5:1 E5:1 F5:1 G5:1/2"}, Left: []string{left}}.Score(t)
		found := Detector.Find(s, detect.DefaultPlayer())
		if len(found) != 1 || math.Abs(found[0].Demand-want) > 1e-9 {
			t.Errorf("over %s found %q, not one with demand %g", left, countedIn(found), want)
		}
	}
}

// The right hand under a slur, the left detached, and either otherwise.
func TestOpposedTouch(t *testing.T) {
	s := scoretest.Piece{QPM: 90, Right: []string{"C5:1 D5:1 E5:1 F5:1 | G5:4"}, Left: []string{"C3:1 D3:1 E3:1 F3:1 | G3:4"}}.Score(t)
	touch := func(slurred, detached bool) string {
		for i := range s.Notes {
			n := &s.Notes[i]
			n.SlurStart, n.SlurEnd, n.Articulations = 0, 0, nil
			if slurred && n.Hand == score.Right && n.Onset.IsZero() {
				n.SlurStart = 1
			}
			if slurred && n.Hand == score.Right && n.Onset == score.Int(4) {
				n.SlurEnd = 1
			}
			if detached && n.Hand == score.Left && n.Bar == 0 {
				n.Articulations = []string{"staccato"}
			}
		}
		return countedIn(Detector.Find(s, detect.DefaultPlayer()))
	}
	if got := touch(true, true); got != "both touch 4" {
		t.Errorf("found %q", got)
	}
	if got := touch(true, false) + touch(false, true); got != "" {
		t.Errorf("found %q where only one hand has signs", got)
	}
}

// One new meter is no change to and fro.
func TestMeterChanges(t *testing.T) {
	s := scoretest.Piece{Time: "3/4", QPM: 90, Right: []string{"C5:3 | C5:3 | C5:3 | C5:3"}}.Score(t)
	other := s.Bars[0].Time
	other.Beats, other.BeatType = "6", 8
	s.Bars[2].Time, s.Bars[3].Time = other, other
	if got := countedIn(Detector.Find(s, detect.DefaultPlayer())); got != "" {
		t.Errorf("found %q at one change", got)
	}
	s.Bars[3].Time = s.Bars[0].Time
	if got := countedIn(Detector.Find(s, detect.DefaultPlayer())); got != "both meter 2" {
		t.Errorf("found %q at two changes", got)
	}
}
