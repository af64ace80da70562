package drill

import (
	"slices"

	"hardbars/detect"
	"hardbars/score"
)

// outer is the top voice of a hand alone, the bottom alone, then both.
func (g *passage) outer() []exercise {
	hand := g.spot.Hand
	top, bottom := g.edges(hand)
	return []exercise{
		g.passageOf("Top voice alone", g.among(top)),
		g.passageOf("Bottom voice alone", g.among(bottom)),
		g.passageOf("Top and bottom together", g.only(hand)),
	}
}

// among keeps some notes.
func (g *passage) among(notes map[int]bool) keeps {
	return func(note int) bool { return notes[note] }
}

// without keeps what else a hand plays.
func (g *passage) without(hand score.Hand, notes map[int]bool) keeps {
	return func(note int) bool { return g.Score.Notes[note].Hand == hand && !notes[note] }
}

// edges are the highest and the lowest notes of what a hand strikes together.
func (g *passage) edges(hand score.Hand) (top, bottom map[int]bool) {
	top, bottom = map[int]bool{}, map[int]bool{}
	for _, struck := range g.struck(hand) {
		top[struck[len(struck)-1]], bottom[struck[0]] = true, true
	}
	return top, bottom
}

// struck is what a hand strikes in the passage, instant by instant, low to high.
func (g *passage) struck(hand score.Hand) [][]int {
	var all [][]int
	notes := g.Score.Notes
	for i := range notes {
		n := &notes[i]
		if n.Hand != hand || n.Bar < g.first || n.Bar > g.last {
			continue
		}
		if last := len(all) - 1; last >= 0 && notes[all[last][0]].Onset == n.Onset && notes[all[last][0]].Grace == n.Grace {
			all[last] = append(all[last], i)
			continue
		}
		all = append(all, []int{i})
	}
	for _, struck := range all {
		slices.SortStableFunc(struck, func(a, b int) int { return notes[a].Pitch.MIDI() - notes[b].Pitch.MIDI() })
	}
	return all
}

// layers is a layer of what a hand plays alone, the rest of it alone, then both.
func (g *passage) layers(e detect.Layer) []exercise {
	notes := map[int]bool{}
	for _, o := range g.spot.Occurrences {
		if own, ok := o.Exercise.(detect.Layer); ok {
			for _, n := range own.Notes {
				notes[n] = true
			}
		}
	}
	switch top, bottom := g.edges(g.spot.Hand); {
	case e.Top:
		notes = top
	case e.Bottom:
		notes = bottom
	}
	return []exercise{
		g.passageOf(e.Alone, g.among(notes)),
		g.passageOf(e.Rest, g.without(g.spot.Hand, notes)),
		g.passageOf(e.Whole, g.only(g.spot.Hand)),
	}
}
