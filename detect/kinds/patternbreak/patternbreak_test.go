package patternbreak

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// breaksIn describes where figures break off: "left Alberti figure 8: 5+2 A3".
func breaksIn(r *detect.Report) string {
	var all []string
	for _, o := range detecttest.Found(r, Detector.Kind) {
		d := o.Detail.(Detail)
		all = append(all, fmt.Sprintf("%s %s %d: %s+%s %s", o.Hand, d.Figure, d.Times, d.Departs.Bar, d.Departs.Offset, detecttest.Join(d.Pitches, " ")))
	}
	return strings.Join(all, ", ")
}

const (
	albertiC = "C3:1/2 G3:1/2 E3:1/2 G3:1/2 C3:1/2 G3:1/2 E3:1/2 G3:1/2"
	albertiG = "B2:1/2 G3:1/2 F3:1/2 G3:1/2 B2:1/2 G3:1/2 F3:1/2 G3:1/2"
	end      = " | r:4 | C3:4" // so that the piece does not end at the break
)

func TestPatternBreaksFound(t *testing.T) {
	for _, c := range []struct {
		name, time, left, want string
	}{
		{"another contour", "", detecttest.Bars(4, albertiC) + " | C3:1/2 G3:1/2 E3:1/2 G3:1/2 C3:1/2 G3:1/2 A3:1/2 B3:1/2" + end, "left Alberti figure 9: 5+3 A3"},
		{"in another key it is the same", "", detecttest.Bars(2, albertiC) + " | " + albertiG + " | C3:4" + end, "left Alberti figure 6: 4+0 C3"},
		{"too short to be a habit", "", albertiC + " | C3:4" + end, ""},
		{"a rest is no break", "", detecttest.Bars(4, albertiC) + " | r:4" + end, ""},
		{"the end left off is no break", "", detecttest.Bars(4, albertiC) + " | C3:1/2 G3:1/2 E3:1/2 r:1/2 r:2" + end, ""},
		{"but half of it is", "", detecttest.Bars(4, albertiC) + " | C3:1/2 G3:3/2 r:2" + end, "left Alberti figure 8: 5+1/2 G3"},
		{"the last note of the piece is no break", "", detecttest.Bars(4, albertiC) + " | C3:4", ""},
		{"another rhythm", "", detecttest.Bars(4, albertiC) + " | C3:1/2 G3:1/4 E3:1/4 E3:1/2 G3:1/2 C3:2" + end, "left Alberti figure 8: 5+3/4 E3"},
		{"a waltz", "3/4", detecttest.Bars(6, "C2:1 E3+G3:1 E3+G3:1") + " | C2:1 D2:1 E2:1 | r:3 | C2:3", "left bass and two chords 6: 7+1 D2"},
		{"octaves are single notes doubled", "3/4", detecttest.Bars(3, "C2:1 E3+G3:1 E3+G3:1") + " | " + detecttest.Bars(3, "C2+C3:1 E3+G3:1 E3+G3:1") + " | C2:3 | r:3 | C2:3",
			"left bass and two chords 6: 7+0 C2"},
		{"bass and chord", "2/4", detecttest.Bars(4, "C2:1/2 E3+G3:1/2 G2:1/2 E3+G3:1/2") + " | C2:1/2 D2:1/2 E2:1 | r:2 | C2:2", "left bass and chord 8: 5+1/2 D2"},
		{"broken chord up", "6/8", detecttest.Bars(4, "C3:1/2 E3:1/2 G3:1/2 B2:1/2 D3:1/2 G3:1/2") + " | C3:1/2 E3:1/2 G3:1/2 C3:1/2 G3:1/2 E3:1/2 | r:3 | C3:3", "left broken chord, up 9: 5+5/2 E3"},
		{"broken chord up and down", "3/4", detecttest.Bars(4, "C3:1/2 E3:1/2 G3:1/2 C4:1/2 G3:1/2 E3:1/2") + " | C3:3 | r:3 | C3:3", "left broken chord, up and down 4: 5+0 C3"},
		{"repeated notes", "3/4", detecttest.Bars(4, "C3:1 C3:1 C3:1") + " | C3:1 D3:1 C3:1 | r:3 | C3:3", "left repeated notes 4: 5+1 D3"},
		{"repeated chords", "3/4", detecttest.Bars(4, "C3+G3:1 C3+G3:1 C3+G3:1") + " | C3+G3:1 C3:1 C3+G3:1 | r:3 | C3:3", "left repeated chords 4: 5+1 C3"},
		{"a scale is no figure", "", detecttest.Bars(4, "C3:1/2 D3:1/2 E3:1/2 F3:1/2 G3:1/2 A3:1/2 B3:1/2 C4:1/2") + " | C3:4" + end, ""},
		{"chords that move are no figure", "", detecttest.Bars(4, "C3+E3:1 D3+F3:1 E3+G3:1 D3+F3:1") + " | C3+E3:4" + end, ""},
	} {
		s := scoretest.Piece{Time: c.time, QPM: 60, Left: []string{c.left}}.Score(t)
		if got := breaksIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})); got != c.want {
			t.Errorf("%s: found %q, want %q", c.name, got, c.want)
		}
	}
}

