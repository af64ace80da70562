package smufl

import (
	"fmt"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Segment is a part of a path: a move 'M', a line 'L' or a cubic curve 'C' to X, Y.
type Segment struct {
	Op             byte
	X1, Y1, X2, Y2 float64 // the control points of a curve
	X, Y           float64
}

// Outline is the filled path and the advance of a sign of an OpenType font,
// with scale units to an em, y downwards from the baseline. ok is false where
// the font has no such sign.
func Outline(f *sfnt.Font, r rune, scale float64) (path []Segment, advance float64, ok bool) {
	var buf sfnt.Buffer
	index, err := f.GlyphIndex(&buf, r)
	if err != nil || index == 0 {
		return nil, 0, false
	}
	units := fixed.I(int(f.UnitsPerEm()))
	step := scale / float64(units)
	width, err := f.GlyphAdvance(&buf, index, units, font.HintingNone)
	if err != nil {
		return nil, 0, false
	}
	segments, err := f.LoadGlyph(&buf, index, units, nil)
	if err != nil {
		return nil, 0, false
	}
	return pathOf(segments, step), float64(width) * step, true
}

// pathOf scales a path; the quadratic curves of TrueType become cubic ones.
func pathOf(segments sfnt.Segments, step float64) []Segment {
	path := make([]Segment, 0, len(segments))
	at := func(p fixed.Point26_6) (x, y float64) { return float64(p.X) * step, float64(p.Y) * step }
	var x0, y0 float64
	for _, s := range segments {
		var out Segment
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			out.Op = 'M'
			out.X, out.Y = at(s.Args[0])
		case sfnt.SegmentOpLineTo:
			out.Op = 'L'
			out.X, out.Y = at(s.Args[0])
		case sfnt.SegmentOpQuadTo:
			out.Op = 'C'
			qx, qy := at(s.Args[0])
			out.X, out.Y = at(s.Args[1])
			out.X1, out.Y1 = x0+(qx-x0)*2/3, y0+(qy-y0)*2/3
			out.X2, out.Y2 = out.X+(qx-out.X)*2/3, out.Y+(qy-out.Y)*2/3
		case sfnt.SegmentOpCubeTo:
			out.Op = 'C'
			out.X1, out.Y1 = at(s.Args[0])
			out.X2, out.Y2 = at(s.Args[1])
			out.X, out.Y = at(s.Args[2])
		}
		path = append(path, out)
		x0, y0 = out.X, out.Y
	}
	return path
}

// emSpaces is how many staff spaces the em of a SMuFL font has. Source: SMuFL
// 1.4, "Notes for implementers", metrics.
const emSpaces = 4

// read reads a glyph.
func (f *Font) read(name string) (*Glyph, error) {
	code, ok := codes[name]
	if !ok {
		return nil, fmt.Errorf("no code point is known for the glyph %q", name)
	}
	path, advance, ok := Outline(f.outlines, code, emSpaces)
	if !ok {
		return nil, fmt.Errorf("the font has no glyph %q (U+%04X)", name, code)
	}
	g := &Glyph{Name: name, Rune: code, Advance: advance, Outline: path}
	var err error
	if g.Box, err = f.metadata.box(name); err != nil {
		return nil, err
	}
	g.anchors, err = f.metadata.anchors(name)
	return g, err
}
