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
const fewest = 3

// list is what the sheet works through, one family an entry, hardest first and
// those that the teacher added last.
type list struct {
	heading string
	listed  []detect.Family // hardest first
	added   []detect.Family // by the teacher
	easier  []part          // names what is within comfort

	shown   []detect.Family
	hidden  int                 // entries for which there is no room
	advised int                 // the first entries, which say how to practise
	said    map[string][]string // remarks, by the id of the family at whose entry they stand
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

// first is the list with at most so many entries, of which the first advised
// say how to practise. What the teacher added is always shown.
func (l list) first(most, advised int) list {
	shown := min(most, len(l.listed))
	l.hidden, l.advised = len(l.listed)-shown, advised
	l.shown = slices.Concat(l.listed[:shown], l.added)
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

// entryParts are one entry of the list. A page may end between its steps, but
// two of them stay with what comes before, and two with what comes after.
func entryParts(c canvas, f frame, e entry) []part {
	wide := f.inner() - textIndent
	below := func(s string, f face, most int) part { return text(wrap(c, s, f, wide, most), f, textIndent) }
	first := []part{entryHead(c, f, e), below(e.why, bodyFace, mostLines)}
	for _, remark := range e.said {
		first = append(first, remarkPart(c, f, remark, textIndent))
	}
	again := below(e.again, smallFace, 3)
	if len(e.steps) == 0 {
		return []part{stack(append(first, again)...)}
	}
	var steps []part
	for i, step := range e.steps {
		steps = append(steps, stepPart(c, f, i+1, step))
	}
	last := []part{below(e.test, testFace, 3), gap(0.8), again}
	first = append(first, gap(1.4))
	if len(steps) < 4 {
		return []part{stack(slices.Concat(first, steps, last)...)}
	}
	n := len(steps) - 2
	parts := append([]part{stack(append(first, steps[:2]...)...)}, steps[2:n]...)
	for i := range parts {
		parts[i].close = true
	}
	return append(parts, stack(append(steps[n:], last...)...))
}

// entryHead has a box to tick, the number of the place, and to its right bars
// and hand against the tempos, and what it is against the demand.
func entryHead(c canvas, f frame, e entry) part {
	const apart = 4.0
	wide := f.inner() - textIndent
	place := clip(c, e.place, strongFace, wide-apart-c.width(e.tempo, tempoFace))
	what := wrap(c, e.what, bodyFace, wide-apart-c.width(e.asks, smallFace), 2)
	whatTop := strongFace.leading() + 0.3
	return part{height: whatTop + float64(len(what))*bodyFace.leading(), draw: func(c canvas, x, y float64) {
		right, left := x+f.inner(), x+textIndent
		c.box(x+0.3, y+0.4, 4.6, 4.6, none, medium)
		numberDisc(c, x+11.5, y+2.7, e.number)
		c.text(left, y+strongFace.mm(), place, strongFace)
		flushRight(c, right, y+strongFace.mm()+0.2, e.tempo, tempoFace)
		write(c, left, y+whatTop, what, bodyFace)
		flushRight(c, right, y+whatTop+bodyFace.mm(), e.asks, smallFace)
	}}
}

// stepPart is one step of the practice, its number before its lines.
func stepPart(c canvas, f frame, number int, step string) part {
	const inset, below = 6.0, 0.6
	p := paragraph(c, step, bodyFace, textIndent+inset, f.inner()-textIndent-inset)
	return part{height: p.height + below, draw: func(c canvas, x, y float64) {
		c.text(x+textIndent, y+bodyFace.mm(), fmt.Sprintf("%d.", number), bodyFace)
		p.draw(c, x, y)
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
