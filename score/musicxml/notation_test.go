package musicxml

import (
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"hardbars/score/notation"
)

// Every head of Score is a note of Notation at the same place, on the same staff
// and in the same voice, and the bars are the same.
func TestNotationStandsWhereScoreDoes(t *testing.T) {
	for _, path := range realScores(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			f, err := Open(path)
			if err != nil {
				t.Fatal(err)
			}
			s, err := f.Score(Options{})
			if err != nil {
				t.Fatal(err)
			}
			n, err := f.Notation(Options{})
			if err != nil {
				t.Fatal(err)
			}
			again, err := f.Notation(Options{})
			if err != nil || !reflect.DeepEqual(n, again) {
				t.Error("a second reading differs from the first", err)
			}
			if len(n.Bars) != len(s.Bars) {
				t.Fatalf("%d bars, want %d", len(n.Bars), len(s.Bars))
			}
			for i, b := range s.Bars {
				if n.Bars[i].Start != b.Start || n.Bars[i].Length != b.Length {
					t.Errorf("bar %s is at %s+%s, want %s+%s", b.Number, n.Bars[i].Start, n.Bars[i].Length, b.Start, b.Length)
				}
			}
			checkTables(t, n)
			type place struct {
				chord *notation.Chord
				note  *notation.Note
			}
			at := map[int]place{}
			for i := range n.Chords {
				for k := range n.Chords[i].Notes {
					at[n.Chords[i].Notes[k].ID] = place{&n.Chords[i], &n.Chords[i].Notes[k]}
				}
			}
			for i := range s.Notes {
				for _, h := range s.Notes[i].Heads {
					p, ok := at[h.ID]
					if !ok {
						t.Fatalf("note %d in bar %s is not written", h.ID, s.Bars[h.Bar].Number)
					}
					if p.chord.At != h.Onset || p.chord.Bar != h.Bar || p.note.Staff != h.Staff || strings.TrimSuffix(p.chord.Voice, fmt.Sprintf("/%d", h.Staff)) != h.Voice {
						t.Errorf("note %d is at %s on staff %d in voice %s, want %s, %d, %s",
							h.ID, p.chord.At, p.note.Staff, p.chord.Voice, h.Onset, h.Staff, h.Voice)
					}
				}
			}
		})
	}
}

// checkTables tells of what no notation may be: indices that lead nowhere, tables
// out of order, beams that do not begin and end.
func checkTables(t *testing.T, n *notation.Score) {
	t.Helper()
	for i := 1; i < len(n.Chords); i++ {
		if a, b := n.Chords[i-1], n.Chords[i]; b.At.Less(a.At) {
			t.Errorf("chord %d at %s comes after one at %s", i, b.At, a.At)
		}
	}
	for _, c := range n.Chords {
		if c.Value.Type == "" || c.Rest != (len(c.Notes) == 0) {
			t.Errorf("a chord at %s has the value %v and %d notes", c.At, c.Value, len(c.Notes))
		}
		for k := 1; k < len(c.Notes); k++ {
			if c.Notes[k].Written.Staff() < c.Notes[k-1].Written.Staff() {
				t.Errorf("the chord at %s is not in order", c.At)
			}
		}
	}
	for _, s := range n.Slurs {
		if s.From >= 0 && s.To >= 0 && n.Chords[s.To].At.Less(n.Chords[s.From].At) {
			t.Errorf("a slur goes back from %s to %s", n.Chords[s.From].At, n.Chords[s.To].At)
		}
	}
	for _, u := range n.Tuplets {
		if u.To < u.From {
			t.Errorf("a tuplet goes back from %d to %d", u.From, u.To)
		}
	}
	checkBeams(t, n)
}

// checkBeams follows each level of the beams of each voice.
func checkBeams(t *testing.T, n *notation.Score) {
	t.Helper()
	type key struct {
		voice string
		level int
		grace bool
	}
	open := map[key]bool{}
	for _, c := range n.Chords {
		for level, mark := range c.Beams {
			k := key{voice: c.Voice, level: level, grace: c.Grace > 0}
			switch {
			case mark == "begin" && open[k], (mark == "continue" || mark == "end") && !open[k]:
				t.Errorf("a beam of level %d says %q at %s in voice %s", level+1, mark, c.At, c.Voice)
			}
			open[k] = mark == "begin" || mark == "continue"
		}
	}
	for k, o := range open {
		if o {
			t.Errorf("a beam of level %d in voice %s is never ended", k.level+1, k.voice)
		}
	}
}
