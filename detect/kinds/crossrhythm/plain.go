package crossrhythm

import (
	"fmt"

	"hardbars/detect"
	"hardbars/score"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "against the other's rhythm", Does: "plays another rhythm", Together: "two rhythms at once",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	text := fmt.Sprintf("%s in the right hand against %s in the left",
		detect.ManyWords(len(d.Right), "note", "notes"), detect.NumberWords(len(d.Left)))
	if !even(d.Right, d.Grid) || !even(d.Left, d.Grid) {
		var right, left int
		fmt.Sscanf(d.Ratio, "%d:%d", &right, &left)
		text = fmt.Sprintf("%s in the right hand against %s in the left, not all of them struck", detect.NumberWords(right), detect.NumberWords(left))
	}
	switch {
	case d.Groups != nil:
		return text + ", too quick to place one by one"
	case d.HandsOrder[0] == score.Both:
		return text + ", which meet only on the first"
	}
	return text + ", which never meet"
}
