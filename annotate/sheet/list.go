package sheet

import (
	"fmt"

	"hardbars/detect"
)

const (
	textIndent  = 19.0 // past the tick box and the number
	rightColumn = 48.0 // tempos
)

// practiseBlock is the list to work from: one entry a family, hardest first.
func practiseBlock(c canvas, f frame, r *detect.Report, most int) block {
	b := block{heading: "Practise these first"}
	list := entries(r)
	shown := list[:min(most, len(list))]
	for _, e := range shown {
		b.parts = append(b.parts, entryPart(c, f, e))
	}
	return b.cut(c, f, len(list)-len(shown), "more to practise")
}

// cut says how much was left out.
func (b block) cut(c canvas, f frame, n int, what string) block {
	if n > 0 {
		b.parts = append(b.parts, paragraph(c, fmt.Sprintf("and %d %s: --full shows them.", n, what), bodyFace, 0, f.inner()))
	}
	return b
}

// entryPart has a box to tick, the number of the place, and to its right bars
// and hand against the tempos, what it is against the demand, why, and where
// it comes again.
func entryPart(c canvas, f frame, e entry) part {
	wide := f.inner() - textIndent
	what := wrap(c, e.what, bodyFace, wide-rightColumn)
	why := wrap(c, e.why, bodyFace, wide)
	again := wrap(c, e.again, smallFace, wide)
	whatTop := strongFace.leading() + 0.3
	whyTop := whatTop + float64(len(what))*bodyFace.leading()
	againTop := whyTop + float64(len(why))*bodyFace.leading()
	height := againTop + float64(len(again))*smallFace.leading()
	return part{height, func(c canvas, x, y float64) {
		right, left := x+f.inner(), x+textIndent
		c.box(x+0.3, y+0.4, 4.6, 4.6, none, medium)
		numberDisc(c, x+11.5, y+2.7, e.number)
		c.text(left, y+strongFace.mm(), e.place, strongFace)
		flushRight(c, right, y+strongFace.mm(), e.tempo, strongFace)
		write(c, left, y+whatTop, what, bodyFace)
		flushRight(c, right, y+whatTop+bodyFace.mm(), e.asks, smallFace)
		write(c, left, y+whyTop, why, bodyFace)
		write(c, left, y+againTop, again, smallFace)
	}}
}

// numberDisc is a hot spot's number in a ring.
func numberDisc(c canvas, x, y float64, number string) {
	r := max(3.1, c.width(number, numberFace)/2+1)
	c.oval(x, y, r, 3.1, 0, white, thin)
	centred(c, x, y+1.15, number, numberFace)
}

// returnsBlock shows on a time line where each family that comes more than
// once stands in the piece.
func returnsBlock(c canvas, f frame, r *detect.Report, most int) block {
	b := block{heading: "What comes again, and where"}
	left := 0
	for _, family := range r.Families {
		switch {
		case len(family.Spots) < 2:
		case len(b.parts) < most:
			b.parts = append(b.parts, familyPart(c, f, r, family))
		default:
			left++
		}
	}
	return b.cut(c, f, left, "that come again")
}

func familyPart(c canvas, f frame, r *detect.Report, family detect.Family) part {
	const nameWidth = 70.0
	first := r.Spot(family.LearnFirst)
	name := clip(c, sentence(what(first))+", "+handName(first.Hand), bodyFace, nameWidth-8)
	return part{7, func(c canvas, x, y float64) {
		c.text(x, y+5, family.ID, strongFace)
		c.text(x+8, y+5, name, bodyFace)
		line, length := x+nameWidth, f.inner()-nameWidth
		c.line(line, y+5.6, line+length, y+5.6, hairline)
		scale := length / float64(len(r.Score.Bars))
		for _, id := range family.Spots {
			s := r.Spot(id)
			from := line + float64(s.FirstBar)*scale
			fill := white
			if id == family.LearnFirst {
				fill = black
			}
			c.box(from, y+3.6, max(1.2, float64(s.LastBar-s.FirstBar+1)*scale), 2, fill, thin)
		}
	}}
}

// assumedBlock says what the sheet rests on.
func assumedBlock(c canvas, f frame, r *detect.Report, most int) block {
	b := block{heading: "What was assumed"}
	lines := assumed(r)
	shown := lines[:min(most, len(lines))]
	for _, l := range shown {
		b.parts = append(b.parts, bullet(c, f, l))
	}
	return b.cut(c, f, len(lines)-len(shown), "remarks on the score")
}

func bullet(c canvas, f frame, s string) part {
	p := paragraph(c, s, bodyFace, 5, f.inner()-5)
	return part{p.height, func(c canvas, x, y float64) {
		c.text(x, y+bodyFace.mm(), "–", bodyFace)
		p.draw(c, x, y)
	}}
}

// cautionBlock is the one place for it.
func cautionBlock(c canvas, f frame) block {
	const inset = 4.0
	p := paragraph(c, caution, bodyFace, inset, f.inner()-2*inset)
	return block{parts: []part{{p.height + 2*inset, func(c canvas, x, y float64) {
		c.box(x, y, f.inner(), p.height+2*inset, none, medium)
		p.draw(c, x, y+inset-0.5)
	}}}}
}
