package drill

import (
	"slices"

	"hardbars/detect"
	"hardbars/detect/kinds/heldandmoving"
	"hardbars/detect/kinds/melodyoveraccompaniment"
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

// melody is the voice that sings alone, what is beside it alone, then both.
func (g *passage) melody(d melodyoveraccompaniment.Detail) []exercise {
	top, bottom := g.edges(g.spot.Hand)
	sings := map[int]bool{}
	for _, o := range g.spot.Occurrences {
		if m, ok := o.Detail.(melodyoveraccompaniment.Detail); ok {
			for n := range g.named(o, m.Melody) {
				sings[n] = true
			}
		}
	}
	title := "Lower voice"
	if d.Voice == "upper" {
		title = "Upper voice"
	}
	if d.Double { // every attack has its top and what is below
		sings = top
		if d.Voice != "upper" {
			sings = bottom
		}
	}
	return []exercise{
		g.passageOf(title+" alone: sing it", g.among(sings)),
		g.passageOf("What is beside it alone: soft", g.without(g.spot.Hand, sings)),
		g.passageOf("Both voices, the first one singing", g.only(g.spot.Hand)),
	}
}

// named are the notes of an occurrence that have the names of a list, in order:
// each name is the next note of that name.
func (g *passage) named(o detect.Occurrence, names []string) map[int]bool {
	found := map[int]bool{}
	for _, n := range o.Notes {
		if len(names) > 0 && g.Score.Notes[n].Pitch.String() == names[0] {
			found[n], names = true, names[1:]
		}
	}
	return found
}

// held is the notes that are held alone, the moving ones alone, then both.
func (g *passage) held() []exercise {
	held := map[int]bool{}
	for _, o := range g.spot.Occurrences {
		d, ok := o.Detail.(heldandmoving.Detail)
		if !ok {
			continue
		}
		for _, n := range o.Notes {
			if g.Score.Notes[n].Onset == o.From && slices.Contains(d.Held, g.Score.Notes[n].Pitch.String()) {
				held[n] = true
			}
		}
	}
	return []exercise{
		g.passageOf("Held notes alone", g.among(held)),
		g.passageOf("Moving notes alone", g.without(g.spot.Hand, held)),
		g.passageOf("Moving under the held notes", g.only(g.spot.Hand)),
	}
}
