package handcrossing

import (
	"fmt"

	"hardbars/detect"
	"hardbars/score"
)

// practise is who goes over, and who gives way.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	if d.Way == "one key" {
		return practiseOneKey(d)
	}
	over, under := *d.Over, d.GivesWay
	at := [2]string{score.Right: detect.Dashed(d.Right), score.Left: detect.Dashed(d.Left)}
	return detect.Lesson{Together: 2, Proof: "neither hand waiting for the other", Steps: []string{
		fmt.Sprintf("Without sound, both hands where they are deepest in each other: %s in the left, %s in the right. The %s hand over, wrist high and fingers far in among the black keys; the %s hand low, at the edge of the keys.",
			at[score.Left], at[score.Right], over, under),
		fmt.Sprintf("The %s hand alone, there and back; then the %s hand alone, as flat as it has to be.", over, under),
		"Both, with a stop each time one has passed the other, until nothing touches.",
	}}
}

// practiseOneKey is about a key that both hands need.
func practiseOneKey(d Detail) detect.Lesson {
	gives := d.GivesWay
	notes := [2][]score.Pitch{score.Right: d.Right, score.Left: d.Left}
	key := detect.ChordName(notes[gives])
	if d.Seconds == nil || *d.Seconds == 0 {
		return detect.Lesson{Together: 1, Proof: fmt.Sprintf("%s sounding once", key), Steps: []string{
			fmt.Sprintf("Both hands have %s at once: the %s hand leaves it out. Cross it out in the score.", key, gives),
			fmt.Sprintf("The %s hand alone without it, until the hole feels right; then both.", gives),
		}}
	}
	return detect.Lesson{Together: 1, Proof: fmt.Sprintf("%s sounding twice", key), Steps: []string{
		fmt.Sprintf("Only the two strokes of %s: the %s hand strikes it and is off at once, the %s hand follows %s later. Hear both.", key, gives, 1-gives, detect.SecondsWords(*d.Seconds)),
		fmt.Sprintf("Leave with a purpose: the %s hand rises towards its next note; the %s hand comes in low. Then with the two notes before and after.", gives, 1-gives),
	}}
}
