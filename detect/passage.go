package detect

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"hardbars/score"
)

// PassageRule says what passages and habits are and how the shortlist is made.
const PassageRule = `A passage is what one practises: one to eight bars with the hard places of every kind that lie in them, cut where
the music breathes. A figure that goes through much of the piece is a habit: it is learnt once, in a few typical bars, and
counts elsewhere only where it gets harder. The shortlist is the few passages that together teach the most: what is learnt
in one is known wherever the same bars or the same problem come again, and no two on it teach the same thing.`

// Passage is bars that are practised together.
type Passage struct {
	ID          string // the same in every analysis that cuts the same bars: "22-25", by ordinal; "habit-1-4" of a habit
	First, Last int    // indices into Score.Bars, inclusive
	From, To    score.Rat
	Hand        score.Hand // that the troubles are in; Both where they are in both
	Troubles    []Trouble  // the hardest first, one for each kind and hand; never empty
	Spots       []string   // ids of the hot spots that lie in it, in the order of Troubles, then by rank
	Demand      float64    // of its hardest trouble
	Comfortable float64    // quarter notes a minute at which no trouble asks for more than comfort; 0 where tempo changes none that is past it
	Target      float64    // quarter notes a minute in force where it is hardest

	Habit     bool    // one figure through much of the piece: First to Last are the bars to learn it in
	Harder    []int   // of a habit, the bars where it asks for clearly more than there; indices into Score.Bars
	Shortlist bool    // one of the few to learn
	Order     int     // place on the shortlist, from 1; 0 off it
	Covers    []int   // of the shortlist, the other bars in which the same is asked, known once this is learnt; indices into Score.Bars
	Share     float64 // of the shortlist, how much of all trouble it teaches that those before it do not
}

// Trouble is what one kind of hard place asks for in one hand within a passage.
type Trouble struct {
	Kind    Kind
	Hand    score.Hand
	Spot    string      // id of the hot spot that the hardest place belongs to
	Hardest *Occurrence // in these bars
}

// Figures by which passages are made. Common practice.
const (
	longestPassage  = 8    // bars
	easyLength      = 4    // bars: what is longer costs a little for each bar
	mostListed      = 12   // passages on a shortlist
	barsToOne       = 8    // bars of the piece for each passage on the shortlist
	easyBase        = 0.6  // of the greatest demand of a piece within comfort, from which its places count
	mostEasy        = 3    // passages on the shortlist of a piece within comfort
	habitShare      = 0.4  // of the bars in which its hand plays, that a habit goes through
	fewestHabitBars = 12   // bars of a habit
	harderHabit     = 1.25 // demand over a habit's usual one from which a bar of it counts for itself
	usualShare      = 0.2  // of its weight, that a bar counts in which a habit is no harder than usual
	mostCounted     = 3.0  // demand above which a place counts no more for the choice
	enoughTaught    = 0.02 // of all trouble, that a passage on the shortlist must add
	ownTrouble      = 0.35 // of its own trouble, that must not be taught elsewhere
	familyShare     = 0.8  // of a trouble, that is learnt with a harder one of its family
)

// FindPassages cuts the piece into passages and chooses the shortlist, by what
// the report holds now.
func (r *Report) FindPassages() { r.Passages = r.passages() }

func (r *Report) passages() []Passage {
	troubles := r.troubles()
	if len(troubles) == 0 {
		return nil
	}
	habits := r.habits(troubles)
	base := baseline(troubles)
	weighTroubles(troubles, base)
	var all []Passage
	for _, h := range habits {
		all = append(all, r.newPassage(h.first, h.last, troubles, h))
	}
	for _, cut := range r.cut(troubles) {
		all = append(all, r.newPassage(cut[0], cut[1], troubles, nil))
	}
	r.shortlist(all, troubles)
	slices.SortStableFunc(all, func(a, b Passage) int {
		return cmp.Or(cmp.Compare(listed(&a), listed(&b)), a.First-b.First, a.Last-b.Last)
	})
	return all
}

// listed orders passages: the shortlist in its order, then the others.
func listed(p *Passage) int {
	if p.Order == 0 {
		return math.MaxInt
	}
	return p.Order
}

// barTrouble is one kind of hard place in one hand in one bar.
type barTrouble struct {
	kind   Kind
	hand   score.Hand
	bar    int
	spot   *Spot
	o      *Occurrence // the hardest there
	habit  *habit      // that it is part of; nil for none
	weight float64     // what it counts
}

// troubles lists, bar by bar, what is hard of each kind in each hand.
func (r *Report) troubles() []barTrouble {
	type key struct {
		bar  int
		kind Kind
		hand score.Hand
	}
	at := map[key]int{}
	var all []barTrouble
	for i := range r.Spots {
		sp := &r.Spots[i]
		if sp.Quiet {
			continue
		}
		for j := range sp.Occurrences {
			o := &sp.Occurrences[j]
			first, last := o.bars(r.Score)
			for bar := first; bar <= last; bar++ {
				k := key{bar, o.Kind, o.Hand}
				n, known := at[k]
				switch {
				case !known:
					at[k] = len(all)
					all = append(all, barTrouble{kind: o.Kind, hand: o.Hand, bar: bar, spot: sp, o: o})
				case Round3(o.Demand) > Round3(all[n].o.Demand):
					all[n].spot, all[n].o = sp, o
				}
			}
		}
	}
	slices.SortStableFunc(all, func(a, b barTrouble) int { return cmp.Or(a.bar-b.bar, byHand(a.kind, b.kind, a.hand, b.hand)) })
	return all
}

