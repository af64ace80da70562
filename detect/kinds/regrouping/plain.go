package regrouping

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "grouped against the beat", Does: "groups against the beat", Together: "groups against the beat",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	if d.Hemiola {
		return fmt.Sprintf("groups of %s beats across the barline, %s", d.Length.Div(d.Beat).Pretty(), detect.Times(d.Groups))
	}
	return fmt.Sprintf("groups of %s notes that do not fit the beat, %s", detect.NumberWords(d.Group), detect.Times(d.Groups))
}
