package spreadchord

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "with chords to roll", Does: "rolls a chord", Together: "chords to roll", Skill: "rolled chords",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	if d.Sign {
		return fmt.Sprintf("the chord %s, to be rolled", detect.Dashed(d.Pitches))
	}
	return fmt.Sprintf("the chord %s is more than this hand takes at once, so it has to be rolled", detect.Dashed(d.Pitches))
}
