package patternbreak

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "leaving its pattern", Does: "leaves its pattern", Together: "a pattern that breaks", Skill: "changing patterns",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	return fmt.Sprintf("after one figure %s the hand goes elsewhere, to %s", detect.Times(d.Times), detect.Enumerate(detect.AllPretty(d.Pitches)))
}
