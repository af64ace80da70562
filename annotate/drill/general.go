package drill

import (
	"fmt"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// apart is each hand alone, that of the hot spot first.
func (g *passage) apart() []exercise {
	hands := []score.Hand{score.Right, score.Left}
	if g.spot.Hand == score.Left {
		hands = []score.Hand{score.Left, score.Right}
	}
	var all []exercise
	for _, hand := range hands {
		if g.plays(hand) {
			all = append(all, g.passageOf(sentence(hand.String())+" hand alone", g.only(hand)))
		}
	}
	return all
}

// passageOf is the passage with some of its notes.
func (g *passage) passageOf(title string, keep keeps) exercise {
	return exercise{title: title, pace: g.start, bars: g.bars(g.first, g.last, keep)}
}

// together is both hands, where both play.
func (g *passage) together() []exercise {
	if !g.plays(score.Right) || !g.plays(score.Left) {
		return nil
	}
	e := g.passageOf("Hands together", everything)
	e.bars = g.withMarks(g.first, g.last, e.bars)
	return []exercise{e}
}

// chain joins the passage to the bars around it: from the bar after it
// backwards, a bar more each time, to the bar before it.
func (g *passage) chain() []exercise {
	from, to := max(g.first-1, 0), min(g.last+1, len(g.Score.Bars)-1)
	if from == to {
		return nil
	}
	var all []exercise
	for i := to; i >= from; i-- {
		bars := g.bars(i, to, everything)
		all = append(all, exercise{
			title:    "Chain: " + g.barsNamed(i, to),
			pace:     g.start,
			bars:     g.withMarks(i, to, bars),
			sameLine: i >= to-1 && i != to,
		})
	}
	return all
}

// ladder is the passage again and again, each time a step faster, from the
// tempo to begin with to the one to reach.
func (g *passage) ladder() []exercise {
	var all []exercise
	paces := detect.Ladder(g.start, g.target)
	for i, pace := range paces {
		bars := g.withMarks(g.first, g.last, g.bars(g.first, g.last, everything))
		all = append(all, exercise{
			title: fmt.Sprintf("Ladder %d of %d", i+1, len(paces)),
			pace:  pace, bars: bars, sameLine: i > 0 && len(bars) == 1,
		})
	}
	return all
}

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
