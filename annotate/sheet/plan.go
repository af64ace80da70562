package sheet

import (
	"fmt"
	"io"
	"strings"

	"hardbars/annotate/plan"
)

// WritePlan writes a practice plan as a PDF of its own, each day as a table
// with boxes to tick. The same plan and paper give the same bytes. It fails on
// a paper it does not know and when w does.
func WritePlan(w io.Writer, p *plan.Plan, paperName string) error {
	f, ok := frames[paperName]
	if !ok {
		return unknownPaper(paperName)
	}
	pdf := newDocument(f, p.Report, "practice plan")
	c := paper{pdf}
	return output(w, c, f, p.Report, planPages(c, f, p))
}

// planPages is a plan with its own title, and how to begin at each place.
func planPages(c canvas, f frame, p *plan.Plan) []page {
	blocks := append([]block{titleBlock(c, f, p.Report)}, planBlocks(c, f, p, true)...)
	return paginate(f, firstTop, append(blocks, assumedBlock(c, f, p.Report), cautionBlock(c, f)))
}

// numbers says what the numbers in bold are.
const numbers = "Numbers in bold are those of the places, as in the marked score."

// planBlocks are the days, what has no room in them, and what to know about
// them. How to begin at a place is told where it is not told elsewhere.
func planBlocks(c canvas, f frame, p *plan.Plan, how bool) []block {
	days := block{heading: "The plan", parts: []part{paragraph(c, sentence(p.TimesWords())+". "+numbers, bodyFace, 0, f.inner())}}
	for _, note := range p.Notes {
		days.parts = append(days.parts, bullet(c, f, note))
	}
	for _, d := range p.Days {
		days.parts = append(days.parts, dayParts(c, f, p, d, how)...)
	}
	left := block{heading: "Not in the plan"}
	for _, words := range p.LeftOutWords() {
		left.parts = append(left.parts, bullet(c, f, words))
	}
	return []block{days, left}
}

// mostDay is how high the table of a day may grow before it is parted.
const mostDay = 110.0

// dayParts is a day's date over its rows; of a long day there are several parts.
func dayParts(c canvas, f frame, p *plan.Plan, d plan.Day, how bool) []part {
	var parts []part
	rows := []part{dayHeading(f, d)}
	height := rows[0].height
	for _, it := range d.Items {
		row := itemRow(c, f, p, it, how)
		if height += row.height; height > mostDay {
			parts, rows, height = append(parts, stack(rows...)), nil, row.height
		}
		rows = append(rows, row)
	}
	return append(parts, stack(rows...))
}

func dayHeading(f frame, d plan.Day) part {
	return part{height: strongFace.leading() + 1, draw: func(c canvas, x, y float64) {
		c.text(x, y+strongFace.mm(), d.Date.Format("Monday 2 January"), strongFace)
		flushRight(c, x+f.inner(), y+strongFace.mm(), fmt.Sprintf("%d min", d.Minutes()), bodyFace)
		c.line(x, y+strongFace.leading()+0.2, x+f.inner(), y+strongFace.leading()+0.2, hairline)
	}}
}

// tickBox is the side of the box to tick, in millimetres.
const tickBox = 3.2

// itemRow is a box to tick, then minutes, places, bars, tempo and what to do in
// columns; below it what there is more to tell.
func itemRow(c canvas, f frame, p *plan.Plan, it plan.Item, how bool) part {
	const minutes, ids, bars, tempo, what, apart = 6.0, 17.5, 38.0, 76.0, 103.0, 2.0
	does := wrap(c, it.What, smallFace, f.inner()-what, 2)
	var where []string
	if len(it.Passages) > 0 {
		where = wrap(c, p.BarWords(it.Passages), smallFace, tempo-bars-apart, 2)
	}
	places := wrap(c, strings.Join(it.Spots, ", "), numberFace, bars-ids-apart, 2)
	pace := ""
	if it.Timed() {
		pace = clip(c, paceSign(it.Pace), smallFace, what-tempo-apart)
	}
	if !how {
		it.How = ""
	}
	var more []string
	for _, words := range it.Said() {
		more = append(more, wrap(c, words, smallFace, f.inner()-ids, mostLines)...)
	}
	moreTop := float64(max(1, len(does), len(where), len(places))) * smallFace.leading()
	return part{height: moreTop + float64(len(more))*smallFace.leading() + 0.9, draw: func(c canvas, x, y float64) {
		line := y + smallFace.mm()
		c.box(x+0.3, y+0.5, tickBox, tickBox, none, thin)
		c.text(x+minutes, line, fmt.Sprintf("%d min", it.Minutes), smallFace)
		write(c, x+ids, y, places, numberFace)
		write(c, x+bars, y, where, smallFace)
		c.text(x+tempo, line, pace, smallFace)
		write(c, x+what, y, does, smallFace)
		write(c, x+ids, y+moreTop, more, smallFace)
	}}
}
