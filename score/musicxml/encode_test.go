package musicxml

import (
	"bytes"
	"cmp"
	"encoding/json"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"hardbars/score"
	"hardbars/score/notation"
	"hardbars/score/scoretest/library"
)

// What is encoded is read again as the same, table by table, for every score of
// the project and, where they are present, every shared one.
func TestEncodeIsReadAgain(t *testing.T) {
	paths := append(library.Own(t), library.Shared(t)...)
	for _, path := range paths {
		t.Run(filepath.Base(path), func(t *testing.T) {
			f, err := Open(path)
			if err != nil {
				t.Fatal(err)
			}
			want, err := f.Notation(Options{})
			if err != nil {
				t.Fatal(err)
			}
			var b bytes.Buffer
			if err := Encode(&b, want); err != nil {
				t.Fatal(err)
			}
			again, err := Read(&b, "again")
			if err != nil {
				t.Fatal(err)
			}
			got, err := again.Notation(Options{})
			if err != nil {
				t.Fatal(err)
			}
			compareTables(t, got, want)
		})
	}
}

func compareTables(t *testing.T, got, want *notation.Score) {
	t.Helper()
	a, b := reflect.ValueOf(*renumbered(got)), reflect.ValueOf(*renumbered(want))
	for i := range a.NumField() {
		x, y := a.Field(i), b.Field(i)
		name := a.Type().Field(i).Name
		if x.Kind() != reflect.Slice {
			if !reflect.DeepEqual(x.Interface(), y.Interface()) {
				t.Errorf("%s is %v, want %v", name, x, y)
			}
			continue
		}
		if x.Len() != y.Len() {
			t.Errorf("%d %s, want %d", x.Len(), name, y.Len())
		}
		told := 0
		for k := range min(x.Len(), y.Len()) {
			p, _ := json.Marshal(x.Index(k).Interface())
			q, _ := json.Marshal(y.Index(k).Interface())
			if !bytes.Equal(p, q) && told < 3 {
				told++
				t.Errorf("%s %d is\n%s, want\n%s", name, k, p, q)
			}
		}
	}
}

// renumbered is a score with the chords at one place in the order of their voices,
// the notes numbered in the order of the chords, and without the list of what is
// left out.
func renumbered(s *notation.Score) *notation.Score {
	n := *s
	n.LeftOut = nil
	order := make([]int, len(s.Chords))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := &s.Chords[i], &s.Chords[j]
		return cmp.Or(cmp.Compare(a.Bar, b.Bar), a.At.Cmp(b.At), cmp.Compare(a.Staff, b.Staff), cmp.Compare(a.Voice, b.Voice), graceFirst(a, b))
	})
	chords, ids := map[int]int{-1: -1}, map[int]int{-1: -1}
	n.Chords = nil
	for to, from := range order {
		chords[from] = to
		c := s.Chords[from]
		c.Hand = score.Right // no sign tells it
		c.Notes = slices.Clone(c.Notes)
		for k := range c.Notes {
			ids[c.Notes[k].ID] = len(ids)
			c.Notes[k].ID = ids[c.Notes[k].ID]
		}
		n.Chords = append(n.Chords, c)
	}
	n.Ties, n.Slurs, n.Tuplets, n.Arpeggios, n.Slides = nil, nil, nil, nil, nil
	for _, t := range s.Ties {
		t.From, t.To = ids[t.From], ids[t.To]
		n.Ties = append(n.Ties, t)
	}
	for _, b := range s.Slurs {
		b.From, b.To = chords[b.From], chords[b.To]
		n.Slurs = append(n.Slurs, b)
	}
	for _, t := range s.Tuplets {
		t.From, t.To = chords[t.From], chords[t.To]
		n.Tuplets = append(n.Tuplets, t)
	}
	for _, sp := range s.Arpeggios {
		sp.Chords, sp.Notes = mapped(sp.Chords, chords), mapped(sp.Notes, ids)
		n.Arpeggios = append(n.Arpeggios, sp)
	}
	for _, sl := range s.Slides {
		sl.From, sl.To = ids[sl.From], ids[sl.To]
		n.Slides = append(n.Slides, sl)
	}
	slices.SortFunc(n.Ties, func(a, b notation.Tie) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To)) })
	slices.SortFunc(n.Slurs, func(a, b notation.Slur) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To)) })
	slices.SortFunc(n.Tuplets, func(a, b notation.Tuplet) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.Depth, b.Depth))
	})
	return &n
}

// mapped is numbers by their new ones, in order.
func mapped(numbers []int, to map[int]int) []int {
	var out []int
	for _, n := range numbers {
		out = append(out, to[n])
	}
	slices.Sort(out)
	return out
}
