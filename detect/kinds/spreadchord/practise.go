package spreadchord

import (
	"fmt"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	l := p.SpreadLesson(d.Roll, d.Sign)
	if r := d.OtherHand; r != nil && r.Near {
		other, notes := (1 - p.Spot.Hand).Name(), detect.ChordName(r.Pitches)
		l.Steps = append([]string{fmt.Sprintf("First try it without a spread: the %s takes %s. Write it in if it sits well; otherwise go on here.", other, notes)}, l.Steps...)
		l.Together++
	}
	return l
}
