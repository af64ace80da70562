package engrave

import "slices"

const (
	dotGap  = 0.35 // from what stands to the left
	dotNext = 0.25 // from one dot to the next
)

// stackDots places the dots of a stack behind its heads, one under the other,
// in spaces and never on lines.
func (l *layout) stackDots(s *stack) {
	if !slices.ContainsFunc(s.parts, func(p part) bool { return p.chord.Value.Dots > 0 }) {
		l.addFlagRoom(s)
		return
	}
	width := l.font.Glyph("augmentationDot").Box.Right
	start := s.right + dotGap
	right := s.right
	var taken, heads []int // places of dots, and of the heads that have theirs
	for _, p := range fromTop(s.parts) {
		if p.chord.Value.Dots == 0 || slices.Contains(heads, p.head().pos) {
			continue
		}
		heads = append(heads, p.head().pos)
		pos := dotPos(p, taken)
		if slices.Contains(taken, pos) {
			continue
		}
		taken = append(taken, pos)
		x := start
		for range p.chord.Value.Dots {
			s.signs = append(s.signs, placedSign{
				role: RoleDot, glyph: "augmentationDot", staff: s.staff, dx: x, pos: pos, scale: p.chord.scale,
				note: p.head().note.ID, chord: p.chord.index,
			})
			right = max(right, x+width*p.chord.scale)
			x += l.dotStep() * p.chord.scale
		}
	}
	l.addFlagRoom(s)
	s.right = max(s.right, right)
}

// dotStep is how far the dots of one note stand apart.
func (l *layout) dotStep() float64 { return l.font.Glyph("augmentationDot").Box.Right + dotNext }

// addFlagRoom widens a stack by its flags.
func (l *layout) addFlagRoom(s *stack) {
	for _, p := range s.parts {
		if room := l.flagRoom(p.chord); room > 0 {
			h := p.head()
			s.right = max(s.right, h.x+h.width+room)
		}
	}
}

func fromTop(parts []part) []part {
	parts = slices.Clone(parts)
	slices.SortStableFunc(parts, func(a, b part) int { return a.head().pos - b.head().pos })
	return parts
}

// dotPos is the space for a head's dot: its own; for a head on a line the one
// above, or below for a lower voice, and the other one where that is taken.
func dotPos(p part, taken []int) int {
	pos := p.head().pos
	if pos%2 != 0 {
		return pos
	}
	first, second := pos-1, pos+1
	if p.chord.voices > 1 && !p.chord.up {
		first, second = second, first
	}
	if slices.Contains(taken, first) {
		return second
	}
	return first
}
