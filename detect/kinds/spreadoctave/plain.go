package spreadoctave

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "with octaves to roll", Does: "rolls an octave", Together: "octaves to roll", Skill: "rolled octaves",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	low, high := d.Pitches[0], d.Pitches[len(d.Pitches)-1]
	if d.Sign {
		return fmt.Sprintf("%s to %s, to be rolled", low.Pretty(), high.Pretty())
	}
	return fmt.Sprintf("%s to %s at once, %s, is more than this hand reaches, so it has to be rolled", low.Pretty(), high.Pretty(), detect.IntervalBetween(low, high))
}
