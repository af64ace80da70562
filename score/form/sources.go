package form

import "slices"

// sources finds the bars that a copy may begin from, without comparing each bar
// with each: by the notes and the tunes that they have in common.
//
// Bars that no comparison tells apart are one class, and stand here once.
type sources struct {
	d       *description
	class   []int   // of each bar
	bars    [][]int // of each class, as far as they have been written
	listed  []int   // of each class, when it was entered last; 0 for never
	notes   map[attack][]entry
	tunes   map[tone][]entry // key as a pitch class
	shapes  map[int][]int    // classes by the shape of their bars
	contour map[string][]int // classes by their contour
	common  []int            // of each class, with the bar looked at: notes
	tune    []int            // and tones of the tune
}

// entry is a class in a list, and when it was entered.
type entry struct{ class, when int }

func newSources(d *description) *sources {
	s := &sources{d: d, notes: map[attack][]entry{}, tunes: map[tone][]entry{}, shapes: map[int][]int{}, contour: map[string][]int{}}
	type kind struct {
		same     int
		contour  string
		first, n int
		harmony  [12]float64
	}
	known := numbers[kind]{}
	for _, bar := range d.index {
		th := &d.themes[bar]
		k := kind{same: d.bars.same[bar], contour: contourOf(th.tune), n: len(th.tune), harmony: th.harmony}
		if k.n > 0 {
			k.first = th.tune[0].key
		}
		s.class = append(s.class, known.of(k))
	}
	n := len(known)
	s.bars, s.listed, s.common, s.tune = make([][]int, n), make([]int, n), make([]int, n), make([]int, n)
	return s
}

// How many bars of one class are tried, the first and the last, where there are many: what
// is the same again and again is known by some of them.
const firstTried, lastTried = 32, 32

// of lists the bars before bar i, and not too far back, that have enough in common
// with it for a copy to pay, or that it may be a transposition of; in order.
func (s *sources) of(i int) []int {
	bar := s.d.index[i]
	struck, th := s.d.bars.struck[bar], &s.d.themes[bar]
	var touched []int
	count := func(list []entry, of []int) []entry {
		return slices.DeleteFunc(list, func(e entry) bool {
			if s.listed[e.class] != e.when || last(s.bars[e.class]) < i-mostBack {
				return true
			}
			if s.common[e.class] == 0 && s.tune[e.class] == 0 {
				touched = append(touched, e.class)
			}
			of[e.class]++
			return false
		})
	}
	for _, a := range struck {
		s.notes[a] = count(s.notes[a], s.common)
	}
	for _, t := range th.tune {
		t.key = ((t.key % 12) + 12) % 12
		s.tunes[t] = count(s.tunes[t], s.tune)
	}
	var classes []int
	for _, c := range touched {
		x := s.d.index[s.bars[c][0]]
		// A third is less than pays; so is two fifths of the tune.
		if 3*s.common[c] >= s.d.bars.Most(x, bar) || 5*s.tune[c] >= len(th.tune)+len(s.d.themes[x].tune) {
			classes = append(classes, c)
		}
		s.common[c], s.tune[c] = 0, 0
	}
	classes = append(classes, s.shapes[s.d.bars.shape[bar]]...)
	if th.contour != "" {
		classes = append(classes, s.contour[th.contour]...)
	}
	slices.Sort(classes)
	var all []int
	for _, c := range slices.Compact(classes) {
		for _, source := range few(s.bars[c]) {
			if source >= i-mostBack {
				all = append(all, source)
			}
		}
	}
	slices.Sort(all)
	return all
}

// add enters bar i, for those after it.
func (s *sources) add(i int) {
	c := s.class[i]
	bar := s.d.index[i]
	of := s.bars[c]
	if len(of) == 0 || last(of) < i-mostBack {
		s.listed[c] = i + 1
		e := entry{c, i + 1}
		for _, a := range s.d.bars.struck[bar] {
			s.notes[a] = append(s.notes[a], e)
		}
		for _, t := range s.d.themes[bar].tune {
			t.key = ((t.key % 12) + 12) % 12
			s.tunes[t] = append(s.tunes[t], e)
		}
	}
	if len(of) == 0 {
		shape, contour := s.d.bars.shape[bar], s.d.themes[bar].contour
		s.shapes[shape] = append(s.shapes[shape], c)
		if contour != "" {
			s.contour[contour] = append(s.contour[contour], c)
		}
	}
	s.bars[c] = append(of, i)
}

func last(list []int) int { return list[len(list)-1] }
