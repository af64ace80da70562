package heldandmoving

import (
	"fmt"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	held := detect.Dashed(d.Held)
	l := detect.Lesson{Proof: fmt.Sprintf("%s down for its whole length", held)}
	if d.LetsGo {
		return detect.Lesson{Proof: "with no break in the line", Steps: []string{
			fmt.Sprintf("This hand cannot hold %s with all that it strikes meanwhile: find the note at which it must let go, and mark the pedal there.", held),
			"Hands alone with that pedal, listening for the hole; then let go as late as you can without a pull.",
		}}
	}
	l.Steps = []string{
		fmt.Sprintf("Press %s without sound and keep it down; %s play what moves, slowly, with no weight on the held key.", held, detect.ManyWords(d.FingersLeft, "other finger", "other fingers")),
		fmt.Sprintf("The moving notes alone, with the same fingers; then sound %s, hold it, and play them, listening to it to the end.", held),
	}
	if s := d.Stretch; s != nil && d.PastComfort {
		l.Steps = append(l.Steps, fmt.Sprintf("Fingers %d and %d are stretched, %s to %s: turn the hand with each note; stop when it pulls, and let the pedal hold instead.",
			s.Fingers[0], s.Fingers[1], s.Pitches[0].Pretty(), s.Pitches[1].Pretty()))
	}
	return l
}
