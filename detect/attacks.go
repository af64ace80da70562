package detect

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/score"
)

// LongestBreath is between two stretches of one run, in quarters; shorter than
// this. Common practice.
var LongestBreath = score.Int(1)

// Attack is what one hand strikes at one instant, and for how long it is the
// last: to the next attack, or to where the hand falls silent before it.
type Attack struct {
	Event
	Keys []int
	Step score.Rat
	Rest bool // the hand falls silent before the next attack
}

func (a *Attack) End() score.Rat { return a.At.Add(a.Step) }

// Attacks lays out how a hand's events follow one another.
func (p *Pass) Attacks(hand score.Hand) []Attack {
	if p.attacksOf[hand] != nil {
		return p.attacksOf[hand]
	}
	events := p.Events[hand]
	all := make([]Attack, len(events))
	for i, e := range events {
		sounds := score.Max(p.EndOf(e.Struck), p.EndOf(e.Held))
		end, rest := sounds, true
		if i+1 < len(events) && !sounds.Less(events[i+1].At) {
			end, rest = events[i+1].At, false
		}
		all[i] = Attack{e, p.Keys(e.Struck), end.Sub(e.At), rest}
	}
	p.attacksOf[hand] = all
	return all
}

// Line is the key that leads: the highest of the right hand, the lowest of the left.
func (a *Attack) Line(hand score.Hand) int { return Edge(a.Keys, hand == score.Right) }

// AttackRange is attacks of a hand from one to another, inclusive.
type AttackRange struct{ First, Last int }

func (s AttackRange) Count() int { return s.Last - s.First + 1 }

// Alike reports whether notes of these lengths make one run.
func Alike(shortest, longest score.Rat) bool { return longest.Less(shortest.Add(shortest)) }

func Abs(n int) int { return max(n, -n) }

// Struck are the notes of attacks, in the score's order.
func Struck(attacks []Attack) []int {
	var notes []int
	for i := range attacks {
		notes = append(notes, attacks[i].Struck...)
	}
	slices.Sort(notes)
	return notes
}

// LineShape is the staff steps of the leading notes and the time from each
// attack to the next: the same in every key.
func LineShape(s *score.Score, hand score.Hand, attacks []Attack) string {
	staff := func(i int) int { return s.Notes[Edge(attacks[i].Struck, hand == score.Right)].Pitch.Staff() }
	var b strings.Builder
	for i := 1; i < len(attacks); i++ {
		fmt.Fprintf(&b, "%+d:%s ", staff(i)-staff(i-1), attacks[i].At.Sub(attacks[i-1].At))
	}
	return strings.TrimSpace(b.String())
}

// Edge is the highest or lowest of a stroke's notes or keys.
func Edge(sorted []int, top bool) int {
	if top {
		return sorted[len(sorted)-1]
	}
	return sorted[0]
}

// OctaveKeys is an octave in semitones.
const OctaveKeys = 12

var LongestGrace = score.R(1, 4) // quarters

// LeastInTurn is how many attacks of two keys in turn are a trill written out.
// Common practice.
const LeastInTurn = 8

// Alternations are the stretches of like notes, a sixteenth or shorter and
// eight or more, in which a hand strikes the same two keys, or two chords, in turn.
func Alternations(attacks []Attack) []AttackRange {
	var found []AttackRange
	for i := 0; i < len(attacks); {
		s := AttackRange{i, i}
		shortest, longest := attacks[i].Step, attacks[i].Step
		for s.Last+1 < len(attacks) {
			a, next := &attacks[s.Last], &attacks[s.Last+1]
			shortest, longest = score.Min(shortest, next.Step), score.Max(longest, next.Step)
			again := s.Last > s.First && slices.Equal(attacks[s.Last-1].Keys, next.Keys)
			if a.Rest || LongestGrace.Less(longest) || !Alike(shortest, longest) || slices.Equal(a.Keys, next.Keys) || s.Last > s.First && !again {
				break
			}
			s.Last++
		}
		if s.Count() >= LeastInTurn {
			found = append(found, s)
		}
		i = max(s.Last, i+1)
	}
	return found
}
