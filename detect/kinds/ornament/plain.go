package ornament

import (
	"fmt"
	"strings"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "with ornaments", Does: "plays ornaments", Together: "ornaments",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	if d.Sign == graceNotes {
		return fmt.Sprintf("%s to fit in before the main note", detect.ManyWords(d.Notes-1, "grace note", "grace notes"))
	}
	name := strings.ToLower(article(d.Sign))
	if sign, written := strings.CutSuffix(d.Sign, " written out"); written {
		name = "a written-out " + sign
	}
	text := fmt.Sprintf("%s of %s notes in %s", name, detect.NumberWords(d.Notes), detect.SecondsWords(d.Seconds))
	if d.OtherHand > 1 {
		text += " while the other hand goes on"
	}
	return text
}
