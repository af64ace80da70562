package melodyoveraccompaniment

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "with tune and accompaniment", Does: "plays tune and accompaniment", Together: "tune over accompaniment",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	return fmt.Sprintf("the %s voice sings while %s of the same hand play beside it", d.Voice, detect.ManyWords(d.FingersLeft, "finger", "fingers"))
}
