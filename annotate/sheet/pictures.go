package sheet

import (
	"fmt"

	"hardbars/detect"
	"hardbars/score"
)

// drawing is a picture's height, and how to draw it into a width.
type drawing struct {
	height float64
	draw   func(c canvas, x, y, width float64)
}

// picturePart has the drawing over its words.
func picturePart(c canvas, p detect.Picture) part {
	if p == nil {
		return part{}
	}
	const apart = 1.5
	caption, d := picture(p)
	words := wrap(c, caption, smallFace, pictureColumn, mostLines)
	return part{height: d.height + apart + float64(len(words))*smallFace.leading(), draw: func(c canvas, x, y float64) {
		d.draw(c, x, y, pictureColumn)
		write(c, x, y+d.height+apart, words, smallFace)
	}}
}

// picture gives the words and the drawing for each form of picture.
func picture(p detect.Picture) (caption string, d drawing) {
	switch p := p.(type) {
	case detect.RhythmGrid:
		return rhythmCaption(p), drawRhythm(p)
	case detect.KeyMove:
		return moveCaption(p), drawMove(p)
	case detect.HeldNote:
		return heldCaption(p), drawHeld(p)
	case detect.KeyChord:
		return spreadCaption(p), drawSpread(p)
	case detect.PairRun:
		return pairsCaption(p), drawPairs(p)
	case detect.PianoRoll:
		return pianoRollCaption(p), drawPianoRoll(p)
	}
	panic(fmt.Sprintf("sheet: no drawing for a %T", p))
}

// names lists pitches as a pianist writes them.
func names(pitches []score.Pitch) string {
	var list []string
	for _, p := range pitches {
		list = append(list, p.Pretty())
	}
	return detect.Enumerate(list)
}

// quarters says a length: "1 quarter", "1½ quarters", "1 5/6 quarters".
func quarters(length score.Rat) string {
	if length == score.Int(1) {
		return "1 quarter"
	}
	return length.Pretty() + " quarters"
}
