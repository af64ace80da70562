package leap

import (
	"fmt"
	"slices"
	"testing"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// leapsInPlay describes the leaps of a score: "4+3: C3>C5 in 1 s", and ", lands 1+0"
// where a sign leads elsewhere.
func leapsInPlay(s *score.Score) []string {
	r := detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})
	var all []string
	for i := range r.Spots {
		if r.Spots[i].Kind != "leap" {
			continue
		}
		for _, o := range r.Spots[i].Occurrences {
			d := o.Detail.(Detail)
			at := r.Position(o.From)
			text := fmt.Sprintf("%s+%s: %s>%s in %g s", at.Bar, at.Offset, d.From, d.To, d.Seconds)
			if d.Lands != nil {
				text += fmt.Sprintf(", lands %s+%s", d.Lands.Bar, d.Lands.Offset)
			}
			all = append(all, text)
		}
	}
	slices.Sort(all)
	return all
}

func TestLeapsInOrderOfPlay(t *testing.T) {
	const still = "C3:2 D3:2"
	for _, c := range []struct {
		name  string
		left  string
		signs func([]score.Bar)
		want  []string
	}{
		{"no signs", "C2:4 | " + still + " | C5:4", func([]score.Bar) {}, []string{"2+2: D3>C5 in 1 s"}},
		{"back to the start", "C5:2 r:2 | C5:2 C4:2 | C3:3 C3:1", func(b []score.Bar) { b[2].RepeatEnd = 2 },
			[]string{"3+3: C3>C5 in 1 s, lands 1+0"}},
		{"a rest on both sides", "r:1 C5:3 | C4:2 r:2 | C3:2 r:2", func(b []score.Bar) { b[2].RepeatEnd = 2 },
			nil}, // five quarters: more than a bar
		{"a short rest on both sides", "r:1 C5:3 | C4:4 | r:2 C3:1 r:1", func(b []score.Bar) { b[2].RepeatEnd = 2 },
			[]string{"3+2: C3>C5 in 3 s, lands 1+1"}},
		{"past the first ending", "C4:4 | C2:4 | C6:4", func(b []score.Bar) {
			b[1].Ending, b[1].RepeatEnd, b[2].Ending = "1", 2, "2"
		}, []string{"1+0: C4>C2 in 1 s", "1+0: C4>C6 in 1 s, lands 3+0", "2+0: C2>C4 in 1 s, lands 1+0"}},
		{"the same way back is one leap", "C5:4 | C5:2 C4:2 | C3:4", func(b []score.Bar) { b[2].RepeatEnd = 4 },
			[]string{"3+0: C3>C5 in 1 s, lands 1+0"}},
		{"dal segno", "C4:4 | C6:4 | C5:3 C4:1", func(b []score.Bar) {
			b[1].Jumps, b[2].Jumps = []string{"segno"}, []string{"dal segno"}
		}, []string{"1+0: C4>C6 in 1 s", "3+3: C4>C6 in 1 s, lands 2+0"}},
		{"back to a near key", "C4:4 | D4:4", func(b []score.Bar) { b[1].RepeatEnd = 2 }, nil},
		{"to grace notes", "gC5 E5:4 | C3:3 C3:1", func(b []score.Bar) { b[1].RepeatEnd = 2 },
			[]string{"1+0: E5>C3 in 1 s", "2+3: C3>C5 in 1 s, lands 1+0"}},
	} {
		s := scoretest.Piece{QPM: 60, Right: []string{"r:4"}, Left: []string{c.left}}.Score(t)
		c.signs(s.Bars)
		if got := leapsInPlay(s); !slices.Equal(got, c.want) {
			t.Errorf("%s: got\n%q\nwant\n%q", c.name, got, c.want)
		}
	}
}

// The seconds of a leap over a sign are those of its two ends, each at its own tempo.
func TestLeapOverASignAcrossTempos(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Right: []string{"r:4"}, Left: []string{"r:1 C5:3 | C4:4 | @tempo=30 C3:3 C3:1"}}.Score(t)
	s.Bars[2].RepeatEnd = 2
	if got := leapsInPlay(s); !slices.Contains(got, "3+3: C3>C5 in 2 s, lands 1+1") {
		t.Errorf("the last second of a quarter that is held for 2 s, and a rest of 1 s: %q", got)
	}
}

// Both hands leap back together; the picture and the words are of the place left.
func TestLeapOverASignWithBothHands(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Right: []string{"C6:4 | C5:3 C4:1"}, Left: []string{"C4:4 | C3:3 C2:1"}}.Score(t)
	s.Bars[1].RepeatEnd = 2
	found := 0
	r := detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})
	for i := range r.Spots {
		for _, o := range r.Spots[i].Occurrences {
			d, ok := o.Detail.(Detail)
			if !ok || d.Lands == nil {
				continue
			}
			found++
			if !d.OtherHand || o.To != s.End() || o.From != score.Int(7) {
				t.Errorf("from %s to %s: %+v", o.From, o.To, d)
			}
			for _, n := range o.Notes {
				if s.Notes[n].Onset.Less(o.From) {
					t.Errorf("a note of bar %s is named at bar 2", s.Bars[s.Notes[n].Bar].Number)
				}
			}
			if want := "Where play goes from bar 2 to bar 1, the "; len(o.Why) < len(want) || o.Why[:len(want)] != want {
				t.Errorf("why: %s", o.Why)
			}
		}
	}
	if found != 2 {
		t.Errorf("%d leaps over the sign, want one in each hand", found)
	}
}
