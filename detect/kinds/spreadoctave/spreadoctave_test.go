package spreadoctave

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score/scoretest"
)

// spreadsIn describes the spread octaves: "left C2,C3 164.5 sign".
func spreadsIn(r *detect.Report) string {
	var all []string
	for _, o := range detecttest.Found(r, Detector.Kind) {
		d := o.Detail.(Detail)
		text := fmt.Sprintf("%s %s %g", o.Hand, detecttest.Join(d.Pitches, ","), d.SpanMM)
		if d.Sign {
			text += " sign"
		}
		all = append(all, text)
	}
	return strings.Join(all, "; ")
}

func TestSpreadOctavesFound(t *testing.T) {
	for _, c := range []struct {
		name        string
		span        float64
		right, left string
		want        string
	}{
		{"an octave under the sign", 201, "", "C2+C3:4^", "left C2,C3 164.5 sign"},
		{"downwards", 201, "", "C2+C3:4v", "left C2,C3 164.5 sign"},
		{"an octave with inner notes", 201, "E4+G4+E5:4^", "", "right E4,G4,E5 164.5 sign"},
		{"an octave without a sign, within reach", 201, "E4+G4+E5:4", "", ""},
		{"an octave without a sign, just within reach", 170, "", "C2+C3:4", ""},
		{"an octave without a sign, out of reach", 169, "", "C2+C3:4", "left C2,C3 164.5"},
		{"a seventh out of reach is no octave", 130, "", "C2+B2:4", ""},
		{"a tenth out of reach", 201, "", "C2+E3:4", "left C2,E3 211.5"},
		{"a tenth within reach", 216, "", "C2+E3:4", ""},
		{"a filled octave out of reach", 160, "", "C2+G2+C3:4", "left C2,G2,C3 164.5"},
		{"a filled tenth out of reach is a spread chord", 201, "", "C2+G2+E3:4", ""},
		{"a spread chord that is no octave", 201, "C4+E4+G4:4^", "", ""},
		{"a spread tenth is a spread chord", 201, "", "C2+E3:4^", ""},
		{"a sign in each hand, an octave in one", 201, "C5+C6:4^", "D2+A2:4^", "right C5,C6 164.5 sign"},
	} {
		piece := scoretest.Piece{QPM: 60}
		if c.right != "" {
			piece.Right = []string{c.right}
		}
		if c.left != "" {
			piece.Left = []string{c.left}
		}
		if got := spreadsIn(detect.Analyze(piece.Score(t), detecttest.WithSpan(c.span), []*detect.Detector{Detector})); got != c.want {
			t.Errorf("%s: found %q, want %q", c.name, got, c.want)
		}
	}
}

func TestSpreadThroughBothHands(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Right: []string{"E4+C5:4"}, Left: []string{"C2+C3:4"}}.Score(t)
	s.Arpeggios = detecttest.OneSign(s)
	if got, want := spreadsIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})), "both C2,C3,E4,C5 493.5 sign"; got != want {
		t.Errorf("found %q, want %q", got, want)
	}
	s = scoretest.Piece{QPM: 60, Right: []string{"E4+G4:4"}, Left: []string{"C2+C3:4"}}.Score(t)
	s.Arpeggios = detecttest.OneSign(s)
	if got, want := spreadsIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})), "left C2,C3 164.5 sign"; got != want {
		t.Errorf("an octave in one hand of a two-handed spread: found %q, want %q", got, want)
	}
}

func TestSharedKeyIsNamedOnce(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Right: []string{"E4+G4+E5:4^", "C5+E5:4^"}}.Score(t)
	if got, want := spreadsIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})), "right E4,G4,C5,E5 164.5 sign"; got != want {
		t.Errorf("found %q, want %q", got, want)
	}
}

// What to do about keys too far apart depends on the other hand.
func TestWayOut(t *testing.T) {
	for _, c := range []struct{ right, left, want string }{
		{"C5:1 r:3", "r:1 C2+E3:3", "the right hand is free to take E3; otherwise strike C2 just before E3."},
		{"C4+E5:4", "C3:2 r:2", "the left hand can take C4 with what it has down; otherwise strike C4 just before E5."},
		{"C4+E5:4", "C2:2 r:2", "strike C4 just before E5; the left hand has no room for C4."},
		{"r:2 C4+E5:2", "C3:2 r:2", "the left hand is free to take C4; otherwise"},
		{"C5:4", "r:1 C2+E3:3", "strike C2 just before E3; the right hand has no room for E3."},
	} {
		s := scoretest.Piece{QPM: 60, Right: []string{c.right}, Left: []string{c.left}}.Score(t)
		found := detecttest.Found(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector}), Detector.Kind)
		if len(found) != 1 || !strings.Contains(found[0].Why, c.want) {
			t.Errorf("%s over %s: want %q in %+v", c.right, c.left, c.want, found)
		}
	}
}

// A stretch does not change with the tempo, grows as the hand gets smaller,
// and is bounded.
func TestStretchDemand(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Left: []string{"C2+C3:2^ C2+C5:2"}}.Score(t)
	last := 0.0
	for _, mm := range []float64{250, 226, 201, 180, 160, 140} {
		p := detecttest.WithSpan(mm)
		found := detecttest.Found(detect.Analyze(s, p, []*detect.Detector{Detector}), Detector.Kind)
		if found[0].Demand <= last {
			t.Errorf("at %g mm demand is %g, with a larger hand %g", mm, found[0].Demand, last)
		}
		last = found[0].Demand
		if found[1].Demand != detect.MostStretch {
			t.Errorf("three octaves in one hand: demand %g", found[1].Demand)
		}
		p.Tempo.Share = 2
		r := detect.Analyze(s, p, []*detect.Detector{Detector})
		if fast := detecttest.Found(r, Detector.Kind); fast[0].Demand != found[0].Demand {
			t.Errorf("demand of a stretch changes with the tempo")
		}
		if r.Spots[0].Comfortable != 0 {
			t.Errorf("a stretch has a comfortable tempo, %g", r.Spots[0].Comfortable)
		}
	}
	// Comfort is a whole tone less than the reach, so that an octave is the limit of who reaches a ninth.
	if demand := detecttest.Found(detect.Analyze(s, detecttest.WithSpan(193), []*detect.Detector{Detector}), Detector.Kind)[0].Demand; demand != 1 {
		t.Errorf("who reaches a ninth spreads an octave at demand %g, want 1", demand)
	}
}
