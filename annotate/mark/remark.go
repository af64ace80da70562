package mark

import (
	"github.com/beevik/etree"

	"hardbars/annotate/remarks"
	"hardbars/score"
)

// remarks are those remarks for which there is a place.
func (p *page) remarks(all []remarks.Remark) []mark {
	var marks []mark
	for _, m := range all {
		if over := p.fingers(m); over != nil {
			marks = append(marks, over...)
		} else if said, ok := p.remark(m); ok {
			marks = append(marks, said)
		}
	}
	return marks
}

// fingers are a fingering, each finger at its own note; nil where it does not
// have one for each time that the hand strikes in its bars.
func (p *page) fingers(m remarks.Remark) []mark {
	list, strikes := m.FingerList(), p.strikes(m)
	if len(list) == 0 || len(list) != len(strikes) {
		return nil
	}
	var marks []mark
	for i, h := range strikes {
		at := p.before(h)
		d := drawing{placement: placement(m.Hand), staff: p.staff(m.Hand, at)}
		marks = append(marks, d.remark(at, list[i]))
	}
	return marks
}

// strikes are the notes that a hand strikes in the bars of a remark, one for
// each instant, grace notes left out; none for both hands.
func (p *page) strikes(m remarks.Remark) []score.Head {
	var heads []score.Head
	for i := range p.score.Notes {
		n := &p.score.Notes[i]
		if n.Hand != m.Hand || n.Bar < m.First || n.Bar > m.Last || n.Grace > 0 {
			continue
		}
		if last := len(heads) - 1; last < 0 || heads[last].Onset != n.Onset {
			heads = append(heads, n.Heads[0])
		}
	}
	return heads
}

// remark is a remark as words in italics at the beginning of its first bar:
// above the right hand's staff, or below the left hand's where it is about the
// left hand alone. Where the part has no note or rest in that bar, it stands in
// the nearest that has, earlier ones first. It names its bars where they are
// not the one in which it stands. It is false where the part has none at all.
func (p *page) remark(m remarks.Remark) (mark, bool) {
	home := p.staffs[p.homeStaff(m.Hand)]
	if home.part == "" && m.Hand == score.Left { // plays nothing
		home = p.staffs[p.homeStaff(score.Right)]
	} else if home.part == "" {
		home = p.staffs[p.homeStaff(score.Left)]
	}
	bar, note := p.nearestNote(home, m.First)
	if note == nil {
		return mark{}, false
	}
	text := m.Words()
	if bar != m.First || m.First != m.Last {
		text = m.String()
	}
	at := p.barBegin(anchor{p.gapBefore(note), p.score.Bars[bar].Start, note})
	d := drawing{placement: placement(m.Hand), staff: home.name}
	return d.remark(at, text), true
}

// nearestNote is the first note or rest of a bar, on one staff if it has any,
// or where the bar has none, of the nearest bar before it or else after it.
func (p *page) nearestNote(on staff, bar int) (int, *etree.Element) {
	measures := p.measures[on.part]
	for i := min(bar, len(measures)-1); i >= 0; i-- {
		if note := firstNote(measures[i], on.name); note != nil {
			return i, note
		}
	}
	for i := bar + 1; i < len(measures); i++ {
		if note := firstNote(measures[i], on.name); note != nil {
			return i, note
		}
	}
	return bar, nil
}

// firstNote is the first note or rest of a bar on a staff, or on any where
// that staff has none.
func firstNote(bar *etree.Element, staff string) *etree.Element {
	var first *etree.Element
	for note := range bar.SelectElementsSeq("note") {
		if childText(note, "staff") == staff {
			return note
		}
		if first == nil {
			first = note
		}
	}
	return first
}
