package rotation

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "going to and fro", Does: "goes to and fro", Together: "both hands go to and fro", Skill: "a turning forearm",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	return fmt.Sprintf("%s and %s by turns, %s without a rest", detect.ChordName(d.Lower), detect.ChordName(d.Upper), detect.Times(d.Count))
}
