package sheet

import (
	"fmt"

	"hardbars/detect"
	"hardbars/score"
)

const (
	captionWidth = 56.0
	captionGap   = 6.0
)

// drawing is a picture's height, and how to draw it into a width.
type drawing struct {
	height float64
	draw   func(c canvas, x, y, width float64)
}

// pictureItems are one picture for each kind that occurs, in the order in
// which the kinds first come in the list, each from its hardest place.
func pictureItems(c canvas, f frame, r *detect.Report) items {
	it := items{heading: "What these places look like"}
	seen := map[detect.Kind]bool{}
	for i := range r.Spots {
		s := &r.Spots[i]
		hardest := s.Occurrences[s.Hardest]
		if seen[s.Kind] || hardest.Picture == nil {
			continue
		}
		seen[s.Kind] = true
		it.parts = append(it.parts, picturePart(c, f, r, s, hardest.Picture))
	}
	return it
}

// picturePart has the words to the left and the drawing to the right.
func picturePart(c canvas, f frame, r *detect.Report, s *detect.Spot, p detect.Picture) part {
	caption, d := picture(p)
	bars := clip(c, sentence(barsOf(r, s)), bodyFace, captionWidth-9)
	head := wrap(c, sentence(what(s)), strongFace, captionWidth, 3)
	text := wrap(c, caption, smallFace, captionWidth, mostLines)
	textTop := 7.6 + float64(len(head))*strongFace.leading()
	height := max(d.height, textTop+float64(len(text))*smallFace.leading())
	return part{height: height + 2, draw: func(c canvas, x, y float64) {
		numberDisc(c, x+3.4, y+3.2, s.ID)
		c.text(x+9, y+4.4, bars, bodyFace)
		write(c, x, y+7.2, head, strongFace)
		write(c, x, y+textTop, text, smallFace)
		d.draw(c, x+captionWidth+captionGap, y, f.inner()-captionWidth-captionGap)
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
	case detect.KeySpread:
		return spreadCaption(p), drawSpread(p)
	case detect.PairRun:
		return pairsCaption(p), drawPairs(p)
	case detect.Roll:
		return rollCaption(p), drawRoll(p)
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
