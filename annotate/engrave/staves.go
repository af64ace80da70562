package engrave

import (
	"slices"

	"hardbars/score"
	"hardbars/score/notation"
)

// hands is how many staves are always there: a pianist looks for both.
const hands = 2

// withoutSilent is a score without the staves, beyond the two of the hands, that have
// no note between two instants; those that stay count from 1. Chords keep their
// indices.
func withoutSilent(n *notation.Score, from, to score.Rat) *notation.Score {
	staffOf, staves := keptStaves(n, from, to)
	if staves == n.Staves {
		return n
	}
	s := *n
	s.Staves = staves
	s.Chords = slices.Clone(n.Chords)
	for i := range s.Chords {
		c := &s.Chords[i]
		c.Hidden = c.Hidden || staffOf[c.Staff] == 0
		c.Staff = max(1, staffOf[c.Staff])
		c.Notes = slices.Clone(c.Notes)
		for k := range c.Notes {
			c.Notes[k].Staff = max(1, staffOf[c.Notes[k].Staff])
		}
	}
	s.Clefs = countAnew(n.Clefs, staffOf, func(c *notation.Clef) *int { return &c.Staff })
	s.Signs = countAnew(n.Signs, staffOf, func(c *notation.Sign) *int { return &c.Staff })
	s.Lines = countAnew(n.Lines, staffOf, func(c *notation.Line) *int { return &c.Staff })
	s.LeftOut = countAnew(n.LeftOut, staffOf, func(c *notation.LeftOut) *int { return &c.Staff })
	s.Keys = countAnew(n.Keys, staffOf, func(c *notation.Key) *int { return &c.Staff })
	return &s
}

// keptStaves is the new number of each staff, 0 for one that goes; staff 0, which
// is all of them, stays.
func keptStaves(n *notation.Score, from, to score.Rat) (staffOf map[int]int, staves int) {
	used := map[int]bool{1: true, 2: true}
	for i := chordFrom(n.Chords, from); i < len(n.Chords) && n.Chords[i].At.Less(to); i++ {
		for _, note := range n.Chords[i].Notes {
			used[note.Staff] = used[note.Staff] || !n.Chords[i].Hidden
		}
	}
	staffOf = map[int]int{}
	for staff := 1; staff <= n.Staves; staff++ {
		if staff <= hands || used[staff] {
			staves++
			staffOf[staff] = staves
		}
	}
	return staffOf, staves
}

// countAnew is a table with the staves counted anew, without what stands on
// those that go.
func countAnew[T any](table []T, staffOf map[int]int, staff func(*T) *int) (kept []T) {
	for _, t := range table {
		at := staff(&t)
		if *at == 0 || staffOf[*at] > 0 {
			*at = staffOf[*at]
			kept = append(kept, t)
		}
	}
	return kept
}
