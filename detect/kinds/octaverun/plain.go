package octaverun

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "in octaves", Does: "plays octaves", Together: "octaves",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	name := "octaves"
	if d.Broken {
		name = "broken octaves"
	}
	text := fmt.Sprintf("%s %s in a row, for %s without a rest", detect.NumberWords(d.Count), name, detect.SecondsWords(d.Seconds))
	if d.SpanLeftMM < 0 {
		text += ", and an octave is more than this hand reaches"
	}
	return text
}
