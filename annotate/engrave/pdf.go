package engrave

import (
	"slices"
	"strconv"

	"github.com/jung-kurt/gofpdf"
)

// PDF is the current page of a document in millimetres as a canvas. Signs of
// music become filled paths, and words stay text in an embedded font.
func PDF(pdf *gofpdf.Fpdf) Canvas { return page{pdf} }

type page struct{ *gofpdf.Fpdf }

// Fill fills a path.
func (p page) Fill(path []Segment, colour string) {
	p.SetFillColor(rgb(colour))
	for _, s := range path {
		switch s.Op {
		case 'M':
			p.MoveTo(s.X, s.Y)
		case 'L':
			p.LineTo(s.X, s.Y)
		case 'C':
			p.CurveBezierCubicTo(s.X1, s.Y1, s.X2, s.Y2, s.X, s.Y)
		}
	}
	p.DrawPath("F")
}

// Line draws a stroke.
func (p page) Line(s Stroke, colour string) {
	p.SetDrawColor(rgb(colour))
	p.SetLineWidth(s.Width)
	p.SetLineCapStyle("butt")
	if s.Dash > 0 {
		p.SetDashPattern([]float64{s.Dash, s.Dash}, 0)
		defer p.SetDashPattern(nil, 0)
	}
	p.Fpdf.Line(s.X1, s.Y1, s.X2, s.Y2)
}

// pdfFamily is the name of the text font in a document.
const pdfFamily = "beside-notes"

const pointsPerMM = 72 / 25.4

// Words writes text.
func (p page) Words(x, y float64, text string, f Face, colour string) {
	t := f.typeface()
	if p.GetFontDesc(pdfFamily, t.style).Ascent == 0 { // not there yet
		p.AddUTF8FontFromBytes(pdfFamily, t.style, slices.Clone(t.ttf)) // the library writes into a font as it reads it
	}
	p.SetFont(pdfFamily, t.style, f.Size*pointsPerMM)
	p.SetTextColor(rgb(colour))
	p.Text(x, y, t.printable(text))
	p.SetTextColor(0, 0, 0)
}

// rgb is a colour's parts, from 0 to 255; black for what is none.
func rgb(colour string) (r, g, b int) {
	if len(colour) != 7 {
		return 0, 0, 0
	}
	v, err := strconv.ParseUint(colour[1:], 16, 32)
	if err != nil {
		return 0, 0, 0
	}
	return int(v >> 16), int(v >> 8 & 0xFF), int(v & 0xFF)
}
