package spreadchord

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

// chordsIn describes the spread chords: "left 211.5 C2 | G2 E3; right E3 free near".
func chordsIn(found []detect.Occurrence) string {
	var all []string
	for _, o := range found {
		d := o.Detail.(Detail)
		var groups []string
		for _, g := range d.Roll {
			groups = append(groups, detecttest.Join(g, " "))
		}
		text := fmt.Sprintf("%s %g %s", o.Hand, d.SpanMM, strings.Join(groups, " | "))
		if d.Sign {
			text += " sign"
		}
		if d.OtherHand != nil {
			text += " " + detecttest.Join(d.OtherHand.Pitches, " ") + map[bool]string{true: " free", false: " busy"}[d.OtherHand.Free] +
				map[bool]string{true: " near", false: " far"}[d.OtherHand.Near]
		}
		all = append(all, text)
	}
	return strings.Join(all, "; ")
}

// For a hand of 201 mm, which reaches a ninth and no tenth (Boyle, Boyle &
// Booker 2015).
func TestSpreadChords(t *testing.T) {
	for _, c := range []struct{ name, right, left, want string }{
		{"under a sign", "C4+E4+G4:4^", "r:4", "right 94 C4 | E4 | G4 sign"},
		{"downwards", "C4+E4+G4:4v", "r:4", "right 94 G4 | E4 | C4 sign"},
		{"a tenth under a sign", "r:4", "C2+E3:4^", "left 211.5 C2 | E3 sign"},
		{"an octave under a sign is a spread octave", "C4+E4+C5:4^", "r:4", ""},
		{"a sign in each hand at different times", "C4+E4:4^", "r:1 C3+G3:3^", "right 47 C4 | E4 sign; left 94 C3 | G3 sign"},
		{"a sign in each hand at one time is one", "C4+E4:4^", "C3+G3:4^", "both 211.5 C3 | G3 | C4 | E4 sign"},
		{"within reach", "r:4", "C2+G2+D3:4", ""},
		{"out of reach", "C5:4", "C2+G2+E3:4", "left 211.5 C2 | G2 E3 E3 busy far"},
		{"two notes out of reach are a spread octave", "r:4", "C2+E3:4", ""},
		{"an octave and an inner note within reach", "r:4", "C2+G2+C3:4", ""},
		{"six white notes, two of them for the thumb", "C4+D4+E4+F4+G4+A4:4", "r:4", ""},
		{"six notes, two black", "C4+C#4+E4+F4+G4+A4:4", "r:4", "right 117.5 C4 | C#4 E4 F4 G4 A4 C4 free near"},
		{"the other hand free", "C5:1 r:3", "r:1 C2+G2+E3:3", "left 211.5 C2 | G2 E3 E3 free near"},
		{"the other hand beside", "A3:4", "C2+G2+E3:4", "left 211.5 C2 | G2 E3 E3 busy near"},
		{"the other hand holds on", "C5:4", "r:2 C2+G2+E3:2", "left 211.5 C2 | G2 E3 E3 busy far"},
		{"two notes to give", "r:4", "C2+G2+E3+G3:4", "left 258.5 C2 | G2 E3 G3 E3 G3 free near"},
		{"three places", "r:4", "C2+C3+C4+C5:4", "left 493.5 C2 C3 | C4 C5 C4 C5 free near"},
		{"the lowest goes to the left hand", "E4+C5+G5:4", "r:4", "right 211.5 E4 | C5 G5 E4 free near"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := chordsIn(Detector.Find(scoretest.Piece{QPM: 60, Right: []string{c.right}, Left: []string{c.left}}.Score(t), detect.DefaultPlayer()))
			if got != c.want {
				t.Errorf("found %q, want %q", got, c.want)
			}
		})
	}
}

// Free is not enough: the right hand must get to E3 from A5, 17 white keys
// above, or from there to A5, at no more than the 8 bits a second that a
// returning player leaps in comfort. log2(2 × 17) is 5.1 bits.
func TestOtherHandIsNearEnough(t *testing.T) {
	for _, c := range []struct{ right, left, want string }{
		{"A5:1/2 r:7/2", "r:1/2 C2+G2+E3:1/4 r:13/4", "free far"},
		{"A5:1/2 r:7/2", "r:1 C2+G2+E3:1 r:2", "free near"},
		{"r:1/2 A5:1/4 r:13/4", "C2+G2+E3:1/2 r:7/2", "free far"},
		{"r:1 A5:1 r:2", "C2+G2+E3:1 r:3", "free near"},
		{"A5:1/4 r:15/4 | r:4", "r:4 | r:1/2 C2+G2+E3:1 r:5/2", "free near"},
		{"r:4", "C2+G2+E3:4", "free near"},
	} {
		got := chordsIn(Detector.Find(scoretest.Piece{QPM: 60, Right: []string{c.right}, Left: []string{c.left}}.Score(t), detect.DefaultPlayer()))
		if !strings.HasSuffix(got, c.want) {
			t.Errorf("%s over %s: %q, want %s", c.right, c.left, got, c.want)
		}
	}
	o := Detector.Find(scoretest.Piece{QPM: 60, Right: []string{"A5:1/4 r:15/4"}, Left: []string{"r:3/4 C2+G2+E3:1/4 r:3"}}.Score(t), detect.DefaultPlayer())[0]
	if mm := o.Detail.(Detail).OtherHand.MM; mm != 17*23.5 {
		t.Errorf("the other hand is %g mm away, want %g", mm, 17*23.5)
	}
}

