package detect

import (
	"slices"

	"hardbars/detect/hand"
	"hardbars/score"
)

// Line is what one hand strikes, all of it or one of its voices.
type Line []Event

// Lines are all that a hand strikes, and each of its voices by itself where
// there are several.
func (p *Pass) Lines(hand score.Hand) []Line {
	whole := p.Events[hand]
	voices := map[string]Line{}
	var names []string
	for _, e := range whole {
		for _, n := range e.Struck {
			voice := p.Score.Notes[n].Voice
			own, known := voices[voice]
			if !known {
				names = append(names, voice)
			}
			if k := len(own) - 1; k >= 0 && own[k].At == e.At {
				own[k].Struck = append(own[k].Struck, n)
				continue
			}
			voices[voice] = append(own, Event{At: e.At, Struck: []int{n}})
		}
	}
	all := []Line{whole}
	if len(names) > 1 {
		slices.Sort(names)
		for _, name := range names {
			all = append(all, voices[name])
		}
	}
	return all
}

// Between are the events from one instant up to another.
func (l Line) Between(from, to score.Rat) Line {
	at := func(e Event, at score.Rat) int { return e.At.Cmp(at) }
	first, _ := slices.BinarySearchFunc(l, from, at)
	last, _ := slices.BinarySearchFunc(l, to, at)
	return l[first:last]
}

// IsChord reports whether an event strikes keys of more than one pitch class: an
// octave is a single note doubled.
func (p *Pass) IsChord(e Event) bool {
	for _, n := range e.Struck[1:] {
		if hand.PitchClass(Key(p.Score, n)) != hand.PitchClass(Key(p.Score, e.Struck[0])) {
			return true
		}
	}
	return false
}

// Lowest is the lowest key that an event strikes.
func (p *Pass) Lowest(e Event) int { return Key(p.Score, e.Struck[0]) }
