package sheet

import (
	"fmt"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// mostPairs is how many double notes are drawn; the rest is counted.
const mostPairs = 16

func pairsCaption(p detect.PairRun) string {
	first, last := p.Pairs[0], p.Pairs[len(p.Pairs)-1]
	text := fmt.Sprintf("%s in a row, from %s to %s. Each pair as keys, higher ones higher up: filled is a black key.",
		sentence(detect.NumberWords(len(p.Pairs))), names(first[:]), names(last[:]))
	if len(p.Pairs) > mostPairs {
		text += fmt.Sprintf(" These are the first %d.", mostPairs)
	}
	return text
}

// drawPairs shows where on the keyboard each pair lies, one beside the other:
// the hand's way, and where the black keys are in it.
func drawPairs(p detect.PairRun) drawing {
	pairs := p.Pairs[:min(len(p.Pairs), mostPairs)]
	g := pianoRoll{low: pairs[0][0].MIDI(), high: pairs[0][1].MIDI()}
	for _, pair := range pairs {
		g.low, g.high = min(g.low, pair[0].MIDI()), max(g.high, pair[1].MIDI())
	}
	g.step = min(mostKeyStep, rollMost/float64(g.high-g.low+1))
	return drawing{g.height() + 4, func(c canvas, x, y, width float64) {
		g.x, g.y, g.width = x+rollGutter, y+2, width-rollGutter-1
		g.octaves(c)
		step := min(11, g.width/float64(len(pairs)))
		for i, pair := range pairs {
			g.pair(c, g.x+(float64(i)+0.5)*step, pair)
		}
	}}
}

// pair is two keys joined by a line.
func (g pianoRoll) pair(c canvas, x float64, pair [2]score.Pitch) {
	const radius = 1.2
	middle := func(p score.Pitch) float64 { return g.top(p.MIDI()) + g.step/2 }
	c.line(x, middle(pair[0]), x, middle(pair[1]), thin)
	for _, p := range pair {
		fill := white
		if hand.IsBlack(p.MIDI()) {
			fill = black
		}
		c.oval(x, middle(p), radius, radius, 0, fill, thin)
	}
}