// baseline is the demand above which a place counts: comfort, or in a piece
// that hardly passes it a part of the most that is asked.
func baseline(troubles []barTrouble) float64 {
	most := 0.0
	for _, t := range troubles {
		most = max(most, t.o.Demand)
	}
	return min(1, easyBase*most)
}

// weighTroubles says what each trouble counts: its demand above the baseline,
// and a part of that where a habit is no harder than usual.
func weighTroubles(troubles []barTrouble, base float64) {
	for i := range troubles {
		t := &troubles[i]
		t.weight = max(0, min(t.o.weight(), mostCounted)-base)
		if t.isUsual() {
			t.weight *= usualShare
		}
	}
}

// isUsual reports whether a trouble is part of a habit and no harder than that
// is elsewhere.
func (t *barTrouble) isUsual() bool { return t.habit != nil && !t.habit.isHarder(t.o.Demand) }

// cut chooses the bars of passages, first and last of each, so that they hold
// as much trouble as possible in few passages that begin and end where the
// music breathes.
func (r *Report) cut(troubles []barTrouble) [][2]int {
	n := len(r.Score.Bars)
	held := make([]float64, n)
	for _, t := range troubles {
		if t.isUsual() {
			continue
		}
		held[t.bar] = max(held[t.bar], t.weight) + 0.25*min(held[t.bar], t.weight)
	}
	normalize(held)
	seamCost := breaths(r.Score)
	const one, seam, empty, long = 0.4, 0.3, 0.4, 0.4 // what a passage costs, a cut in the middle of a phrase, a bar without trouble, and each bar past an easy length
	best := make([]float64, n+1)
	from := make([]int, n+1)
	for to := 1; to <= n; to++ {
		best[to], from[to] = best[to-1], -1
		gain := 0.0
		for first := to - 1; first >= max(0, to-longestPassage); first-- {
			gain += held[first]
			if held[first] == 0 {
				gain -= empty
			}
			if to-first > easyLength {
				gain -= long
			}
			if total := Round3(best[first] + gain - one - seam*(seamCost[first]+seamCost[to])); total > best[to] && held[first] > 0 {
				best[to], from[to] = total, first
			}
		}
	}
	var cuts [][2]int
	for to := n; to > 0; {
		if from[to] < 0 {
			to--
			continue
		}
		cuts = append(cuts, [2]int{from[to], to - 1})
		to = from[to]
	}
	slices.Reverse(cuts)
	return cuts
}

// normalize gives every bar with trouble 1 and up to 1 more for how much it
// has, so that each is worth a passage, were it alone.
func normalize(values []float64) {
	most := 0.0
	for _, v := range values {
		most = max(most, v)
	}
	for i, v := range values {
		if v > 0 {
			values[i] = 1 + v/most
		}
	}
}

// newPassage sums up what lies in some bars; of a habit's bars only the habit.
func (r *Report) newPassage(first, last int, troubles []barTrouble, h *habit) Passage {
	p := Passage{
		ID:    fmt.Sprintf("%d-%d", first+1, last+1),
		First: first, Last: last, From: r.Score.Bars[first].Start, To: r.Score.Bars[last].End(),
	}
	if h != nil {
		p.ID, p.Habit, p.Harder = "habit-"+p.ID, true, h.harder
	}
	var hardest []*barTrouble // of each kind and hand
	for i := range troubles {
		t := &troubles[i]
		if t.bar < first || t.bar > last || h != nil && (t.kind != h.kind || t.hand != h.hand) {
			continue
		}
		same := func(other *barTrouble) bool { return other.kind == t.kind && other.hand == t.hand }
		switch n := slices.IndexFunc(hardest, same); {
		case n < 0:
			hardest = append(hardest, t)
		case Round3(t.o.Demand) > Round3(hardest[n].o.Demand):
			hardest[n] = t
		}
	}
	slices.SortStableFunc(hardest, func(a, b *barTrouble) int {
		return cmp.Or(cmp.Compare(Round3(b.weight), Round3(a.weight)), cmp.Compare(Round3(b.o.Demand), Round3(a.o.Demand)))
	})
	for _, t := range hardest {
		p.Troubles = append(p.Troubles, Trouble{Kind: t.kind, Hand: t.hand, Spot: t.spot.ID, Hardest: t.o})
	}
	p.sumUp(r)
	return p
}

// sumUp takes a passage's figures from its troubles.
func (p *Passage) sumUp(r *Report) {
	p.Hand = handOf(p.Troubles)
	for _, t := range p.Troubles {
		target := r.Clock.QPM(t.Hardest.From)
		if t.Hardest.Demand > p.Demand {
			p.Demand, p.Target = t.Hardest.Demand, target
		}
		if t.Hardest.Timed && t.Hardest.Demand > 0 {
			if c := target / t.Hardest.Demand; p.Comfortable == 0 || c < p.Comfortable {
				p.Comfortable = c
			}
		}
		if !slices.Contains(p.Spots, t.Spot) {
			p.Spots = append(p.Spots, t.Spot)
		}
	}
	for i := range r.Spots {
		if sp := &r.Spots[i]; !p.Habit && !sp.Quiet && sp.Within(p.First, p.Last) && !slices.Contains(p.Spots, sp.ID) {
			p.Spots = append(p.Spots, sp.ID)
		}
	}
}

// handOf is the hand of the hardest of some troubles, and Both where the other
// hand's are nearly as hard.
func handOf(troubles []Trouble) score.Hand {
	if len(troubles) == 0 {
		return score.Both
	}
	hardest := troubles[0]
	for _, t := range troubles {
		if t.Hand != hardest.Hand && t.Hardest.Demand > 0.8*hardest.Hardest.Demand {
			return score.Both
		}
	}
	return hardest.Hand
}
