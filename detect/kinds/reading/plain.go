package reading

import "hardbars/detect"

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "with much to read", Does: "has much to read", Together: "much to read", Skill: "reading",
	Says: func(o *detect.Occurrence) string {
		d := o.Detail.(Detail)
		return detect.Enumerate(d.words()) + " to read in one bar"
	},
}
