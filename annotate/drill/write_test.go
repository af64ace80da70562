package drill

import (
	"testing"

	"hardbars/score"
	"hardbars/score/notation"
	"hardbars/score/scoretest"
)

func TestClefs(t *testing.T) {
	bar := func(names ...string) []score.Pitch {
		var pitches []score.Pitch
		for _, name := range names {
			p, ok := score.ParsePitch(name)
			if !ok {
				t.Fatal(name)
			}
			pitches = append(pitches, p)
		}
		return pitches
	}
	for _, c := range []struct {
		was     clef
		hand    score.Hand
		notes   []score.Pitch
		want    clef
		octaves int
	}{
		{treble, score.Right, bar("C4", "E4"), treble, 0},
		{treble, score.Right, bar("C3", "E3"), bass, 0},
		{bass, score.Right, bar("E3", "C5"), treble, 0},
		{bass, score.Left, bar("G4", "E5"), treble, 0},
		{treble, score.Left, bar("C4"), bass, 0},
		{treble, score.Left, nil, treble, 0},
		{treble, score.Right, bar("F5", "F7"), treble, 1},
		{bass, score.Left, bar("A0", "C1"), bass, -1},
		{treble, score.Right, bar("C4", "E6"), treble, 0},
	} {
		got := c.was.next(c.hand, c.notes)
		if octaves := got.octaves(c.notes); got != c.want || octaves != c.octaves {
			t.Errorf("%s hand, after %s, %v: %s and %d, want %s and %d", c.hand, c.was.sign, c.notes, got.sign, octaves, c.want.sign, c.octaves)
		}
	}
}

// A bar gets a time signature that holds it, in note values.
func TestTimes(t *testing.T) {
	if !writable(score.Time{Beats: "3+2/8+2/4", BeatType: 8}) {
		t.Error("a composite signature is taken for unwritable")
	}
	if writable(score.Time{}) || writable(score.Time{Beats: "4", BeatType: 3}) {
		t.Error("no signature, or thirds of a whole note, are taken for writable")
	}
	for _, c := range []struct {
		length score.Rat
		want   string
	}{{score.Int(5), "5/4"}, {score.R(7, 2), "7/8"}, {score.R(1, 4), "1/16"}, {score.R(5, 3), "2/4"}} {
		if got := timeOf(c.length); got.String() != c.want || got.Length.Less(c.length) || notation.TupletPart(got.Length) != 1 {
			t.Errorf("%s quarters: %s, want %s", c.length, got, c.want)
		}
	}
}

// One place with lengths that no note has does not keep the others from being
// written.
func TestTooFine(t *testing.T) {
	s := scoretest.Piece{Right: []string{"C5:1 D5:1 E5:1 F5:1 | C5:1 D5:1 E5:1 F5:1 | C5:4 | D5:4 | C5:1 D5:1 E5:1 F5:1"}}.Score(t)
	for i, den := range []int64{1<<19 - 1, 1<<17 - 1} {
		n := &s.Notes[10+i]
		n.Length, n.Heads[0].Length = score.R(1, den), score.R(1, den)
	}
	r := everywhere(s)
	for i := range r.Spots {
		r.Spots[i].LastBar = r.Spots[i].FirstBar
	}
	first, last := &r.Spots[0], &r.Spots[4]
	if TooFine(r, first) || !TooFine(r, last) || !TooFine(r, first, last) {
		t.Errorf("too fine: %v, %v, both %v; want the last and both", TooFine(r, first), TooFine(r, last), TooFine(r, first, last))
	}
}
