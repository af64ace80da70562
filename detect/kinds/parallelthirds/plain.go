package parallelthirds

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "in thirds", Does: "plays thirds", Together: "thirds",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(detect.PairsDetail)
	return fmt.Sprintf("%s thirds in a row, up to %s", detect.NumberWords(d.Count), d.Highest.Pretty())
}
