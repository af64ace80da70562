package sheet

import (
	"math"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// block is one idea on the sheet: a heading over parts. It is split over two
// pages only where it is longer than a page.
type block struct {
	heading string
	parts   []part
	shorter *block // what may stand in its place where a page has no room for it; nil for nothing
	back    bool   // may stand at the foot of an earlier page
}

// part is a piece of a block that is never split over two pages.
type part struct {
	height  float64                      // mm
	draw    func(c canvas, x, y float64) // from its top left corner
	close   bool                         // the next part follows without a gap
	heading bool                         // the next part stays on the same page
	outline target                       // in the PDF's outline; none without words
	spot    string                       // the number of the place whose block begins here; "" for none
}

// target is a place in the outline that a reader jumps to.
type target struct {
	words string
	level int // 0, or 1 for what belongs to the last one of level 0
}

// page is what stands on one page, each part at its distance from the top.
type page []placed

type placed struct {
	part
	y float64
}

// frame is the part of a page that blocks may use, in millimetres.
type frame struct {
	width, height float64 // of the paper
}

const (
	margin       = 17.0 // left and right
	firstTop     = 13.0 // of the first page
	topMargin    = 20.0 // of the others, below the running title
	bottomMargin = 16.0 // above the page number
	blockGap     = 6.5
	partGap      = 3.2
)

func (f frame) inner() float64  { return f.width - 2*margin }
func (f frame) bottom() float64 { return f.height - bottomMargin }

// paginate sets blocks one below the other, the first at a distance from the
// top of its page. A block that does not fit on the rest of a page goes to the
// next one; one that may go back stands on the first page that has room for it.
// Of a block longer than a page its parts go on over the pages; a heading stays
// with the first part below it.
func paginate(f frame, top float64, blocks []block) []page {
	l := layout{frame: f, pages: []page{nil}, ends: []float64{top}}
	for _, b := range blocks {
		if !b.back || !l.goBack(b) {
			l.goOn(b)
		}
	}
	return l.pages
}

// layout is pages being filled.
type layout struct {
	frame
	pages []page
	ends  []float64 // where the next block of each page begins
}

// goBack sets a block on the first page that has room for it, before the last.
func (l *layout) goBack(b block) bool {
	parts := b.all(l.frame)
	for n := range len(l.pages) - 1 {
		if len(parts) > 0 && l.ends[n]+heightOf(parts) <= l.bottom() {
			for _, p := range parts {
				l.add(n, p)
			}
			l.ends[n] += blockGap - partGap
			return true
		}
	}
	return false
}

// goOn sets a block below the last one.
func (l *layout) goOn(b block) {
	parts := b.fitting(l.frame, l.bottom()-l.ends[len(l.ends)-1])
	if whole := heightOf(parts); whole <= l.bottom()-topMargin {
		l.room(whole)
	}
	for i, p := range parts {
		l.room(p.height + keptWith(parts[i:]))
		l.add(len(l.pages)-1, p)
	}
	if len(parts) > 0 {
		l.ends[len(l.ends)-1] += blockGap - partGap
	}
}

// room turns the page where so much has none.
func (l *layout) room(height float64) {
	if last := len(l.pages) - 1; l.ends[last]+height > l.bottom() && len(l.pages[last]) > 0 {
		l.pages, l.ends = append(l.pages, nil), append(l.ends, topMargin)
	}
}

// add sets a part at the end of a page.
func (l *layout) add(n int, p part) {
	l.pages[n] = append(l.pages[n], placed{p, l.ends[n]})
	l.ends[n] += p.height + p.after()
}

// fitting are the parts of the block, or of the longest shorter one that has
// room; those of the block where none has.
func (b block) fitting(f frame, room float64) []part {
	for s := &b; s != nil; s = s.shorter {
		if parts := s.all(f); heightOf(parts) <= room {
			return parts
		}
	}
	return b.all(f)
}

// shortened is the block so many forms shorter, or its shortest.
func (b block) shortened(by int) block {
	for ; by > 0 && b.shorter != nil; by-- {
		b = *b.shorter
	}
	return b
}

// under gives a block and its shorter forms a heading.
func (b *block) under(heading string) {
	for ; b != nil; b = b.shorter {
		b.heading = heading
	}
}

// all are a block's parts under its heading; none where it has none.
func (b block) all(f frame) []part {
	if b.heading == "" || len(b.parts) == 0 {
		return b.parts
	}
	return append([]part{heading(f, b.heading)}, b.parts...)
}

// after is the gap below a part.
func (p part) after() float64 {
	if p.close {
		return 0
	}
	return partGap
}

// heightOf is the height of parts one below the other.
func heightOf(parts []part) float64 {
	height := 0.0
	for i, p := range parts {
		height += p.height
		if i+1 < len(parts) {
			height += p.after()
		}
	}
	return height
}

// keptWith is the height of the part that must stay on the page of the first.
func keptWith(parts []part) float64 {
	if parts[0].heading && len(parts) > 1 {
		return parts[1].height
	}
	return 0
}

// heading is the name of a block over a thin rule.
func heading(f frame, name string) part {
	return part{height: 9, close: true, heading: true, outline: target{words: name}, draw: func(c canvas, x, y float64) {
		c.text(x, y+4.6, name, headingFace)
		c.line(x, y+6.6, x+f.inner(), y+6.6, thin)
	}}
}

// mostLines is how long any one text may grow. What a file says may be
// endless; a part of the sheet must fit on a page.
const mostLines = 10

// paragraph is text wrapped to a width, indented from the left of the frame.
func paragraph(c canvas, s string, f face, indent, width float64) part {
	return text(wrap(c, s, f, width, mostLines), f, indent)
}

// text is lines one below the other, indented from the left of the frame.
func text(lines []string, f face, indent float64) part {
	return part{height: float64(len(lines)) * f.leading(), draw: func(c canvas, x, y float64) {
		write(c, x+indent, y, lines, f)
	}}
}

// write sets lines one below the other, the first one's top at y.
func write(c canvas, x, y float64, lines []string, f face) {
	for i, l := range lines {
		c.text(x, y+f.mm()+float64(i)*f.leading(), l, f)
	}
}

// stack joins parts into one that is never split, one below the other.
func stack(parts ...part) part {
	total := 0.0
	for _, p := range parts {
		total += p.height
	}
	return part{height: total, draw: func(c canvas, x, y float64) {
		for _, p := range parts {
			p.draw(c, x, y)
			y += p.height
		}
	}}
}

// wrap breaks s into lines no wider than width: between words, and inside a
// word only where the word alone is too wide. Of more than most lines the last
// one ends in an ellipsis.
func wrap(c canvas, s string, f face, width float64, most int) []string {
	var lines []string
	line := ""
	for _, word := range words(printable(s)) {
		if joined := strings.TrimSpace(line + " " + word); c.width(joined, f) <= width {
			line = joined
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for line = word; c.width(line, f) > width && len(lines) <= most; {
			head := fitting(c, line, f, width)
			lines, line = append(lines, head), line[len(head):]
		}
		if len(lines) > most {
			break
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	if len(lines) > most {
		lines = append(lines[:most-1], clip(c, lines[most-1]+" "+lines[most], f, width))
	}
	return lines
}

// unit is a figure with the unit that must not be parted from it.
var unit = regexp.MustCompile(`(\d) (mm|ms|s|quarters?|bits)\b`)

// words splits s at its spaces, but keeps figures and their units together.
func words(s string) []string {
	const hard = "\u00a0"
	list := strings.FieldsFunc(unit.ReplaceAllString(s, "$1"+hard+"$2"), func(r rune) bool {
		return unicode.IsSpace(r) && string(r) != hard
	})
	for i := range list {
		list[i] = strings.ReplaceAll(list[i], hard, " ")
	}
	return list
}

// fitting is the longest beginning of s, of at least one letter, within width.
func fitting(c canvas, s string, f face, width float64) string {
	end := 0
	for at, r := range s {
		next := at + utf8.RuneLen(r)
		if end > 0 && c.width(s[:next], f) > width {
			break
		}
		end = next
	}
	return s[:end]
}

// clip shortens s to width, with an ellipsis where something was cut off.
func clip(c canvas, s string, f face, width float64) string {
	s = printable(s)
	if c.width(s, f) <= width {
		return s
	}
	room := width - c.width("…", f)
	return strings.TrimRight(fitting(c, s, f, room), " ,;") + "…"
}

// direction is the unit vector from one place to another.
func direction(x1, y1, x2, y2 float64) (dx, dy float64) {
	length := math.Hypot(x2-x1, y2-y1)
	if length == 0 {
		return 0, 0
	}
	return (x2 - x1) / length, (y2 - y1) / length
}
