package repeatednotes

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// repeatsIn describes what was found: "4 × C5 at 0".
func repeatsIn(found []detect.Occurrence) string {
	var all []string
	for _, o := range found {
		d := o.Detail.(Detail)
		all = append(all, fmt.Sprintf("%d × %s at %s", d.Count, detecttest.Join(d.Pitches, "+"), o.From))
	}
	return strings.Join(all, "; ")
}

func TestRepeatedNotes(t *testing.T) {
	for _, c := range []struct{ name, right, want string }{
		{"four", detecttest.Sixteenths("C5 C5 C5 C5") + " r:3", "4 × C5 at 0"},
		{"three", detecttest.Sixteenths("C5 C5 C5 D5") + " r:3", ""},
		{"eighths with rests", "C5:1/4 r:1/4 C5:1/4 r:1/4 C5:1/4 r:1/4 C5:1/4 r:9/4", "4 × C5 at 0"},
		{"quarters", "C5:1 C5:1 C5:1 C5:1", ""},
		{"longer ones around", "C5:1 C5:1/2 C5:1/2 C5:1/2 C5:1 r:1/2", "4 × C5 at 1"},
		{"a tie is not struck", "C5:1/2~ C5:1/2~ C5:1/2~ C5:1/2~ C5:2", ""},
		{"another key between", detecttest.Sixteenths("C5 C5 D5 C5 C5 C5") + " r:5/2", ""},
		{"spelled otherwise", detecttest.Sixteenths("C#5 Db5 C#5 Db5") + " r:3", "4 × C#5 at 0"},
		{"a chord", strings.Repeat("C5+E5:1/2 ", 4) + "r:2", "4 × C5+E5 at 0"},
		{"one key of changing chords", detecttest.Sixteenths("C5+E5 C5+F5 C5+E5 C5+F5") + " r:3", "4 × C5 at 0"},
		{"one chord, then another on the same key", detecttest.Sixteenths("C5+E5 C5+E5 C5+E5 C5+E5 C5+F5 C5+F5 C5+F5 C5+F5") + " r:2",
			"4 × C5+E5 at 0; 4 × C5+F5 at 1"},
		{"grace notes before each", "gB4 C5:1/2 gB4 C5:1/2 gB4 C5:1/2 gB4 C5:1/2 r:2", ""},
		{"a grace note before the first", "gB4 C5:1/2 C5:1/2 C5:1/2 C5:1/2 r:2", "4 × C5 at 0"},
		{"over the barline", "r:7/2 C5:1/2 | C5:1/2 C5:1/2 C5:1/2 r:5/2", "4 × C5 at 7/2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := repeatsIn(Detector.Find(scoretest.Piece{QPM: 60, Right: []string{c.right}}.Score(t), detect.DefaultPlayer())); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// Sixteenths at 90 are 6 strikes a second, where 7 are comfortable with
// changing fingers, half of that without, and less with other keys.
func TestRepeatedNotesFingers(t *testing.T) {
	again := "C5:1/4 C5:1/4 C5:1/4 C5:1/4 C5:1/4 C5:1/4 C5:1/4 C5:1/4 r:2"
	for _, c := range []struct {
		name    string
		right   []string
		fingers int
		change  bool
		why     string
	}{
		{"alone", []string{again}, 5, true, "no other key keeps them from it"},
		{"under a held note", []string{"G5:2 r:2", again}, 4, true, "4 are free for it"},
		{"under a held chord", []string{"E5+G5:2 r:2", again}, 3, true, "3 are free for it"},
		{"among four held notes", []string{"F4+A4+E5+G5:2 r:2", again}, 1, false, "none can change"},
		{"in chords", []string{strings.ReplaceAll(again, "C5", "C5+E5")}, 5, false, "from the wrist"},
		{"in changing chords", []string{detecttest.Sixteenths("C5+E5 C5+F5 C5+E5 C5+F5 C5+E5 C5+F5 C5+E5 C5") + " r:2"}, 4, false, "from the wrist"},
		{"alone every other time", []string{detecttest.Sixteenths("C5+E5 C5 C5+F5 C5 C5+G5 C5 C5+F5 C5") + " r:2"}, 4, true, "4 are free for it"},
	} {
		o := Detector.Find(scoretest.Piece{QPM: 90, Right: c.right}.Score(t), detect.DefaultPlayer())[0]
		d := o.Detail.(Detail)
		want := 6 / 7.0
		if !c.change {
			want *= 2
		}
		want *= 1 + float64(d.Others)/4
		if d.Fingers != c.fingers || d.CanChange != c.change || math.Abs(o.Demand-want) > 1e-9 || !o.Timed {
			t.Errorf("%s: %+v, demand %g, want %g", c.name, d, o.Demand, want)
		}
		if !strings.Contains(o.Why, c.why) {
			t.Errorf("%s: why %q", c.name, o.Why)
		}
	}
}

// The rate is that of the fastest four.
func TestRepeatedNotesRate(t *testing.T) {
	o := Detector.Find(scoretest.Piece{QPM: 60, Left: []string{"@p C3:1/2 C3:1/2 C3:1/4 C3:1/4 C3:1/4 C3:1/4 C3:1/2 r:1/2"}}.Score(t), detect.DefaultPlayer())[0]
	d := o.Detail.(Detail)
	want := Detail{Pitches: detecttest.Pitches("C3"), Count: 7, PerSecond: 4, Fingers: 5, CanChange: true, Seconds: 2.5, Dynamic: "p"}
	if !slices.Equal(d.Pitches, want.Pitches) {
		t.Errorf("pitches %v", d.Pitches)
	}
	d.Pitches, want.Pitches = nil, nil
	if fmt.Sprint(d) != fmt.Sprint(want) {
		t.Errorf("got  %+v\nwant %+v", d, want)
	}
	if o.Hand != score.Left || o.To != score.R(5, 2) || o.Label != "7 × C3" {
		t.Errorf("got %+v", o)
	}
}
