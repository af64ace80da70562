package repeatednotes

import (
	"fmt"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	notes := detect.Dashed(d.Pitches)
	l := detect.Lesson{Proof: "every stroke sounding"}
	if d.CanChange {
		fingers := "3-2-1"
		if d.Fingers < 3 {
			fingers = "2-1"
		}
		l.Steps = append(l.Steps, fmt.Sprintf("Fingers %s in turn on %s, each drawn towards the palm and out of the way of the next; slowly, each stroke the same.", fingers, notes))
	} else {
		l.Steps = append(l.Steps, fmt.Sprintf("%s from the wrist: let the hand fall and rebound, one stroke a beat, then two, then as written.", notes))
	}
	l.Steps = append(l.Steps, "Stay with the key: let it up only as far as it needs to strike again.")
	if d.Count > detect.PractisedTogether {
		l.Steps = append(l.Steps, p.Endurance("strokes", d.Count, ""))
	}
	return l
}
