package musicxml

import (
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
)

// transposition is what must be added to a written pitch to get the sounding one.
type transposition struct {
	diatonic  int // staff steps, octaves included
	chromatic int // semitones, octaves included
}

// steps are the staff steps for each number of semitones, where a file names
// only semitones: C to C sharp is none, C to D flat would be one.
var steps = [12]int{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6}

// transpose reads <transpose>, for one staff or for all.
func (p *partReader) transpose(elem *etree.Element) {
	chromatic := number32(elem, "chromatic")
	octaves := number32(elem, "octave-change")
	diatonic := steps[(chromatic%12+12)%12] + 7*floorDiv(chromatic, 12)
	if elem.SelectElement("diatonic") != nil {
		diatonic = number32(elem, "diatonic")
	}
	t := transposition{diatonic + 7*octaves, chromatic + 12*octaves}
	if elem.SelectElement("double") != nil {
		p.warn("the part is marked as doubled at the octave; only the notes as written are read")
	}
	if number := elem.SelectAttrValue("number", ""); number != "" {
		p.transposed[staffNumber(elem)] = t
		return
	}
	clear(p.transposed)
	p.transposed[allStaves] = t
}

// allStaves is the key of partReader.transposed that holds for staves not named.
const allStaves = 0

func (p *partReader) transposition(staff int) transposition {
	if t, ok := p.transposed[staff]; ok {
		return t
	}
	return p.transposed[allStaves]
}

// sounding moves a written pitch.
func (t transposition) sounding(p score.Pitch) score.Pitch {
	if t == (transposition{}) {
		return p
	}
	staff := p.Staff() + t.diatonic
	moved := score.Pitch{Step: "CDEFGAB"[(staff%7+7)%7], Octave: floorDiv(staff, 7)}
	moved.Alter = p.MIDI() + t.chromatic - moved.MIDI()
	return moved
}

// pitch reads <pitch> as written; ok is false where it cannot be read.
func (p *partReader) pitch(elem *etree.Element) (pitch score.Pitch, ok bool) {
	for part := range elem.ChildElementsSeq() {
		text := strings.TrimSpace(part.Text())
		switch part.Tag {
		case "step":
			if len(text) == 1 && text[0] >= 'A' && text[0] <= 'G' {
				pitch.Step = text[0]
			}
		case "alter":
			pitch.Alter = p.alter(text)
		case "octave":
			if len(text) == 1 && text[0] >= '0' && text[0] <= '9' {
				pitch.Octave, ok = int(text[0]-'0'), true
			}
		}
	}
	return pitch, ok && pitch.Step != 0
}

// alter reads semitones, and rounds quarter tones away from the natural.
func (p *partReader) alter(text string) int {
	n, ok := number(text)
	if !ok || score.Int(4).Less(n) || n.Less(score.Int(-4)) {
		p.warn("an alteration of %q semitones makes no sense; the note is read as natural", short(text))
		return 0
	}
	if n.Den() == 1 {
		return int(n.Num())
	}
	p.warn("a microtone was rounded to the next key")
	if n.Sign() < 0 {
		return -int((2*-n.Num() + n.Den()) / (2 * n.Den()))
	}
	return int((2*n.Num() + n.Den()) / (2 * n.Den()))
}

// number32 is the whole number in a child element, kept to a musical size.
func number32(parent *etree.Element, tag string) int {
	return int(max(-48, min(48, whole(childText(parent, tag)))))
}

func floorDiv(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// short is a text from the file, cut for a message.
func short(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if runes := []rune(text); len(runes) > 20 {
		return string(runes[:20]) + "…"
	}
	return text
}
