package musicxml

import (
	"slices"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// accidentalNames are the signs by what they do.
var accidentalNames = map[int]string{
	-3: "triple-flat", -2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp", 3: "triple-sharp",
}

// writeAccidentals sets the accidentals by rule where the file has none at all:
// one where the note is not what the key signature, or an accidental before it
// in the bar, has made of its line or space. A note tied over the barline needs
// none unless it is spelled anew, and the next one on its line needs it (common
// practice).
func (w *writer) writeAccidentals() {
	if w.hasAccidentals() {
		return
	}
	tied := w.tiedNotes()
	type line struct{ staff, position int }
	memory, bar := map[line]int{}, -1
	for i := range w.Chords {
		c := &w.Chords[i]
		if c.Bar != bar {
			bar = c.Bar
			clear(memory)
		}
		for k := range c.Notes {
			n := &c.Notes[k]
			at := line{n.Staff, n.Written.Staff()}
			before, known := memory[at]
			if !known {
				before = w.keyAt(c.At, n.Staff).Alter(n.Written.Step)
			}
			if c.Hidden || tied[n.ID] || n.Head == "none" || before == n.Written.Alter {
				continue
			}
			memory[at] = n.Written.Alter
			n.Accidental = accidentalNames[n.Written.Alter]
		}
	}
}

// tiedNotes are the notes, by ID, that go on from another of the same spelling.
func (w *writer) tiedNotes() map[int]bool {
	spelled := map[int]score.Pitch{}
	for n := range w.written() {
		spelled[n.ID] = n.written
	}
	tied := map[int]bool{}
	for i := range w.score.Notes {
		heads := w.score.Notes[i].Heads
		for k := 1; k < len(heads); k++ {
			tied[heads[k].ID] = spelled[heads[k].ID] == spelled[heads[k-1].ID]
		}
	}
	return tied
}

func (w *writer) hasAccidentals() bool {
	return slices.ContainsFunc(w.sources, func(s source) bool {
		return slices.ContainsFunc(s.elems, func(e *etree.Element) bool { return e.SelectElement("accidental") != nil })
	})
}

// keyAt is the key signature in force on a staff.
func (w *writer) keyAt(at score.Rat, staff int) score.Key {
	var key notation.Key
	for _, k := range w.Keys {
		if at.Less(k.At) {
			break
		}
		if k.Staff == 0 || k.Staff == staff {
			key = k
		}
	}
	return score.Key{Fifths: key.Fifths}
}
