package engrave

import (
	"slices"

	"hardbars/score/notation"
)

// barPart is a part of a barline.
type barPart uint8

const (
	thinLine barPart = iota
	thickLine
	dashedLine
	dottedLine
	shortLine // through the middle of each staff
	repeatDots
)

// barStyles are the parts of the bar-styles of MusicXML, left to right.
var barStyles = map[string][]barPart{
	"": {thinLine}, "regular": {thinLine}, "light-light": {thinLine, thinLine}, "light-heavy": {thinLine, thickLine},
	"heavy-light": {thickLine, thinLine}, "heavy-heavy": {thickLine, thickLine}, "heavy": {thickLine},
	"dashed": {dashedLine}, "dotted": {dottedLine}, "tick": {shortLine}, "short": {shortLine}, "none": {},
}

// rightParts is what ends a bar.
func rightParts(b notation.Barline) []barPart {
	if b.Repeat {
		return []barPart{repeatDots, thinLine, thickLine}
	}
	parts, ok := barStyles[b.Style]
	if !ok {
		return barStyles[""]
	}
	return parts
}

// leftParts is what begins a bar, beside the line that ends the one before.
func leftParts(b notation.Barline) []barPart {
	switch {
	case b.Repeat:
		return []barPart{thickLine, thinLine, repeatDots}
	case b.Style == "":
		return nil
	}
	return barStyles[b.Style]
}

// joinParts is the one barline between two bars.
func joinParts(right, left []barPart) []barPart {
	plain := len(right) == 0 || slices.Equal(right, barStyles[""])
	switch {
	case len(left) == 0:
		return right
	case plain:
		return left
	case right[len(right)-1] == left[0]:
		return append(slices.Clone(right), left[1:]...)
	}
	return right
}

// makeBarline makes the barline that ends a bar, and the key and time behind it.
func (l *layout) makeBarline(col *column) {
	n := l.score
	parts := rightParts(n.Bars[col.bar].Right)
	if col.at.Less(l.to) {
		parts = joinParts(parts, leftParts(n.Bars[col.bar+1].Left))
	}
	col.bars = parts
	col.body = l.partsWidth(parts)
	col.tail = col.body
	if col.bar+1 == len(n.Bars) || col.at == l.to && l.last {
		return
	}
	if keyChanges(n, col.at) {
		col.addSigns(n.Staves, func(staff int, x float64) ([]placedSign, float64) {
			old, key := keyAt(n, staff, col.at, true), keyAt(n, staff, col.at, false)
			return l.keySigns(staff, clefAt(n, staff, col.at), old.Fifths, key.Fifths, x)
		})
	}
	if t, ok := timeAt(n, col.at); ok {
		col.addSigns(n.Staves, func(staff int, x float64) ([]placedSign, float64) { return l.timeSigns(staff, t, x) })
	}
}

// addSigns puts a signature on every staff behind what the column has.
func (col *column) addSigns(staves int, make func(staff int, x float64) ([]placedSign, float64)) {
	wide := 0.0
	for staff := 1; staff <= staves; staff++ {
		signs, w := make(staff, col.tail+keyTimeGap)
		col.signs = append(col.signs, signs...)
		wide = max(wide, w)
	}
	if wide > 0 {
		col.tail += keyTimeGap + wide
	}
}

// partWidth is the width of one part of a barline.
func (l *layout) partWidth(p barPart) float64 {
	switch p {
	case thickLine:
		return l.font.Defaults.ThickBarline
	case repeatDots:
		return l.font.Glyph("repeatDot").Box.Right
	}
	return l.font.Defaults.ThinBarline
}

// partGap is the white between two parts of a barline.
func (l *layout) partGap(a, b barPart) float64 {
	switch {
	case a == repeatDots || b == repeatDots:
		return l.font.Defaults.RepeatDotsGap
	case a == thickLine || b == thickLine:
		return l.font.Defaults.ThinThickGap
	}
	return l.font.Defaults.BarlineGap
}

func (l *layout) partsWidth(parts []barPart) (width float64) {
	for i, p := range parts {
		if i > 0 {
			width += l.partGap(parts[i-1], p)
		}
		width += l.partWidth(p)
	}
	return width
}

func (l *layout) drawBarlines() {
	for _, col := range l.columns {
		if col.kind != barColumn {
			continue
		}
		l.drawParts(col.bars, col.x)
		for _, s := range col.signs {
			l.addSign(s, col.x)
		}
	}
}

// drawParts draws a barline through all staves, with its left edge at x.
func (l *layout) drawParts(parts []barPart, x float64) {
	for i, p := range parts {
		if i > 0 {
			x += l.partGap(parts[i-1], p)
		}
		l.drawPart(p, x)
		x += l.partWidth(p)
	}
}

func (l *layout) drawPart(p barPart, x float64) {
	switch p {
	case repeatDots:
		for staff := range l.top {
			for _, pos := range []int{3, 5} {
				l.add(Item{Role: RoleBarline, Note: -1, Chord: -1, Glyph: "repeatDot", X: x, Y: l.yOf(staff+1, pos), Scale: 1})
			}
		}
	case shortLine:
		for _, top := range l.top {
			l.drawBarStroke(p, x, top+1, top+3)
		}
	default:
		l.drawBarStroke(p, x, l.top[0], l.top[len(l.top)-1]+staffHeight)
	}
}

func (l *layout) drawBarStroke(p barPart, x, top, bottom float64) {
	width := l.partWidth(p)
	s := &Stroke{X1: x + width/2, Y1: top, X2: x + width/2, Y2: bottom, Width: width}
	switch p {
	case dashedLine:
		s.Dash = l.font.Defaults.BarlineDash
	case dottedLine:
		s.Dash = width
	}
	l.add(Item{Role: RoleBarline, Note: -1, Chord: -1, Stroke: s})
}
