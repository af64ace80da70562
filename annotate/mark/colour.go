package mark

import (
	"github.com/beevik/etree"

	"hardbars/annotate/palette"
	"hardbars/detect"
)

// colourNotes colours every written note of what makes the spots hard. To
// colour all that was found would colour most of a dense score, and so nothing.
func (p *page) colourNotes(spots []detect.Spot) {
	coloured := map[int]bool{}
	for i := range spots {
		s := &spots[i]
		for _, occ := range s.Hard() {
			for _, n := range occ.Notes {
				for _, h := range p.score.Notes[n].Heads {
					if !coloured[h.ID] {
						coloured[h.ID] = true
						colourNote(p.notes[h.ID], palette.Of(s.Kind))
					}
				}
			}
		}
	}
}

// colourNote colours a note and announces it. A note with a colour of its own
// keeps that.
func colourNote(note *etree.Element, colour string) {
	if colourOf(note) != nil {
		return
	}
	note.CreateAttr("color", colour)
	announce(note, 0, breakBefore(note, firstChild(note)), "color "+colour)
}

// colourOf is a note's own colour attribute, nil for none.
func colourOf(note *etree.Element) *etree.Attr {
	for i := range note.Attr {
		if note.Attr[i].Space == "" && note.Attr[i].Key == "color" {
			return &note.Attr[i]
		}
	}
	return nil
}
