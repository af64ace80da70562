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
		l.Steps = append(l.Steps, fmt.Sprintf("Widest for this hand: fingers %d and %d, %s to %s. Turn the whole hand towards them instead of pulling them apart.",
			pair.Fingers[0], pair.Fingers[1], pair.Pitches[0].Pretty(), pair.Pitches[1].Pretty()))
	default:
		l.Steps = append(l.Steps, fmt.Sprintf("%s to %s is nearly all that this hand reaches: play it near the edge of the keys, the hand flat and open, and let go as soon as you may.", d.Pitches[0].Pretty(), d.Pitches[len(d.Pitches)-1].Pretty()))
	}
	l.Steps = append(l.Steps,
		"Strike it once, let go at once, rest; no more than five times in a row.",
		"If it pulls, do not force it: roll it from the bottom, give a note to the other hand, or leave an inner note out.")
	return l
}
