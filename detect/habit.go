package detect

import (
	"cmp"
	"slices"

	"hardbars/score"
)

// habit is one figure through much of a piece: one kind in one hand.
type habit struct {
	kind        Kind
	hand        score.Hand
	usual       float64 // the median demand of its bars
	first, last int     // the bars to learn it in
	harder      []int   // bars where it asks for clearly more than usual
}

// habits finds what goes through much of the piece, and says so in the
// troubles that are part of one.
func (r *Report) habits(troubles []barTrouble) []*habit {
	type key struct {
		kind Kind
		hand score.Hand
	}
	bars := map[key][]*barTrouble{}
	var keys []key
	for i := range troubles {
		k := key{troubles[i].kind, troubles[i].hand}
		if bars[k] == nil {
			keys = append(keys, k)
		}
		bars[k] = append(bars[k], &troubles[i])
	}
	playing := r.barsPlayed()
	var all []*habit
	for _, k := range keys {
		of := bars[k]
		if len(of) < fewestHabitBars || float64(len(of)) < habitShare*float64(playing[k.hand]) {
			continue
		}
		h := newHabit(k.kind, k.hand, of)
		all = append(all, h)
		for _, t := range of {
			t.habit = h
		}
	}
	slices.SortStableFunc(all, func(a, b *habit) int { return cmp.Compare(Round3(b.usual), Round3(a.usual)) })
	return all
}

// barsPlayed counts the bars in which each hand strikes something, and in
// which any does.
func (r *Report) barsPlayed() (count [3]int) {
	last := [3]int{-1, -1, -1}
	for i := range r.Score.Notes {
		n := &r.Score.Notes[i]
		for _, hand := range []score.Hand{n.Hand, score.Both} {
			if last[hand] != n.Bar {
				last[hand] = n.Bar
				count[hand]++
			}
		}
	}
	return count
}

// newHabit takes the first run of up to four bars in which the figure is as
// hard as usual as the bars to learn it in.
func newHabit(kind Kind, hand score.Hand, of []*barTrouble) *habit {
	demands := make([]float64, len(of))
	for i, t := range of {
		demands[i] = Round3(t.o.Demand)
	}
	slices.Sort(demands)
	h := &habit{kind: kind, hand: hand, usual: demands[len(demands)/2]}
	longest := 0
	for i := 0; i < len(of); {
		j := i
		for j < len(of) && of[j].bar == of[i].bar+j-i && j-i < easyLength && !h.isHarder(of[j].o.Demand) {
			j++
		}
		if j-i > longest {
			longest, h.first, h.last = j-i, of[i].bar, of[j-1].bar
		}
		i = max(j, i+1)
	}
	for _, t := range of {
		if h.isHarder(t.o.Demand) {
			h.harder = append(h.harder, t.bar)
		}
	}
	return h
}

// isHarder reports whether a demand is clearly more than the habit's usual one.
func (h *habit) isHarder(demand float64) bool { return Round3(demand) >= Round3(harderHabit*h.usual) }
