// Package smufl holds a music font of the SMuFL standard, with the metadata
// that the standard asks for: outlines, bounding boxes, anchors and the widths
// of lines.
//
// How music is set is kept out.
//
// All lengths are in staff spaces, the distance between two lines of a staff;
// x to the right and y DOWNWARDS from the glyph's origin (the font's own y goes
// up).
package smufl

import (
	"sync"

	"golang.org/x/image/font/sfnt"
)

// Font is a music font. It may be used from many goroutines at once.
type Font struct {
	Defaults Defaults

	outlines *sfnt.Font
	metadata metadata

	mu     sync.RWMutex
	glyphs map[string]*Glyph // those that were asked for
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

// Bravura is the embedded font. It is read once.
func Bravura() *Font { return bravura() }

var bravura = sync.OnceValue(func() *Font {
	f, err := parse(bravuraOTF, bravuraMetadata)
	if err != nil {
		panic("smufl: the embedded font: " + err.Error())
	}
	return f
})

// Glyph is a glyph by its name in the standard: "noteheadBlack". It panics on a
// name that the font does not have: names are written in code, not read.
func (f *Font) Glyph(name string) *Glyph {
	f.mu.RLock()
	g := f.glyphs[name]
	f.mu.RUnlock()
	if g != nil {
		return g
	}
	g, err := f.read(name)
	if err != nil {
		panic("smufl: " + err.Error())
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if first := f.glyphs[name]; first != nil {
		return first
	}
	f.glyphs[name] = g
	return g
}
