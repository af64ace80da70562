package leap

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "leaping", Does: "leaps", Together: "both hands leap", Skill: "leaps",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	text := fmt.Sprintf("a jump of %s %s to %s in %s", detect.IntervalBetween(d.From, d.To), detect.UpDown(d.Semitones), detect.ChordName(d.Landing), detect.SecondsWords(d.Seconds))
	if d.Lands != nil {
		text += ", where play goes on in bar " + d.Lands.Bar
	}
	if d.OtherHand {
		text += ", while the other hand jumps too"
	}
	if d.NotPlayable {
		text += ", which no hand can do as it is read"
	}
	return text
}
