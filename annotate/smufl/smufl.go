// Package smufl holds a music font of the SMuFL standard, with the metadata
// that the standard asks for: outlines, bounding boxes, anchors and the widths
// of lines.
//
// It knows fonts. It refuses to know how music is set.
//
// All lengths are in staff spaces, the distance between two lines of a staff;
// x to the right and y DOWNWARDS from the glyph's origin (the font's own y goes
// up).
package smufl

// Font is a music font.
type Font struct {
	Defaults Defaults
}

// Defaults are the font's engraving defaults, in staff spaces.
type Defaults struct {
	StaffLine, LedgerLine, LedgerExtension     float64
	Stem, Beam, BeamSpacing                    float64
	SlurEnd, SlurMiddle, TieEnd, TieMiddle     float64
	ThinBarline, ThickBarline                  float64
	BarlineGap, ThinThickGap, RepeatDotsGap    float64
	BarlineDash, BarlineDashGap                float64
	Hairpin, OctaveLine, PedalLine             float64
	TupletBracket, Ending, Bracket, ArrowShaft float64
}

// Box is an upright rectangle around ink; Top is less than Bottom.
type Box struct{ Left, Top, Right, Bottom float64 }

// Point is a place.
type Point struct{ X, Y float64 }

// Glyph is one sign of the font.
type Glyph struct {
	Name    string
	Rune    rune
	Box     Box
	Advance float64
	Outline []Segment // a closed path, to be filled by the non-zero rule
	anchors map[string]Point
}

// Anchor is one of the standard's anchors, such as "stemUpSE" or "cutOutNW";
// ok is false where the glyph has none of that name.
func (g *Glyph) Anchor(name string) (at Point, ok bool) {
	at, ok = g.anchors[name]
	return at, ok
}

// Segment is a part of a path: a move 'M', a line 'L' or a cubic curve 'C' to X, Y.
type Segment struct {
	Op             byte
	X1, Y1, X2, Y2 float64
	X, Y           float64
}

// Bravura is the embedded font. It is read once.
func Bravura() *Font { return &Font{} }

// Glyph is a glyph by its name in the standard: "noteheadBlack". It panics on a
// name that the font does not have: names are written in code, not read.
func (f *Font) Glyph(name string) *Glyph { return &Glyph{Name: name} }
