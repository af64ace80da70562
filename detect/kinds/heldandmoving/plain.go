package heldandmoving

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "holding while it moves", Does: "holds while it moves", Together: "held and moving notes",
	Says: says,
}

func says(o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	held := detect.Enumerate(detect.AllPretty(d.Held))
	it, stays := "it", "stays"
	if len(d.Held) > 1 {
		it, stays = "them", "stay"
	}
	if d.LetsGo {
		return fmt.Sprintf("%s must sound on, but this hand cannot hold %s with all that it strikes meanwhile", held, it)
	}
	return fmt.Sprintf("%s %s down while %s of the same hand play", held, stays, detect.ManyWords(d.FingersLeft, "other finger", "other fingers"))
}
