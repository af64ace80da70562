package musicxml

import (
	"path/filepath"
	"reflect"
	"sort"
	"testing"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/scoretest/library"
)

// Properties that hold of every score, tried on the project's own and on real ones.
func TestRealScoresHoldTogether(t *testing.T) {
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
			checkBars(t, s)
			checkNotes(t, s)
			checkHeads(t, s, f)
			again, err := f.Score(Options{})
			if err != nil || !reflect.DeepEqual(s, again) {
				t.Error("a second reading gives another score", err)
			}
		})
	}
}

// Bars follow each other without gaps, and have lengths that can be written.
func checkBars(t *testing.T, s *score.Score) {
	var at score.Rat
	for i, b := range s.Bars {
		if b.Index != i+1 || b.Start != at || b.Length.Sign() <= 0 || b.Number == "" {
			t.Fatalf("bar %d: %+v begins at %s", i+1, b, at)
		}
		if b.Length.Den() > 32 {
			t.Errorf("bar %s lasts %s: rounding was left over", b.Number, b.Length)
		}
		at = b.End()
	}
}

// Notes are sorted as promised and lie in their bars.
func checkNotes(t *testing.T, s *score.Score) {
	if !sort.SliceIsSorted(s.Notes, func(i, j int) bool { return before(&s.Notes[i], &s.Notes[j]) }) {
		t.Error("the notes are not in order")
	}
	for _, n := range s.Notes {
		bar := s.Bars[n.Bar]
		inside := bar.Start.Cmp(n.Onset) <= 0 && (n.Onset.Less(bar.End()) || n.Grace > 0 && n.Onset == bar.End())
		if !inside || (n.Grace > 0) != n.Length.IsZero() {
			t.Errorf("bar %s: %s at %s for %s, grace %d", bar.Number, n.Pitch, n.Onset, n.Length, n.Grace)
		}
	}
	for _, r := range s.Rests {
		if bar := s.Bars[s.BarAt(r.Onset)]; r.Length.Sign() <= 0 || bar.End().Less(r.Onset.Add(r.Length)) {
			t.Errorf("bar %s: a rest at %s for %s", bar.Number, r.Onset, r.Length)
		}
	}
}

// The heads of a note follow one another, each inside its bar, and every note
// with a pitch that is printed is a head once; hidden ones may be left out.
func checkHeads(t *testing.T, s *score.Score, f *File) {
	seen := map[int]bool{}
	for _, n := range s.Notes {
		end := n.Onset
		for _, h := range n.Heads {
			bar := s.Bars[h.Bar]
			if seen[h.ID] || h.Onset.Cmp(bar.Start) < 0 || bar.End().Less(h.Onset.Add(h.Length)) || distance(h.Onset, end).Cmp(debris) >= 0 {
				t.Errorf("bar %s: head %d of %s at %s for %s", bar.Number, h.ID, n.Pitch, h.Onset, h.Length)
			}
			seen[h.ID], end = true, h.Onset.Add(h.Length)
		}
		if end != n.End() {
			t.Errorf("%s at %s ends at %s and its last head at %s", n.Pitch, n.Onset, n.End(), end)
		}
	}
	piano, err := f.pianoParts("")
	if err != nil {
		t.Fatal(err)
	}
	ids := map[*etree.Element]int{}
	for id, elem := range f.NoteElements() {
		ids[elem] = id
	}
	pitched := 0
	for _, part := range piano {
		for _, m := range part.measures {
			for _, elem := range m.content.SelectElements("note") {
				if elem.SelectElement("pitch") == nil {
					continue
				}
				if seen[ids[elem]] {
					pitched++
				} else if !hidden(elem) {
					t.Errorf("note element %d of the file is not read", ids[elem])
				}
			}
		}
	}
	if len(seen) != pitched {
		t.Errorf("%d notes are read, of which the piano has %d", len(seen), pitched)
	}
}

// The two layouts of MusicXML hold the same music: the schema's authors turn one
// into the other by a mere exchange of the two outer levels.
func TestTimewiseGivesTheSameScore(t *testing.T) {
	for _, path := range realScores(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			f, err := Open(path)
			if err != nil {
				t.Fatal(err)
			}
			want, err := f.Score(Options{})
			if err != nil {
				t.Fatal(err)
			}
			turn(f.Doc)
			turned := &File{Name: f.Name, Doc: f.Doc, Version: f.Version, Warnings: f.Warnings}
			got, err := turned.Score(Options{})
			if err != nil {
				t.Fatal(err)
			}
			forgetIDs(want)
			forgetIDs(got)
			if !reflect.DeepEqual(got, want) {
				t.Error("the timewise copy gives another score")
			}
		})
	}
}

// turn makes a partwise document timewise.
func turn(doc *etree.Document) {
	root := doc.Root()
	root.Tag = "score-timewise"
	for i, part := range root.SelectElements("part") {
		root.RemoveChild(part)
		for j, measure := range part.SelectElements("measure") {
			if i == 0 {
				outer := root.CreateElement("measure")
				outer.Attr = append([]etree.Attr{}, measure.Attr...)
			}
			measure.Tag, measure.Attr = "part", nil
			measure.CreateAttr("id", part.SelectAttrValue("id", ""))
			root.SelectElements("measure")[j].AddChild(measure)
		}
	}
}

// forgetIDs takes the numbers off the heads: another layout counts otherwise.
func forgetIDs(s *score.Score) {
	for i := range s.Notes {
		for j := range s.Notes[i].Heads {
			s.Notes[i].Heads[j].ID = 0
		}
	}
}

// The music is walked through once, however much is asked of it, and each that
// asks has tables of its own.
func TestOneWalk(t *testing.T) {
	for _, path := range library.Own(t) {
		f, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		first, err := f.Score(Options{})
		if err != nil {
			t.Fatal(err)
		}
		first.Bars[0].Number, first.Notes[0].Pitch.Octave = "changed", 9
		if _, err := f.Notation(Options{}); err != nil {
			t.Fatal(err)
		}
		again, err := f.Score(Options{})
		if err != nil {
			t.Fatal(err)
		}
		if f.walks != 1 || again.Bars[0].Number == "changed" || again.Notes[0].Pitch.Octave == 9 {
			t.Errorf("%s: %d walks; bar %s begins with %s", path, f.walks, again.Bars[0].Number, again.Notes[0].Pitch)
		}
	}
}
