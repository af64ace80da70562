package widestretch

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "at full stretch", Does: "stretches", Together: "wide stretches", Skill: "wide chords",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	pair := d.Pair
	return fmt.Sprintf("%s to %s with %s, wider than this hand takes easily", pair.Pitches[0].Pretty(), pair.Pitches[1].Pretty(), detect.FingerNames(pair.Fingers))
}
