package musicxml

import (
	"slices"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score/notation"
)

// notations reads the signs at a note.
func (w *pageNote) notations(notations *etree.Element) {
	for elem := range notations.ChildElementsSeq() {
		switch elem.Tag {
		case "tied":
			w.tie(elem.SelectAttrValue("type", ""))
		case "slur":
			w.slur(elem.SelectAttrValue("type", ""))
		case "arpeggiate":
			w.sign = arpeggioOf(elem)
		case "articulations":
			for mark := range elem.ChildElementsSeq() {
				w.note.Articulations = append(w.note.Articulations, mark.Tag)
			}
		case "ornaments":
			w.ornaments(elem)
		case "accidental-mark":
			w.auxiliary(elem)
		case "technical":
			var fingers []notation.Fingering
			for mark := range elem.SelectElementsSeq("fingering") {
				fingers = addFinger(fingers, mark)
			}
			w.note.Fingering = strings.TrimSpace(w.note.Fingering + " " + notation.FingeringText(fingers))
		}
	}
}

func (w *pageNote) slur(kind string) {
	switch kind {
	case "start":
		w.note.SlurStart++
	case "stop":
		w.note.SlurEnd++
	}
}

// addFinger adds a finger to those of a note.
func addFinger(fingers []notation.Fingering, mark *etree.Element) []notation.Fingering {
	if hidden(mark) {
		return fingers
	}
	return notation.AddFinger(fingers, token(mark), sideOf(mark), isYes(mark, "substitution"), isYes(mark, "alternate"))
}

// ornaments keeps the signs that change what is played.
func (w *pageNote) ornaments(ornaments *etree.Element) {
	for mark := range ornaments.ChildElementsSeq() {
		kind := mark.SelectAttrValue("type", "")
		switch mark.Tag {
		case "accidental-mark":
			w.auxiliary(mark)
		case "tremolo":
			w.tremolo(mark, kind)
		case "wavy-line":
			w.wavyLine(kind, mark.SelectAttrValue("number", "1"))
		default:
			w.note.Ornaments = append(w.note.Ornaments, mark.Tag)
		}
	}
}

// auxiliary keeps the accidental of an ornament. Where the file does not say
// on which side it stands, it is for the note below under a mordent, which has
// no other, and otherwise for the note above, a second one for that below.
func (w *pageNote) auxiliary(mark *etree.Element) {
	n := &w.note
	placement := mark.SelectAttrValue("placement", "")
	if placement == "" && (n.AuxAbove != "" || slices.Contains(n.Ornaments, "mordent")) {
		placement = "below"
	}
	if placement == "below" {
		n.AuxBelow = strings.TrimSpace(mark.Text())
	} else {
		n.AuxAbove = strings.TrimSpace(mark.Text())
	}
}

func (w *pageNote) wavyLine(kind, number string) {
	w.wavyNumber = number
	switch kind {
	case "start":
		w.note.Ornaments = append(w.note.Ornaments, "wavy-line")
		w.wavyStart = true
	case "stop":
		w.wavyStop = true
	}
}

// unmeasured is the number of beams that a tremolo without any is played as
// (common practice: as fast as three).
const unmeasured = 3

func (w *pageNote) tremolo(mark *etree.Element, kind string) {
	w.note.Tremolo = int(min(8, whole(mark.Text())))
	if w.note.Tremolo < 1 {
		w.note.Tremolo = unmeasured
	}
	w.note.TremoloPair = kind == "start" || kind == "stop"
}
