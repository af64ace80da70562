package form

import "slices"

// Like is how a section is like one before it.
type Like struct {
	Section   int     // index into Form.Sections
	Semitones int     // how far it is transposed: most of it, where not all is alike
	Share     float64 // of the notes struck in the fuller of the two that are in both, transposed or not
	Exact     bool    // the same in every note, transposed or not
	Differ    []int   // the bars that are not the same, indices into Score.Bars
}

// Relation is in what way one section is like another.
type Relation string

const (
	Exact      Relation = "exact"
	Transposed Relation = "transposed" // exactly
	Varied     Relation = "varied"     // transposed or not
)

// Relation tells in what way.
func (l *Like) Relation() Relation {
	switch {
	case !l.Exact:
		return Varied
	case l.Semitones != 0:
		return Transposed
	}
	return Exact
}

// leastLike is the share of notes that two sections of one letter have in
// common at least. Common practice.
const leastLike = 0.5

// mostLike is how many sections back one is looked for that is like another.
const mostLike = 200

// like finds the section before i that it is most like, the first of several;
// nil where none has enough in common.
func (d *description) like(sections []run, i int) *Like {
	var best *Like
	for j := max(0, i-mostLike); j < i; j++ {
		l := d.compare(sections[j], sections[i])
		l.Section = j
		if l.Share >= leastLike && (best == nil || l.Share > best.Share) {
			best = &l
		}
	}
	return best
}

// compare lays section b beside section a, bar by bar. Each bar may be
// transposed by any interval by which some bar is, as a whole.
func (d *description) compare(a, b run) Like {
	intervals := d.intervals(a, b)
	moved := make([]int, len(intervals)) // notes that are the same when moved by each
	common := 0
	for k := range min(a.to-a.from, b.to-b.from) {
		most := 0
		for n, semitones := range intervals {
			count := d.bars.Common(d.index[a.from+k], d.index[b.from+k], semitones)
			most = max(most, count)
			moved[n] += count
		}
		common += most
	}
	main := slices.Index(moved, slices.Max(moved))
	l := Like{Semitones: intervals[main], Differ: d.differ(a, b, intervals[main])}
	l.Exact = l.Differ == nil && a.to-a.from == b.to-b.from
	if most := max(d.notes(a), d.notes(b)); most > 0 {
		l.Share = float64(common) / float64(most)
	}
	return l
}

// intervals are those by which bars of b are transposed against a, unison first.
func (d *description) intervals(a, b run) []int {
	all := []int{0}
	for k := range min(a.to-a.from, b.to-b.from) {
		semitones, ok := d.bars.Transposed(d.index[a.from+k], d.index[b.from+k])
		if ok && !slices.Contains(all, semitones) {
			all = append(all, semitones)
		}
	}
	return all
}

// differ lists the bars of b that are not those of a, transposed.
func (d *description) differ(a, b run, semitones int) []int {
	var bars []int
	for k := range b.to - b.from {
		y := d.index[b.from+k]
		if a.from+k < a.to {
			x := d.index[a.from+k]
			if moved, ok := d.bars.Transposed(x, y); ok && (moved == semitones || d.bars.Empty(x)) {
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
