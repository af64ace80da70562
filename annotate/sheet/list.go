package sheet

import (
	"fmt"
	"slices"

	"hardbars/annotate/remarks"
	"hardbars/detect"
)

// fewest is how many places the list names when none is past the limit.
const fewest = 3

// list is what the sheet works through, one family an entry, hardest first and
// those that the teacher added last.
type list struct {
	heading string
	listed  []detect.Family // hardest first
	added   []detect.Family // by the teacher
	easier  []part          // names what is within comfort

	rows   []detect.Family     // listed on the first page
	hidden int                 // those for which there is no row
	shown  []detect.Family     // those that have a block
	said   map[string][]string // remarks, by the id of the family in whose block they stand
}

// chooseList chooses what is listed. What is within the player's comfort is
// only named, unless the sheet is full or there is nothing harder.
func chooseList(c canvas, f frame, r *detect.Report, full bool) list {
	l := list{heading: "Practise these first"}
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
	l.listed, l.added = listed, added
	if len(named) > 0 {
		l.easier = []part{paragraph(c, easier(r, named), bodyFace, 0, f.inner())}
	}
	return l
}

// first is the list with at most so many rows and blocks. What the teacher
// added is always shown.
func (l list) first(rows, blocks int) list {
	rows, blocks = min(rows, len(l.listed)), min(blocks, len(l.listed))
	l.hidden = len(l.listed) - rows
	l.rows = slices.Concat(l.listed[:rows], l.added)
	l.shown = slices.Concat(l.listed[:blocks], l.added)
	l.said = map[string][]string{}
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

// listRow is a box to tick once a place is learnt, its number, bars and hand,
// what it is and the tempos, and the page of its block, 0 for none.
func listRow(c canvas, f frame, e entry, onPage func() int) part {
	const number, where, what, apart, pageWidth = 11.0, 17.0, 66.0, 3.0, 15.0
	place := clip(c, e.place, testFace, what-where-apart)
	words, room := e.what, f.inner()-pageWidth-what-apart-c.width(e.tempo, testFace)
	if e.label != "" && c.width(words, noteFace) > room {
		words = e.label
	}
	words = clip(c, words, noteFace, room)
	return part{height: 7, draw: func(c canvas, x, y float64) {
		line := y + 4.6
		right := x + f.inner()
		c.box(x+0.3, y+1, 4.6, 4.6, none, medium)
		numberDisc(c, x+number, y+3.3, e.number)
		c.text(x+where, line, place, testFace)
		c.text(x+what, line, words, noteFace)
		flushRight(c, right-pageWidth, line, e.tempo, testFace)
		if page := onPage(); page > 0 {
			flushRight(c, right, line, fmt.Sprintf("page %d", page), noteFace)
		}
	}}
}

// numberDisc is a hot spot's number in a ring.
func numberDisc(c canvas, x, y float64, number string) {
	r := max(3.1, c.width(number, numberFace)/2+1)
	c.oval(x, y, r, 3.1, 0, white, thin)
	centred(c, x, y+1.15, number, numberFace)
}

// returnItems show on a time line where each family that comes more than once
// stands in the piece.
func returnItems(c canvas, f frame, r *detect.Report, full bool) items {
	it := items{heading: "What comes again, and where"}
	places := 16
	if full {
		places = 400 // two thirds of a page
	}
	for _, family := range r.Families {
		if len(family.Spots) > 1 {
			it.parts = append(it.parts, familyPart(c, f, r, family, places))
		}
	}
	return it
}

// familyPart has the family's letter and what it is beside the time line, with
// the place to learn first filled in, and its bars below.
func familyPart(c canvas, f frame, r *detect.Report, family detect.Family, most int) part {
	const letter, nameWidth = 8.0, 104.0
	first := r.Spot(family.LearnFirst)
	name := clip(c, sentence(what(first)), bodyFace, nameWidth-letter-4)
	where := fmt.Sprintf("%s, %s: %.0f %% of all places", sentence(first.Hand.Name()), places(r, family.Spots, most), 100*family.Share)
	bars := text(wrap(c, where, smallFace, f.inner()-letter, 60), smallFace, letter)
	return part{height: bodyFace.leading() + bars.height, draw: func(c canvas, x, y float64) {
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

// assumedItems say what the sheet rests on.
func assumedItems(c canvas, f frame, r *detect.Report, full bool) items {
	it := items{heading: "What was assumed or repaired"}
	bars := 8
	if full {
		bars = 100 // what ten lines hold
	}
	for _, l := range assumed(r, bars) {
		it.parts = append(it.parts, bullet(c, f, l))
	}
	return it
}

func bullet(c canvas, f frame, s string) part {
	p := paragraph(c, s, bodyFace, 5, f.inner()-5)
	return part{height: p.height, draw: func(c canvas, x, y float64) {
		c.text(x, y+bodyFace.mm(), "–", bodyFace)
		p.draw(c, x, y)
	}}
}

// cautionBlock is the one place for it.
func cautionBlock(c canvas, f frame) block {
	const inset = 4.0
	p := paragraph(c, caution, bodyFace, inset, f.inner()-2*inset)
	height := p.height + 2*inset - 1
	return block{parts: []part{{height: height, draw: func(c canvas, x, y float64) {
		c.box(x, y, f.inner(), height, none, medium)
		p.draw(c, x, y+inset)
	}}}}
}
