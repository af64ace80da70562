package detect

import (
	"sort"

	"hardbars/score"
)

// MostDrawn is how many quarters of a long melody are drawn.
const MostDrawn = 8

// PianoRoll is notes as bars over time, with some picked out: the general form for
// a kind whose trouble is in how its notes follow and overlap.
type PianoRoll struct {
	Notes []PianoRollNote
	Span  score.Rat   // quarters from the left edge to the right
	Beats []score.Rat // where the beats fall, in quarters from the left edge
	Held  bool        // the picked notes are held to the end of the occurrence
	Lines []score.Rat // instants to point at: a pedal change, the departure from a figure
}

// PianoRollNote is one note of a Roll.
type PianoRollNote struct {
	At     score.Rat // quarters from the left edge
	Length score.Rat // 0 for a grace note
	Key    int       // MIDI number
	Hand   score.Hand
	Picked bool
}

func (PianoRoll) picture() {}

// PianoRoll draws what both hands play from one instant to another; picked are
// indices into Score.Notes. Notes that sound on from before are cut at the
// left edge.
func (p *Pass) PianoRoll(from, to score.Rat, picked []int) PianoRoll {
	r := PianoRoll{Span: to.Sub(from)}
	pick := map[int]bool{}
	for _, i := range picked {
		pick[i] = true
	}
	for i := p.firstSounding(from); i < len(p.Score.Notes); i++ {
		n := &p.Score.Notes[i]
		if !n.Onset.Less(to) {
			break
		}
		if !from.Less(n.End()) && n.Onset.Less(from) {
			continue
		}
		at := score.Max(n.Onset, from)
		r.Notes = append(r.Notes, PianoRollNote{
			At: at.Sub(from), Length: score.Min(n.End(), to).Sub(at),
			Key: n.Pitch.MIDI(), Hand: n.Hand, Picked: pick[i],
		})
	}
	r.Beats = p.beats(from, to)
	return r
}

// firstSounding is the first note that may sound at an instant: all before it
// have ended.
func (p *Pass) firstSounding(at score.Rat) int {
	if p.ended == nil {
		end := score.Rat{}
		for i := range p.Score.Notes {
			end = score.Max(end, p.Score.Notes[i].End())
			p.ended = append(p.ended, end)
		}
	}
	return sort.Search(len(p.ended), func(i int) bool { return at.Cmp(p.ended[i]) <= 0 })
}

// beats returns the beats from one instant to another, in quarters after the first.
func (p *Pass) beats(from, to score.Rat) []score.Rat {
	var beats []score.Rat
	for i := p.Score.BarAt(from); i < len(p.Score.Bars) && p.Score.Bars[i].Start.Less(to); i++ {
		bar := p.Score.Bars[i]
		for at := bar.Start; at.Less(score.Min(bar.End(), to)); at = at.Add(bar.Time.Beat()) {
			if !at.Less(from) {
				beats = append(beats, at.Sub(from))
			}
		}
	}
	return beats
}
