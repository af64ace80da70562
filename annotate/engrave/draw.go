package engrave

import "hardbars/annotate/smufl"

// Canvas is what a drawing can be drawn on. Lengths are in millimetres, from
// the canvas's top left corner, y downwards; a colour is "#D55E00", or "" for
// black.
type Canvas interface {
	// Fill fills a path by the non-zero rule.
	Fill(path []Segment, colour string)
	// Line draws a stroke with its ends cut square.
	Line(s Stroke, colour string)
	// Words writes text with the left end of its baseline at x, y.
	Words(x, y float64, text string, f Face, colour string)
}

// Draw draws it with its top left corner at x, y.
func (d *Drawing) Draw(c Canvas, x, y float64) {
	font := smufl.Bravura()
	for _, it := range d.Items {
		switch {
		case it.Glyph != "":
			c.Fill(placed(font.Glyph(it.Glyph).Outline, it.X+x, it.Y+y, it.Scale), it.Colour)
		case it.Stroke != nil:
			s := *it.Stroke
			s.X1, s.Y1, s.X2, s.Y2 = s.X1+x, s.Y1+y, s.X2+x, s.Y2+y
			c.Line(s, it.Colour)
		case it.Shape != nil:
			c.Fill(placed(it.Shape, x, y, 1), it.Colour)
		case it.Text != "":
			c.Words(it.X+x, it.Y+y, it.Text, it.Face, it.Colour)
		}
	}
}

// placed is a path at a scale, with its origin at x, y.
func placed(path []Segment, x, y, scale float64) []Segment {
	out := make([]Segment, len(path))
	for i, s := range path {
		out[i] = Segment{
			Op: s.Op,
			X1: x + s.X1*scale, Y1: y + s.Y1*scale,
			X2: x + s.X2*scale, Y2: y + s.Y2*scale,
			X: x + s.X*scale, Y: y + s.Y*scale,
		}
	}
	return out
}
