package practice

import (
	"fmt"
	"strings"

	"hardbars/detect"
)

func (p *place) tie(d detect.TieDetail) lesson {
	notes, change := strings.Join(prettyAll(d.Pitches), " and "), p.PlaceName(p.At(d.Changes[0]))
	if d.HeldBy == "finger" {
		return lesson{proof: fmt.Sprintf("%s sounding to the end", notes), steps: []string{
			fmt.Sprintf("Without pedal: strike %s, keep it down with the finger, and play on; listen to it to the very end.", notes),
			fmt.Sprintf("With the pedal: change at %s and hear %s ring through it. Once, lift the finger on purpose, to know what a lost note sounds like.", change, notes),
		}}
	}
	l := lesson{proof: fmt.Sprintf("%s heard after every pedal change", notes)}
	l.steps = []string{fmt.Sprintf("Without any pedal: strike %s, play on, and hear it end where the hand leaves; that is what the change at %s does.", notes, change)}
	if d.OtherHand {
		l.steps = append(l.steps, fmt.Sprintf("The %s is free enough: let it press %s down silently before then, and keep it. Write it in.",
			handName(1-p.spot.Hand), notes))
	}
	l.steps = append(l.steps, p.catch(d, notes), p.withoutMiddle(d, notes))
	return l
}

// catch is when to press the middle pedal.
func (p *place) catch(d detect.TieDetail, notes string) string {
	proviso := "If your piano has a middle pedal that works (many do not): "
	if p.Player.MiddlePedal {
		proviso = "With the middle pedal: "
	}
	return proviso + fmt.Sprintf("strike %s with the damper pedal up, catch it with the left foot before %s and hold on; then change the damper pedal as written.",
		notes, p.PlaceName(p.At(d.MiddlePedal.Before)))
}

// withoutMiddle is what to do without a middle pedal.
func (p *place) withoutMiddle(d detect.TieDetail, notes string) string {
	return fmt.Sprintf("Without it: at %s let the pedal up by half and at once down again, so that the upper notes thin out and %s rings on; find the depth with this note alone.",
		changesWords(len(d.Changes)), notes)
}

func changesWords(n int) string {
	if n == 1 {
		return "the change"
	}
	return fmt.Sprintf("each of the %d changes", n)
}
