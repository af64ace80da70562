package patternbreak

import (
	"fmt"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	where, notes := p.PositionName(p.At(d.Departs)), detect.Enumerate(detect.AllPretty(d.Pitches))
	return detect.Lesson{Placed: true, Proof: "with the break as sure as the figure", Steps: []string{
		fmt.Sprintf("Ring %s in the score: one figure (%s) %s, then %s: %s.", where, d.Figure, detect.Times(d.Times), notes, d.How),
		fmt.Sprintf("One figure and the break: play up to it, stop, name %s, go on. Then without the stop.", notes),
		"Then begin two figures earlier, then four, so that the break is expected and does not surprise the hand.",
	}}
}
