package detect

import (
	"slices"

	"hardbars/score"
)

// TremoloAnswers returns the second notes of tremolos that alternate between
// two: what is struck there is no rhythm.
func TremoloAnswers(s *score.Score) map[int]bool {
	type line struct {
		hand  score.Hand
		voice string
	}
	answers := map[int]bool{}
	begun := map[line]score.Rat{} // where the answer to the first note falls
	for i := range s.Notes {
		n := &s.Notes[i]
		if !n.TremoloPair {
			continue
		}
		l := line{n.Hand, n.Voice}
		if at, ok := begun[l]; ok && at == n.Onset {
			answers[i] = true
			continue
		}
		begun[l] = n.End()
	}
	return answers
}

// Event is what one hand strikes at one instant, with what it still holds.
// Grace notes are not events of their own: they come with their main note.
type Event struct {
	At     score.Rat
	Struck []int // indices into Score.Notes, low to high; one for each key
	Held   []int // notes of this hand struck earlier and not yet ended, low to high; one for each key
	Grace  []int // grace notes before it, in order
	Shared int   // further notes written on the keys struck, where voices share a key
}

// events lays out what each hand strikes. Where two voices strike one key
// together, the longer note stands for both. A key struck anew is not held.
//
// Hidden notes that only play out an ornament's sign are left out: the sign
// stands for them, and nobody reads them.
func events(s *score.Score) [2][]Event {
	unread := playedOut(s)
	return [2][]Event{handEvents(s, score.Right, unread), handEvents(s, score.Left, unread)}
}

func handEvents(s *score.Score, hand score.Hand, unread map[int]bool) []Event {
	var all []Event
	var sounding, grace []int
	for i := 0; i < len(s.Notes); {
		at, struck := s.Notes[i].Onset, []int(nil)
		for ; i < len(s.Notes) && s.Notes[i].Onset == at; i++ {
			switch n := &s.Notes[i]; {
			case n.Hand != hand || unread[i]:
			case n.Grace > 0:
				grace = append(grace, i)
			default:
				struck = append(struck, i)
			}
		}
		if len(struck) == 0 {
			continue
		}
		written := len(struck)
		struck = OneForEachKey(s, struck)
		sounding = slices.DeleteFunc(sounding, func(n int) bool { return s.Notes[n].End().Cmp(at) <= 0 })
		all = append(all, Event{At: at, Struck: struck, Held: without(s, sounding, struck), Grace: graceOrder(s, grace), Shared: written - len(struck)})
		sounding, grace = append(sounding, struck...), nil
	}
	return all
}

// playedOut returns the hidden notes that some notation programs put beside an
// ornament so that it sounds: within a tone of the note with the sign, in the
// same hand, while it lasts.
func playedOut(s *score.Score) map[int]bool {
	played := map[int]bool{}
	var signs [2][]*score.Note // those with a sign that still sound, by hand
	for i := 0; i < len(s.Notes); {
		first, at := i, s.Notes[i].Onset
		for ; i < len(s.Notes) && s.Notes[i].Onset == at; i++ {
			if n := &s.Notes[i]; len(n.Ornaments) > 0 && !hidden(n) {
				signs[n.Hand] = append(signs[n.Hand], n)
			}
		}
		for hand := range signs {
			signs[hand] = slices.DeleteFunc(signs[hand], func(n *score.Note) bool { return n.End().Cmp(at) <= 0 })
		}
		for j := first; j < i; j++ {
			n := &s.Notes[j]
			near := func(m *score.Note) bool { return Abs(m.Pitch.MIDI()-n.Pitch.MIDI()) <= 2 }
			if hidden(n) && slices.ContainsFunc(signs[n.Hand], near) {
				played[j] = true
			}
		}
	}
	return played
}

func hidden(n *score.Note) bool { return len(n.Heads) > 0 && n.Heads[0].Hidden }

// OneForEachKey sorts notes low to high and keeps the longest on each key.
func OneForEachKey(s *score.Score, notes []int) []int {
	notes = slices.Clone(notes)
	slices.SortStableFunc(notes, func(a, b int) int {
		if d := Key(s, a) - Key(s, b); d != 0 {
			return d
		}
		return s.Notes[b].End().Cmp(s.Notes[a].End())
	})
	return slices.CompactFunc(notes, func(a, b int) bool { return Key(s, a) == Key(s, b) })
}

// without returns the notes on other keys than those struck.
func without(s *score.Score, notes, struck []int) []int {
	var rest []int
	for _, n := range notes {
		if !slices.ContainsFunc(struck, func(m int) bool { return Key(s, m) == Key(s, n) }) {
			rest = append(rest, n)
		}
	}
	return OneForEachKey(s, rest)
}

func graceOrder(s *score.Score, grace []int) []int {
	slices.SortStableFunc(grace, func(a, b int) int {
		if d := s.Notes[a].Onset.Cmp(s.Notes[b].Onset); d != 0 {
			return d
		}
		if d := s.Notes[a].Grace - s.Notes[b].Grace; d != 0 {
			return d
		}
		return Key(s, a) - Key(s, b)
	})
	return grace
}

func Key(s *score.Score, note int) int { return s.Notes[note].Pitch.MIDI() }

// Keys returns the MIDI key numbers of notes, in their order.
func (p *Pass) Keys(notes []int) []int {
	keys := make([]int, len(notes))
	for i, n := range notes {
		keys[i] = Key(p.Score, n)
	}
	return keys
}
