package engrave

import (
	"strings"
	"sync"
	"unicode"

	"github.com/go-fonts/liberation/liberationserifbold"
	"github.com/go-fonts/liberation/liberationserifbolditalic"
	"github.com/go-fonts/liberation/liberationserifitalic"
	"github.com/go-fonts/liberation/liberationserifregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/norm"

	"hardbars/annotate/smufl"
)

// Words beside the notes are set in Liberation Serif, a face with roman, italic
// and bold and every accent of Latin, Greek and Cyrillic, under the SIL Open
// Font License; its licence comes with the module github.com/go-fonts/liberation.

// typeface is one cut of the text font.
type typeface struct {
	ttf   []byte
	style string // as gofpdf calls it

	once sync.Once
	font *sfnt.Font

	mu      sync.Mutex
	letters map[rune]letter
}

// letter is one sign of a typeface, with an em of 1.
type letter struct {
	advance float64
	box     smufl.Box
	outline []Segment
}

var typefaces = [...]*typeface{
	{ttf: liberationserifregular.TTF, style: ""},
	{ttf: liberationserifitalic.TTF, style: "I"},
	{ttf: liberationserifbold.TTF, style: "B"},
	{ttf: liberationserifbolditalic.TTF, style: "BI"},
}

func (f Face) typeface() *typeface {
	i := 0
	if f.Italic {
		i++
	}
	if f.Bold {
		i += 2
	}
	return typefaces[i]
}

// letter is a sign that the typeface has.
func (t *typeface) letter(r rune) letter {
	t.once.Do(t.parse)
	t.mu.Lock()
	defer t.mu.Unlock()
	if l, ok := t.letters[r]; ok {
		return l
	}
	path, advance, _ := smufl.Outline(t.font, r, 1)
	l := letter{advance: advance, outline: path, box: smufl.PathBox(path)}
	t.letters[r] = l
	return l
}

// lacking stands where the typeface has no sign.
const lacking = '?'

// has reports whether the typeface can set a sign. Scripts written from right to
// left need an order and joined letters that are not known here.
func (t *typeface) has(r rune) bool {
	if unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko) {
		return false
	}
	t.once.Do(t.parse)
	var buf sfnt.Buffer
	index, err := t.font.GlyphIndex(&buf, r)
	return err == nil && index != 0
}

// printable composes accents and puts a question mark where the typeface has
// no sign.
func (t *typeface) printable(text string) string {
	return strings.Map(func(r rune) rune {
		if !t.has(r) {
			return lacking
		}
		return r
	}, norm.NFC.String(strings.ToValidUTF8(text, string(lacking))))
}

func (t *typeface) parse() {
	font, err := sfnt.Parse(t.ttf)
	if err != nil {
		panic("engrave: an embedded font: " + err.Error())
	}
	t.font, t.letters = font, map[rune]letter{}
}

// measure is what words cover that begin at 0, 0: from there to where the next
// word might begin, and as high and low as their letters.
func measure(text string, face Face) Box {
	var b Box
	t := face.typeface()
	for _, r := range t.printable(text) {
		l := t.letter(r)
		b.Right += l.advance * face.Size
		b.Top, b.Bottom = min(b.Top, l.box.Top*face.Size), max(b.Bottom, l.box.Bottom*face.Size)
	}
	return b
}

// Width is how far words run, in the unit of the face's size.
func (f Face) Width(text string) float64 { return measure(text, f).Right }

// Outlines are the shapes of words that begin at 0, 0, one for each letter.
func (f Face) Outlines(text string) (paths [][]Segment) {
	t, x := f.typeface(), 0.0
	for _, r := range t.printable(text) {
		l := t.letter(r)
		paths = append(paths, placed(l.outline, x, 0, f.Size))
		x += l.advance * f.Size
	}
	return paths
}
