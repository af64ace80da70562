package repeatednotes

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "repeating notes", Does: "repeats notes", Together: "repeated notes",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	text := fmt.Sprintf("%s struck %s in a row", detect.ChordName(d.Pitches), detect.Times(d.Count))
	if !d.CanChange {
		text += " with the same fingers"
	}
	return text
}
