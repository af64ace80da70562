package plan

import (
	"fmt"
	"strings"
)

// what is a task in words.
func (p *Plan) what(t task) string {
	switch t.stage {
	case Break:
		return "Break: stand up, shake out hands and arms, look far away."
	case Run:
		return "The whole piece without a stop, whatever happens; then note what did not go."
	case Section:
		return fmt.Sprintf("Section %s: once through, then what made you stop, then through again.", t.part.name)
	}
	label := t.unit.spots[0].Label
	return fmt.Sprintf("%s: %s", label, t.stage)
}

// notes are what the player should know about the plan.
func (p *Plan) notes() []string {
	return []string{"Go up to the next tempo only where the last one was clean three times running; otherwise stay."}
}

// restWords names the days of rest.
func (p *Plan) RestWords() string {
	var names []string
	for _, d := range p.RestDays() {
		names = append(names, d.String())
	}
	if len(names) == 0 {
		return "no day of rest"
	}
	return "rest on " + strings.Join(names, ", ")
}
