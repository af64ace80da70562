package softcontrol

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "softly under control", Does: "must stay soft", Together: "both hands very soft", Skill: "soft playing",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	risk := detect.Enumerate(detect.AllPretty(d.AtRisk))
	level := "softly"
	switch {
	case d.DyingAway:
		level = "while it dies away"
	case d.Dynamic != "":
		level = "at " + d.Dynamic
	}
	switch d.Cause {
	case "repeated figure":
		return fmt.Sprintf("a figure repeated %s, %s the first to fail", level, risk)
	case "chord":
		return fmt.Sprintf("%s struck together %s, with %s under the weakest finger", detect.ManyWords(d.Keys, "key", "keys"), level, risk)
	case "landing":
		return fmt.Sprintf("a jump to %s in %s, %s", risk, detect.SecondsWords(d.Seconds), level)
	}
	return fmt.Sprintf("%s %s, with a jump right after it", risk, level)
}
