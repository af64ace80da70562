package regrouping

import (
	"fmt"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	start := p.PositionName(p.At(d.Starts[0]))
	groups, unit, units := fmt.Sprintf("groups of %s notes", detect.NumberWords(d.Group)), d.Beat, "beats"
	if d.Hemiola {
		groups = fmt.Sprintf("groups of %s beats", d.Length.Div(d.Beat).Pretty())
		unit, units = p.Score.Bars[p.Score.BarAt(p.Hardest.From)].Time.Length, "bars"
	}
	meet := d.Length.Div(unit)
	return detect.Lesson{Placed: true, Proof: "the groups heard and the beat not lost", Steps: []string{
		fmt.Sprintf("Forget the beat: from %s count in %s, the first of each a little louder.", start, groups),
		fmt.Sprintf("Now tap the beat with the foot: every %s groups and %s %s the two meet. Say where, and lean on nothing between.", detect.NumberWords(int(meet.Den())), detect.NumberWords(int(meet.Num())), units),
	}}
}
