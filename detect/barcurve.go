package detect

import (
	"math"
	"slices"

	"hardbars/score"
)

// BarRule says how a bar's demand is made of what happens in it.
const BarRule = `A bar asks for its hard places and for the plain work of both hands, joined as the sides of a right angle
are: each alone is the least that the bar asks for. Hard places count at the bar's hardest instant. What happens at once
counts together: of each kind the hardest place in each hand, summed by fourth powers, and of that sum the fourth root. Two
places of demand 1 at once make 1.19, three make 1.32; something half as hard adds next to nothing. However much comes
together, it makes no more than one and a half times the hardest of it. What is hard to count, to read or to remember is
no part of it: that is the work of the mind, and done once.`

// mostTogether bounds what comes together, as a multiple of the hardest of it.
// Like the fourth power it is common practice: together is harder than each
// alone, yet no pile of small things is a great one.
const mostTogether = 1.5

// barDemand is the demand of each bar by BarRule, 0 where nothing is played.
func (p *Pass) barDemand() []float64 {
	demand := placesDemand(p.Score, p.found)
	for i, work := range p.plainWork() {
		demand[i] = math.Hypot(demand[i], work)
	}
	return demand
}

// placesDemand is what the hard places of each bar ask of the hands, 0 where nothing was found.
//
// What is found lasts from its start to its end, so demand rises only where
// something starts: it is enough to look there and at the barlines.
func placesDemand(s *score.Score, found []Occurrence) []float64 {
	var starting []*Occurrence
	for i := range found {
		if !found[i].ofMind {
			starting = append(starting, &found[i])
		}
	}
	slices.SortStableFunc(starting, func(a, b *Occurrence) int { return a.From.Cmp(b.From) })
	demand := make([]float64, len(s.Bars))
	var lasting []*Occurrence
	for i, bar := range s.Bars {
		for at := bar.Start; ; at = starting[0].From {
			lasting = slices.DeleteFunc(lasting, func(o *Occurrence) bool { return o.To.Cmp(at) <= 0 })
			for len(starting) > 0 && starting[0].From.Cmp(at) <= 0 {
				lasting, starting = append(lasting, starting[0]), starting[1:]
			}
			demand[i] = max(demand[i], together(lasting))
			if len(starting) == 0 || !starting[0].From.Less(bar.End()) {
				break
			}
		}
	}
	return demand
}

// together is the demand of what happens at once.
func together(found []*Occurrence) float64 {
	var hardest []*Occurrence // of each kind and hand
	for _, o := range found {
		same := func(h *Occurrence) bool { return h.Kind == o.Kind && h.Hand == o.Hand }
		switch i := slices.IndexFunc(hardest, same); {
		case i < 0:
			hardest = append(hardest, o)
		case hardest[i].Demand < o.Demand:
			hardest[i] = o
		}
	}
	most, sum := 0.0, 0.0
	for _, o := range hardest {
		most = max(most, o.Demand)
		sum += math.Pow(o.Demand, 4)
	}
	return min(math.Pow(sum, 0.25), mostTogether*most)
}
