package tieacrosspedal

import (
	"fmt"
	"strings"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	notes, change := strings.Join(detect.AllPretty(d.Pitches), " and "), p.PositionName(p.At(d.Changes[0]))
	if d.HeldBy == "finger" {
		return detect.Lesson{Proof: fmt.Sprintf("%s sounding to the end", notes), Steps: []string{
			fmt.Sprintf("Without pedal: strike %s, keep it down with the finger, and play on; listen to it to the very end.", notes),
			fmt.Sprintf("With the pedal: change at %s and hear %s ring through it. Once, lift the finger on purpose, to know what a lost note sounds like.", change, notes),
		}}
	}
	l := detect.Lesson{Proof: fmt.Sprintf("%s heard after every pedal change", notes)}
	l.Steps = []string{fmt.Sprintf("Without any pedal: strike %s, play on, and hear it end where the hand leaves; that is what the change at %s does.", notes, change)}
	if d.OtherHand {
		l.Steps = append(l.Steps, fmt.Sprintf("The %s is free enough: let it press %s down silently before then, and keep it. Write it in.",
			(1-p.Spot.Hand).Name(), notes))
	}
	l.Steps = append(l.Steps, catch(p, d, notes), withoutMiddle(p, d, notes))
	return l
}

// catch is when to press the middle pedal.
func catch(p *detect.Practice, d Detail, notes string) string {
	proviso := "If your piano has a middle pedal that works (many do not): "
	if p.Player.MiddlePedal {
		proviso = "With the middle pedal: "
	}
	return proviso + fmt.Sprintf("strike %s with the damper pedal up, catch it with the left foot before %s and hold on; then change the damper pedal as written.",
		notes, p.PositionName(p.At(d.MiddlePedal.Before)))
}

// withoutMiddle is what to do without a middle pedal.
func withoutMiddle(p *detect.Practice, d Detail, notes string) string {
	return fmt.Sprintf("Without it: at %s let the pedal up by half and at once down again, so that the upper notes thin out and %s rings on; find the depth with this note alone.",
		changesWords(len(d.Changes)), notes)
}

func changesWords(n int) string {
	if n == 1 {
		return "the change"
	}
	return "each of the " + detect.NumberWords(n) + " changes"
}
