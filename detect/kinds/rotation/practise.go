package rotation

import (
	"fmt"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	return detect.Lesson{
		Proof: "the forearm as loose at the end as at the beginning",
		Steps: []string{
			fmt.Sprintf("%s and %s struck together, to set the hand; then by turns, slowly, the forearm turning as one turns a key in a lock, the fingers hardly moving.",
				detect.ChordName(d.Lower), detect.ChordName(d.Upper)),
			"One side loud and the other soft, then the other way round: the side that leads throws the hand to the other.",
			"In twos, in fours, in eights with a stop on the last, so that each group is one impulse.",
			p.Endurance("strokes", d.Count, ", for "+detect.SecondsWords(d.Seconds)+" without a rest"),
		},
	}
}
