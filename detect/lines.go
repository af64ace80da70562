package detect

import (
	"slices"

	"hardbars/detect/hand"
	"hardbars/score"
)

// Line is what one hand strikes, all of it or one of its strands.
type Line []Event

// strand is what a hand plays as one line of music: a voice, and where the file
// gives the line to a voice of another number, that one.
type strand struct {
	voice string    // that has it now
	end   score.Rat // of its latest note
}

// silence is how long a line rests, in quarters, before it is another one.
var silence = score.Int(1)

// strands gives each note that a hand strikes to its strand. Where one voice ends
// and one that was silent begins, at the same instant, the line goes on: an engraver's
// voice number is not a line of music.
func (p *Pass) strands(hand score.Hand) map[int]*strand {
	of := map[int]*strand{}
	now := map[string]*strand{} // by voice
	var open []*strand          // those that a voice has
	for _, e := range p.Events[hand] {
		struck := map[string]bool{}
		var begins []string // voices that were silent
		for _, n := range e.Struck {
			voice := p.Score.Notes[n].Voice
			if st := now[voice]; !struck[voice] && (st == nil || st.end.Add(silence).Cmp(e.At) <= 0) {
				begins = append(begins, voice)
			}
			struck[voice] = true
		}
		var left []*strand
		for _, st := range open {
			if st.end == e.At && !struck[st.voice] {
				left = append(left, st)
			}
		}
		if len(begins) == 1 && len(left) == 1 {
			st, voice := left[0], begins[0]
			open = slices.DeleteFunc(open, func(s *strand) bool { return s == now[voice] })
			delete(now, st.voice)
			st.voice, now[voice] = voice, st
		}
		for _, n := range e.Struck {
			note := &p.Score.Notes[n]
			st := now[note.Voice]
			if st == nil {
				st = &strand{voice: note.Voice}
				now[note.Voice] = st
				open = append(open, st)
			}
			st.end = score.Max(st.end, note.End())
			of[n] = st
		}
	}
	return of
}

// Lines are all that a hand strikes, and each of its strands by itself where
// there are several.
func (p *Pass) Lines(hand score.Hand) []Line {
	whole := p.Events[hand]
	strandOf := p.strands(hand)
	lines := map[*strand]int{} // index into all
	all := []Line{whole}
	for _, e := range whole {
		for _, n := range e.Struck {
			i, known := lines[strandOf[n]]
			if !known {
				i = len(all)
				lines[strandOf[n]] = i
				all = append(all, nil)
			}
			if k := len(all[i]) - 1; k >= 0 && all[i][k].At == e.At {
				all[i][k].Struck = append(all[i][k].Struck, n)
				continue
			}
			all[i] = append(all[i], Event{At: e.At, Struck: []int{n}})
		}
	}
	if len(all) == 2 {
		return all[:1]
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
