package widestretch

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

// stretchesIn describes the stretches: "right C4,D5 1-5 14/12/14 at 0", with
// what is asked, comfortable and practical in semitones.
func stretchesIn(found []detect.Occurrence) string {
	var all []string
	for _, o := range found {
		d := o.Detail.(Detail)
		all = append(all, fmt.Sprintf("%s %s %d-%d %d/%d/%d", o.Hand, detecttest.Join(d.Pitches, ","),
			d.Pair.Fingers[0], d.Pair.Fingers[1], d.Pair.Semitones, d.Pair.Comfortable, d.Pair.Practical))
	}
	return strings.Join(all, "; ")
}

// For a hand of 201 mm, which reaches 196 mm: a ninth and no tenth (Boyle,
// Boyle & Booker 2015).
func TestWideStretches(t *testing.T) {
	for _, c := range []struct {
		name        string
		span        float64
		right, left string
		want        string
	}{
		{"an octave", 201, "C4+C5:4", "r:4", ""},
		{"a ninth", 201, "C4+D5:4", "r:4", "right C4,D5 1-5 14/12/14"},
		{"a tenth is out of reach", 201, "C4+E5:4", "r:4", ""},
		{"a tenth within reach", 216, "C4+E5:4", "r:4", "right C4,E5 1-5 16/13/15"},
		{"a tenth in comfort", 240, "C4+E5:4", "r:4", ""},
		{"an octave for a hand that just reaches it", 170, "C4+C5:4", "r:4", "right C4,C5 1-5 12/10/12"},
		{"the octave of a hand that reaches a ninth", 193, "C4+C5:4", "r:4", ""},
		{"a seventh chord in root position", 201, "C4+E4+G4+Bb4:4", "r:4", ""},
		{"a major chord and its octave", 201, "C4+E4+G4+C5:4", "r:4", ""},
		{"a minor one has a major third for 2 and 3", 201, "D4+F4+A4+D5:4", "r:4", ""},
		{"and a sixth chord one for 4 and 5", 201, "r:4", "D3+F#3+B3+D4:4", ""},
		{"a fourth for 4 and 5", 201, "r:4", "D3+G3+G#3+A3+D4:4", "left D3,G3,G#3,A3,D4 4-5 5/3/5"},
		{"a minor seventh over the second finger", 201, "Db4+Eb4+Db5:4", "r:4", "right Db4,Eb4,Db5 2-5 10/8/10"},
		{"a white second lies under the thumb", 201, "C4+D4+G4+C5:4", "r:4", ""},
		{"mirrored in the left hand", 201, "r:4", "Eb2+Db3+Eb3:4", "left Eb2,Db3,Eb3 2-5 10/8/10"},
		{"five fingers", 201, "C4+D4+E4+F4+G4:4", "r:4", ""},
		{"under a sign", 201, "C4+D5:4^", "r:4", ""},
		{"one after the other", 201, "C4:2 D5:2", "r:4", ""},
		{"in two voices is in one hand", 201, "r:2 C4+D5:2", "r:4", "right C4,D5 1-5 14/12/14"},
	} {
		t.Run(c.name, func(t *testing.T) {
			piece := scoretest.Piece{QPM: 60, Right: []string{c.right}, Left: []string{c.left}}
			if got := stretchesIn(Detector.Find(piece.Score(t), detecttest.WithSpan(c.span))); got != c.want {
				t.Errorf("found %q, want %q", got, c.want)
			}
		})
	}
}

// Two voices of one hand make one chord.
func TestWideStretchOfVoices(t *testing.T) {
	piece := scoretest.Piece{QPM: 60, Right: []string{"D5:4", "C4:4"}}
	if got, want := stretchesIn(Detector.Find(piece.Score(t), detect.DefaultPlayer())), "right C4,D5 1-5 14/12/14"; got != want {
		t.Errorf("found %q, want %q", got, want)
	}
}

