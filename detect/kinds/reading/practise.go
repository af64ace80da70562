package reading

import (
	"fmt"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// practise says how it is practised. Common practice.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	l := detect.Lesson{Proof: "no note guessed"}
	if n := len(d.Accidentals) + len(d.Doubles); n > 0 {
		signs := append(append([]score.Pitch{}, d.Accidentals...), d.Doubles...)
		l.Steps = append(l.Steps, fmt.Sprintf("Before you play, name what the accidentals make (%s), and find each on the keys.",
			detect.FirstOf(detect.AllPretty(signs), 6)))
	}
	if len(d.Doubles) > 0 {
		l.Steps = append(l.Steps, fmt.Sprintf("Write the plain name over the double accidental: %s.", strings.Join(plainNames(d.Doubles), ", ")))
	}
	if len(d.Ledgers) > 0 {
		l.Steps = append(l.Steps, fmt.Sprintf("Far off the staff, read one note only (%s) and the others by their distance from it.", d.Ledgers[0].Pretty()))
	}
	if d.Clefs > 0 {
		l.Steps = append(l.Steps, "Ring the new clef, and name the first note after it aloud.")
	}
	return detect.Lesson{Proof: l.Proof, Steps: append(l.Steps,
		"Then read it through once without stopping, so slowly that the eye is a beat ahead of the hand.")}
}

// plainNames says which key a doubly altered note is: "F𝄪5 is G5", each once.
func plainNames(pitches []score.Pitch) []string {
	var all []string
	known := map[score.Pitch]bool{}
	for _, d := range pitches {
		if known[d] {
			continue
		}
		known[d] = true
		plain := score.PitchAt(d.Staff()+d.Alter/2, 0)
		plain.Alter = d.MIDI() - plain.MIDI()
		all = append(all, d.Pretty()+" is "+plain.Pretty())
	}
	return all
}
