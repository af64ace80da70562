package sheet

import (
	"fmt"
	"slices"

	"hardbars/annotate/remarks"
	"hardbars/detect"
)

// textIndent leaves room for the tick box and the number.
const textIndent = 19.0

// fewest is how many places the list names when none is past the limit.
const fewest = 5

// list is what the sheet works through, one family an entry, hardest first and
// those that the teacher added last.
type list struct {
	heading string
	shown   []detect.Family
	hidden  int // entries for which there is no room
	advised int // the first entries, which say how to practise
	named   []detect.Family
	said    map[string][]remarks.Remark // by the id of the family at whose entry they stand
}

// chooseList makes the list. What is within the player's comfort is only
// named, unless the sheet is full or there is nothing harder. What the teacher
// added is always shown.
func chooseList(r *detect.Report, full bool, most, advised int) list {
	l := list{heading: "Practise these first", advised: advised, said: map[string][]remarks.Remark{}}
	found, added := apart(r.Families)
	listed, named := pastLimit(r, found)
	switch {
	case full:
		listed, named = found, nil
	case len(listed) == 0 && len(added) == 0:
		l.heading = "Nearest to the limit"
		n := min(fewest, len(named))
		listed, named = named[:n], named[n:]
	}
	shown := min(most, len(listed))
	l.hidden, l.named = len(listed)-shown, named
	l.shown = slices.Concat(listed[:shown], added)
	return l
}

// apart parts the families that were found from those that were added by hand.
func apart(families []detect.Family) (found, added []detect.Family) {
	for _, f := range families {
		if f.Kind == remarks.Added {
			added = append(added, f)
		} else {
			found = append(found, f)
		}
	}
	return found, added
}

// practiseBlock is the list to work from.
func practiseBlock(c canvas, f frame, r *detect.Report, l list) block {
	b := block{heading: l.heading}
	for i, family := range l.shown {
		b.parts = append(b.parts, entryPart(c, f, newEntry(r, family, i < l.advised, l.said[family.ID])))
	}
	switch {
	case l.hidden > 0:
		b.parts = append(b.parts, leftOut(c, f, l.hidden))
	case l.advised < len(l.shown):
		b.parts = append(b.parts, paragraph(c, "How to practise the others: --full, or hardbars spots with --spot and the number.", bodyFace, 0, f.inner()))
	}
	if len(l.named) > 0 {
		b.parts = append(b.parts, paragraph(c, easier(r, l.named), bodyFace, 0, f.inner()))
	}
	return b
}

// pastLimit parts the families that are past the player's comfortable limit
// from those that are not, both in order of rank.
func pastLimit(r *detect.Report, families []detect.Family) (past, within []detect.Family) {
	for _, family := range families {
		if r.Spot(family.LearnFirst).Demand > 1 {
			past = append(past, family)
		} else {
			within = append(within, family)
		}
	}
	return past, within
}

// leftOut says how much of a list is not shown.
func leftOut(c canvas, f frame, n int) part {
	return paragraph(c, fmt.Sprintf("… and %d more: --full shows all.", n), bodyFace, 0, f.inner())
}

// entryPart has a box to tick, the number of the place, and to its right bars
// and hand against the tempos, what it is against the demand, why, how to
// practise it, and where it comes again.
func entryPart(c canvas, f frame, e entry) part {
	const apart = 4.0
	wide := f.inner() - textIndent
	place := clip(c, e.place, strongFace, wide-apart-c.width(e.tempo, tempoFace))
	what := wrap(c, e.what, bodyFace, wide-apart-c.width(e.asks, smallFace), 2)
	whatTop := strongFace.leading() + 0.3
	head := part{whatTop + float64(len(what))*bodyFace.leading(), func(c canvas, x, y float64) {
		right, left := x+f.inner(), x+textIndent
		c.box(x+0.3, y+0.4, 4.6, 4.6, none, medium)
		numberDisc(c, x+11.5, y+2.7, e.number)
		c.text(left, y+strongFace.mm(), place, strongFace)
		flushRight(c, right, y+strongFace.mm()+0.2, e.tempo, tempoFace)
		write(c, left, y+whatTop, what, bodyFace)
		flushRight(c, right, y+whatTop+bodyFace.mm(), e.asks, smallFace)
	}}
	below := func(s string, f face, most int) part { return text(wrap(c, s, f, wide, most), f, textIndent) }
	parts := []part{head, below(e.why, bodyFace, mostLines)}
	for _, remark := range e.said {
		parts = append(parts, remarkPart(c, f, remark, textIndent))
	}
	if e.how != "" {
		parts = append(parts, gap(0.8), below(e.how, smallFace, 2*mostLines), below(e.test, numberFace, 3), gap(0.8))
	}
	return stack(append(parts, below(e.again, smallFace, 3))...)
}

