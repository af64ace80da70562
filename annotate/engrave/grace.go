package engrave

import (
	"cmp"
	"math"
	"slices"
)

const graceGap = 0.35 // between grace notes, and to what follows them

// fillGraces places grace notes to the left of all that stands in their column.
func (l *layout) fillGraces(col *column) {
	slices.SortStableFunc(col.graces, func(a, b *chord) int {
		return cmp.Or(cmp.Compare(after(b), after(a)), cmp.Compare(a.Grace, b.Grace))
	})
	for staff := 1; staff <= l.score.Staves; staff++ {
		ink := &col.ink[staff-1]
		for end := len(col.graces); end > 0; {
			start := end - 1
			for start > 0 && col.graces[start-1].Grace == col.graces[start].Grace && after(col.graces[start-1]) == after(col.graces[start]) {
				start--
			}
			l.fillGrace(col, ink, staff, col.graces[start:end])
			end = start
		}
	}
}

// after is 1 for grace notes that end the note before: they stand left of those
// that begin the next.
func after(c *chord) int {
	if c.GraceAfter {
		return 1
	}
	return 0
}

// fillGrace places the grace notes that strike together on one staff.
func (l *layout) fillGrace(col *column, ink *extent, staff int, chords []*chord) {
	var here []*chord
	for _, c := range chords {
		if c.Staff == staff {
			c.x, c.left, c.right, c.with = 0, math.Inf(1), math.Inf(-1), nil
			here = append(here, c)
		}
	}
	if len(here) == 0 {
		return
	}
	s := l.makeStack(staff, col.at, here)
	s.dx = min(ink.left, 0) - graceGap - s.right
	for _, c := range here {
		c.graceX = s.dx
	}
	l.stacks = append(l.stacks, s)
	ink.cover(s.dx+s.left, s.dx+s.right)
}
