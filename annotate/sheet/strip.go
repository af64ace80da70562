package sheet

import "hardbars/detect"

const (
	laneHeight = 4.4 // a hot spot's number over its line
	lineInset  = 0.6 // from a bar's edge to the line over it
	labelDrop  = 4.6 // the printed bar numbers under a row

	longestLabel = 12.0 // a bar "number" may be any text
)

// strip is the whole piece as a chart: one column a bar, as high and as dark
// as the bar is hard, the hot spots' numbers above and the bar numbers below.
type strip struct {
	report *detect.Report
	cell   float64         // width of a bar, mm
	perRow int             // bars
	chart  float64         // height of the columns' box, mm; demand 2 and more fills it
	lanes  int             // most rows of numbers above a row of bars
	labels int             // every how many bars a number is printed
	shown  map[string]bool // the hot spots whose numbers have room in some row, by id
}

// span is a hot spot, or what of it falls into one row of bars.
type span struct {
	spot        *detect.Spot
	first, last int // bars, from the row's first
}

func stripBlock(c canvas, f frame, r *detect.Report, o Options, lanes int) block {
	s := newStrip(c, f, r, lanes)
	b := block{heading: "The whole piece, bar by bar"}
	b.parts = append(b.parts, long(c, f, findings(r)+skipped(r, o.Remarks))...)
	for first := 0; first < len(r.Score.Bars); first += s.perRow {
		b.parts = append(b.parts, s.row(c, first, min(first+s.perRow, len(r.Score.Bars))))
	}
	if len(r.Spots) > 0 {
		b.parts = append(b.parts, paragraph(c, s.legend(), smallFace, 0, f.inner()))
	}
	return b
}

// mostLanes is how many rows of numbers stand above a row of bars at most.
func mostLanes(r *detect.Report, full bool) int {
	switch n := len(r.Score.Bars); {
	case full:
		return 12
	case n > 5*rowLength(n):
		return 2
	}
	return 4
}

func newStrip(c canvas, f frame, r *detect.Report, lanes int) *strip {
	n := len(r.Score.Bars)
	s := &strip{report: r, perRow: rowLength(n), chart: 9, lanes: lanes, shown: map[string]bool{}}
	if n > 5*s.perRow {
		s.chart = 7
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
// can be helped.
func rowLength(bars int) int {
	const longest = 48
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

// labelStep is 1, 2, 4 or 8: the closest that bar numbers can stand.
func (s *strip) labelStep(c canvas) int {
	widest := 0.0
	for _, b := range s.report.Score.Bars {
		widest = max(widest, min(c.width(b.Number, smallFace), longestLabel))
	}
	step := 1
	for step < 8 && float64(step)*s.cell < widest+1.8 {
		step *= 2
	}
	return step
}

func (s *strip) legend() string {
	text := "Higher and darker is harder; the dashed line is this player's comfortable limit. " +
		"The numbers above are those of the places below and in the marked score, bold where they are past comfort."
	if nowhere := s.nowhere(); len(nowhere) > 0 {
		text += " No room above for " + detect.Enumerate(atMost(nowhere, 12)) + "."
	}
	return text
}

// nowhere are the hot spots whose numbers have no room in any row.
func (s *strip) nowhere() []string {
	var ids []string
	for _, spot := range s.report.Spots {
		if !s.shown[spot.ID] {
			ids = append(ids, spot.ID)
		}
	}
	return ids
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

// assign puts the row's hot spots into lanes, lowest first and hardest first,
// so that no two meet, and notes those for which there is a lane.
func (s *strip) assign(c canvas, first, end int) [][]span {
	var lanes [][]span
	for i := range s.report.Spots {
		spot := &s.report.Spots[i]
		if spot.LastBar < first || spot.FirstBar >= end {
			continue
		}
		sp := span{spot, max(spot.FirstBar-first, 0), min(spot.LastBar, end-1) - first}
		if s.fit(c, &lanes, sp) {
			s.shown[spot.ID] = true
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

// extent is where a span's line and number begin and end, from the row's left.
// A number wider than its bars stays within the row.
func (s *strip) extent(c canvas, sp span) (left, right float64) {
	left = float64(sp.first)*s.cell + lineInset
	right = float64(sp.last+1)*s.cell - lineInset
	number := c.width(sp.spot.ID, numberFace)
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
	if sp.spot.PastComfort() {
		number, over = numberFace, medium
	}
	c.text(x+(left+right-c.width(sp.spot.ID, number))/2, y+3, sp.spot.ID, number)
	line := y + laneHeight - 0.9
	c.line(x+float64(sp.first)*s.cell+lineInset, line, x+float64(sp.last+1)*s.cell-lineInset, line, over)
}
