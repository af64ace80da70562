package sheet

import (
	"fmt"

	"hardbars/detect"
)

const (
	laneHeight = 4.4 // a hot spot's number over its line
	lineInset  = 0.6 // from a bar's edge to the line over it
	labelDrop  = 4.6 // the printed bar numbers under a row

	longestLabel = 12.0 // a bar "number" may be any text
)

// strip is the whole piece as a chart: one column a bar, as high and as dark
// as the bar is hard, the passages' numbers above and the bar numbers below.
type strip struct {
	report *detect.Report
	cell   float64 // width of a bar, mm
	perRow int     // bars
	chart  float64 // height of the columns' box, mm; demand 2 and more fills it
	lanes  int     // most rows of numbers above a row of bars
	labels int     // every how many bars a number is printed
}

// span is a passage, or what of it falls into one row of bars.
type span struct {
	passage     *detect.Passage
	first, last int // bars, from the row's first
}

func stripBlock(c canvas, f frame, r *detect.Report, lanes int) block {
	s := newStrip(c, f, r, lanes)
	var b block
	for first := 0; first < len(r.Score.Bars); first += s.perRow {
		b.parts = append(b.parts, s.row(c, first, min(first+s.perRow, len(r.Score.Bars))))
		b.parts[len(b.parts)-1].close = true
	}
	if len(r.Passages) > 0 {
		b.parts = append(b.parts, paragraph(c, "Bar by bar: higher and darker is harder, and the dashed line is what is comfortable. The numbers are the passages.", smallFace, 0, f.inner()))
	}
	return b
}

// mostLanes is how many rows of numbers stand above a row of bars at most.
func mostLanes(bars int) int {
	if bars > 5*rowLength(bars) {
		return 1
	}
	return 2
}

func newStrip(c canvas, f frame, r *detect.Report, lanes int) *strip {
	n := len(r.Score.Bars)
	s := &strip{report: r, perRow: rowLength(n), chart: 7, lanes: lanes}
	if n > 5*s.perRow {
		s.chart = 5
	}
	s.cell = f.inner() / float64(s.perRow)
	if n < s.perRow {
		s.cell = f.inner() / float64(max(n, 8))
	}
	s.labels = s.labelStep(c)
	return s
}

// rowLength is in whole phrases of four bars, so that a piece of up to 120
// bars is three rows at most, and the last row is not a mere scrap where that
// can be helped. However long the piece, there are ten rows at most.
func rowLength(bars int) int {
	const longest, mostRows = 48, 10
	if bars > longest*mostRows {
		return (bars + mostRows - 1) / mostRows
	}
	scrap := func(length int) bool { rest := bars % length; return rest > 0 && 4*rest < length }
	for _, length := range []int{16, 24, 32, 40} {
		if bars <= length || bars <= 3*length && !scrap(length) {
			return length
		}
	}
	for length := longest; length >= 40; length -= 4 {
		if !scrap(length) {
			return length
		}
	}
	return longest
}

// labelStep is a power of two: the closest that bar numbers can stand.
func (s *strip) labelStep(c canvas) int {
	widest := 0.0
	for _, b := range s.report.Score.Bars {
		widest = max(widest, min(c.width(b.Number, smallFace), longestLabel))
	}
	step := 1
	for step < s.perRow && float64(step)*s.cell < widest+1.8 {
		step *= 2
	}
	return step
}

