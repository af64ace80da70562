package kinds

import (
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score/scoretest"
)

// places puts bars three apart, with rests between, so that each is a hot spot
// of its own. Where a bar is a pair of bars it stands as two.
func places(bars ...string) string { return strings.Join(bars, " | r:4 | r:4 | ") }

// relations lists the families of a kind: for each the bars to learn first,
// then the other bars with how they are like these.
func relations(r *detect.Report, kind detect.Kind) []string {
	var all []string
	for _, f := range r.Families {
		if f.Kind != kind {
			continue
		}
		all = append(all, "learn "+r.Bars(r.Spot(f.LearnFirst)))
		for _, rel := range f.Relations {
			all = append(all, r.Bars(r.Spot(rel.Spot))+": "+rel.Text)
		}
	}
	return all
}

func TestRelations(t *testing.T) {
	const (
		thirds  = "C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 G5+B5:1/2 A5+C6:1/2 r:1"
		rest    = "r:4"
		triplet = "C3:2/3 E3:2/3 G3:2/3 r:2"
	)
	for _, c := range []struct {
		name        string
		kind        detect.Kind
		right, left string
		want        []string
	}{
		{"the same bar", "parallel-thirds", places(thirds, thirds), "r:4",
			[]string{"learn 1", "4: same as bar 1"}},
		{"the same notes in another bar", "parallel-thirds", places(thirds, "r:1 C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 G5+B5:1/2 A5+C6:1/2"), "r:4",
			[]string{"learn 1", "4: same as bar 1"}},
		{"transposed", "parallel-thirds", places(thirds, "F4+A4:1/2 G4+Bb4:1/2 A4+C5:1/2 Bb4+D5:1/2 C5+E5:1/2 D5+F5:1/2 r:1"), "r:4",
			[]string{"learn 1", "4: same, a fifth lower"}},
		{"in the key", "parallel-thirds", places(thirds, "D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 G5+B5:1/2 A5+C6:1/2 B5+D6:1/2 r:1"), "r:4",
			[]string{"learn 1", "4: same in the key, a step higher"}},
		{"shorter", "parallel-thirds", places("C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 r:2", thirds, "C6+E6:1/2 D6+F6:1/2 E6+G6:1/2 F6+A6:1/2 r:2"), "r:4",
			[]string{"learn 4", "1: same as bar 4", "7: shorter form, an octave higher"}},
		{"small changes", "parallel-thirds", places(thirds, "D5+F#5:1/2 E5+G5:1/2 F#5+A5:1/2 G5+B5:1/2 F#5+A5:1/2 B5+D6:1/2 r:1"), "r:4",
			[]string{"learn 1", "4: same with small changes, a whole tone higher"}},
		{"other accidentals", "parallel-thirds", places(thirds, "C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 F#5+A5:1/2 G5+B5:1/2 A5+C6:1/2 r:1"), "r:4",
			[]string{"learn 1", "4: same, other accidentals"}},
		{"other notes", "cross-rhythm", places("C5:1 D5:1 r:2", "E5:1 C5:1 r:2"), places(triplet, triplet),
			[]string{"learn 1", "4: same rhythm, other notes"}},
		{"unlike", "parallel-thirds", places(thirds, "A5+C6:1/2 G5+B5:1/2 A5+C6:1/2 E5+G5:1/2 D5+F5:1/2 C5+E5:1/2 r:1"), "r:4",
			[]string{"learn 1", "learn 4"}},
	} {
		if Find(c.kind) == nil {
			continue // a kind that was taken out
		}
		s := scoretest.Piece{QPM: 90, Right: []string{c.right}, Left: []string{c.left}}.Score(t)
		if got := relations(detect.Analyze(s, detect.DefaultPlayer(), All), c.kind); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// What is learnt first is the hardest, and it holds the others where several
// are as hard.
func TestLearnFirst(t *testing.T) {
	const short, long = "C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 r:2", "C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 G5+B5:1/2 r:3/2"
	const quick = "C5+E5:1/4 D5+F5:1/4 E5+G5:1/4 F5+A5:1/4 r:3"
	s := scoretest.Piece{QPM: 90, Right: []string{places(short, long, short)}, Left: []string{"r:4"}}.Score(t)
	if got := relations(detect.Analyze(s, detect.DefaultPlayer(), All), "parallel-thirds"); got[0] != "learn 4" {
		t.Errorf("all as hard: %q, want the longer in bar 4", got)
	}
	s = scoretest.Piece{QPM: 90, Right: []string{places(quick, long, quick)}, Left: []string{"r:4"}}.Score(t)
	if got := relations(detect.Analyze(s, detect.DefaultPlayer(), All), "parallel-thirds"); got[0] != "learn 1" || got[1] != "7: same as bar 1" {
		t.Errorf("quicker is another shape: %q", got)
	}
}

// study is bars in which many kinds are found, with tempo to make them loud.
var study = scoretest.Piece{
	QPM: 120,
	Right: []string{places(
		"C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 G5+B5:1/2 A5+C6:1/2 r:1",
		"C5:1/4 D5:1/4 E5:1/4 F5:1/4 G5:1/4 A5:1/4 B5:1/4 C6:1/4 D6:1/4 C6:1/4 B5:1/4 A5:1/4 G5:1/4 F5:1/4 E5:1/4 D5:1/4",
		"C5:1/2 D5:1/2 E5:1/2 F5:1/2 G5:1/2 F5:1/2 E5:1/2 D5:1/2",
		"D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 G5+B5:1/2 A5+C6:1/2 B5+D6:1/2 r:1",
	)},
	Left: []string{places(
		"C2:1/2 E4+G4:1/2 C2:1/2 E4+G4:1/2 r:2",
		"r:4",
		"C3:1/3 E3:1/3 G3:1/3 C3:1/3 E3:1/3 G3:1/3 C3:1/3 E3:1/3 G3:1/3 C3:1/3 E3:1/3 G3:1/3",
		"F2:1/2 A4+C5:1/2 F2:1/2 A4+C5:1/2 r:2",
	)},
}

// kin describes families by the places of their spots.
func kin(r *detect.Report) []string {
	var all []string
	for _, f := range r.Families {
		text := string(f.Kind)
		for _, id := range f.Spots {
			text += " " + r.Bars(r.Spot(id))
		}
		all = append(all, text)
	}
	slices.Sort(all)
	return all
}

// An octave higher the hands and keys are the same, and so are the families of
// what they do. How it is to be read is not: there are other ledger lines.
func TestFamiliesTransposed(t *testing.T) {
	s := study.Score(t)
	ofHands := slices.DeleteFunc(slices.Clone(All), func(d *detect.Detector) bool { return d.OfMind })
	before := kin(detect.Analyze(s, detect.DefaultPlayer(), ofHands))
	if len(before) < 4 {
		t.Fatalf("the study has only %q", before)
	}
	for i := range s.Notes {
		s.Notes[i].Pitch.Octave++
	}
	if after := kin(detect.Analyze(s, detect.DefaultPlayer(), ofHands)); !slices.Equal(before, after) {
		t.Errorf("%q, an octave higher %q", before, after)
	}
}

// A piece with a copy of itself after it has the same families, each in both halves.
func TestFamiliesTwice(t *testing.T) {
	once := len(study.Score(t).Bars)
	twice := study
	twice.Right, twice.Left = []string{places(study.Right[0], study.Right[0])}, []string{places(study.Left[0], study.Left[0])}
	r := detect.Analyze(twice.Score(t), detect.DefaultPlayer(), All)
	for _, f := range r.Families {
		first, second := 0, 0
		for _, id := range f.Spots {
			if r.Spot(id).LastBar < once {
				first++
			}
			if r.Spot(id).FirstBar > once {
				second++
			}
		}
		if first != second || first == 0 {
			t.Errorf("family %s, %s, has %d spots in the first half and %d in the second", f.ID, f.Kind, first, second)
		}
		for _, rel := range f.Relations {
			if rel.Text == "" {
				t.Errorf("family %s: no words for spot %s", f.ID, rel.Spot)
			}
		}
	}
}