// A figure goes on under a melody that begins in the same hand.
func TestFigureUnderMelody(t *testing.T) {
	figure := "C4:1/3 E4:1/3 G4:1/3 C4:1/3 E4:1/3 G4:1/3 C4:1/3 E4:1/3 G4:1/3 C4:1/3 E4:1/3 G4:1/3"
	s := scoretest.Piece{QPM: 60, Right: []string{detecttest.Bars(8, figure), "r:4 | r:4 | C5:1 D5:3/4 E5:1/4 D5:2 | C5+E5:4"}}.Score(t)
	if got := breaksIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})); got != "" {
		t.Errorf("found %q, want nothing", got)
	}
}

// Where the page itself warns of something new, nobody goes on by habit.
func TestNoBreakWhereThePageWarns(t *testing.T) {
	for name, warn := range map[string]func(*score.Score){
		"nothing":       func(s *score.Score) {},
		"a repeat sign": func(s *score.Score) { s.Bars[3].RepeatEnd = 2 },
		"a new key":     func(s *score.Score) { s.Bars[4].Key.Fifths = 3 },
		"a new tempo": func(s *score.Score) {
			s.Tempos = append(s.Tempos, score.Tempo{At: s.Bars[4].Start, QPM: 90, Beat: score.Int(1)})
		},
	} {
		s := scoretest.Piece{QPM: 60, Left: []string{detecttest.Bars(4, albertiC) + " | C3:4" + end}}.Score(t)
		warn(s)
		if got := breaksIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})); (got == "") != (name != "nothing") {
			t.Errorf("%s: found %q", name, got)
		}
	}
}

// The longer a figure held, the greater the surprise, up to a bound.
func TestSurpriseGrows(t *testing.T) {
	before := 0.0
	for n := 2; n <= 12; n++ {
		s := scoretest.Piece{QPM: 60, Left: []string{detecttest.Bars(n, albertiC) + " | C3:4" + end}}.Score(t)
		found := detecttest.Found(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector}), Detector.Kind)
		if len(found) != 1 {
			t.Fatalf("%d bars: found %d", n, len(found))
		}
		d := found[0].Demand
		if d < before || d > mostSurprise || d == before && d < mostSurprise {
			t.Errorf("%d bars ask for %g after %g", n, d, before)
		}
		before = d
	}
}

// All places where the figure holds are listed.
func TestFigureHolds(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Left: []string{detecttest.Bars(4, albertiC) + " | C3:4 | " + detecttest.Bars(3, albertiG) + end}}.Score(t)
	found := detecttest.Found(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector}), Detector.Kind)
	if len(found) != 1 {
		t.Fatalf("found %d", len(found))
	}
	got := ""
	for _, h := range found[0].Detail.(Detail).Holds {
		got += h.From.Bar + "–" + h.To.Bar + " "
	}
	if got != "1–4 6–8 " {
		t.Errorf("holds in bars %s, want 1–4 6–8", got)
	}
}
