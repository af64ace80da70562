package detect

import (
	"fmt"
	"math"

	"hardbars/score"
)

func Round1(x float64) float64 { return math.Round(x*10) / 10 }

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

// joins reports whether an occurrence that begins in the bar first belongs to the spot.
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
		if Round3(o.Demand) > Round3(sp.Occurrences[sp.Hardest].Demand) {
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

// hardest is the occurrence that speaks for the spot.
func (sp *Spot) hardest() *Occurrence { return &sp.Occurrences[sp.Hardest] }

// PastComfort reports whether the spot asks for more than this player does in comfort.
func (sp *Spot) PastComfort() bool { return sp.Demand > 1 }

// Hard are the occurrences that make the spot hard: those past comfort, or
// where none is, those as hard as its hardest.
func (sp *Spot) Hard() []Occurrence {
	var hard []Occurrence
	for _, o := range sp.Occurrences {
		if o.Demand > 1 || !sp.PastComfort() && Round3(o.Demand) == Round3(sp.Demand) {
			hard = append(hard, o)
		}
	}
	return hard
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

// Round3 makes comparisons the same on every machine.
func Round3(x float64) float64 { return math.Round(x*1000) / 1000 }
