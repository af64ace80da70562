package sheet

import (
	"math"
	"slices"
	"testing"

	"hardbars/detect"
	"hardbars/detect/hand"
)

// Worked by hand: two rhythms that share their first attack have m + n − 1
// attacks, and the gaps of 3 over 2 are 2 1 1 2 of 6, of 4 over 3
// 3 1 2 2 1 3 of 12.
func TestComposite(t *testing.T) {
	tests := []struct {
		m, n int
		want []int
	}{
		{3, 2, []int{2, 1, 1, 2}},
		{2, 3, []int{2, 1, 1, 2}},
		{4, 3, []int{3, 1, 2, 2, 1, 3}},
	}
	for _, tt := range tests {
		strikes := grid(tt.m, tt.n).Strikes()
		if got := gaps(strikes, tt.m*tt.n); !slices.Equal(got, tt.want) {
			t.Errorf("%d over %d: gaps %v, want %v", tt.m, tt.n, got, tt.want)
		}
	}
	for m := 2; m <= 16; m++ {
		if got, want := len(grid(m, m+1).Strikes()), 2*m; got != want {
			t.Errorf("%d over %d: %d attacks, want %d", m, m+1, got, want)
		}
	}
}

func grid(m, n int) detect.RhythmGrid {
	return detect.RhythmGrid{Right: multiples(n, m*n), Left: multiples(m, m*n), Grid: m * n, PerRight: m, PerLeft: n}
}

// Octaves are equally wide wherever they lie, and what is drawn stays within
// the width.
func TestKeyboardIsToScale(t *testing.T) {
	for low := lowestKey; low+12 <= highestKey; low++ {
		k := keyboardFor([]int{low, low + 12}, 50, 0, 100)
		if got, want := k.at(low+12)-k.at(low), hand.Distance(low, low+12)*k.scale; math.Abs(got-want) > 1e-9 {
			t.Errorf("the octave from key %d is %g mm on paper, want %g", low, got, want)
		}
		if left, right := k.at(k.low)-hand.KeyWidth(k.low)*k.scale/2, k.at(k.high)+hand.KeyWidth(k.high)*k.scale/2; left < 50-1e-9 || right > 150+1e-9 {
			t.Errorf("the keyboard for key %d reaches from %g to %g", low, left, right)
		}
		if hand.IsBlack(k.low) || hand.IsBlack(k.high) || k.low < lowestKey || k.high > highestKey {
			t.Errorf("the keyboard for key %d ends at keys %d and %d", low, k.low, k.high)
		}
	}
}

// A score may ask for keys that no piano has: they are drawn all the same.
func TestKeyboardBeyondThePiano(t *testing.T) {
	k := keyboardFor([]int{13, 115}, 0, 0, 100)
	if k.low > 13 || k.high < 115 || hand.IsBlack(k.low) || hand.IsBlack(k.high) {
		t.Errorf("the keyboard for keys 13 and 115 ends at keys %d and %d", k.low, k.high)
	}
}

// Keys that are spread are numbered in the order of playing, keys that are
// taken at once by their fingers.
func TestSpreadNumbers(t *testing.T) {
	keys := []int{48, 55, 64}
	for _, tt := range []struct {
		spread detect.KeyChord
		want   []int
	}{
		{detect.KeyChord{Keys: keys}, []int{1, 2, 3}},
		{detect.KeyChord{Keys: keys, Downward: true}, []int{3, 2, 1}},
		{detect.KeyChord{Keys: keys, Fingers: []int{5, 2, 1}}, []int{5, 2, 1}},
	} {
		for i, want := range tt.want {
			if got := spreadNumber(tt.spread, i); got != want {
				t.Errorf("%+v: key %d is numbered %d, want %d", tt.spread, i, got, want)
			}
		}
	}
}

func TestStripShowsThePassages(t *testing.T) {
	for _, r := range []*detect.Report{usual(), crowded(100, 200), crowded(17, 40)} {
		c := sheetOfPaper()
		s := newStrip(c, frames["a4"], r, 2)
		seen := map[int]bool{}
		for first := 0; first < len(r.Score.Bars); first += s.perRow {
			for _, lane := range s.assign(c, first, min(first+s.perRow, len(r.Score.Bars))) {
				for i, sp := range lane {
					seen[sp.passage.Order] = true
					if l, r := s.extent(c, sp); l < 0 || r > s.width()+1e-9 {
						t.Errorf("passage %s from %g to %g leaves the row", sp.number(), l, r)
					}
					if !s.free(c, lane[:i], sp) {
						t.Errorf("passage %s meets another in its lane", sp.number())
					}
				}
			}
		}
		for i := range r.Passages {
			if p := &r.Passages[i]; p.Shortlist && !p.Habit && !seen[p.Order] {
				t.Errorf("passage %d is not on the strip", p.Order)
			}
		}
	}
}

func TestRowLength(t *testing.T) {
	for bars, want := range map[int]int{1: 16, 16: 16, 17: 24, 32: 16, 33: 24, 48: 16, 100: 40, 120: 40, 121: 48, 194: 44, 600: 60, 2000: 200} {
		if got := rowLength(bars); got != want {
			t.Errorf("%d bars: %d a row, want %d", bars, got, want)
		}
	}
}