// row draws the bars from first up to, not including, end.
func (s *strip) row(c canvas, first, end int) part {
	lanes := s.assign(c, first, end)
	above := float64(len(lanes)) * laneHeight
	return part{height: above + s.chart + labelDrop, draw: func(c canvas, x, y float64) {
		for i, lane := range lanes {
			for _, sp := range lane {
				s.drawSpan(c, x, y+above-float64(i+1)*laneHeight, sp)
			}
		}
		for bar := first; bar < end; bar++ {
			s.drawBar(c, x+float64(bar-first)*s.cell, y+above, bar)
		}
		right := x + float64(end-first)*s.cell
		limit := y + above + s.chart/2
		c.line(x, limit, right, limit, pen{weight: 0.25, shade: 90, dashed: true})
		for bar := first; bar < end; bar += s.labels {
			label := clip(c, s.report.Score.Bars[bar].Number, smallFace, longestLabel)
			left := s.inRow(float64(bar-first)+0.5, c.width(label, smallFace))
			c.text(x+left, y+above+s.chart+3.7, label, smallFace)
		}
	}}
}

// drawBar is one column in its box.
func (s *strip) drawBar(c canvas, x, y float64, bar int) {
	if d := s.report.BarDemand[bar]; d > 0 {
		h := s.chart * min(d/2, 1)
		c.box(x, y+s.chart-h, s.cell, h, shadeOf(d), noPen)
	}
	c.box(x, y, s.cell, s.chart, none, hairline)
}

// shadeOf darkens in steps that stay apart in print.
func shadeOf(demand float64) grey {
	switch {
	case demand < 0.75:
		return 225
	case demand < 1:
		return 190
	case demand < 1.5:
		return 135
	}
	return 70
}

// assign puts the row's passages of the shortlist into lanes, lowest first and
// in their order, so that no two meet.
func (s *strip) assign(c canvas, first, end int) [][]span {
	var lanes [][]span
	for i := range s.report.Passages {
		p := &s.report.Passages[i]
		if p.Shortlist && p.Last >= first && p.First < end {
			s.fit(c, &lanes, span{p, max(p.First-first, 0), min(p.Last, end-1) - first})
		}
	}
	return lanes
}

func (s *strip) fit(c canvas, lanes *[][]span, sp span) bool {
	for i := range *lanes {
		if s.free(c, (*lanes)[i], sp) {
			(*lanes)[i] = append((*lanes)[i], sp)
			return true
		}
	}
	if len(*lanes) == s.lanes {
		return false
	}
	*lanes = append(*lanes, []span{sp})
	return true
}

func (s *strip) free(c canvas, lane []span, sp span) bool {
	left, right := s.extent(c, sp)
	for _, other := range lane {
		if l, r := s.extent(c, other); left < r+0.8 && l < right+0.8 {
			return false
		}
	}
	return true
}

// number is the passage's.
func (sp span) number() string { return fmt.Sprint(sp.passage.Order) }

// extent is where a span's line and number begin and end, from the row's left.
// A number wider than its bars stays within the row.
func (s *strip) extent(c canvas, sp span) (left, right float64) {
	left = float64(sp.first)*s.cell + lineInset
	right = float64(sp.last+1)*s.cell - lineInset
	number := c.width(sp.number(), numberFace)
	if number <= right-left {
		return left, right
	}
	left = s.inRow((left+right)/2/s.cell, number)
	return left, left + number
}

// inRow is where something of a width begins, so that its middle is so many
// bars from the row's left or as near to it as the row's ends allow.
func (s *strip) inRow(bars, width float64) float64 {
	return max(0, min(bars*s.cell-width/2, s.width()-width))
}

// width is a full row's, in mm.
func (s *strip) width() float64 {
	return float64(min(s.perRow, len(s.report.Score.Bars))) * s.cell
}

// drawSpan is the number over a line as long as the hot spot's bars, both
// heavier where it is past comfort.
func (s *strip) drawSpan(c canvas, x, y float64, sp span) {
	left, right := s.extent(c, sp)
	number, over := smallFace, thin
	if sp.passage.Demand > 1 {
		number, over = numberFace, medium
	}
	c.text(x+(left+right-c.width(sp.number(), number))/2, y+3, sp.number(), number)
	line := y + laneHeight - 0.9
	c.line(x+float64(sp.first)*s.cell+lineInset, line, x+float64(sp.last+1)*s.cell-lineInset, line, over)
}
