package longpedal

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "in one long pedal", Does: "goes on in the pedal", Together: "one long pedal", Skill: "long pedals",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	return fmt.Sprintf("%s in one pedal, which blur in the %s register", detect.ManyWords(d.Harmonies, "harmony", "harmonies"), d.Register)
}
