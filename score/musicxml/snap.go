package musicxml

import (
	"slices"

	"hardbars/score"
)

// A file's clock can run a little late in one voice: a gap or a hidden rest of a
// few divisions, a player's timing cut to a grid. Nobody hears, and nobody writes,
// notes so near each other: the place that a neighbour has on the beat is theirs too.
var (
	neighbour = score.R(1, 64)  // less apart than this, a place off the grid is its neighbour's
	rounding  = score.R(1, 240) // less apart than this, two places off the grid are one
	finest    = int64(96)       // a place that needs so fine a division is no written one
)

// snap puts the notes and signs of a bar that stand beside the places of others on
// them.
func (r *reader) snap() {
	bars := map[int][]*pageNote{}
	for w := range r.written() {
		if !w.wholeBar {
			bars[w.Bar] = append(bars[w.Bar], w)
		}
	}
	items := map[int][]*placed{}
	for i := range r.items {
		items[r.items[i].bar] = append(items[r.items[i].bar], &r.items[i])
	}
	for bar := range r.bars {
		r.snapBar(bar, bars[bar], items[bar])
		r.cutOver(bar, bars[bar])
	}
}

// over is how much one voice may run over a bar that another fills, and be cut.
var over = score.R(1, 4)

// cutOver ends a bar with its time signature where a full-size note ends there and
// what goes on is less than a quarter of a beat.
func (r *reader) cutOver(bar int, notes []*pageNote) {
	b := &r.bars[bar]
	full := b.time.Length
	if full.IsZero() || b.end.Cmp(full) <= 0 || over.Cmp(b.end.Sub(full)) <= 0 {
		return
	}
	fills := func(w *pageNote) bool { return !w.Hidden && !w.cue && w.end() == full }
	beyond := func(w *pageNote) bool { return w.Onset.Cmp(full) >= 0 }
	if slices.ContainsFunc(notes, fills) && !slices.ContainsFunc(notes, beyond) {
		r.warner.add(bar, "a voice runs %s over the bar: cut", quarters(b.end.Sub(full)))
		b.end = full
	}
}

func (r *reader) snapBar(bar int, notes []*pageNote, items []*placed) {
	if !slices.ContainsFunc(notes, func(w *pageNote) bool { return offGrid(w.Onset) }) {
		return
	}
	places := []score.Rat{{}}
	if full := r.bars[bar].time.Length; full.Sign() > 0 {
		places = append(places, full)
	}
	for _, w := range notes {
		for _, at := range []score.Rat{w.Onset, w.end()} {
			if !offGrid(at) {
				places = append(places, at)
			}
		}
	}
	slices.SortFunc(places, score.Rat.Cmp)
	places = withAlone(slices.Compact(places), notes)
	moved := 0
	for _, w := range notes {
		from, to := nearest(places, w.Onset), nearest(places, w.end())
		if from != w.Onset {
			moved++
		}
		if w.grace {
			w.Onset = from
		} else if from.Less(to) {
			w.Onset, w.Length = from, to.Sub(from)
		}
	}
	for _, item := range items {
		item.at, item.soundAt = nearest(places, item.at), nearest(places, item.soundAt)
	}
	if moved > 0 {
		r.warner.add(bar, "%s less than 1/64 of a quarter beside the other voices: put on their beat", counted(moved, "note"))
	}
	r.bars[bar].end = nearest(places, r.bars[bar].end)
}

// withAlone adds places off the grid that have no neighbour on it; of those that
// are nearer to each other than a file rounds, the simplest.
func withAlone(places []score.Rat, notes []*pageNote) []score.Rat {
	var alone []score.Rat
	for _, w := range notes {
		if offGrid(w.Onset) && nearest(places, w.Onset) == w.Onset {
			alone = append(alone, w.Onset)
		}
	}
	slices.SortFunc(alone, score.Rat.Cmp)
	for i := 0; i < len(alone); {
		simplest := alone[i]
		for first := alone[i]; i < len(alone) && alone[i].Sub(first).Less(rounding); i++ {
			if alone[i].Den() < simplest.Den() {
				simplest = alone[i]
			}
		}
		places = append(places, simplest)
	}
	slices.SortFunc(places, score.Rat.Cmp)
	return places
}

// offGrid reports whether a place is at no division that music is written in: neither
// a plain value's nor a usual tuplet's.
func offGrid(at score.Rat) bool { return at.Den() >= finest && onlySmall(at.Den()) }

// onlySmall reports whether a number has no prime factor above 7: those that files
// divide a quarter by. What has one comes from a tuplet's symbol and is exact.
func onlySmall(n int64) bool {
	for _, p := range []int64{2, 3, 5, 7} {
		for n%p == 0 {
			n /= p
		}
	}
	return n == 1
}

// nearest is the place of a sorted list to which one that is off the grid belongs,
// or the place itself.
func nearest(places []score.Rat, at score.Rat) score.Rat {
	if !offGrid(at) {
		return at
	}
	i, found := slices.BinarySearchFunc(places, at, score.Rat.Cmp)
	if found {
		return at
	}
	best, off := at, neighbour
	for _, p := range places[max(0, i-1):min(i+1, len(places))] {
		if d := distance(p, at); d.Less(off) {
			best, off = p, d
		}
	}
	return best
}
