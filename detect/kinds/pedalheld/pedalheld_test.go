package pedalheld

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/detect/hand"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// pedalHeldIn describes what only a pedal holds: "left D2: 1+1 to 1+3".
func pedalHeldIn(r *detect.Report) string {
	var all []string
	for _, o := range detecttest.Found(r, Detector.Kind) {
		d := o.Detail.(Detail)
		all = append(all, fmt.Sprintf("%s %s: %s+%s to %s+%s", o.Hand, detecttest.Join(d.Pitches, " "),
			d.Leaves.Bar, d.Leaves.Offset, d.Until.Bar, d.Until.Offset))
	}
	return strings.Join(all, ", ")
}

func TestPedalHeldFound(t *testing.T) {
	for _, c := range []struct {
		name  string
		right []string
		left  []string
		want  string
	}{
		{"bass under chords", nil, []string{"D2:3", "r:1 F3+A3:1 F3+A3:1"}, "left D2: 1+1 to 1+3"},
		{"a bass as short as it is held", nil, []string{"D2:1 F3+A3:1 F3+A3:1"}, ""},
		{"an octave that stays under the hand", nil, []string{"D3:3", "r:1 A3:1 D4:1"}, ""},
		{"a tenth is beyond 201 mm", nil, []string{"D3:3", "r:1 A3:1 F#4:1"}, "left D3: 1+2 to 1+3"},
		{"over a barline", nil, []string{"D2:3~ | D2:3", "r:2 F3+A3:1 | F3+A3:3"}, "left D2: 1+2 to 2+3"},
		{"the key struck anew ends it", nil, []string{"D2:3", "r:1 D2:1 A3:1"}, ""},
		{"by the other hand, too", []string{"r:1 D2:1 r:1"}, []string{"D2:3", "r:2 A3:1"}, ""},
		{"two keys left together", nil, []string{"D2+A2:3", "r:1 C4+E4:1 C4+E4:1"}, "left D2 A2: 1+1 to 1+3"},
		{"two keys left one after the other", nil, []string{"D2+G2:3", "r:1 F3:1 B3:1"}, "left D2: 1+1 to 1+3, left G2: 1+2 to 1+3"},
		{"right hand", []string{"D6:3", "r:1 D4:1 r:1"}, nil, "right D6: 1+1 to 1+3"},
		{"a pedal is marked", nil, []string{"@ped D2:3 @lift", "r:1 F3+A3:1 F3+A3:1"}, ""},
		{"marked too late", nil, []string{"D2:1~ D2:1~ @ped D2:1 @lift", "r:1 F3+A3:1 F3+A3:1"}, "left D2: 1+1 to 1+3"},
		{"the middle pedal holds it", nil, []string{"D2:1/2~ @sost D2:5/2 @sostlift", "r:1 F3+A3:1 F3+A3:1"}, ""},
		{"con pedale", nil, []string{`@"con pedale" D2:3`, "r:1 F3+A3:1 F3+A3:1"}, ""},
		{"a grace note far away", nil, []string{"D3:3", "r:1 gD5 A3:1 r:1"}, "left D3: 1+1 to 1+3"},
		{"a grace note near", nil, []string{"D3:3", "r:1 gB3 A3:1 r:1"}, ""},
	} {
		s := scoretest.Piece{Time: "3/4", QPM: 60, Right: c.right, Left: c.left}.Score(t)
		if got := pedalHeldIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})); got != c.want {
			t.Errorf("%s: found %q, want %q", c.name, got, c.want)
		}
	}
}

func TestStaccatoNeedsNoPedal(t *testing.T) {
	s := scoretest.Piece{Time: "3/4", QPM: 60, Left: []string{"D2:3", "r:1 F3+A3:1 F3+A3:1"}}.Score(t)
	for i := range s.Notes {
		s.Notes[i].Articulations = []string{"staccato"}
	}
	if got := pedalHeldIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})); got != "" {
		t.Errorf("found %q", got)
	}
}

// What no hand could hold is meant for the pedal; what a larger hand holds asks
// for more, and so does what a pedal would blur.
func TestPedalHeldDemand(t *testing.T) {
	demand := func(right string, left ...string) float64 {
		s := scoretest.Piece{Time: "3/4", QPM: 60, Right: []string{right}, Left: left}.Score(t)
		found := detecttest.Found(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector}), Detector.Kind)
		if len(found) != 1 {
			t.Fatalf("%v: found %d", left, len(found))
		}
		return detect.Round3(found[0].Demand)
	}
	for _, c := range []struct {
		name string
		got  float64
		want float64
	}{
		{"three octaves", demand("A6:3", "D2:3", "r:1 A4+D5:1 r:1"), 0.5},
		{"a tenth", demand("A6:3", "D3:3", "r:1 F#4:1 r:1"), 1},
		{"a tenth, and the pedal blurs E4–F#4", demand("A6:3", "D3:3", "r:1 F#4:1 E4:1"), 1.1},
		{"a tenth that the right hand can take over", demand("A3:3", "D3:3", "r:1 F#4:1 E4:1"), 1},
	} {
		if c.got != c.want {
			t.Errorf("%s: demand %g, want %g", c.name, c.got, c.want)
		}
	}
}

// A larger hand holds whatever a smaller one holds.
func TestPedalHeldShrinksWithSpan(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Left: []string{"C3:4 | C3:4 | D3:4", "r:1 C4:1 E4:1 D4:1 | r:2 D4:2 | r:1 D4:1 F4:1 A4:1"}}.Score(t)
	before := 0
	for mm := 300.0; mm >= 120; mm -= 10 {
		p := detect.DefaultPlayer()
		p.SpanMM = [2]float64{mm, mm}
		n := len(Detector.Find(s, p))
		if n < before {
			t.Errorf("%g mm: %d places, fewer than the %d of a larger hand", mm, n, before)
		}
		before = n
	}
	if before != 3 {
		t.Errorf("%d places for the smallest hand, want one a bar", before)
	}
}

func TestLargestHandReachesATwelfth(t *testing.T) {
	if !hand.Largest(score.Left).Covers([]int{48, 67}) || hand.Largest(score.Left).Covers([]int{48, 69}) {
		t.Error("the largest hand takes C3–G4, a twelfth, and not C3–A4")
	}
}
