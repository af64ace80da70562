package pedalheld

import (
	"fmt"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	notes := detect.Enumerate(detect.AllPretty(d.Pitches))
	leaves, until := p.PositionName(p.At(d.Leaves)), p.EndPositionName(p.At(d.Until))
	l := detect.Lesson{Proof: fmt.Sprintf("%s heard to %s", notes, until)}
	l.Steps = []string{fmt.Sprintf("Without pedal: strike %s, play on, and hear what is missing from %s to %s.", notes, leaves, until)}
	if d.OtherHand {
		l.Steps = append(l.Steps, fmt.Sprintf("Try the %s: it presses %s down silently before %s and keeps hold. If that sits well, write it in and leave the pedal.",
			(1-p.Spot.Hand).Name(), notes, leaves))
	}
	press := fmt.Sprintf("With the damper pedal: press it just after %s is struck, not with it, and keep it to %s. Write it in.", notes, until)
	if len(d.Blurs) > 0 {
		blur := d.Blurs[0].Pitches
		press += fmt.Sprintf(" Where it blurs, %s with %s, press it only half.", blur[0].Pretty(), blur[1].Pretty())
	}
	l.Steps = append(l.Steps, press)
	return l
}
