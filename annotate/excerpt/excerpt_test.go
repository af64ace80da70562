package excerpt

import (
	"path/filepath"
	"slices"
	"testing"

	"hardbars/annotate/engrave"
	"hardbars/annotate/palette"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest/library"
)

// eighths is a score of bars of 4/4 in which the right hand strikes eighths and
// the left hand nothing; each note is a head of its own, numbered from 0.
func eighths(bars int) *score.Score {
	s := &score.Score{Tempos: []score.Tempo{{QPM: 60, Beat: score.Int(1)}}}
	for i := range bars {
		start := score.Int(int64(4 * i))
		s.Bars = append(s.Bars, score.Bar{Number: "x", Index: i + 1, Start: start, Length: score.Int(4), Time: score.Time{Beats: "4", BeatType: 4, Length: score.Int(4)}})
		for j := range 8 {
			at := start.Add(score.R(int64(j), 2))
			s.Notes = append(s.Notes, score.Note{
				Bar: i, Onset: at, Length: score.R(1, 2), Pitch: score.Pitch{Step: "CDEFGABC"[j], Octave: 4 + j/7},
				Heads: []score.Head{{ID: len(s.Notes), Bar: i, Onset: at, Length: score.R(1, 2), Staff: 1}},
			})
		}
	}
	return s
}

// at is a report of a score with one hot spot of one occurrence.
func at(s *score.Score, o detect.Occurrence) (*detect.Report, *detect.Spot) {
	r := &detect.Report{Score: s, Player: detect.DefaultPlayer()}
	r.Spots = []detect.Spot{{
		ID: "1", Kind: o.Kind, Hand: o.Hand, From: o.From, To: o.To, Demand: o.Demand,
		FirstBar: s.BarAt(o.From), LastBar: s.BarEnding(o.To), Occurrences: []detect.Occurrence{o},
	}}
	return r, &r.Spots[0]
}

// Worked by hand: a bar of eight attacks is too little music, and takes the next
// one; what is in motion to the barline takes the bar in which it arrives; no
// more than four bars are shown.
func TestHardestBars(t *testing.T) {
	q := score.Int
	roll, leap := detect.PianoRoll{}, detect.KeyMove{From: []int{60}, To: []int{62}}
	for _, tt := range []struct {
		from, to    score.Rat
		picture     detect.Picture
		first, last int
		cut         bool
	}{
		{q(5), q(6), leap, 1, 2, false},
		{q(5), q(9), leap, 1, 2, false},
		{q(5), q(12), leap, 1, 2, false},
		{q(5), q(12), roll, 1, 3, false},
		{q(0), q(32), roll, 0, 3, true},
		{q(29), q(31), leap, 6, 7, false},
		{q(24), q(32), roll, 6, 7, false},
	} {
		r, spot := at(eighths(8), detect.Occurrence{From: tt.from, To: tt.to, Picture: tt.picture})
		if e := Hardest(r, spot); e.First != tt.first || e.Last != tt.last || e.Cut != tt.cut {
			t.Errorf("%v to %v, %T: bars %d to %d, cut %v; want %d to %d, %v", tt.from, tt.to, tt.picture, e.First, e.Last, e.Cut, tt.first, tt.last, tt.cut)
		}
		if e := Whole(r, spot); e.First != spot.FirstBar || e.Last != spot.LastBar || e.Cut {
			t.Errorf("the whole is %+v", e)
		}
	}
	r, spot := at(eighths(1), detect.Occurrence{To: q(4), Picture: leap})
	if e := Hardest(r, spot); e.First != 0 || e.Last != 0 {
		t.Errorf("in one bar: %d to %d", e.First, e.Last)
	}
}

// 3 over 2 in one quarter strikes at 0, 1/3, 1/2 and 2/3 of it, both hands at
// the first (arithmetic).
func TestTicks(t *testing.T) {
	r, spot := at(eighths(2), detect.Occurrence{Hand: score.Both, From: score.Int(1), To: score.Int(2), Notes: []int{2, 3},
		Picture: detect.RhythmGrid{Right: []int{0, 2, 4}, Left: []int{0, 3}, Grid: 6, Span: score.Int(1)}})
	want := []engrave.Tick{
		{At: score.Int(1), Right: true, Left: true}, {At: score.R(4, 3), Right: true},
		{At: score.R(3, 2), Left: true}, {At: score.R(5, 3), Right: true},
	}
	o := Hardest(r, spot).Options()
	if !slices.Equal(o.Picks.Grid, want) {
		t.Errorf("got %v, want %v", o.Picks.Grid, want)
	}
	if !slices.Equal(o.Picks.Notes, []int{2, 3}) || o.From != (score.Rat{}) || o.To != score.Int(8) {
		t.Errorf("got %+v", o)
	}
}

