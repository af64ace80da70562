package mark

import (
	"cmp"
	"slices"

	"github.com/beevik/etree"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/musicxml"
)

// place is a place in the document order of one part: before the child that
// has the number token in the bar's list, or that child itself.
type place struct {
	part  string // id
	bar   int    // counts the part's bars in document order, with those of other parts between
	token int
	order order
}

// order tells apart what has the same token.
type order int

const (
	ends    order = iota // put in before the token, and ends there
	begins               // put in before the token, and begins there
	isToken              // the token itself
)

func (a place) compare(b place) int {
	return cmp.Or(cmp.Compare(a.bar, b.bar), cmp.Compare(a.token, b.token), cmp.Compare(a.order, b.order))
}

// anchor is a place with its moment and the note that a mark there goes with.
type anchor struct {
	place
	at   score.Rat // from the start of the piece
	note *etree.Element
}

// page is the score as the marks see it: which note stands where.
type page struct {
	score    *score.Score
	notes    []*etree.Element            // by score.Head.ID
	bars     map[*etree.Element]place    // where the element begins that holds a bar's notes
	measures map[string][]*etree.Element // those elements of each part, by the index of the bar
	staffs   map[int]staff               // by the number that score.Head.Staff has
	home     [2]int                      // the staff on which each hand mostly plays, by score.Hand
	brackets brackets
}

// staff is how a staff of the piano is written.
type staff struct {
	part string
	name string // the content of <staff>; "" in a part that does without
}

func newPage(f *musicxml.File, s *score.Score) *page {
	p := &page{
		score:    s,
		notes:    f.NoteElements(),
		bars:     map[*etree.Element]place{},
		measures: map[string][]*etree.Element{},
		staffs:   map[int]staff{},
	}
	p.brackets = newBrackets(f.Version)
	bar := 0
	eachBar(f, func(part string, notes *etree.Element) {
		bar++
		p.bars[notes] = place{part: part, bar: bar}
		p.measures[part] = append(p.measures[part], notes)
		p.brackets.read(notes, p.bars[notes])
	})
	p.readNotes()
	return p
}

// eachBar calls do for every element that holds the notes of a bar, in
// document order: the <measure> of a partwise score, the <part> in a <measure>
// of a timewise one.
func eachBar(f *musicxml.File, do func(part string, notes *etree.Element)) {
	for outer := range f.Doc.Root().ChildElementsSeq() {
		for inner := range outer.ChildElementsSeq() {
			switch {
			case outer.Tag == "part" && inner.Tag == "measure":
				do(outer.SelectAttrValue("id", ""), inner)
			case outer.Tag == "measure" && inner.Tag == "part":
				do(inner.SelectAttrValue("id", ""), inner)
			}
		}
	}
}

func (p *page) readNotes() {
	plays := [2]map[int]int{{}, {}} // notes of each hand on each staff
	for _, n := range p.score.Notes {
		plays[n.Hand][n.Staff]++
		for _, h := range n.Heads {
			if _, known := p.staffs[h.Staff]; !known {
				p.staffs[h.Staff] = staff{p.part(h), childText(p.notes[h.ID], "staff")}
			}
		}
	}
	p.home = [2]int{busiest(plays[score.Right]), busiest(plays[score.Left])}
}

// busiest is the staff with the most notes, the upper one of two that have as
// many.
func busiest(notes map[int]int) int {
	best := 0
	for staff, n := range notes {
		if n > notes[best] || n == notes[best] && staff < best {
			best = staff
		}
	}
	return best
}

// part is the id of the part in which a note is written.
func (p *page) part(h score.Head) string { return p.bars[p.notes[h.ID].Parent()].part }

// staff is the content of <staff> for a hand's marks at a place: that of the
// hand's own staff, or of the note there when it is in the other part of two.
func (p *page) staff(h score.Hand, at anchor) string {
	if home := p.staffs[p.homeStaff(h)]; home.part == at.part {
		return home.name
	}
	return childText(at.note, "staff")
}

// homeStaff is the staff beside which a hand's marks stand.
func (p *page) homeStaff(h score.Hand) int {
	if h == score.Left {
		return p.home[score.Left]
	}
	return p.home[score.Right]
}

// extent is from before the first note of a spot to after its last one, in
// one part and in document order, so that whoever reads from top to bottom
// meets the beginning first. Where the last note stands earlier in the document
// than the first, as when the left hand begins and the right hand ends in one
// bar, other notes at the same moments serve, and failing those the extent
// ends a little early. It is false for a spot without notes.
func (p *page) extent(s *detect.Spot) (from, to anchor, ok bool) {
	heads := p.involved(s)
	if len(heads) == 0 {
		return from, to, false
	}
	home := p.homeStaff(s.Hand)
	first, last := outer(heads)
	starts := nearest(heads, home, func(h score.Head) bool { return h.Onset == first })
	stops := nearest(heads, home, func(h score.Head) bool { return headEnd(h) == last })
	if from, to, ok = p.inOrder(starts, stops); ok {
		return from, to, true
	}
	part := p.part(heads[0])
	starts = append(starts, p.written(part, func(h score.Head) bool { return h.Onset == first })...)
	stops = append(stops, p.written(part, func(h score.Head) bool { return headEnd(h) == last })...)
	if from, to, ok = p.inOrder(starts, stops); ok {
		return from, to, true
	}
	slices.SortStableFunc(heads, func(a, b score.Head) int { return headEnd(b).Cmp(headEnd(a)) })
	return p.inOrder(starts[:1], heads)
}

