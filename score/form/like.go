package form

import "slices"

// Like is how a section is like one before it.
type Like struct {
	Section   int     // index into Form.Sections
	Semitones int     // how far it is transposed: most of it, where not all is alike
	Share     float64 // of the notes struck in the fuller of the two that are in both, transposed or not
	Exact     bool    // the same in every note, transposed or not
	Known     float64 // how far it is known again by its tune and harmony, from 0 to 1
	Differ    []int   // the bars that are not the same, indices into Score.Bars
}

// Relation is in what way one section is like another.
type Relation string

const (
	Exact      Relation = "exact"
	Transposed Relation = "transposed" // exactly
	Varied     Relation = "varied"     // transposed or not
	Tune       Relation = "tune"       // the tune comes again, newly set; transposed or not
)

// Relation tells in what way.
func (l *Like) Relation() Relation {
	switch {
	case !l.Exact && l.Share < leastLike:
		return Tune
	case !l.Exact:
		return Varied
	case l.Semitones != 0:
		return Transposed
	}
	return Exact
}

// leastLike is the share of notes that two sections of one letter have in
// common at least, or nearly how far one is known again. Common practice.
const leastLike = 0.5

// strength is how much two sections are alike: the same notes count a little
// more than the same tune.
func (l *Like) strength() float64 { return max(l.Share, 0.9*l.Known) }

// mostLike is how many sections back one is looked for that is like another.
const mostLike = 200

// like finds the section before i that it is most like, the first of several;
// nil where none has enough in common.
func (d *description) like(sections []run, i int) *Like {
	var best *Like
	for j := max(0, i-mostLike); j < i; j++ {
		l := d.compare(sections[j], sections[i])
		l.Section = j
		if strength := l.strength(); strength >= leastLike && (best == nil || strength > best.strength()) {
			best = &l
		}
	}
	return best
}

// compare lays section b beside section a, bar by bar. Each bar may be
// transposed by any interval by which some bar is, as a whole or by its tune.
// Where little is alike so, a few bars may have been put in or left out.
func (d *description) compare(a, b run) Like {
	beside := alignment{a: a, b: b}
	l := d.compareAs(beside)
	if l.strength() < leastLike && min(a.to-a.from, b.to-b.from) >= 2*fewestBars {
		for beside.shift = -mostShift; beside.shift <= mostShift; beside.shift++ {
			beside.split = d.split(beside)
			if shifted := d.compareAs(beside); shifted.strength() > l.strength() {
				l = shifted
			}
		}
	}
	return l
}

// mostShift is how many bars may have been put in or left out within a section.
const mostShift = 3

// alignment lays section b beside section a: from a bar on, by its place in b,
// it is shifted.
type alignment struct {
	a, b         run
	split, shift int
}

// beside is the bar of a beside bar k of b, by its place in the description;
// false where there is none.
func (al alignment) beside(k int) (x int, ok bool) {
	x = al.a.from + k
	if k >= al.split {
		x += al.shift
	}
	return x, x >= al.a.from && x < al.a.to
}

// split finds from which bar on the shift brings most.
func (d *description) split(al alignment) int {
	plain, shifted := al, al
	plain.shift, shifted.split = 0, 0
	intervals := append(d.intervals(plain), d.intervals(shifted)...)
	gain, best, split := 0.0, 0.0, al.b.to-al.b.from
	for k := al.b.to - al.b.from - 1; k >= 0; k-- {
		gain += d.likest(shifted, k, intervals) - d.likest(plain, k, intervals)
		if gain > best {
			best, split = gain, k
		}
	}
	return split
}

// likest is how far bar k of b is known again, by the interval that is best.
func (d *description) likest(al alignment, k int, intervals []int) float64 {
	x, ok := al.beside(k)
	if !ok {
		return 0
	}
	most := 0.0
	for _, semitones := range intervals {
		most = max(most, d.themes.like(d.index[x], d.index[al.b.from+k], semitones))
	}
	return most
}

// compareAs compares two sections as they are aligned.
func (d *description) compareAs(al alignment) Like {
	a, b := al.a, al.b
	intervals := d.intervals(al)
	moved := make([]int, len(intervals)) // notes that are the same when moved by each
	common, known := 0, 0.0
	for k := range b.to - b.from {
		x, ok := al.beside(k)
		if !ok {
			continue
		}
		most := 0
		for n, semitones := range intervals {
			count := d.bars.Common(d.index[x], d.index[b.from+k], semitones)
			most = max(most, count)
			moved[n] += count
		}
		common += most
		known += d.likest(al, k, intervals)
	}
	main := slices.Index(moved, slices.Max(moved))
	l := Like{Semitones: intervals[main], Differ: d.differ(al, intervals[main])}
	l.Exact = l.Differ == nil && a.to-a.from == b.to-b.from
	l.Known = known / float64(max(a.to-a.from, b.to-b.from))
	if most := max(d.notes(a), d.notes(b)); most > 0 {
		l.Share = float64(common) / float64(most)
	}
	return l
}

// intervals are those by which bars of b are transposed against a, unison first.
func (d *description) intervals(al alignment) []int {
	all := []int{0}
	for k := range al.b.to - al.b.from {
		x, ok := al.beside(k)
		if !ok {
			continue
		}
		semitones, ok := d.transposed(d.index[x], d.index[al.b.from+k])
		if ok && !slices.Contains(all, semitones) {
			all = append(all, semitones)
		}
	}
	return all
}

// differ lists the bars of b that are not those of a, transposed.
func (d *description) differ(al alignment, semitones int) []int {
	var bars []int
	for k := range al.b.to - al.b.from {
		y := d.index[al.b.from+k]
		if x, ok := al.beside(k); ok {
			if moved, ok := d.bars.Transposed(d.index[x], y); ok && (moved == semitones || d.bars.Empty(d.index[x])) {
				continue
			}
		}
		bars = append(bars, y)
	}
	return bars
}

// notes counts what is struck in a run.
func (d *description) notes(r run) int {
	count := 0
	for _, bar := range d.index[r.from:r.to] {
		count += len(d.bars.struck[bar])
	}
	return count
}
