package counting

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "with a beat to count", Does: "has to count", Together: "a beat to count", Skill: "counting",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	switch d.What {
	case Syncopation:
		help := "while the other hand keeps it"
		if !d.Helped {
			help = "with no hand to keep it"
		}
		return fmt.Sprintf("notes off the beat, held over it %s, %s", detect.Times(d.Count), help)
	case Division:
		return fmt.Sprintf("%s equal notes in one beat, then %s in the next", detect.NumberWords(d.Divisions[0]), detect.NumberWords(d.Divisions[1]))
	case Touch:
		return fmt.Sprintf("the %s short while the %s plays legato", d.Detached.Name(), (1 - d.Detached).Name())
	}
	return fmt.Sprintf("%s changes of meter close together", detect.NumberWords(d.Count))
}
