package pages

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"hardbars/annotate/engrave"
	"hardbars/annotate/smufl"
	"hardbars/detect"
)

// The words of a page; sizes are the em in millimetres.
var (
	titleFace    = engrave.Face{Size: 8, Bold: true}
	composerFace = engrave.Face{Size: 4.4}
	keyFace      = engrave.Face{Size: 3.2, Italic: true}
	footFace     = engrave.Face{Size: 3.4}
	lossFace     = engrave.Face{Size: 4, Italic: true}
)

const leading = 1.2 // of the em, from one line to the next

// typed is a line of words, and where in the width it stands: 0 at the left, 1
// at the right.
type typed struct {
	text string
	face engrave.Face
	at   float64
}

func (l typed) width() float64 { return say(nil, 0, 0, l.text, l.face) }

// accidentals are the signs that the face for words lacks: the music font has
// them.
var accidentals = map[rune]string{'♭': "accidentalFlat", '♮': "accidentalNatural", '♯': "accidentalSharp"}

// say writes words from x on, and returns how far they run; c may be nil.
func say(c engrave.Canvas, x, y float64, text string, face engrave.Face) float64 {
	left := x
	for text != "" {
		sign := strings.IndexFunc(text, func(r rune) bool { return accidentals[r] != "" })
		words := text
		if sign >= 0 {
			words = text[:sign]
		}
		if words != "" {
			if c != nil {
				c.Words(x, y, words, face, "")
			}
			x += face.Width(words)
		}
		text = text[len(words):]
		if sign < 0 {
			break
		}
		r, size := utf8.DecodeRuneInString(text)
		text = text[size:]
		glyph, scale := smufl.Bravura().Glyph(accidentals[r]), face.Size/3.2
		x += 0.06 * face.Size
		if c != nil {
			one := engrave.Drawing{Items: []engrave.Item{{Glyph: accidentals[r], X: x - glyph.Box.Left*scale, Y: y - 0.3*face.Size, Scale: scale}}}
			one.Draw(c, 0, 0)
		}
		x += (glyph.Box.Right - glyph.Box.Left) * scale
	}
	return x - left
}

// textBlock is lines of words, one under the other.
func textBlock(lines []typed, width float64) block {
	height := 0.0
	for _, l := range lines {
		height += leading * l.face.Size
	}
	return block{height: height, draw: func(c engrave.Canvas, x, y float64) {
		for _, l := range lines {
			y += leading * l.face.Size
			say(c, x+l.at*(width-l.width()), y-0.25*l.face.Size, l.text, l.face)
		}
	}}
}

// heading is what stands over the piece: title, composer, and what the marks mean.
func heading(r *detect.Report, width float64, plain bool) block {
	lines := wrapped(title(r), titleFace, 0.5, width)
	lines = append(lines, wrapped(r.Score.Composer, composerFace, 1, width)...)
	if !plain && marked(r) {
		lines = append(lines, wrapped("The brackets are the passages to learn first, by their numbers and pages on the study sheet; over the system, or under it for the left hand. What makes them hard is coloured.", keyFace, 0, width)...)
	}
	return textBlock(lines, width)
}

// marked reports whether there is a passage to mark.
func marked(r *detect.Report) bool {
	for i := range r.Passages {
		if r.Passages[i].Shortlist {
			return true
		}
	}
	return false
}

// wrapped breaks a text into lines of a width.
func wrapped(text string, face engrave.Face, at, width float64) (lines []typed) {
	line := ""
	for _, word := range strings.Fields(text) {
		for say(nil, 0, 0, word, face) > width { // longer than a line
			_, last := utf8.DecodeLastRuneInString(word)
			word = word[:len(word)-last]
		}
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && say(nil, 0, 0, longer, face) > width {
			lines = append(lines, typed{line, face, at})
			longer = word
		}
		line = longer
	}
	if line != "" {
		lines = append(lines, typed{line, face, at})
	}
	return lines
}

// foot is the number of a page, and from the second on the title.
func foot(c engrave.Canvas, paper sheet, title string, number, of int) {
	text := fmt.Sprintf("%d of %d", number, of)
	y := paper.height - footLine
	c.Words((paper.width-footFace.Width(text))/2, y, text, footFace, "")
	if number > 1 {
		if lines := wrapped(title, footFace, 0, paper.inner()/2-15); len(lines) > 0 {
			say(c, margin, y, lines[0].text, footFace)
		}
	}
}
