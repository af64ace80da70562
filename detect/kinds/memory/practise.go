package memory

import (
	"fmt"

	"hardbars/detect"
)

// practise says how it is practised. Common practice.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	return detect.Lesson{Placed: true, Proof: "each way taken when it is asked for", Steps: []string{
		fmt.Sprintf("Lay bars %s and bars %s side by side: they begin alike. Say in one sentence what comes after each, bar %s and bar %s.",
			d.Before, d.Alike, d.OtherTurn.Bar, d.Turn.Bar),
		fmt.Sprintf("Play the bar before bar %s and go on, then the bar before bar %s and go on, one after the other and slowly.",
			d.OtherTurn.Bar, d.Turn.Bar),
		fmt.Sprintf("Then away from the page: begin at bar %s by heart, as at any other place from which you can start again.", d.Turn.Bar),
	}}
}
