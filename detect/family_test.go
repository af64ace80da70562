package detect

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hardbars/score"
	"hardbars/score/scoretest"
)

func TestFamilies(t *testing.T) {
	r := reportOf(in(3, 3, "a", 1), in(9, 9, "a", 2), in(15, 15, "a", 2), in(21, 21, "b", 0.5))
	if len(r.Families) != 2 {
		t.Fatalf("got %+v", r.Families)
	}
	a, b := r.Families[0], r.Families[1]
	if a.ID != "A" || fmt.Sprint(a.Spots) != "[3 1 2]" || a.LearnFirst != "1" || a.Share != 0.75 || len(a.Relations) != 2 {
		t.Errorf("got %+v", a)
	}
	if b.ID != "B" || fmt.Sprint(b.Spots) != "[4]" || b.LearnFirst != "4" || b.Share != 0.25 || len(b.Relations) != 0 {
		t.Errorf("got %+v", b)
	}
}

// TestMotifFind compares with plain looking at every place.
func TestMotifFind(t *testing.T) {
	s := scoretest.Piece{Right: []string{"C5:1 D5:1 E5:1 C5:1 | D5:1 E5:1 F#5:1 D5:1 | C5:1 D5:1 E5:1 D5:2/3 E5:1/3"}, Left: []string{"r:4"}}.Score(t)
	notes := func(from, to int) (all []int) {
		for i := from; i < to; i++ {
			all = append(all, i)
		}
		return all
	}
	f := newMotif(s, notes(0, len(s.Notes)))
	for _, c := range []struct {
		from, to int
		same     sameness
		want     int
	}{
		{0, 4, bySemitones, 0}, {4, 8, bySemitones, 0}, {5, 7, bySemitones, 0}, {6, 8, bySemitones, 2},
		{4, 8, bySteps, 0}, {8, 11, bySemitones, 0}, {10, 13, byRhythm, 10}, {10, 13, bySteps, 10}, {0, 1, bySemitones, 0},
	} {
		if got := f.find(newMotif(s, notes(c.from, c.to)), c.same); got != c.want {
			t.Errorf("notes %d to %d: found at %d, want %d", c.from, c.to, got, c.want)
		}
	}
	if f.find(nil, byRhythm) != -1 || newMotif(s, nil).find(f, byRhythm) != -1 {
		t.Error("nothing is found, or something in nothing")
	}
}

// What twins spare is comparing, nothing else.
func TestTwinsChangeNoFamily(t *testing.T) {
	pair := func(a, b string) string { return strings.Repeat(a+" | "+b+" | r:4 | r:4 | ", 3) + a + " | " + b }
	s := scoretest.Piece{
		QPM: 90,
		Right: []string{pair("C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 r:2", "r:4") + " | r:4 | r:4 | " +
			pair("D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 G5+B5:1/2 r:2", "r:4")},
		Left: []string{strings.Repeat("C2:1 C4:1 D2:1 D4:1 | C2:1 G4:1 C2:1 G4:1 | r:4 | r:4 | ", 7) + "C2:4"},
	}.Score(t)
	spots := Analyze(s, DefaultPlayer(), []*Detector{barByBar}).Spots
	k := newKinship(s, spots)
	with := k.families()
	twins := 0
	for i := range k.twins {
		if k.twins[i] != i {
			twins++
		}
		k.twins[i] = i
	}
	if without := k.families(); !slices.Equal(with, without) {
		t.Errorf("families %v with twins, %v without", with, without)
	}
	if twins < 6 {
		t.Errorf("%d of %d spots have an earlier twin: too few to tell anything", twins, len(spots))
	}
}

// barByBar finds what each hand plays in each bar.
var barByBar = &Detector{Kind: "bar", Run: func(p *Pass) {
	for hand, events := range p.Events {
		for i := range p.Score.Bars {
			bar := &p.Score.Bars[i]
			o := Occurrence{Hand: score.Hand(hand), From: bar.Start, To: bar.End(), Demand: 1, Shape: "bar"}
			for _, e := range events {
				if p.Score.BarAt(e.At) == i {
					o.Notes = append(o.Notes, e.Struck...)
				}
			}
			if len(o.Notes) > 0 {
				p.Report(o)
			}
		}
	}
}}
