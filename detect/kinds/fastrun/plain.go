package fastrun

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "in quick notes", Does: "runs", Together: "quick notes in both hands", Skill: "quick runs",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	what := map[string]string{
		"scales": "a run of %s notes in steps", "turning steps": "%s quick notes that keep turning",
		"broken chords": "%s quick notes in broken chords", "mixed": "%s quick notes, steps and skips mixed",
	}[d.Figure]
	text := fmt.Sprintf(what, detect.NumberWords(d.Count))
	if d.From != d.To {
		text += fmt.Sprintf(", from %s to %s", d.From.Pretty(), d.To.Pretty())
	}
	if d.Positions > 1 {
		return text
	}
	return text + ", all under one hand"
}
