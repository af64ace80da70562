package sheet

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
)

// gaps are the grid parts from each attack to the next, and from the last one
// to the end of the cycle.
func gaps(strikes []detect.Strike, grid int) []int {
	var list []int
	for i, s := range strikes {
		next := grid
		if i+1 < len(strikes) {
			next = strikes[i+1].At
		}
		list = append(list, next-s.At)
	}
	return list
}

func rhythmCaption(g detect.RhythmGrid) string {
	text := fmt.Sprintf("Right hand in %d equal parts, left hand in %d, over %s.", g.PerRight, g.PerLeft, quarters(g.Span))
	strikes := g.Strikes()
	if len(strikes) <= 12 {
		var order []string
		for _, s := range strikes {
			order = append(order, striker(s))
		}
		text += " In order: " + strings.Join(order, ", ") + "."
	}
	if len(g.Groups) > 0 {
		text += " Group the faster hand " + join(g.Groups, "+") + " under the slower one."
	}
	return text
}

// striker is who strikes.
func striker(s detect.Strike) string {
	switch {
	case s.Right && s.Left:
		return "both"
	case s.Right:
		return "right"
	}
	return "left"
}

func join(numbers []int, between string) string {
	return strings.Trim(strings.ReplaceAll(fmt.Sprint(numbers), " ", between), "[]")
}

// drawRhythm has a row a hand over the grid, discs for the right hand, squares
// for the left, an upright through both where they meet, and below them the
// two hands on one line, right above and left below it, with the gaps counted
// in grid parts.
func drawRhythm(g detect.RhythmGrid) drawing {
	const rightRow, leftRow, bothRow, countRow, height = 6.5, 14.5, 25.0, 32.2, 34.0
	return drawing{height, func(c canvas, x, y, width float64) {
		const gutter = 21.0
		left := x + gutter
		step := (width - gutter - 2) / float64(g.Grid)
		at := func(part int) float64 { return left + float64(part)*step }

		drawGrid(c, g, at, y+3, y+bothRow+4)
		drawRow(c, "right", x, at, y+rightRow, g.Grid, g.PerRight)
		drawRow(c, "left", x, at, y+leftRow, g.Grid, g.PerLeft)
		drawRow(c, "together", x, at, y+bothRow, g.Grid, 1)
		strikes := g.Strikes()
		rightSize, leftSize := markSize(g.Right, step), markSize(g.Left, step)
		for _, s := range strikes {
			if s.Right && s.Left {
				c.line(at(s.At), y+rightRow, at(s.At), y+bothRow, thick)
			}
			if s.Right {
				disc(c, at(s.At), y+rightRow, rightSize)
				disc(c, at(s.At), y+bothRow-1.7, rightSize)
			}
			if s.Left {
				square(c, at(s.At), y+leftRow, leftSize)
				square(c, at(s.At), y+bothRow+1.7, leftSize)
			}
		}
		drawGaps(c, strikes, g.Grid, x, at, y+countRow)
		drawGroups(c, g, at, y+rightRow, y+leftRow)
	}}
}

// drawGrid rules the parts of the cycle, as long as they stay apart, and more
// strongly the parts of the slower hand.
func drawGrid(c canvas, g detect.RhythmGrid, at func(int) float64, top, bottom float64) {
	slower := g.Grid / max(1, min(g.PerRight, g.PerLeft))
	for part := 0; part <= g.Grid; part++ {
		switch {
		case slower > 0 && part%slower == 0:
			c.line(at(part), top, at(part), bottom, pen{weight: 0.3, shade: 120})
		case at(1)-at(0) >= 1.5:
			c.line(at(part), top, at(part), bottom, pen{weight: 0.15, shade: 200})
		}
	}
}

// drawRow is a hand's line with a small upright at each of its equal parts, so
// that parts which stay silent are seen as well.
func drawRow(c canvas, name string, x float64, at func(int) float64, y float64, grid, per int) {
	c.text(x, y+1.1, name, smallFace)
	c.line(at(0), y, at(grid), y, thin)
	for part := 0; part < grid; part += max(1, grid/max(1, per)) {
		c.line(at(part), y-1, at(part), y+1, thin)
	}
}

// markSize is half the width of a hand's marks: less where they are close.
func markSize(attacks []int, step float64) float64 {
	size := 1.3
	for i := 1; i < len(attacks); i++ {
		size = min(size, 0.42*step*float64(attacks[i]-attacks[i-1]))
	}
	return size
}

func disc(c canvas, x, y, size float64)   { c.oval(x, y, size, size, 0, black, noPen) }
func square(c canvas, x, y, size float64) { c.box(x-size, y-size, 2*size, 2*size, white, medium) }

// drawGaps writes between neighbouring attacks how many grid parts they are
// apart, where there is room for all.
func drawGaps(c canvas, strikes []detect.Strike, grid int, x float64, at func(int) float64, y float64) {
	all := gaps(strikes, grid)
	if len(all) == 0 || at(slices.Min(all))-at(0) < c.width("2", smallFace)+0.4 {
		return
	}
	c.text(x, y, fmt.Sprintf("parts of %d", grid), smallFace)
	for i, gap := range all {
		centred(c, (at(strikes[i].At)+at(strikes[i].At+gap))/2, y, fmt.Sprint(gap), smallFace)
	}
}

// drawGroups writes over each note of the slower hand how many notes of the
// faster one go with it.
func drawGroups(c canvas, g detect.RhythmGrid, at func(int) float64, rightRow, leftRow float64) {
	y, slower := rightRow-2.6, len(g.Groups)
	if g.PerLeft > g.PerRight {
		y = leftRow - 2.6
	}
	for i, notes := range g.Groups {
		centred(c, (at(g.Grid*i/slower)+at(g.Grid*(i+1)/slower))/2, y, fmt.Sprint(notes), numberFace)
	}
}
