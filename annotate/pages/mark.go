package pages

import (
	"fmt"
	"math"
	"strconv"

	"hardbars/annotate/engrave"
	"hardbars/detect"
	"hardbars/score"
)

// The teacher's two colours: what is hard is coloured, where it begins and ends
// is pencilled. Vermilion is of the palette of Okabe & Ito (2008).
const (
	crayon = "#D55E00"
	pencil = "#505050"
)

// Lengths of a mark in millimetres. Our own measure: heavier than the bracket of
// an ending, and its number in a ring, so that it is not taken for one.
const (
	pencilLine = 0.7
	hook       = 2.2
	ringRadius = 2.5
	ringLine   = 0.35
	markGap    = 1.2 // from other ink
)

var numberFace = engrave.Face{Size: 3.7, Bold: true}

// mark draws the brackets of the passages of the shortlist over and under a
// system, and tells on which page of the sheet each stands.
func mark(d *engrave.Drawing, r *detect.Report, page func(order int) int) {
	for i := range r.Passages {
		p := &r.Passages[i]
		if !p.Shortlist {
			continue
		}
		see := ""
		if page != nil {
			if n := page(p.Order); n > 0 {
				see = fmt.Sprintf("see page %d", n)
			}
		}
		bracket(d, p, see)
	}
}

// bracket draws a passage's bracket from its first to its last bar: with hooks
// where it begins and ends, and where it begins its number and where to see more.
func bracket(d *engrave.Drawing, p *detect.Passage, see string) {
	left, right := math.Inf(1), math.Inf(-1)
	begins, ends := false, false
	for _, b := range d.Systems[0].Bars {
		if p.First <= b.Index && b.Index <= p.Last {
			left, right = min(left, b.Left), max(right, b.Right)
			begins, ends = begins || b.Index == p.First, ends || b.Index == p.Last
		}
	}
	if left > right {
		return
	}
	towards := 1.0 // the music
	if p.Hand == score.Left {
		towards = -1
	}
	ring, seeAt := left+ringRadius, left+2*ringRadius+markGap
	wide := keyFace.Width(see)
	if seeAt+wide > d.Width {
		ring = min(ring, d.Width-ringRadius)
		seeAt = ring - ringRadius - markGap - wide
	}
	from, to := left, right
	if begins {
		from, to = min(left, ring-ringRadius, seeAt), max(right, ring+ringRadius, seeAt+wide)
	}
	y := edge(d.Items, from, to, towards) - towards*(markGap+hook)
	line := func(x1, y1, x2, y2 float64) {
		add(d, engrave.Item{Stroke: &engrave.Stroke{X1: x1, Y1: y1, X2: x2, Y2: y2, Width: pencilLine}, Box: engrave.Box{
			Left: min(x1, x2), Right: max(x1, x2), Top: min(y1, y2) - pencilLine/2, Bottom: max(y1, y2) + pencilLine/2}})
	}
	line(left, y, right, y)
	if begins {
		line(left+pencilLine/2, y, left+pencilLine/2, y+towards*hook)
		middle := y - towards*(ringRadius+markGap/2)
		number(d, ring, middle, strconv.Itoa(p.Order))
		words(d, seeAt, middle, see, keyFace)
	}
	if ends {
		line(right-pencilLine/2, y, right-pencilLine/2, y+towards*hook)
	}
}

// edge is how far the ink between two places reaches away from the music.
func edge(items []engrave.Item, left, right, towards float64) float64 {
	y := math.Inf(int(towards))
	for _, it := range items {
		if it.Box.Right < left || right < it.Box.Left {
			continue
		}
		if towards > 0 {
			y = min(y, it.Box.Top)
		} else {
			y = max(y, it.Box.Bottom)
		}
	}
	return y
}

// number puts a number in a ring.
func number(d *engrave.Drawing, x, y float64, text string) {
	outer, inner := circle(x, y, ringRadius, 1), circle(x, y, ringRadius-ringLine, -1)
	add(d, engrave.Item{Shape: append(outer, inner...), Box: engrave.Box{Left: x - ringRadius, Top: y - ringRadius, Right: x + ringRadius, Bottom: y + ringRadius}})
	words(d, x-numberFace.Width(text)/2, y, text, numberFace)
}

// words writes words from x on, their figures' middle at y.
func words(d *engrave.Drawing, x, y float64, text string, face engrave.Face) {
	if text != "" {
		half := 0.34 * face.Size
		add(d, engrave.Item{Text: text, Face: face, X: x, Y: y + half, Box: engrave.Box{Left: x, Top: y - half, Right: x + face.Width(text), Bottom: y + 2*half}})
	}
}

// circle is a circle of four curves, turning one way or the other.
func circle(x, y, radius, way float64) []engrave.Segment {
	const bend = 0.5523 // of the radius, at which a curve is a quarter circle
	path := []engrave.Segment{{Op: 'M', X: x + radius, Y: y}}
	for quarter := range 4 {
		sin, cos := math.Sincos(way * float64(quarter) * math.Pi / 2)
		at := func(a, b float64) (float64, float64) { // b is turned the circle's way
			b *= way
			return x + radius*(a*cos-b*sin), y + radius*(a*sin+b*cos)
		}
		s := engrave.Segment{Op: 'C'}
		s.X1, s.Y1 = at(1, bend)
		s.X2, s.Y2 = at(bend, 1)
		s.X, s.Y = at(0, 1)
		path = append(path, s)
	}
	return path
}

func add(d *engrave.Drawing, it engrave.Item) {
	it.Role, it.Note, it.Chord, it.Colour = engrave.RolePick, -1, -1, pencil
	d.Items = append(d.Items, it)
}
