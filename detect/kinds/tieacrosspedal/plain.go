package tieacrosspedal

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "holding over a pedal change", Does: "holds over a pedal change", Together: "a note held over pedal changes", Skill: "long notes in the pedal",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	notes := detect.Enumerate(detect.AllPretty(d.Pitches))
	it := "it"
	if len(d.Pitches) > 1 {
		it = "them"
	}
	changes := "the pedal changes under " + it
	if n := len(d.Changes); n > 1 {
		changes = fmt.Sprintf("the pedal changes %s under %s", detect.Times(n), it)
	}
	if d.HeldBy == "finger" {
		return fmt.Sprintf("%s must sound on while %s, so the finger has to stay", notes, changes)
	}
	return fmt.Sprintf("%s must sound on, but the hand has to leave and %s", notes, changes)
}
