package form

import (
	"cmp"
	"slices"
)

// description is bars that are to be written down as briefly as can be: each
// run of them either anew or as a copy of a run before it.
//
// A bar written anew costs its length. A bar that is part of a copy costs
// twice its length times the share of its notes that differ, so that a copy
// pays where more than half is the same. Each run costs something besides: the
// dearer it is, the fewer and the longer the runs.
//
// Bars are named here by their position in the list, not in the score.
type description struct {
	bars    *Bars
	index   []int  // of each bar, in Score.Bars
	first   []int  // the first bar that goes with each, in Score.Bars: a pickup, or itself
	cost    []int  // of each bar written anew, in thousandths of a quarter
	strain  []int  // of each bar
	signed  []bool // whether its strain is repeated by signs; no copy is made within one
	cut     []bool // whether a run must begin with it
	runCost int    // in thousandths of a quarter
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
	from      int // where the run begins
	source    int // of the run's last bar, or anew
	semitones int // how far the copy is transposed
	cost      int // of the whole
}

// shortest returns the runs of the shortest description.
func (d *description) shortest() []run {
	best := make([]draft, len(d.index)+1) // by how many bars are written
	var drafts []draft                    // those that may yet be the best
	for i := range d.index {
		var next []draft
		for _, dr := range drafts {
			if dr, ok := d.goOn(dr, i); ok {
				next = append(next, dr)
			}
		}
		next = append(next, d.begin(i, best[i].cost+d.runCost)...)
		best[i+1] = slices.MinFunc(next, func(a, b draft) int {
			return cmp.Or(a.cost-b.cost, a.source-b.source, a.semitones-b.semitones, a.from-b.from)
		})
		drafts = next[:0]
		for _, dr := range next {
			if dr.cost < best[i+1].cost+d.runCost { // no dearer than to begin its run here, after the best
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
	dr.cost += d.copying(dr.source, i, dr.semitones)
	return dr, dr.source < dr.from
}

// begin writes bar i as the first of a run, in each way that can pay.
func (d *description) begin(i, cost int) []draft {
	drafts := []draft{{i, anew, 0, cost + d.cost[i]}}
	if d.bars.Empty(d.index[i]) {
		return drafts
	}
	for source := max(0, i-mostBack); source < i; source++ {
		if d.signed[i] && d.strain[source] == d.strain[i] {
			continue
		}
		if c := d.copying(source, i, 0); c <= d.cost[i] {
			drafts = append(drafts, draft{i, source, 0, cost + c})
		}
		if semitones, ok := d.bars.Transposed(d.index[source], d.index[i]); ok && semitones != 0 {
			drafts = append(drafts, draft{i, source, semitones, cost})
		}
	}
	return drafts
}

// copying is what bar i costs as a copy.
func (d *description) copying(source, i, semitones int) int {
	x, y := d.index[source], d.index[i]
	most := d.bars.Most(x, y)
	if most == 0 {
		return 0
	}
	return 2 * d.cost[i] * (most - d.bars.Common(x, y, semitones)) / most
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

// joint is what tells whether a section may begin with a bar.
type joint uint8

const (
	none  joint = iota
	loose       // a run begins or ends, or what it is a copy of
	firm        // a sign cuts here, or in what is a copy of this
)

// joints finds where sections may begin: carried over from each copy to what
// it copies and back.
func (d *description) joints(runs []run) []joint {
	joints := make([]joint, len(d.index)+1)
	for _, r := range runs {
		joints[r.from] = max(joints[r.from], loose)
		if r.source != anew {
			end := r.source + r.to - r.from
			joints[r.source], joints[end] = max(joints[r.source], loose), max(joints[end], loose)
		}
	}
	for i, cut := range d.cut {
		if cut {
			joints[i] = firm
		}
	}
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
	return joints
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
	for _, kind := range []joint{firm, loose} {
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

// roomAt tells whether no section begins or ends within a few bars of bar i.
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
