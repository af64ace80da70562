package spreadoctave

import (
	"hardbars/detect"
	"hardbars/score"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	var order [][]score.Pitch
	for _, pitch := range d.Pitches {
		order = append(order, []score.Pitch{pitch})
	}
	if k, ok := p.Hardest.Picture.(detect.KeyChord); ok && k.Downward {
		for i := range order {
			order[i] = []score.Pitch{d.Pitches[len(d.Pitches)-1-i]}
		}
	}
	return p.SpreadLesson(order, d.Sign)
}
