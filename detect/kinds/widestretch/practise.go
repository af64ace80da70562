package widestretch

import (
	"fmt"
	"strings"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	pair := d.Pair
	var fingers []string
	for i, f := range d.Fingers {
		fingers = append(fingers, fmt.Sprintf("%d on %s", f, d.Pitches[i].Pretty()))
	}
	l := detect.Lesson{Proof: "with no pull in the hand"}
	l.Steps = append(l.Steps, fmt.Sprintf("Lay the %s on it without sounding: %s. A few seconds only, the wrist loose, then off.",
		p.Spot.Hand.Name(), strings.Join(fingers, ", ")))
	switch {
	case pair.Semitones > pair.Comfortable && pair.Fingers != [2]int{1, 5}:
		l.Steps = append(l.Steps, fmt.Sprintf("Widest for this hand: fingers %d and %d, %s to %s, %d semitones where %d are comfortable. Turn the whole hand towards them instead of pulling them apart.",
			pair.Fingers[0], pair.Fingers[1], pair.Pitches[0].Pretty(), pair.Pitches[1].Pretty(), pair.Semitones, pair.Comfortable))
	default:
		l.Steps = append(l.Steps, fmt.Sprintf("It takes %.0f mm, where %.0f mm are comfortable and %.0f mm the most: play from the edge of the keys, where the way is shortest.", d.SpanMM, d.ComfortableMM, d.ReachMM))
	}
	l.Steps = append(l.Steps,
		"Strike it once, let go at once, rest; no more than five times in a row.",
		"If it pulls, do not force it: roll it from the bottom, give a note to the other hand, or leave an inner note out.")
	return l
}