// inOrder is the first pair of a start and a stop after it in the document.
func (p *page) inOrder(starts, stops []score.Head) (from, to anchor, ok bool) {
	for _, start := range starts {
		for _, stop := range stops {
			if from, to = p.before(start), p.after(stop); from.compare(to.place) < 0 {
				return from, to, true
			}
		}
	}
	return from, to, false
}

// involved are the written notes of a spot in document order: those in the
// part of the hand's own staff, or where there are none, those in the part of
// the first.
func (p *page) involved(s *detect.Spot) []score.Head {
	var heads []score.Head
	for _, occ := range s.Occurrences {
		for _, n := range occ.Notes {
			heads = append(heads, p.score.Notes[n].Heads...)
		}
	}
	if len(heads) == 0 {
		return nil
	}
	slices.SortFunc(heads, byID)
	heads = slices.CompactFunc(heads, func(a, b score.Head) bool { return a.ID == b.ID })
	part := p.staffs[p.homeStaff(s.Hand)].part
	if !slices.ContainsFunc(heads, func(h score.Head) bool { return p.part(h) == part }) {
		part = p.part(heads[0])
	}
	return slices.DeleteFunc(heads, func(h score.Head) bool { return p.part(h) != part })
}

// written are the notes of a part, in document order, for which ok is true.
func (p *page) written(part string, ok func(score.Head) bool) []score.Head {
	var heads []score.Head
	for _, n := range p.score.Notes {
		for _, h := range n.Heads {
			if ok(h) && p.part(h) == part {
				heads = append(heads, h)
			}
		}
	}
	slices.SortFunc(heads, byID)
	return heads
}

// outer is when the first of some notes begins and the last ends.
func outer(heads []score.Head) (first, last score.Rat) {
	first, last = heads[0].Onset, headEnd(heads[0])
	for _, h := range heads {
		first, last = score.Min(first, h.Onset), score.Max(last, headEnd(h))
	}
	return first, last
}

// nearest are the notes for which ok is true, those on a staff first.
func nearest(heads []score.Head, staff int, ok func(score.Head) bool) []score.Head {
	var near, far []score.Head
	for _, h := range heads {
		switch {
		case ok(h) && h.Staff == staff:
			near = append(near, h)
		case ok(h):
			far = append(far, h)
		}
	}
	return append(near, far...)
}

func headEnd(h score.Head) score.Rat { return h.Onset.Add(h.Length) }

func byID(a, b score.Head) int { return cmp.Compare(a.ID, b.ID) }

// before is the place before a note, its chord and the grace notes that lead
// to it, next after the element that comes before those: a comment that
// introduces the notes stays with them.
func (p *page) before(h score.Head) anchor {
	note := p.notes[h.ID]
	first := note
	for e := note.PrevSibling(); e != nil && !movesTime(e); e = e.PrevSibling() {
		if e.Tag != "note" {
			continue
		}
		leads := has(e, "grace") && childText(e, "voice") == childText(note, "voice")
		if !has(first, "chord") && !leads {
			break
		}
		first = e
	}
	return anchor{p.gapBefore(first), h.Onset, first}
}

// gapBefore is the place next after the element before a note.
func (p *page) gapBefore(note *etree.Element) place {
	gap := p.bars[note.Parent()]
	gap.order = begins
	if e := note.PrevSibling(); e != nil {
		gap.token = e.Index() + 1
	}
	return gap
}

// after is the place after a note and all of its chord.
func (p *page) after(h score.Head) anchor {
	last := p.notes[h.ID]
	for e := last.NextSibling(); e != nil && !movesTime(e); e = e.NextSibling() {
		if e.Tag != "note" {
			continue
		}
		if !has(e, "chord") {
			break
		}
		last = e
	}
	return anchor{p.gapAfter(last), headEnd(h), last}
}

// gapAfter is the place next after a note.
func (p *page) gapAfter(note *etree.Element) place {
	gap := p.bars[note.Parent()]
	gap.order = ends
	gap.token = note.Index() + 1
	return gap
}

// barBegin is before the first note of the bar and the stream of notes that
// an anchor is in.
func (p *page) barBegin(a anchor) anchor {
	for e := a.note; e != nil && !movesTime(e); e = e.PrevSibling() {
		if e.Tag == "note" {
			a.note = e
		}
	}
	a.at = p.score.Bars[p.score.BarAt(a.at)].Start
	a.place = p.gapBefore(a.note)
	return a
}

// barEnd is after the last note of the bar and the stream of notes that an
// anchor is in.
func (p *page) barEnd(a anchor) anchor {
	for e := a.note; e != nil && !movesTime(e); e = e.NextSibling() {
		if e.Tag == "note" {
			a.note = e
		}
	}
	a.at = p.score.Bars[p.score.BarEnding(a.at)].End()
	a.place = p.gapAfter(a.note)
	return a
}

func movesTime(e *etree.Element) bool { return e.Tag == "backup" || e.Tag == "forward" }

func has(e *etree.Element, tag string) bool { return e.SelectElement(tag) != nil }

func childText(e *etree.Element, tag string) string {
	return e.SelectElement(tag).NotNil().Text()
}
