package engrave

import "slices"

// accidentalGlyphs are the glyphs by the names of MusicXML.
var accidentalGlyphs = map[string]string{
	"sharp": "accidentalSharp", "natural": "accidentalNatural", "flat": "accidentalFlat",
	"double-sharp": "accidentalDoubleSharp", "sharp-sharp": "accidentalDoubleSharp",
	"flat-flat": "accidentalDoubleFlat", "double-flat": "accidentalDoubleFlat",
	"natural-sharp": "accidentalNaturalSharp", "natural-flat": "accidentalNaturalFlat",
}

// Distances of accidentals, in staff spaces (common practice).
const (
	accidentalGap  = 0.25 // from the heads
	accidentalNext = 0.12 // from one to the next
	accidentalOver = 0.05 // between two, one above the other
)

// stackAccidentals places the accidentals of a stack from the right: the
// highest, the lowest, the next highest, …, each as near to the heads as those
// already there let it.
func (l *layout) stackAccidentals(s *stack) {
	heads := s.left
	var placed []Box
	for _, p := range outsideIn(s.parts) {
		h := p.head()
		if sameAccidental(s, h) {
			continue
		}
		signs, box := l.accidental(p)
		right := heads - accidentalGap*p.chord.scale
		for moved := true; moved; {
			moved = false
			for _, b := range placed {
				if b.Top < box.Bottom+accidentalOver && box.Top < b.Bottom+accidentalOver &&
					right > b.Left-accidentalNext && right-(box.Right-box.Left) < b.Right+accidentalNext {
					right, moved = b.Left-accidentalNext, true
					break
				}
			}
		}
		dx := right - box.Right
		for _, sign := range signs {
			sign.dx += dx
			s.signs = append(s.signs, sign)
		}
		box.Left, box.Right = box.Left+dx, box.Right+dx
		placed = append(placed, box)
		s.left = min(s.left, box.Left)
	}
}

// outsideIn is the heads that have accidentals: highest, lowest, next highest, …
func outsideIn(parts []part) (order []part) {
	var with []part
	for _, p := range parts {
		if accidentalGlyphs[p.head().note.Accidental] != "" {
			with = append(with, p)
		}
	}
	slices.SortStableFunc(with, func(a, b part) int { return a.head().pos - b.head().pos })
	for len(with) > 0 {
		order, with = append(order, with[0]), with[1:]
		if n := len(with); n > 0 {
			order, with = append(order, with[n-1]), with[:n-1]
		}
	}
	return order
}

// sameAccidental reports whether the stack has a head's accidental already, for
// another voice.
func sameAccidental(s *stack, h *head) bool {
	return slices.ContainsFunc(s.signs, func(a placedSign) bool {
		return a.pos == h.pos && a.glyph == accidentalGlyphs[h.note.Accidental]
	})
}

// accidental is the signs of one accidental, an editor's in parentheses, and
// what they cover, with the first at 0.
func (l *layout) accidental(p part) (signs []placedSign, box Box) {
	h := p.head()
	names := []string{accidentalGlyphs[h.note.Accidental]}
	if h.note.Bracketed {
		names = []string{"accidentalParensLeft", names[0], "accidentalParensRight"}
	}
	x := 0.0
	for i, name := range names {
		g := l.font.Glyph(name)
		left, right := g.Box.Left*p.chord.scale, g.Box.Right*p.chord.scale
		signs = append(signs, placedSign{
			role: RoleAccidental, glyph: name, staff: h.staff, dx: x - left, pos: h.pos, scale: p.chord.scale,
			note: h.note.ID, chord: p.chord.index,
		})
		y := float64(h.pos) / 2
		b := Box{x, y + g.Box.Top*p.chord.scale, x + right - left, y + g.Box.Bottom*p.chord.scale}
		if i == 0 {
			box = b
		}
		box = Box{min(box.Left, b.Left), min(box.Top, b.Top), max(box.Right, b.Right), max(box.Bottom, b.Bottom)}
		x += right - left + 0.05
	}
	return signs, box
}
