package musicxml

import (
	"github.com/beevik/etree"

	"hardbars/score"
)

// placed is an element of the piano part that is not a note, with its exact
// place: a direction, a sound, a barline, a harmony.
type placed struct {
	elem  *etree.Element
	at    score.Rat // from the start of the piece, the element's own <offset> added
	bar   int       // index into Score.Bars
	staff int       // from 1 at the top staff of the piano; 0 where the element names none
	voice string
}
