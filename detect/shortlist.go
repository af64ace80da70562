package detect

import (
	"slices"

	"hardbars/score"
	"hardbars/score/form"
)

// shortlist marks the passages to learn, in the order to learn them: one after
// the other the one that teaches most of what the ones before it do not. That
// greedy choice covers at least 63 % of what the best choice of as many could
// (Nemhauser, Wolsey and Fisher 1978, from memory).
func (r *Report) shortlist(all []Passage, troubles []barTrouble) {
	c := newCoverage(r, troubles)
	taught := make([][]lesson, len(all))
	for i := range all {
		taught[i] = c.lessons(&all[i])
	}
	for order := 1; order <= r.listLength(troubles); order++ {
		best, most := -1, 0.0
		for i := range all {
			if all[i].Shortlist || c.isRepeat(taught[i], &all[i]) {
				continue
			}
			if gain := Round3(c.gain(taught[i])); gain > most {
				best, most = i, gain
			}
		}
		if best < 0 || order > 1 && most < enoughTaught*c.total {
			return
		}
		p := &all[best]
		p.Shortlist, p.Order, p.Share = true, order, most/c.total
		p.Covers = c.learn(taught[best], p)
	}
}

// listLength is how many passages a shortlist may have: one for each eight
// bars, twelve at most, and three where all of the piece is within comfort.
func (r *Report) listLength(troubles []barTrouble) int {
	most := min((len(r.Score.Bars)+barsToOne-1)/barsToOne, mostListed)
	past := func(t barTrouble) bool { return t.o.Demand > 1 }
	if !slices.ContainsFunc(troubles, past) {
		most = min(most, mostEasy)
	}
	return most
}

// coverage is what of the trouble is known.
type coverage struct {
	troubles []barTrouble
	bars     [3]*form.Bars  // by score.Hand
	family   map[string]int // by spot id
	known    []float64      // of each trouble, the share that is known
	total    float64        // of all weights
}

// lesson is what a passage teaches of one trouble.
type lesson struct {
	trouble int     // index into coverage.troubles
	share   float64 // of it
}

func newCoverage(r *Report, troubles []barTrouble) *coverage {
	c := &coverage{troubles: troubles, family: map[string]int{}, known: make([]float64, len(troubles))}
	for hand := range c.bars {
		c.bars[hand] = form.NewBars(r.Score, score.Hand(hand))
	}
	for i, f := range r.Families {
		for _, id := range f.Spots {
			c.family[id] = i
		}
	}
	for _, t := range troubles {
		c.total += t.weight
	}
	return c
}

// lessons is what a passage teaches: all in its own bars, all in bars that are
// the same, and most of what belongs to the family of something as hard in it.
// A habit teaches itself wherever it is not harder.
func (c *coverage) lessons(p *Passage) []lesson {
	type skill struct {
		kind   Kind
		hand   score.Hand
		family int
	}
	type music struct {
		hand   score.Hand
		number int
	}
	skills, same := map[skill]float64{}, map[music]bool{}
	for _, t := range c.troubles {
		if t.bar >= p.First && t.bar <= p.Last && p.treats(t.kind, t.hand) {
			k := skill{t.kind, t.hand, c.family[t.spot.ID]}
			skills[k] = max(skills[k], t.o.Demand)
			same[music{t.hand, c.bars[t.hand].Number(t.bar)}] = !c.bars[t.hand].Empty(t.bar)
		}
	}
	var all []lesson
	for i, t := range c.troubles {
		within := t.bar >= p.First && t.bar <= p.Last
		switch {
		case t.weight == 0 || !p.treats(t.kind, t.hand):
		case t.isUsual():
			if p.Habit {
				all = append(all, lesson{i, 1})
			}
		case within || same[music{t.hand, c.bars[t.hand].Number(t.bar)}]:
			all = append(all, lesson{i, 1})
		case Round3(skills[skill{t.kind, t.hand, c.family[t.spot.ID]}]) >= Round3(0.9*t.o.Demand):
			all = append(all, lesson{i, familyShare})
		}
	}
	return all
}

// treats reports whether a passage is about a kind in a hand.
func (p *Passage) treats(kind Kind, hand score.Hand) bool {
	return slices.ContainsFunc(p.Troubles, func(t Trouble) bool { return t.Kind == kind && t.Hand == hand })
}

// gain is the weight that lessons add to what is known.
func (c *coverage) gain(lessons []lesson) float64 {
	sum := 0.0
	for _, l := range lessons {
		sum += c.troubles[l.trouble].weight * max(0, l.share-c.known[l.trouble])
	}
	return sum
}

// isRepeat reports whether most of a passage's own trouble is already known.
func (c *coverage) isRepeat(lessons []lesson, p *Passage) bool {
	own, fresh := 0.0, 0.0
	for _, l := range lessons {
		if t := &c.troubles[l.trouble]; t.bar >= p.First && t.bar <= p.Last {
			own += t.weight
			fresh += t.weight * (1 - c.known[l.trouble])
		}
	}
	return fresh < ownTrouble*own
}

// learn makes lessons known and returns the bars outside the passage that they
// are about, in order.
func (c *coverage) learn(lessons []lesson, p *Passage) []int {
	var bars []int
	for _, l := range lessons {
		c.known[l.trouble] = max(c.known[l.trouble], l.share)
		if bar := c.troubles[l.trouble].bar; (bar < p.First || bar > p.Last) && !slices.Contains(bars, bar) {
			bars = append(bars, bar)
		}
	}
	slices.Sort(bars)
	return bars
}