// numberDisc is a hot spot's number in a ring.
func numberDisc(c canvas, x, y float64, number string) {
	r := max(3.1, c.width(number, numberFace)/2+1)
	c.oval(x, y, r, 3.1, 0, white, thin)
	centred(c, x, y+1.15, number, numberFace)
}

// returnsBlock shows on a time line where each family that comes more than
// once stands in the piece.
func returnsBlock(c canvas, f frame, r *detect.Report, full bool, most int) block {
	b := block{heading: "What comes again, and where"}
	places := 16
	if full {
		places = 400 // two thirds of a page
	}
	hidden := 0
	for _, family := range r.Families {
		switch {
		case len(family.Spots) < 2:
		case len(b.parts) < most:
			b.parts = append(b.parts, familyPart(c, f, r, family, places))
		default:
			hidden++
		}
	}
	if hidden > 0 {
		b.parts = append(b.parts, leftOut(c, f, hidden))
	}
	return b
}

// familyPart has the family's letter and what it is beside the time line, with
// the place to learn first filled in, and its bars below.
func familyPart(c canvas, f frame, r *detect.Report, family detect.Family, most int) part {
	const letter, nameWidth = 8.0, 104.0
	first := r.Spot(family.LearnFirst)
	name := clip(c, sentence(what(first)), bodyFace, nameWidth-letter-4)
	where := fmt.Sprintf("%s, %s: %.0f %% of all places", sentence(first.Hand.Name()), places(r, family.Spots, most), 100*family.Share)
	bars := text(wrap(c, where, smallFace, f.inner()-letter, 60), smallFace, letter)
	return part{bodyFace.leading() + bars.height, func(c canvas, x, y float64) {
		c.text(x, y+bodyFace.mm(), family.ID, strongFace)
		c.text(x+letter, y+bodyFace.mm(), name, bodyFace)
		drawReturns(c, r, family, x+nameWidth, y+bodyFace.mm()-1.3, f.inner()-nameWidth)
		bars.draw(c, x, y+bodyFace.leading())
	}}
}

// drawReturns is the piece as a line with a box at each place of a family.
func drawReturns(c canvas, r *detect.Report, family detect.Family, x, y, width float64) {
	c.line(x, y, x+width, y, hairline)
	scale := width / float64(len(r.Score.Bars))
	for _, id := range family.Spots {
		s := r.Spot(id)
		fill := white
		if id == family.LearnFirst {
			fill = black
		}
		wide := max(1.2, float64(s.LastBar-s.FirstBar+1)*scale)
		c.box(min(x+float64(s.FirstBar)*scale, x+width-wide), y-1.4, wide, 2.8, fill, thin)
	}
}

// assumedBlock says what the sheet rests on.
func assumedBlock(c canvas, f frame, r *detect.Report, full bool, most int) block {
	b := block{heading: "What was assumed or repaired"}
	bars := 8
	if full {
		bars = 100 // what ten lines hold
	}
	lines := assumed(r, bars)
	shown := min(most, len(lines))
	for _, l := range lines[:shown] {
		b.parts = append(b.parts, bullet(c, f, l))
	}
	if len(lines) > shown {
		b.parts = append(b.parts, leftOut(c, f, len(lines)-shown))
	}
	return b
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
	height := p.height + 2*inset - 1
	return block{parts: []part{{height, func(c canvas, x, y float64) {
		c.box(x, y, f.inner(), height, none, medium)
		p.draw(c, x, y+inset)
	}}}}
}
