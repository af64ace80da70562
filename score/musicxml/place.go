package musicxml

import (
	"github.com/beevik/etree"

	"hardbars/score"
)

// placed is an element of the piano part that is not a note, with its exact
// place: a direction, a sound, a barline, a harmony.
//
// A direction's <offset> says where the sign stands on the page, whatever its
// sound attribute; unless that attribute is "yes", what the direction makes
// sound still takes effect where the element stands in the file. A <sound> may
// have an <offset> of its own. (MusicXML 4.0, complexType offset and sound.)
type placed struct {
	elem    *etree.Element
	at      score.Rat // from the start of the piece, the element's own <offset> added
	soundAt score.Rat // the same for what sounds: a tempo
	bar     int       // index into Score.Bars
	staff   int       // from 1 at the top staff of the piano; 0 where the element names none; −1 in another part
	voice   string
}
