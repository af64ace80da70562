package parallelsixths

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "in sixths", Does: "plays sixths", Together: "sixths",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(detect.PairsDetail)
	return fmt.Sprintf("%s sixths in a row, up to %s", detect.NumberWords(d.Count), d.Highest.Pretty())
}
