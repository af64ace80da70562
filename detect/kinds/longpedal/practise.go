package longpedal

import (
	"fmt"
	"slices"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	var lifts []string
	for _, at := range d.PartLifts {
		lifts = append(lifts, p.PositionName(p.At(at)))
	}
	clash := lowestClash(p, d)
	l := detect.Lesson{Together: 2, Proof: fmt.Sprintf("with %s and %s clear of each other and the bass still there", clash[0], clash[1])}
	l.Steps = []string{
		fmt.Sprintf("Each of the %s harmonies as one chord, the pedal down all through, to hear what piles up: %s and %s above all, in the %s register.",
			detect.NumberWords(d.Harmonies), clash[0], clash[1], d.Register),
		fmt.Sprintf("Again, and let the pedal up by a third and at once down again %s: so little that the %s of the beginning rings on, so much that the rest thins out.", at(lifts), d.PitchClasses[0].Pretty()),
		"Then as written, listening after each of these lifts; on another piano the depth is another.",
	}
	return l
}

// lowestClash is the clash with the lowest note, lower note first.
func lowestClash(p *detect.Practice, d Detail) (names [2]string) {
	lowest := p.Score.Notes[p.Hardest.Notes[0]].Pitch
	for _, n := range p.Hardest.Notes {
		if pitch := p.Score.Notes[n].Pitch; pitch.MIDI() < lowest.MIDI() {
			lowest = pitch
		}
	}
	i := max(slices.IndexFunc(d.Clashes, func(c detect.Clash) bool { return c.Pitches[0] == lowest }), 0)
	for j, pitch := range d.Clashes[i].Pitches {
		names[j] = pitch.Pretty()
	}
	return names
}

// mostNamed is how many places a sentence names.
const mostNamed = 4

// at lists places: "at bar 5 beat 1 and bar 5 beat 3".
func at(places []string) string {
	if n := len(places) - mostNamed; n > 0 {
		places = append(places[:mostNamed:mostNamed], fmt.Sprintf("%d more", n))
	}
	return "at " + detect.Enumerate(places)
}
