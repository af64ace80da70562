package detect

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect/hand"
	"hardbars/score"
)

// Clash is two notes a second or a ninth apart that only the pedal keeps together.
type Clash struct {
	Pitches [2]score.Pitch `json:"pitches"` // lower first
	At      Position       `json:"at"`      // the attack of the later
}

// Clashing is a clash by its notes, indices into Score.Notes.
type Clashing struct {
	Low, High int
	At        score.Rat
}

// Ringing returns the notes that a pedal from one instant to another keeps
// sounding: those struck in it and those held when it is pressed.
func (p *Pass) Ringing(from, to score.Rat) []int {
	notes := p.Score.Notes
	var all []int
	for _, hand := range []score.Hand{score.Right, score.Left} {
		last := p.LastBefore(hand, from)
		for _, n := range slices.Concat(last.Struck, last.Held) {
			if from.Less(notes[n].End()) {
				all = append(all, n)
			}
		}
	}
	slices.Sort(all)
	first, _ := slices.BinarySearchFunc(notes, from, func(n score.Note, at score.Rat) int { return n.Onset.Cmp(at) })
	for i := first; i < len(notes) && notes[i].Onset.Less(to); i++ {
		all = append(all, i)
	}
	return all
}

// LastBefore is what a hand strikes last before an instant, the zero Event
// where there is nothing.
func (p *Pass) LastBefore(hand score.Hand, at score.Rat) Event {
	n, _ := slices.BinarySearchFunc(p.Events[hand], at, func(e Event, at score.Rat) int { return e.At.Cmp(at) })
	if n == 0 {
		return Event{}
	}
	return p.Events[hand][n-1]
}

// Clashes returns the notes a second or a ninth apart that a pedal from one
// instant to another keeps sounding together, though the first is over, as
// written, when the second is struck. between says which two notes count. Each
// pair of pitch classes comes once, where it is lowest.
func (p *Pass) Clashes(from, to score.Rat, between func(a, b int) bool) []Clashing {
	s := p.Score
	var all []Clashing
	rings := map[int]int{} // by key, the note struck last
	for _, n := range p.Ringing(from, to) {
		note, key := &s.Notes[n], Key(s, n)
		if note.Grace > 0 {
			continue
		}
		for _, semitones := range []int{-14, -13, -2, -1, 1, 2, 13, 14} {
			other, ok := rings[key+semitones]
			if !ok || note.Onset.Less(s.Notes[other].End()) || !between(other, n) {
				continue
			}
			c := Clashing{other, n, note.Onset}
			if semitones > 0 {
				c.Low, c.High = n, other
			}
			all = p.addLowest(all, c)
		}
		rings[key] = n
	}
	return all
}

// addLowest adds a clash, or lets it replace one of the same two pitch classes
// that lies higher.
func (p *Pass) addLowest(all []Clashing, c Clashing) []Clashing {
	classes := func(c Clashing) [2]int {
		a, b := hand.PitchClass(Key(p.Score, c.Low)), hand.PitchClass(Key(p.Score, c.High))
		return [2]int{min(a, b), max(a, b)}
	}
	i := slices.IndexFunc(all, func(known Clashing) bool { return classes(known) == classes(c) })
	switch {
	case i < 0:
		return append(all, c)
	case Key(p.Score, c.Low) < Key(p.Score, all[i].Low):
		all[i] = c
	}
	return all
}

// Registers, by MIDI number: below C3 a clash is low, from C5 on it is high.
// Common practice: the lower, the muddier.
const (
	middleFrom = 48
	highFrom   = 72
)

func Register(key int) string {
	switch {
	case key < middleFrom:
		return "low"
	case key < highFrom:
		return "middle"
	}
	return "high"
}

// Blur is what clashes add to demand.
func (p *Pass) Blur(found []Clashing) float64 {
	sum := 0.0
	for _, c := range found {
		switch Register(Key(p.Score, c.Low)) {
		case "low":
			sum += 0.2
		case "middle":
			sum += 0.1
		default:
			sum += 0.03
		}
	}
	return sum
}

// LowestClash is the clash whose lower note is lowest.
func (p *Pass) LowestClash(found []Clashing) Clashing {
	return slices.MinFunc(found, func(a, b Clashing) int { return Key(p.Score, a.Low) - Key(p.Score, b.Low) })
}

// JsonClashes are clashes as JSON names them.
func (p *Pass) JsonClashes(found []Clashing) []Clash {
	all := []Clash{}
	for _, c := range found {
		all = append(all, Clash{[2]score.Pitch{p.Pitch(c.Low), p.Pitch(c.High)}, p.Position(c.At)})
	}
	return all
}

// ClashNames says which notes clash: "E4–F4, and 3 more".
func (p *Pass) ClashNames(found []Clashing) string {
	const most = 3
	var names []string
	for _, c := range found[:min(len(found), most)] {
		names = append(names, p.Score.Notes[c.Low].Pitch.Pretty()+"–"+p.Score.Notes[c.High].Pitch.Pretty())
	}
	text := strings.Join(names, ", ")
	if more := len(found) - most; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}
