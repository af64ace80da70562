package progress

import "math"

// steps are the heights of a curve, the lowest first.
var steps = []rune("▁▂▃▄▅▆▇█")

// Curve draws the clean tempo of the latest days as a row of characters, one a
// day: the lowest step is half of the tempo asked for or less, the highest that
// tempo, and a dot a day without one. It is empty where tempo does not matter.
func (p *Progress) Curve(place *Place, most int) string {
	if place.Spot.Comfortable == 0 {
		return ""
	}
	var curve []rune
	for _, d := range place.Days[max(0, len(place.Days)-most):] {
		curve = append(curve, step(p.share(place, d.QPM)))
	}
	return string(curve)
}

func step(share float64) rune {
	if share == 0 {
		return '·'
	}
	const lowest = 0.5
	top := len(steps) - 1
	height := int(math.Floor((share-lowest)/(1-lowest)*float64(top) + 1e-9))
	return steps[max(0, min(height, top))]
}
