package memory

import (
	"fmt"

	"hardbars/detect"
)

// speech is how a teacher speaks of it.
var speech = detect.Speech{
	State: "at a turn to remember", Does: "takes another turn", Together: "a turn to remember", Skill: "memory",
	Says: func(o *detect.Occurrence) string {
		d := o.Detail.(Detail)
		return fmt.Sprintf("it begins like bars %s and goes on differently: bar %s is not bar %s", d.Before, d.Turn.Bar, d.OtherTurn.Bar)
	},
}
