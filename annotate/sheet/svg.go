package sheet

import (
	"bytes"
	"fmt"
	"html"
	"math"
	"strconv"

	"github.com/jung-kurt/gofpdf"

	"hardbars/annotate/engrave"
	"hardbars/detect"
)

// PictureSVG is the picture of a kind as the sheet prints it, for a page: an
// SVG element that takes the colour of the text around it, its name for screen
// readers within it, and the sentence that stands below it. id keeps it apart
// from other pictures of the page. Both are "" where there is no picture.
func PictureSVG(p detect.Picture, id string) (svg []byte, caption string) {
	if p == nil {
		return nil, ""
	}
	const edge = 2 // mm on every side, for what reaches over the drawing
	caption, d := picture(p)
	c := &screen{measure: paper{newFonts()}}
	fmt.Fprintf(&c.out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" role="img" aria-labelledby="%s">`,
		mm(pictureColumn+2*edge), mm(d.height+2*edge), html.EscapeString(id))
	fmt.Fprintf(&c.out, `<title id="%s">%s</title>`, html.EscapeString(id), html.EscapeString(caption))
	d.draw(c, edge, edge, pictureColumn)
	c.out.WriteString(`</svg>`)
	return c.out.Bytes(), caption
}

// newFonts is a document that only measures words.
func newFonts() *gofpdf.Fpdf {
	pdf := gofpdf.New("P", "mm", "A4", "")
	addFonts(pdf)
	return pdf
}

// screen is the canvas of an SVG element. Black is the colour of the text
// around it, and a grey is the same, paler.
type screen struct {
	out     bytes.Buffer
	measure paper
}

// text is fitted to the width that the sheet's typeface gives it, whichever the
// reader's is.
func (s *screen) text(x, y float64, words string, f face) {
	if words == "" {
		return
	}
	weight := ""
	if f.bold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(&s.out, `<text x="%s" y="%s" font-family="sans-serif" font-size="%s"%s textLength="%s" lengthAdjust="spacingAndGlyphs" fill="currentColor">%s</text>`,
		mm(x), mm(y), mm(f.mm()), weight, mm(s.width(words, f)), html.EscapeString(printable(words)))
}

func (s *screen) width(words string, f face) float64 { return s.measure.width(words, f) }

func (s *screen) line(x1, y1, x2, y2 float64, p pen) {
	fmt.Fprintf(&s.out, `<path d="M%s %sL%s %s"%s/>`, mm(x1), mm(y1), mm(x2), mm(y2), painted(none, p))
}

func (s *screen) curve(x1, y1, bendX, bendY, x2, y2 float64, p pen) {
	fmt.Fprintf(&s.out, `<path d="M%s %sQ%s %s %s %s"%s/>`, mm(x1), mm(y1), mm(bendX), mm(bendY), mm(x2), mm(y2), painted(none, p))
}

func (s *screen) box(x, y, w, h float64, fill grey, p pen) {
	fmt.Fprintf(&s.out, `<rect x="%s" y="%s" width="%s" height="%s"%s/>`, mm(x), mm(y), mm(w), mm(h), painted(fill, p))
}

func (s *screen) oval(x, y, rx, ry, tilt float64, fill grey, p pen) {
	fmt.Fprintf(&s.out, `<ellipse cx="%s" cy="%s" rx="%s" ry="%s" transform="rotate(%s %s %s)"%s/>`,
		mm(x), mm(y), mm(rx), mm(ry), mm(-tilt), mm(x), mm(y), painted(fill, p))
}

func (s *screen) triangle(x1, y1, x2, y2, x3, y3 float64) {
	fmt.Fprintf(&s.out, `<path d="M%s %sL%s %sL%s %sZ"%s/>`, mm(x1), mm(y1), mm(x2), mm(y2), mm(x3), mm(y3), painted(black, noPen))
}

func (s *screen) music(x, y float64, d *engrave.Drawing) {
	panic("sheet: a picture of a kind holds no music")
}

// painted is how a shape is filled and outlined. White covers what is beneath.
func painted(fill grey, p pen) string {
	words := ` fill="none"`
	switch {
	case fill == white:
		words = ` fill="#fffdf8"`
	case fill != none:
		words = ` fill="` + shade(fill) + `"`
	}
	if p.weight > 0 {
		words += fmt.Sprintf(` stroke="%s" stroke-width="%s"`, shade(p.shade), mm(p.weight))
		if p.dashed {
			words += ` stroke-dasharray="1 0.8"`
		}
	}
	return words
}

func shade(g grey) string {
	if g == black {
		return "currentColor"
	}
	return fmt.Sprintf("#%02[1]x%02[1]x%02[1]x", int(g))
}

// mm is a length to a hundredth of a millimetre.
func mm(length float64) string {
	return strconv.FormatFloat(math.Round(length*100)/100, 'f', -1, 64)
}
