package detect

import (
	"slices"

	"hardbars/score"
)

// AsksToHold reports whether a note is meant to be held for its written length.
func AsksToHold(n *score.Note) bool {
	short := func(sign string) bool { return slices.Contains(n.Articulations, sign) }
	return n.Tremolo == 0 && !n.TremoloPair && !short("staccato") && !short("staccatissimo") && !short("detached-legato")
}

// StruckAgain returns, for each note, when its key is next struck by either
// hand: the end of the piece where it is not.
func StruckAgain(s *score.Score) []score.Rat {
	again := make([]score.Rat, len(s.Notes))
	next := map[int]int{} // by key, the earliest note looked at so far
	for i := len(s.Notes) - 1; i >= 0; i-- {
		again[i] = score.Max(s.End(), s.Notes[i].End())
		if n, ok := next[Key(s, i)]; ok {
			again[i] = s.Notes[n].Onset
			if again[i] == s.Notes[i].Onset {
				again[i] = again[n]
			}
		}
		next[Key(s, i)] = i
	}
	return again
}

// CanHold reports whether a hand covers keys, with all that it strikes and holds
// itself, from one instant to another.
func (p *Pass) CanHold(hand score.Hand, keys []int, from, until score.Rat) bool {
	if !p.Player.Hand(hand).Covers(keys) {
		return false
	}
	events := p.Events[hand]
	later, _ := slices.BinarySearchFunc(events, from, func(e Event, at score.Rat) int {
		if at.Less(e.At) {
			return 1
		}
		return -1
	})
	for _, e := range events[max(later-1, 0):] {
		if until.Less(e.At) {
			break
		}
		down := slices.DeleteFunc(slices.Concat(e.Struck, e.Held), func(n int) bool {
			return p.Score.Notes[n].End().Cmp(from) <= 0
		})
		if !p.Player.Hand(hand).Covers(JoinKeys(keys, p.Keys(down))) {
			return false
		}
	}
	return true
}

// JoinKeys returns both sets of keys, sorted, each key once.
func JoinKeys(a, b []int) []int {
	keys := slices.Concat(a, b)
	slices.Sort(keys)
	return slices.Compact(keys)
}
