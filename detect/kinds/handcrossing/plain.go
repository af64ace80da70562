package handcrossing

import (
	"fmt"

	"hardbars/detect"
	"hardbars/score"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "crossing the other", Does: "crosses the other", Together: "the hands cross", Skill: "crossing hands",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	if d.Way == "one key" {
		notes := [2][]score.Pitch{score.Right: d.Right, score.Left: d.Left}
		if d.Seconds == nil || *d.Seconds == 0 {
			return fmt.Sprintf("both hands have %s at once", detect.ChordName(notes[d.GivesWay]))
		}
		return fmt.Sprintf("both hands need %s, one %s after the other", detect.ChordName(notes[d.GivesWay]), detect.SecondsWords(*d.Seconds))
	}
	if d.Way == "crossed" {
		return fmt.Sprintf("the %s hand crosses over the other", *d.Over)
	}
	return fmt.Sprintf("the hands lie in each other, the %s hand on top", *d.Over)
}