// A leap goes from the last head of the note that is left, which is tied, to the
// first one that is reached; a landing in another part of the page has no arrow.
func TestLeapArrow(t *testing.T) {
	s := eighths(4)
	s.Notes[4].Heads = append(s.Notes[4].Heads, score.Head{ID: 100, Bar: 0, Staff: 1})
	occ := detect.Occurrence{From: score.Int(2), To: score.R(7, 2), Notes: []int{4, 6}, Picture: detect.KeyMove{From: []int{67}, To: []int{71}, MM: 56.4}}
	r, spot := at(s, occ)
	want := engrave.Leap{From: 100, To: 6, Label: "a major third"}
	if got := Hardest(r, spot).Options().Picks.Leaps; len(got) != 1 || got[0] != want {
		t.Errorf("got %v, want %v", got, want)
	}
	occ.Notes = []int{4, 30}
	r, spot = at(s, occ)
	if got := Hardest(r, spot).Options().Picks; len(got.Leaps) != 0 || !slices.Equal(got.Notes, []int{4, 100}) {
		t.Errorf("a leap to another part of the page: %+v", got)
	}
}

// The changes of the pedal come at their places after the attack.
func TestHeld(t *testing.T) {
	r, spot := at(eighths(3), detect.Occurrence{From: score.Int(2), To: score.Int(8), Notes: []int{4},
		Picture: detect.HeldNote{Length: score.Int(6), Changes: []score.Rat{score.Int(2), score.Int(4)}}})
	got := Hardest(r, spot).Options().Picks.Held
	if len(got) != 1 || !slices.Equal(got[0].Notes, []int{4}) || got[0].Until != score.Int(8) ||
		!slices.Equal(got[0].Changes, []score.Rat{score.Int(4), score.Int(6)}) {
		t.Errorf("got %+v", got)
	}
}

// TestEverySpot: whatever is found in the project's own scores, what is picked
// out stands in the bars that are shown, among them all of the hardest place
// that is not cut off, once each, in the colour of its kind.
func TestEverySpot(t *testing.T) {
	for _, path := range library.Own(t, ".musicxml") {
		f, err := musicxml.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		s, err := f.Score(musicxml.Options{})
		if err != nil {
			t.Fatal(err)
		}
		r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
		heads := map[int]score.Head{}
		for i := range s.Notes {
			for _, h := range s.Notes[i].Heads {
				heads[h.ID] = h
			}
		}
		for i := range r.Spots {
			sp := &r.Spots[i]
			for _, e := range []Excerpt{Hardest(r, sp), Whole(r, sp)} {
				checkPicks(t, filepath.Base(path)+" "+sp.ID, r, sp, e, heads)
			}
		}
	}
}

func checkPicks(t *testing.T, name string, r *detect.Report, sp *detect.Spot, e Excerpt, heads map[int]score.Head) {
	t.Helper()
	o := e.Options()
	if o.Picks.Colour != palette.Of(sp.Kind) || o.From != r.Score.Bars[e.First].Start || o.To != r.Score.Bars[e.Last].End() {
		t.Errorf("%s: %+v", name, o)
	}
	seen := map[int]bool{}
	for _, id := range o.Picks.Notes {
		if h := heads[id]; h.Bar < e.First || h.Bar > e.Last || seen[id] {
			t.Errorf("%s: head %d of bar %d is picked in %d to %d (twice: %v)", name, id, h.Bar, e.First, e.Last, seen[id])
		}
		seen[id] = true
	}
	for _, n := range sp.Occurrences[sp.Hardest].Notes {
		for _, h := range r.Score.Notes[n].Heads {
			if !seen[h.ID] && e.First <= h.Bar && h.Bar <= e.Last && !h.Hidden {
				t.Errorf("%s: head %d is not picked", name, h.ID)
			}
		}
	}
	for _, tick := range o.Picks.Grid {
		if tick.At.Less(o.From) || !tick.At.Less(o.To) || !tick.Right && !tick.Left {
			t.Errorf("%s: tick %+v outside %v to %v", name, tick, o.From, o.To)
		}
	}
	for _, l := range o.Picks.Leaps {
		if !seen[l.From] || !seen[l.To] || l.Label == "" {
			t.Errorf("%s: leap %+v", name, l)
		}
	}
}
