package pedalheld

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "held by the pedal alone", Does: "lets the pedal hold", Together: "notes that the pedal holds", Skill: "the pedal",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	return fmt.Sprintf("%s must sound on after the hand has left, and no pedal is marked", detect.Enumerate(detect.AllPretty(d.Pitches)))
}
