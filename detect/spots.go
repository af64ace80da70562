package detect

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"hardbars/score"
)

// hotSpots makes hot spots of what was found: first of what is loud, then of
// the quiet occurrences that lie in none of these.
func hotSpots(s *score.Score, clock *Clock, found []Occurrence) []Spot {
	loud, quiet := apart(found)
	spots := merge(s, loud)
	spots = append(spots, merge(s, takeIn(spots, quiet))...)
	for i := range spots {
		spots[i].sumUp(s, clock)
	}
	return spots
}

// merge joins occurrences of one kind in one hand with at most one bar between
// neighbours. They, and the result, are by kind, hand and time.
func merge(s *score.Score, found []Occurrence) []Spot {
	var spots []Spot
	for _, o := range found {
		first, last := o.bars(s)
		if n := len(spots) - 1; n >= 0 && spots[n].joins(&o, first) {
			spots[n].add(o, last)
			continue
		}
		spot := Spot{Kind: o.Kind, Hand: o.Hand, From: o.From, FirstBar: first}
		spot.add(o, last)
		spots = append(spots, spot)
	}
	return spots
}

// joins tells whether an occurrence that begins in the bar first belongs to the spot.
func (sp *Spot) joins(o *Occurrence, first int) bool {
	return sp.Kind == o.Kind && sp.Hand == o.Hand && first-sp.LastBar <= 2
}

func (sp *Spot) add(o Occurrence, last int) {
	sp.Occurrences = append(sp.Occurrences, o)
	sp.LastBar = max(sp.LastBar, last)
	sp.To = score.Max(sp.To, o.To)
}

// sumUp takes the spot's figures and words from its hardest occurrence, and
// says in which bar that is where there is more than one.
func (sp *Spot) sumUp(s *score.Score, clock *Clock) {
	for i, o := range sp.Occurrences {
		if round3(o.Demand) > round3(sp.Occurrences[sp.Hardest].Demand) {
			sp.Hardest = i
		}
	}
	o := sp.Occurrences[sp.Hardest]
	sp.Demand, sp.Quiet, sp.Label, sp.Why = o.Demand, o.quiet(), o.Label, o.Why
	if sp.LastBar > sp.FirstBar && len(sp.Occurrences) > 1 {
		sp.Why = fmt.Sprintf("Hardest in bar %s: %s", s.Bars[s.BarAt(o.From)].Number, o.Why)
	}
	sp.Target = clock.QPM(o.From)
	if o.Timed && o.Demand > 0 {
		sp.Comfortable = sp.Target / o.Demand
	}
}

// raise is how much one doubling of a family's members adds to their weight.
// It only orders: the demand that is printed stays what it is. Common practice:
// what comes again pays its practice back more than once.
const raise = 0.05

// group finds the families, ranks the spots and names both.
//
// The hardest comes first, the quiet ones last. A spot's weight is its demand, raised by 5 % for
// each doubling of the number of spots in its family; equal weights go by
// demand, then by the earlier place.
func (r *Report) group() {
	members := map[string]int{}
	for i := range r.Spots {
		members[r.Spots[i].shape()]++
	}
	weight := func(sp *Spot) float64 {
		return round3(sp.Demand * (1 + raise*math.Log2(float64(members[sp.shape()]))))
	}
	slices.SortStableFunc(r.Spots, func(a, b Spot) int {
		return cmp.Or(quietLast(&a, &b), cmp.Compare(weight(&b), weight(&a)), cmp.Compare(round3(b.Demand), round3(a.Demand)), a.From.Cmp(b.From))
	})
	families := map[string]int{} // by shape, indices into r.Families
	for i := range r.Spots {
		sp := &r.Spots[i]
		sp.Rank, sp.ID = i+1, strconv.Itoa(i+1)
		n, known := families[sp.shape()]
		if !known {
			n = len(r.Families)
			families[sp.shape()] = n
			r.Families = append(r.Families, Family{ID: letters(n), Kind: sp.Kind, LearnFirst: sp.ID})
		}
		sp.Family = r.Families[n].ID
		r.Families[n].Spots = append(r.Families[n].Spots, sp.ID)
	}
	for _, f := range r.Families {
		slices.SortFunc(f.Spots, func(a, b string) int { return r.Spot(a).From.Cmp(r.Spot(b).From) })
	}
}

// shape is the same for spots that are the same problem again.
func (sp *Spot) shape() string {
	return string(sp.Kind) + " " + sp.Hand.String() + " " + sp.Occurrences[sp.Hardest].Shape
}

// Spot returns the hot spot with an id, nil where there is none.
func (r *Report) Spot(id string) *Spot {
	for i := range r.Spots {
		if r.Spots[i].ID == id {
			return &r.Spots[i]
		}
	}
	return nil
}

// Bars names the bars of a spot as printed: "12" or "12–15".
func (r *Report) Bars(sp *Spot) string {
	first, last := r.Score.Bars[sp.FirstBar].Number, r.Score.Bars[sp.LastBar].Number
	if sp.FirstBar == sp.LastBar {
		return first
	}
	return first + "–" + last
}

// letters counts A, B, … Z, AA, AB, … from 0.
func letters(n int) string {
	name := string(rune('A' + n%26))
	if n < 26 {
		return name
	}
	return letters(n/26-1) + name
}

// round3 makes comparisons the same on every machine.
func round3(x float64) float64 { return math.Round(x*1000) / 1000 }
