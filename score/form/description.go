package form

import (
	"cmp"
	"math"
	"slices"
)

// description is bars that are to be written down as briefly as can be: each
// run of them either anew or as a copy of a run before it.
//
// A bar written anew costs its length. A bar that is part of a copy costs
// twice its length times the share of it that differs, so that a copy pays
// where more than half is the same: in its notes, or as a listener knows it
// again. Each run costs something besides: the
// dearer it is, the fewer and the longer the runs.
//
// Bars are named here by their position in the list, not in the score.
type description struct {
	bars     *Bars
	themes   themes
	index    []int  // of each bar, in Score.Bars
	first    []int  // the first bar that goes with each, in Score.Bars: a pickup, or itself
	cost     []int  // of each bar written anew, in thousandths of a quarter
	strain   []int  // of each bar
	signed   []bool // whether its strain is repeated by signs; no copy is made within one
	cut      []bool // whether a run must begin with it
	runCost  int    // in thousandths of a quarter
	knowCost int    // what a copy that is known again costs besides
}

// mostBack is how many bars back a copy is looked for.
const mostBack = 1000

// run is bars in a row.
type run struct {
	from, to int // to is not part of it
	source   int // where the bars begin that it is a copy of, or anew
}

// anew is the source of a run that is no copy.
const anew = -1

// draft is a description up to some bar, by its last run.
type draft struct {
	from      int  // where the run begins
	source    int  // of the run's last bar, or anew
	semitones int  // how far the copy is transposed
	known     bool // it is a copy as a listener knows it again, and not by its notes
	cost      int  // of the whole
}

// shortest returns the runs of the shortest description.
func (d *description) shortest() []run {
	best := make([]draft, len(d.index)+1) // by how many bars are written
	var drafts []draft                    // those that may yet be the best
	sources := newSources(d)
	for i := range d.index {
		var next []draft
		for _, dr := range drafts {
			if dr, ok := d.goOn(dr, i); ok {
				next = append(next, dr)
			}
		}
		next = append(next, d.begin(i, best[i].cost+d.runCost, sources.of(i))...)
		sources.add(i)
		best[i+1] = slices.MinFunc(next, func(a, b draft) int {
			return cmp.Or(a.cost-b.cost, a.source-b.source, a.semitones-b.semitones, a.from-b.from)
		})
		drafts = next[:0]
		for _, dr := range cheapest(undominated(next)) {
			again := best[i+1].cost + d.runCost
			if dr.known {
				again += d.knowCost
			}
			if dr.cost < again { // no dearer than to begin its run here, after the best
				drafts = append(drafts, dr)
			}
		}
	}
	return runs(best)
}

// goOn writes bar i as part of the draft's last run.
func (d *description) goOn(dr draft, i int) (draft, bool) {
	if d.cut[i] {
		return dr, false
	}
	if dr.source == anew {
		dr.cost += d.cost[i]
		return dr, true
	}
	dr.source++
	dr.cost += d.copying(dr, i)
	return dr, dr.source < dr.from
}

// undominated leaves out drafts for which another goes on in the same way for no
// more, and has begun no earlier: a copy ends where it meets itself.
func undominated(drafts []draft) []draft {
	slices.SortFunc(drafts, func(a, b draft) int {
		known := func(dr draft) int {
			if dr.known {
				return 1
			}
			return 0
		}
		return cmp.Or(a.source-b.source, a.semitones-b.semitones, known(a)-known(b), a.cost-b.cost, a.from-b.from)
	})
	var kept []draft
	for _, dr := range drafts {
		if n := len(kept) - 1; n >= 0 && kept[n].source == dr.source && kept[n].semitones == dr.semitones && kept[n].known == dr.known && kept[n].from >= dr.from {
			continue
		}
		kept = append(kept, dr)
	}
	return kept
}

// mostDrafts is more than a piece of music leaves open at once.
const mostDrafts = 256

// cheapest keeps the drafts that cost least, of many.
func cheapest(drafts []draft) []draft {
	if len(drafts) <= mostDrafts {
		return drafts
	}
	slices.SortStableFunc(drafts, func(a, b draft) int { return cmp.Or(a.cost-b.cost, a.from-b.from) })
	return drafts[:mostDrafts]
}

// begin writes bar i as the first of a run, in each way that can pay.
func (d *description) begin(i, cost int, sources []int) []draft {
	drafts := []draft{{from: i, source: anew, cost: cost + d.cost[i]}}
	if d.bars.Empty(d.index[i]) {
		return drafts
	}
	for _, source := range sources {
		if d.signed[i] && d.strain[source] == d.strain[i] {
			continue
		}
		for _, dr := range d.copies(source, i) {
			if c := d.copying(dr, i); c <= d.cost[i] {
				dr.cost += cost + c
				drafts = append(drafts, dr)
			}
		}
	}
	return drafts
}

// copies are the ways in which bar i can begin a copy from bar source on. To
// know something again costs half a run more than to find its notes.
func (d *description) copies(source, i int) []draft {
	x, y := d.index[source], d.index[i]
	all := []draft{{from: i, source: source}, {from: i, source: source, known: true, cost: d.knowCost}}
	if semitones, ok := d.bars.Transposed(x, y); ok && semitones != 0 {
		all = append(all, draft{from: i, source: source, semitones: semitones})
	}
	if semitones, ok := d.themes.transposed(x, y); ok && semitones != 0 {
		all = append(all, draft{from: i, source: source, semitones: semitones, known: true, cost: d.knowCost})
	}
	return all
}

