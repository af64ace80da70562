package mark

import (
	"slices"

	"github.com/beevik/etree"

	"hardbars/detect"
)

// palette is the palette of Okabe & Ito (2008), which colour-blind readers can
// tell apart, the colours darkest on white first. Yellow is left out, since it
// can hardly be read on white, and so is the black of the score itself.
var palette = [...]string{"#D55E00", "#0072B2", "#009E73", "#CC79A7", "#E69F00", "#56B4E9"}

// Colour is the colour of a kind, as "#D55E00". Kinds take the colours of the
// palette in turn; no meaning rests on colour alone.
func Colour(k detect.Kind) string {
	i := slices.IndexFunc(detect.All, func(d *detect.Detector) bool { return d.Kind == k })
	return palette[max(i, 0)%len(palette)]
}

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
						colourNote(p.notes[h.ID], Colour(s.Kind))
					}
				}
			}
		}
	}
}

// colourNote colours a note and announces it, with the colour that it had.
func colourNote(note *etree.Element, colour string) {
	var had *string
	if attr := colourOf(note); attr != nil {
		old := attr.Value
		had = &old
	}
	note.CreateAttr("color", colour)
	announce(note, 0, breakBefore(note, firstChild(note)), colourName(colour, had))
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
