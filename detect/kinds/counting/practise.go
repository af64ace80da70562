package counting

import (
	"fmt"

	"hardbars/detect"
)

// practise says how it is practised. Common practice.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	switch d.What {
	case Syncopation:
		return detect.Lesson{Proof: "the beat felt under every held note", Steps: []string{
			"Tap the beat with the foot and clap what the hand plays; say the number of each beat aloud while the clap waits.",
			"Play it with each held note struck again on the beat, then with that second stroke only thought.",
		}}
	case Division:
		return detect.Lesson{Proof: "the beat the same before and after", Steps: []string{
			fmt.Sprintf("Tap the beat and speak it: %d even syllables to one beat, %d to the next, back and forth until the beat stays where it was.", d.Divisions[0], d.Divisions[1]),
			"Play the two beats on one key, then as written; do not hurry the first note of the new beat.",
		}}
	case Touch:
		other := 1 - d.Detached
		return detect.Lesson{Proof: "each hand with its own touch", Steps: []string{
			fmt.Sprintf("The %s alone, each note short and the hand loose; the %s alone, each note held until the next sounds.", d.Detached.Name(), other.Name()),
			fmt.Sprintf("Together, one beat and stop: is the %s still down, is the %s off its key? Then two beats, then the bar.", other.Name(), d.Detached.Name()),
		}}
	}
	return detect.Lesson{Proof: "no pause at a new meter", Steps: []string{
		"Write over each new meter which note value goes on: what stays the same there is what you count.",
		"Conduct and count the bars aloud without playing, then clap one hand's rhythm, then play.",
	}}
}