// transposed reports whether bar y is bar x transposed, all of it or its tune.
func (d *description) transposed(x, y int) (semitones int, ok bool) {
	if semitones, ok = d.bars.Transposed(x, y); ok {
		return semitones, true
	}
	return d.themes.transposed(x, y)
}

// copying is what bar i costs as a copy of a draft's source.
func (d *description) copying(dr draft, i int) int {
	x, y := d.index[dr.source], d.index[i]
	most := d.bars.Most(x, y)
	if most == 0 {
		return 0
	}
	same := float64(d.bars.Common(x, y, dr.semitones)) / float64(most)
	if dr.known {
		same = max(same, d.themes.like(x, y, dr.semitones))
	}
	return int(math.Round(2 * float64(d.cost[i]) * (1 - same)))
}

// runs reads the shortest description from its end.
func runs(best []draft) []run {
	var all []run
	for to := len(best) - 1; to > 0; {
		dr := best[to]
		r := run{dr.from, to, anew}
		if dr.source != anew {
			r.source = dr.source - (to - 1 - dr.from)
		}
		all = append(all, r)
		to = dr.from
	}
	slices.Reverse(all)
	return all
}

// joint is what reports whether a section may begin with a bar.
type joint uint8

const (
	none   joint = iota
	ending       // a copy ends, or what it is a copy of
	start        // a copy begins, or what it is a copy of
	firm         // a sign cuts here, or in what is a copy of this
)

// snap is how many bars the end of a copy may be off: the last bars before a
// new section are often changed, to lead into it.
const snap = 2

// joints finds where sections may begin: carried over from each copy to what
// it copies and back. Where a copy ends a little before or after something
// that begins in what it is a copy of, that is where it ends.
func (d *description) joints(runs []run) []joint {
	joints := make([]joint, len(d.index)+1)
	for i, cut := range d.cut {
		if cut {
			joints[i] = firm
		}
	}
	for _, r := range runs {
		if r.source != anew {
			joints[r.from] = max(joints[r.from], start)
			joints[r.source] = max(joints[r.source], start)
		}
	}
	carryOver(joints, runs)
	for _, r := range runs {
		if r.source == anew {
			continue
		}
		off := snapped(joints, r)
		end := r.source + r.to - r.from
		joints[r.to+off], joints[end+off] = max(joints[r.to+off], ending), max(joints[end+off], ending)
	}
	carryOver(joints, runs)
	return joints
}

// snapped is by how many bars the end of a copy is off.
func snapped(joints []joint, r run) int {
	end := r.source + r.to - r.from
	for _, off := range []int{0, 1, -1, snap, -snap} {
		if at := end + off; at > r.source && at < len(joints) && r.to+off < len(joints) && joints[at] >= start {
			return off
		}
	}
	return 0
}

// carryOver gives every bar of a copy and what it is a copy of the same joint.
func carryOver(joints []joint, runs []run) {
	for changed := true; changed; {
		changed = false
		for _, r := range runs {
			for i := r.from + 1; r.source != anew && i < r.to; i++ {
				source := r.source + i - r.from
				if a, b := joints[i], joints[source]; a != b {
					joints[i], joints[source], changed = max(a, b), max(a, b), true
				}
			}
		}
	}
}

// fewestBars of a section, unless signs make it so. Common practice.
const fewestBars = 3

// sections cuts the bars at the joints, the firm ones first, and then joins
// the sections that only ever come one after the other.
func (d *description) sections() []run {
	if len(d.index) == 0 {
		return nil
	}
	joints := d.joints(d.shortest())
	begins := slices.Clone(d.cut)
	for _, kind := range []joint{firm, start, ending} {
		for i := range begins {
			if joints[i] == kind && !begins[i] && d.roomAt(i, begins) {
				begins[i] = true
			}
		}
	}
	var sections []run
	for i, begin := range begins {
		if begin {
			sections = append(sections, run{from: i, source: anew})
		}
		sections[len(sections)-1].to = i + 1
	}
	for {
		joined := d.join(sections)
		if len(joined) == len(sections) {
			return sections
		}
		sections = joined
	}
}

// roomAt reports whether no section begins or ends within a few bars of bar i.
func (d *description) roomAt(i int, begins []bool) bool {
	if i+fewestBars > len(begins) {
		return false
	}
	for k := max(0, i-fewestBars+1); k < i+fewestBars; k++ {
		if begins[k] {
			return false
		}
	}
	return true
}

// join makes one section of two wherever they come together, if neither comes
// without the other and no sign is between them.
func (d *description) join(sections []run) []run {
	kind := make([]int, len(sections)) // the first section that each is like
	comes := make([]int, len(sections))
	for i := range sections {
		kind[i] = i
		if l := d.like(sections, i); l != nil {
			kind[i] = kind[l.Section]
		}
		comes[kind[i]]++
	}
	together := map[[2]int]int{}
	for i := 1; i < len(sections); i++ {
		if !d.cut[sections[i].from] {
			together[[2]int{kind[i-1], kind[i]}]++
		}
	}
	joined := []run{sections[0]}
	for i := 1; i < len(sections); i++ {
		last := &joined[len(joined)-1]
		a, b := kind[i-1], kind[i]
		n := together[[2]int{a, b}]
		if a != b && n == comes[a] && n == comes[b] && last.from == sections[i-1].from {
			last.to = sections[i].to
			continue
		}
		joined = append(joined, sections[i])
	}
	return joined
}
