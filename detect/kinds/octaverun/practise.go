package octaverun

import (
	"fmt"

	"hardbars/detect"
	"hardbars/score"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	thumb, outer := "lower", "upper"
	if p.Spot.Hand == score.Left {
		thumb, outer = outer, thumb
	}
	l := detect.Lesson{Proof: "the forearm as loose at the end as at the beginning"}
	if d.SpanLeftMM < 0 {
		l.Steps = append(l.Steps, fmt.Sprintf("An octave is more than this hand reaches: leave the %s notes out throughout, and write it in.", thumb))
		return l
	}
	l.Steps = append(l.Steps, fmt.Sprintf("The thumb alone, the %s notes, near the keys and light; then the %s notes alone, little finger, fourth on black keys.", thumb, outer))
	if d.Broken {
		l.Steps = append(l.Steps, "Each octave struck together, to set the hand; then broken again, rocking from the forearm, not reaching with the fingers.")
	} else {
		l.Steps = append(l.Steps, "The octaves from a loose wrist that falls and rebounds; between them the hand keeps its shape.")
	}
	if d.Count <= detect.PractisedTogether {
		return l
	}
	l.Steps = append(l.Steps, p.Endurance("octaves", d.Count, ", for "+detect.SecondsWords(d.Seconds)+" without a rest"))
	return l
}
