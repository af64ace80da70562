package engrave

import (
	"hardbars/score"
	"hardbars/score/notation"
)

// headShapes are the glyphs of heads that are not oval: for black heads, half
// notes and whole notes.
var headShapes = map[string][3]string{
	"x":              {"noteheadXBlack", "noteheadXHalf", "noteheadXWhole"},
	"diamond":        {"noteheadDiamondBlack", "noteheadDiamondHalf", "noteheadDiamondWhole"},
	"harmonic":       {"noteheadDiamondBlack", "noteheadDiamondHalf", "noteheadDiamondWhole"},
	"triangle":       {"noteheadTriangleUpBlack", "noteheadTriangleUpHalf", "noteheadTriangleUpWhole"},
	"square":         {"noteheadSquareBlack", "noteheadSquareWhite", "noteheadSquareWhite"},
	"circle-x":       {"noteheadCircleX", "noteheadCircleX", "noteheadCircleX"},
	"slash":          {"noteheadSlashHorizontalEnds", "noteheadSlashWhiteHalf", "noteheadSlashWhiteWhole"},
	"diamond-hollow": {"noteheadDiamondHalf", "noteheadDiamondHalf", "noteheadDiamondWhole"},
	"normal":         ovalHeads,
	"":               ovalHeads,
}

var ovalHeads = [3]string{"noteheadBlack", "noteheadHalf", "noteheadWhole"}

// headGlyph is the glyph of a head; "" for one that is not drawn.
func headGlyph(c *notation.Chord, n *notation.Note) string {
	if n.Head == "none" {
		return ""
	}
	shapes, ok := headShapes[n.Head]
	if !ok {
		shapes = ovalHeads
	}
	switch c.Value.Type {
	case "breve":
		return "noteheadDoubleWhole"
	case "whole":
		return shapes[2]
	case "half":
		return shapes[1]
	}
	return shapes[0]
}

// clefRefs are the pitches that the clefs name on their line, as
// score.Pitch.Staff counts: G4, F3 and C4.
var clefRefs = map[string]int{"G": 32, "F": 24, "C": 28}

// clefAt is the clef in force on a staff; treble where the score has none.
func clefAt(n *notation.Score, staff int, at score.Rat) notation.Clef {
	clef := notation.Clef{Staff: staff, Sign: "G", Line: 2}
	for _, c := range n.Clefs {
		if at.Less(c.At) {
			break
		}
		if c.Staff == staff {
			clef = c
		}
	}
	return clef
}

// positionOf is where a pitch stands in a clef, in half spaces below the top
// line.
func positionOf(p score.Pitch, clef notation.Clef) int { return staffPos(p.Staff(), clef) }

// staffPos is the same for a pitch as score.Pitch.Staff counts.
func staffPos(diatonic int, clef notation.Clef) int {
	ref, ok := clefRefs[clef.Sign]
	if !ok {
		ref, clef.Line = clefRefs["G"], 2
	}
	return 10 - 2*clef.Line + ref + 7*clef.Octave - diatonic
}

// drawHeads draws heads, ledger lines, accidentals and dots.
func (l *layout) drawHeads() {
	for _, s := range l.stacks {
		l.drawLedgers(s)
		for _, a := range s.signs {
			l.addSign(a, s.x)
		}
		for _, p := range s.parts {
			if h := p.head(); h.glyph != "" {
				l.add(Item{
					Role: RoleHead, Note: h.note.ID, Chord: p.chord.index, Staff: h.staff,
					Glyph: h.glyph, X: h.x, Y: h.y, Scale: p.chord.scale,
				})
			}
		}
	}
}

// drawLedgers draws the ledger lines of a stack: each as long as the heads on
// and beyond it need.
func (l *layout) drawLedgers(s *stack) {
	lowest, highest := 8, 0
	for _, p := range s.parts {
		lowest, highest = max(lowest, p.head().pos), min(highest, p.head().pos)
	}
	for pos := -2; pos >= highest; pos -= 2 {
		l.drawLedger(s, pos, func(h int) bool { return h <= pos })
	}
	for pos := 10; pos <= lowest; pos += 2 {
		l.drawLedger(s, pos, func(h int) bool { return h >= pos })
	}
}

func (l *layout) drawLedger(s *stack, pos int, beyond func(pos int) bool) {
	var left, right, scale float64
	found := false
	for _, p := range s.parts {
		h := p.head()
		if !beyond(h.pos) || h.glyph == "" {
			continue
		}
		if !found {
			left, right = h.x, h.x+h.width
		}
		left, right, scale, found = min(left, h.x), max(right, h.x+h.width), max(scale, p.chord.scale), true
	}
	if !found {
		return
	}
	ext, y := l.font.Defaults.LedgerExtension*scale, l.yOf(s.staff, pos)
	l.add(Item{Role: RoleLedger, Note: -1, Chord: -1, Staff: s.staff, Stroke: &Stroke{
		X1: left - ext, Y1: y, X2: right + ext, Y2: y, Width: l.font.Defaults.LedgerLine,
	}})
}