func TestWideStretchSaysHow(t *testing.T) {
	o := Detector.Find(scoretest.Piece{QPM: 60, Right: []string{"C4+D5:2 Db4+Eb4+Db5:2"}}.Score(t), detect.DefaultPlayer())
	if want := "The right hand takes C4 and D5 at once, 188 mm from key to key, where 173 mm are comfortable and it reaches 196 mm."; o[0].Why != want {
		t.Errorf("why %q", o[0].Why)
	}
	if want := "The right hand takes D♭4, E♭4 and D♭5 at once, best with fingers 1-2-5: 2 and 5 are 10 semitones apart, where 8 are comfortable and 10 the most."; o[1].Why != want {
		t.Errorf("why %q", o[1].Why)
	}
	if d := o[0].Detail.(Detail); d.SpanMM != 188 || d.ComfortableMM != 172.7 || d.ReachMM != 196.2 || fmt.Sprint(d.Fingers) != "[1 5]" || fmt.Sprint(d.Pair.Pitches) != "[C4 D5]" {
		t.Errorf("got %+v", d)
	}
	if o[0].Label != "wide stretch 1–5" || o[1].Label != "wide stretch 2–5" || o[0].To != score.Int(2) {
		t.Errorf("got %+v", o)
	}
	// 8 white keys of 23.5 mm over the reach of a ninth and a third less one white key.
	if want := 188 / (164.5 + 31*23.5/23 - 23.5); math.Abs(o[0].Demand-want) > 1e-9 || o[0].Timed {
		t.Errorf("demand %g, want %g", o[0].Demand, want)
	}
	// 2 semitones past comfort, less the one of chords, over the 12 of 1-5.
	if want := 1 + 1.0/12; math.Abs(o[1].Demand-want) > 1e-9 {
		t.Errorf("demand %g, want %g", o[1].Demand, want)
	}
	small := Detector.Find(scoretest.Piece{QPM: 60, Right: []string{"Db4+Eb4+Db5:4"}}.Score(t), detecttest.WithSpan(172))[0]
	if !strings.HasSuffix(small.Why, "where 6 are comfortable and 8 the most; roll it or leave a note out.") {
		t.Errorf("past what is practical: %q", small.Why)
	}
}

// Every triad with its octave, in every position, is in comfort for a hand that
// reaches a ninth: any player past the first years takes these. Common practice.
func TestTriadsWithTheirOctaveAreInComfort(t *testing.T) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for root := 48; root < 60; root++ {
			for _, chord := range [][]int{{0, 3, 7, 12}, {0, 4, 7, 12}, {0, 4, 9, 12}, {0, 3, 8, 12}, {0, 5, 8, 12}, {0, 5, 9, 12}} {
				var keys []int
				for _, k := range chord {
					keys = append(keys, root+k)
				}
				f, _ := detect.DefaultPlayer().Hand(hand).Grasp(keys)
				if g := (detect.Grip{Hand: hand, Keys: keys, Grasp: f}); (&detect.Pass{Player: detect.DefaultPlayer()}).PairDemand(g) > 1 {
					t.Errorf("%s %v with fingers %v is past comfort by %d", hand, keys, f.Fingers, f.Over)
				}
			}
		}
	}
}

// The smaller the hand the more a chord asks, until it is out of reach.
func TestWideStretchDemand(t *testing.T) {
	for _, chord := range []string{"C4+C5", "C4+D5", "D4+F4+A4+D5", "Db4+Eb4+Db5", "B3+D4+F4+Ab4+C5", "C4+D4+G4+D5"} {
		s := scoretest.Piece{QPM: 60, Right: []string{chord + ":4"}}.Score(t)
		keys := detect.NewPass(s, detect.DefaultPlayer()).Keys([]int{0, 1, 2, 3, 4, 5}[:len(s.Notes)])
		last := 0.0
		for mm := 280.0; mm >= 120; mm-- {
			p := detecttest.WithSpan(mm)
			wide, covered := Detector.Find(s, p), p.Hand(score.Right).Covers(keys)
			if len(wide) > 1 || len(wide) == 1 && !covered {
				t.Errorf("%s at %g mm is found %d times, reached %t", chord, mm, len(wide), covered)
			}
			if len(wide) == 0 {
				if last > 0 && covered {
					t.Errorf("%s at %g mm is no stretch, and was one for a larger hand", chord, mm)
				}
				continue
			}
			if wide[0].Demand < last || wide[0].Demand <= 1 {
				t.Errorf("%s at %g mm: demand %g, a larger hand %g", chord, mm, wide[0].Demand, last)
			}
			last = wide[0].Demand
		}
	}
}
