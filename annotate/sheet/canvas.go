package sheet

import (
	"github.com/jung-kurt/gofpdf"

	"hardbars/annotate/engrave"
)

// canvas draws on one page, in millimetres from its top left corner.
type canvas interface {
	text(x, y float64, s string, f face) // y is the baseline
	width(s string, f face) float64
	line(x1, y1, x2, y2 float64, p pen)
	curve(x1, y1, bendX, bendY, x2, y2 float64, p pen)
	box(x, y, w, h float64, fill grey, p pen)
	oval(x, y, rx, ry, tilt float64, fill grey, p pen) // tilt in degrees, anticlockwise
	triangle(x1, y1, x2, y2, x3, y3 float64)           // filled black
	music(x, y float64, d *engrave.Drawing)            // from its top left corner
}

// face is a typeface and its size in points.
type face struct {
	bold bool
	size float64
}

// The sizes of the sheet. A music stand is about 70 cm from the eyes: nothing
// that must be read is under 9 points.
var (
	titleFace    = face{bold: true, size: 22}
	composerFace = face{size: 12.5}
	headingFace  = face{bold: true, size: 13.5}
	strongFace   = face{bold: true, size: 11.5}
	tempoFace    = face{bold: true, size: 13}
	bodyFace     = face{size: 11}
	noteFace     = face{size: 10} // beside the music
	testFace     = face{bold: true, size: 10}
	smallFace    = face{size: 9}
	numberFace   = face{bold: true, size: 9.5}
)

// mm is the size in millimetres.
func (f face) mm() float64 { return f.size * 25.4 / 72 }

// leading is the distance from one line to the next, in millimetres.
func (f face) leading() float64 { return 1.26 * f.mm() }

// grey is a shade from 0, black, to 255, white; none leaves what is beneath.
type grey int

const (
	black grey = 0
	white grey = 255
	none  grey = -1
)

// pen is a line's width in millimetres, its shade, and whether it is dashed.
// The zero pen draws nothing.
type pen struct {
	weight float64
	shade  grey
	dashed bool
}

var (
	noPen    = pen{}
	hairline = pen{weight: 0.15, shade: 150}
	thin     = pen{weight: 0.25}
	medium   = pen{weight: 0.5}
	thick    = pen{weight: 0.9}
)

// paper is the canvas of a PDF document.
type paper struct{ pdf *gofpdf.Fpdf }

func (p paper) use(f face) {
	style := ""
	if f.bold {
		style = "B"
	}
	p.pdf.SetFont("sheet", style, f.size)
}

func (p paper) text(x, y float64, s string, f face) {
	p.use(f)
	p.pdf.Text(x, y, printable(s))
}

func (p paper) width(s string, f face) float64 {
	p.use(f)
	return p.pdf.GetStringWidth(printable(s))
}

func (p paper) line(x1, y1, x2, y2 float64, l pen) {
	p.stroke(l)
	p.pdf.Line(x1, y1, x2, y2)
}

func (p paper) curve(x1, y1, bendX, bendY, x2, y2 float64, l pen) {
	p.stroke(l)
	p.pdf.Curve(x1, y1, bendX, bendY, x2, y2, "D")
}

func (p paper) box(x, y, w, h float64, fill grey, l pen) {
	if style := p.style(fill, l); style != "" {
		p.pdf.Rect(x, y, w, h, style)
	}
}

func (p paper) oval(x, y, rx, ry, tilt float64, fill grey, l pen) {
	if style := p.style(fill, l); style != "" {
		p.pdf.Ellipse(x, y, rx, ry, tilt, style)
	}
}

func (p paper) triangle(x1, y1, x2, y2, x3, y3 float64) {
	p.pdf.Polygon([]gofpdf.PointType{{X: x1, Y: y1}, {X: x2, Y: y2}, {X: x3, Y: y3}}, p.style(black, noPen))
}

func (p paper) music(x, y float64, d *engrave.Drawing) { d.Draw(engrave.PDF(p.pdf), x, y) }

// style sets the colours and names what to paint: fill, outline, both.
func (p paper) style(fill grey, l pen) string {
	style := ""
	if fill != none {
		p.pdf.SetFillColor(int(fill), int(fill), int(fill))
		style = "F"
	}
	if l.weight > 0 {
		p.stroke(l)
		style += "D"
	}
	return style
}

func (p paper) stroke(l pen) {
	p.pdf.SetLineWidth(l.weight)
	p.pdf.SetDrawColor(int(l.shade), int(l.shade), int(l.shade))
	if l.dashed {
		p.pdf.SetDashPattern([]float64{1, 0.8}, 0)
	} else {
		p.pdf.SetDashPattern(nil, 0)
	}
}

// centred writes s with its middle at x.
func centred(c canvas, x, y float64, s string, f face) {
	c.text(x-c.width(s, f)/2, y, s, f)
}

// flushRight writes s with its end at x.
func flushRight(c canvas, x, y float64, s string, f face) {
	c.text(x-c.width(s, f), y, s, f)
}

// arrowhead points from one place towards another, its tip at the second.
func arrowhead(c canvas, fromX, fromY, x, y float64) {
	const length, half = 2.6, 1.0
	dx, dy := direction(fromX, fromY, x, y)
	baseX, baseY := x-length*dx, y-length*dy
	c.triangle(x, y, baseX-half*dy, baseY+half*dx, baseX+half*dy, baseY-half*dx)
}
