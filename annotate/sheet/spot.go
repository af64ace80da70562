package sheet

import (
	"fmt"

	"hardbars/annotate/engrave"
)

// musicSpace is the distance between two lines of a staff, in millimetres: a
// staff of 7 mm, as in printed piano music (common practice).
const musicSpace = 1.75

// Two columns below the music, in millimetres.
const (
	pictureColumn = 64.0
	columnGap     = 7.0
)

// spotBlock is all about one passage: its music; why it is hard and how to
// practise it, beside the picture of its kind; the tempos to tick off, what the
// teacher says, and where it comes again. Where a page has no room for the
// picture the block may stand there without.
func spotBlock(c canvas, f frame, e entry, m music) block {
	alone := spotWith(c, f, e, m, lesson(c, e, f.inner()))
	if e.picture == nil {
		return alone
	}
	beside := lesson(c, e, f.inner()-pictureColumn-columnGap)
	b := spotWith(c, f, e, m, columns(beside, picturePart(c, e.picture), f.inner()-pictureColumn))
	b.shorter = &alone
	return b
}

// spotWith is the block around what stands below the music.
func spotWith(c canvas, f frame, e entry, m music, below part) block {
	parts := append([]part{spotHead(c, f, e)}, m.parts(c, f)...)
	parts = append(parts, below, ladderPart(c, f, e.ladder))
	for _, remark := range e.said {
		parts = append(parts, remarkPart(c, f, remark, 0))
	}
	if e.again != "" {
		parts = append(parts, paragraph(c, e.again, smallFace, 0, f.inner()))
	}
	return block{parts: parts}
}

// lesson is why a passage is hard and the steps of its practice, within a width.
func lesson(c canvas, e entry, width float64) part {
	parts := []part{paragraph(c, e.why, noteFace, 0, width), gap(1.6)}
	for i, step := range e.steps {
		parts = append(parts, stepPart(c, width, i+1, step))
	}
	return stack(parts...)
}

// columns sets one part beside another, the second from a distance on.
func columns(left, right part, second float64) part {
	return part{height: max(left.height, right.height), draw: func(c canvas, x, y float64) {
		left.draw(c, x, y)
		right.draw(c, x+second, y)
	}}
}

// spotHead has a rule over the number of the passage, bars and hand against the
// tempos, and what it is.
func spotHead(c canvas, f frame, e entry) part {
	const indent, apart, top = 9.5, 4.0, 2.6
	wide := f.inner() - indent
	place := clip(c, e.place, headingFace, wide-apart-c.width(e.tempo, tempoFace))
	what := wrap(c, e.what, bodyFace, wide, 2)
	whatTop := top + headingFace.leading()
	return part{
		height: whatTop + float64(len(what))*bodyFace.leading(), heading: true, spot: e.number,
		outline: target{words: e.number + "  " + e.place + ": " + e.what, level: 1},
		draw: func(c canvas, x, y float64) {
			right, left := x+f.inner(), x+indent
			c.line(x, y, right, y, thin)
			numberDisc(c, x+3.3, y+top+3, e.number)
			c.text(left, y+top+headingFace.mm()-0.3, place, headingFace)
			flushRight(c, right, y+top+headingFace.mm()-0.3, e.tempo, tempoFace)
			write(c, left, y+whatTop, what, bodyFace)
		}}
}

// music is a place's bars as they are set, and what there is to say of them.
type music struct {
	drawings []*engrave.Drawing // one below the other; none without the score's notation
	cut      string             // where the music goes on that is not shown; "" where all is
	failed   error              // why there is no drawing; nil where there is one
}

// parts are the lines of music, and below them what was left out.
func (m music) parts(c canvas, f frame) []part {
	var parts []part
	for _, d := range m.drawings {
		parts = append(parts, part{height: d.Height, draw: func(c canvas, x, y float64) { c.music(x, y, d) }})
	}
	for _, words := range m.notes() {
		parts = append(parts, paragraph(c, words, smallFace, 0, f.inner()))
	}
	return parts
}

// notes say what is not in the music.
func (m music) notes() []string {
	var notes []string
	if m.failed != nil {
		notes = append(notes, m.failed.Error()+": see the score.")
	}
	if m.cut != "" {
		notes = append(notes, m.cut)
	}
	seen := map[string]bool{}
	for _, d := range m.drawings {
		for _, w := range d.Warnings {
			words := fmt.Sprintf("Bar %s: %s here; see the score.", w.Bar, w.Text)
			if !seen[words] {
				seen[words] = true
				notes = append(notes, words)
			}
		}
	}
	return notes
}

// stepPart is one step of the practice, its number before its lines.
func stepPart(c canvas, width float64, number int, step string) part {
	const inset, below = 5.5, 0.5
	p := paragraph(c, step, noteFace, inset, width-inset)
	return part{height: p.height + below, draw: func(c canvas, x, y float64) {
		c.text(x, y+noteFace.mm(), fmt.Sprintf("%d.", number), noteFace)
		p.draw(c, x, y)
	}}
}

// ladderPart is a box to tick for each tempo, in as many lines as it takes.
func ladderPart(c canvas, f frame, rungs []string) part {
	const apart, inset, line = 4.8, tickBox + 1.5, 5.8
	type place struct{ x, y float64 }
	var places []place
	at := place{}
	for _, words := range rungs {
		width := inset + c.width(words, noteFace)
		if at.x > 0 && at.x+width > f.inner() {
			at = place{0, at.y + line}
		}
		places = append(places, at)
		at.x += width + apart
	}
	return part{height: at.y + line - 1.4, draw: func(c canvas, x, y float64) {
		for i, p := range places {
			c.box(x+p.x+0.3, y+p.y+0.5, tickBox, tickBox, none, thin)
			c.text(x+p.x+inset, y+p.y+noteFace.mm(), rungs[i], noteFace)
		}
	}}
}