func TestSpreadThroughBothHandsIsOneChord(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Right: []string{"G4+B4+E5:4"}, Left: []string{"C3+G3:4"}}.Score(t)
	s.Arpeggios = detecttest.OneSign(s)
	found := detecttest.Found(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector}), Detector.Kind)
	if got, want := chordsIn(found), "both 376 C3 | G3 | G4 | B4 | E5 sign"; got != want {
		t.Fatalf("found %q, want %q", got, want)
	}
	// G4 to E5, five white keys, is the widest that one hand takes.
	if want := 5 * 23.5 / detect.DefaultPlayer().Hand(score.Right).ComfortableReach(); math.Abs(found[0].Demand-want) > 1e-9 {
		t.Errorf("demand %g, want %g", found[0].Demand, want)
	}
	s = scoretest.Piece{QPM: 60, Right: []string{"E4+G4:4"}, Left: []string{"C2+C3:4"}}.Score(t)
	s.Arpeggios = detecttest.OneSign(s)
	if got := chordsIn(detecttest.Found(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector}), Detector.Kind)); got != "" {
		t.Errorf("a spread octave is found again: %q", got)
	}
}

func TestSpreadChordSaysHow(t *testing.T) {
	for _, c := range []struct{ right, left, label, why string }{
		{"C4+E4+G4:4^", "r:4", "spread chord",
			"The right hand spreads C4, E4 and G4 from the bottom up; the right hand takes 94 mm, where 173 mm are comfortable."},
		{"r:4", "C2+G2+E3:4v", "spread chord",
			"The left hand spreads C2, G2 and E3 from the top down; the left hand takes 212 mm, where 173 mm are comfortable and it reaches 196 mm: " +
				"it must let go of E3, and only the pedal holds that."},
		{"r:4", "C2+G2+E3:4", "too wide: spread",
			"The left hand has C2, G2 and E3 at once, 212 mm from key to key, and reaches 196 mm: the right hand is free to take E3; otherwise strike C2 just before G2 and E3."},
		{"C5:4", "C2+G2+E3:4", "too wide: spread",
			"The left hand has C2, G2 and E3 at once, 212 mm from key to key, and reaches 196 mm: strike C2 just before G2 and E3; the right hand has no room for E3."},
		{"C4+C#4+E4+F4+G4+A4:4", "C3:4", "too many keys: spread",
			"The right hand has C4, C♯4, E4, F4, G4 and A4 at once, 6 keys for five fingers: the left hand can take C4 with what it has down; " +
				"otherwise strike C4 just before C♯4, E4, F4, G4 and A4."},
	} {
		o := Detector.Find(scoretest.Piece{QPM: 60, Right: []string{c.right}, Left: []string{c.left}}.Score(t), detect.DefaultPlayer())[0]
		if o.Why != c.why || o.Label != c.label || o.Timed {
			t.Errorf("%q %q, want %q", o.Label, o.Why, c.why)
		}
	}
}

func TestSpreadChordDemand(t *testing.T) {
	reach := detect.DefaultPlayer().Hand(score.Left).ComfortableReach()
	for _, c := range []struct {
		left   string
		demand float64
	}{
		{"C2+G2+E3:4", 9 * 23.5 / reach},
		{"C2+G2+E3:4^", 9 * 23.5 / reach},
		{"C2+C3+C5:4", detect.MostStretch},
		{"C3+D3+E3+F3+G3+Ab3:4", 6.0 / 5},
	} {
		o := Detector.Find(scoretest.Piece{QPM: 60, Left: []string{c.left}}.Score(t), detect.DefaultPlayer())[0]
		if math.Abs(o.Demand-c.demand) > 1e-9 {
			t.Errorf("%s: demand %g, want %g", c.left, o.Demand, c.demand)
		}
	}
}
