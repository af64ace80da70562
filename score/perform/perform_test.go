package perform

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/score"
)

// steady is a clock of one quarter note a second.
type steady struct{}

func (steady) Seconds(from, to score.Rat) float64 { return to.Sub(from).Float() }

// piece is a bar of four quarters with notes, each "C4@0+1", grace notes "C4@1^1".
func piece(t *testing.T, notes ...string) *score.Score {
	t.Helper()
	s := &score.Score{Bars: []score.Bar{{Number: "1", Index: 1, Length: score.Int(4)}}}
	for _, text := range notes {
		name, rest, _ := strings.Cut(text, "@")
		at, length, main := strings.Cut(rest, "+")
		at, grace, _ := strings.Cut(at, "^")
		n := score.Note{}
		n.Pitch, _ = score.ParsePitch(name)
		n.Onset, _ = score.ParseRat(at)
		if main {
			n.Length, _ = score.ParseRat(length)
		} else {
			fmt.Sscan(grace, &n.Grace)
		}
		s.Notes = append(s.Notes, n)
	}
	return s
}

func heard(sounds []Sound) string {
	var all []string
	for _, s := range sounds {
		all = append(all, fmt.Sprintf("%d at %.3g for %.3g, rings %.3g", s.Key, s.At, s.Seconds, s.Rings))
	}
	return strings.Join(all, "; ")
}

// Common practice: grace notes before the beat, an arpeggio from the beat on.
func TestStretch(t *testing.T) {
	q := score.Int
	arpeggio := piece(t, "C4@0+1", "E4@0+1", "G4@0+1")
	arpeggio.Arpeggios = []score.Arpeggio{{Notes: []int{0, 1, 2}}}
	down := piece(t, "C4@0+1", "E4@0+1")
	down.Arpeggios = []score.Arpeggio{{Notes: []int{0, 1}, Down: true}}
	pedal := piece(t, "C4@0+1", "D4@2+1")
	pedal.Pedals = []score.Pedal{{From: q(0), To: q(4), Changes: []score.Change{{Lift: q(2), Press: q(2)}}}}
	trill := piece(t, "C4@0+1", "G4@1+1")
	for _, c := range []struct {
		name     string
		s        *score.Score
		from, to score.Rat
		signs    []Sign
		want     string
	}{
		{"grace notes", piece(t, "C4@0+1", "E4@1^1", "F4@1^2", "G4@1+1"), q(0), q(4), nil,
			"60 at 0 for 1, rings 1; 64 at 0.84 for 0.08, rings 0.08; 65 at 0.92 for 0.08, rings 0.08; 67 at 1 for 1, rings 1"},
		{"a grace note in a hurry", piece(t, "C4@0+1/10", "E4@1/10^1", "G4@1/10+1"), q(0), q(4), nil,
			"60 at 0 for 0.1, rings 0.1; 64 at 0.05 for 0.05, rings 0.05; 67 at 0.1 for 1, rings 1"},
		{"an arpeggio", arpeggio, q(0), q(4), nil, "60 at 0 for 1, rings 1; 64 at 0.045 for 0.955, rings 0.955; 67 at 0.09 for 0.91, rings 0.91"},
		{"an arpeggio downwards", down, q(0), q(4), nil, "64 at 0 for 1, rings 1; 60 at 0.045 for 0.955, rings 0.955"},
		{"a pedal and its change", pedal, q(0), q(4), nil, "60 at 0 for 1, rings 2; 62 at 2 for 1, rings 2"},
		{"a note tied in", piece(t, "C4@0+4"), q(1), q(3), nil, "60 at 0 for 2, rings 2"},
		{"a sign", trill, q(0), q(4), []Sign{{Main: 0, Notes: []int{0}, Struck: []Struck{{q(0), score.R(1, 2), 62}, {score.R(1, 2), score.R(1, 2), 60}}}},
			"62 at 0 for 0.5, rings 0.5; 60 at 0.5 for 0.5, rings 0.5; 67 at 1 for 1, rings 1"},
	} {
		if got := heard(Stretch(c.s, steady{}, c.from, c.to, c.signs)); got != c.want {
			t.Errorf("%s:\n%s, want\n%s", c.name, got, c.want)
		}
	}
}

// A trill begins above, and ends in a turn where the score writes no ending:
// C. P. E. Bach 1753, part I, chapter 2, section 3, from memory.
func TestTrill(t *testing.T) {
	for _, c := range []struct {
		count int
		ended bool
		want  string
	}{{3, false, "[0 1 0] false"}, {4, false, "[1 0 1 0] false"}, {8, false, "[1 0 1 0 1 0 -1 0] true"}, {8, true, "[1 0 1 0 1 0 1 0] false"}} {
		steps, turn := Trill(c.count, c.ended)
		if got := fmt.Sprint(steps, turn); got != c.want {
			t.Errorf("%d notes, ended %t: %s, want %s", c.count, c.ended, got, c.want)
		}
	}
}
