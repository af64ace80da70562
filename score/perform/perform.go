// Package perform says what sounds in a score, and when: the order of play, the
// notes that stand behind a sign, grace notes and arpeggios in time, and what the
// pedals hold.
//
// Who finds that hard, and how it is heard or drawn, is kept out.
package perform

import (
	"cmp"
	"slices"

	"hardbars/score"
)

// Clock turns exact positions into seconds.
type Clock interface {
	Seconds(from, to score.Rat) float64
}

// Struck is one key struck for a sign.
type Struck struct {
	At     score.Rat // from the note at which the sign stands
	Length score.Rat
	Key    int // MIDI number
}

// Sign is what is struck for a sign, in place of the notes that it stands at.
type Sign struct {
	Main   int   // index into Score.Notes of the note whose heads show it
	Notes  []int // all that it is played for
	Struck []Struck
}

// Sound is one key that is struck. Times are seconds from the start of the stretch
// that is played.
type Sound struct {
	Note    int       // index into Score.Notes, of its main note where it is part of a sign
	Onset   score.Rat // exact, in quarters from the start of the piece
	Length  score.Rat // the same; 0 for a grace note
	Key     int       // MIDI number
	At      float64   // less than 0 for grace notes before the first beat
	Seconds float64   // until the key is let go
	Rings   float64   // until the damper falls: longer where a pedal holds it
}

// How long it takes where the score does not say, in seconds at full tempo.
// Common practice: grace notes come quickly before the beat, which stays where
// it is; an arpeggio begins on the beat.
const (
	graceSeconds    = 0.08 // from one grace note to the next
	arpeggioSeconds = 0.045
)

// Stretch is all that sounds from one position to another, by time: what is
// struck there, and what is tied into it, which is struck as it begins. Bars come
// in the order of the page, and a fermata lasts as long as it is written.
func Stretch(s *score.Score, clock Clock, from, to score.Rat, signs []Sign) []Sound {
	p := &player{Score: s, clock: clock, from: from, to: to, signs: map[int][]Struck{}, signed: map[int]bool{}, late: map[int]float64{}}
	for _, sign := range signs {
		p.addSign(sign)
	}
	for _, a := range s.Arpeggios {
		p.addArpeggio(a)
	}
	var all []Sound
	for i := range s.Notes {
		n := &s.Notes[i]
		if !n.Onset.Less(to) || n.Onset.Less(from) && n.End().Cmp(from) <= 0 {
			continue
		}
		switch {
		case len(p.signs[i]) > 0:
			all = append(all, p.sign(i)...)
		case p.signed[i]:
		case n.Grace > 0:
			all = append(all, p.grace(i))
		default:
			all = append(all, p.timed(Sound{Note: i, Onset: n.Onset, Length: n.Length, Key: n.Pitch.MIDI()}, p.late[i]))
		}
	}
	slices.SortStableFunc(all, func(a, b Sound) int { return cmp.Compare(a.At, b.At) })
	return slices.DeleteFunc(all, func(n Sound) bool { return n.Seconds <= 0 })
}

// player plays a stretch of a piece.
type player struct {
	*score.Score
	clock    Clock
	from, to score.Rat
	signs    map[int][]Struck // by index into Notes
	signed   map[int]bool     // notes that are struck as part of a sign
	late     map[int]float64  // seconds that a note comes late under an arpeggio sign
}

// at is when a position of the stretch is reached.
func (p *player) at(when score.Rat) float64 { return p.clock.Seconds(p.from, when) }

// addSign takes a sign, unless its notes are part of another.
func (p *player) addSign(s Sign) {
	if slices.ContainsFunc(s.Notes, func(i int) bool { return p.signed[i] }) {
		return
	}
	for _, i := range s.Notes {
		p.signed[i] = true
	}
	p.signs[s.Main] = s.Struck
}

// addArpeggio lets the notes under an arpeggio sign come one after the other, all
// of them within half of the shortest.
func (p *player) addArpeggio(a score.Arpeggio) {
	if a.At.Less(p.from) || !a.At.Less(p.to) || len(a.Notes) < 2 {
		return
	}
	notes := slices.Clone(a.Notes)
	if a.Down {
		slices.Reverse(notes)
	}
	step := arpeggioSeconds
	for _, i := range notes {
		n := &p.Notes[i]
		step = min(step, p.clock.Seconds(n.Onset, n.End())/2/float64(len(notes)))
	}
	for order, i := range notes {
		p.late[i] = float64(order) * step
	}
}

// timed gives a sound its times, cut to the stretch.
func (p *player) timed(s Sound, late float64) Sound {
	from, to := s.Onset, s.Onset.Add(s.Length)
	damped := score.Min(Damped(p.Score, from, to), p.to)
	from, to = score.Max(from, p.from), score.Min(to, p.to)
	if to.Less(from) {
		to, damped = from, from
	}
	s.At = p.at(from) + late
	s.Seconds = p.clock.Seconds(from, to) - late
	s.Rings = p.clock.Seconds(from, damped) - late
	return s
}

// sign is a sign's notes one after the other.
func (p *player) sign(note int) []Sound {
	var all []Sound
	for _, s := range p.signs[note] {
		at := p.Notes[note].Onset.Add(s.At)
		if !at.Less(p.from) && at.Less(p.to) {
			all = append(all, p.timed(Sound{Note: note, Onset: at, Length: s.Length, Key: s.Key}, 0))
		}
	}
	return all
}

// grace is a grace note before its main note, in no more than half the time
// since the hand struck before.
func (p *player) grace(note int) Sound {
	n := &p.Notes[note]
	first, group := note, n.Grace
	for first > 0 && p.Notes[first-1].Onset == n.Onset {
		first--
	}
	for i := first; i < len(p.Notes) && p.Notes[i].Onset == n.Onset; i++ {
		if p.Notes[i].Hand == n.Hand {
			group = max(group, p.Notes[i].Grace)
		}
	}
	each := graceSeconds
	for i := first - 1; i >= 0; i-- {
		if p.Notes[i].Hand == n.Hand && p.Notes[i].Grace == 0 {
			each = min(each, p.clock.Seconds(p.Notes[i].Onset, n.Onset)/2/float64(group))
			break
		}
	}
	return Sound{
		Note: note, Onset: n.Onset, Key: n.Pitch.MIDI(),
		At: p.at(n.Onset) - each*float64(group-n.Grace+1), Seconds: each, Rings: each,
	}
}

// Damped is when the damper falls on a key struck at one position and let go at
// another: there, or where the pedal is lifted that was pressed before. A pedal
// that the player may change at will holds nothing.
func Damped(s *score.Score, from, end score.Rat) score.Rat {
	for _, p := range s.Pedals {
		switch {
		case p.Kind == score.Damper && !p.AdLib:
			press := p.From
			for _, change := range p.Changes {
				if press.Less(end) && end.Less(change.Lift) {
					return change.Lift
				}
				press = change.Press
			}
			if press.Less(end) && end.Less(p.To) {
				return p.To
			}
		case p.Kind == score.Sostenuto && from.Cmp(p.From) <= 0 && p.From.Less(end):
			end = score.Max(end, p.To)
		}
	}
	return end
}
