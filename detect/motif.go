package detect

import (
	"slices"
	"strconv"

	"hardbars/score"
)

// motif is the notes of a place, attack by attack, in a form in which they
// can be found again elsewhere.
type motif []motifAttack

// motifAttack is what is struck at one instant.
type motifAttack struct {
	at        score.Rat
	after     score.Rat // time since the attack before
	hands     [2]bool   // which strike, by score.Hand
	grace     int       // as in score.Note
	low       score.Pitch
	semitones int    // from the lowest note of the attack before to this one's
	steps     int    // the same on the staff
	chord     string // the hand of each note and its semitones above the lowest
	spelling  string // the same in steps
}

// newMotif lays out notes, given as indices into Score.Notes in any order.
func newMotif(s *score.Score, notes []int) motif {
	notes = slices.Clone(notes)
	slices.Sort(notes)
	notes = slices.Compact(notes)
	var f motif
	for len(notes) > 0 {
		first := &s.Notes[notes[0]]
		n := 1
		for n < len(notes) && s.Notes[notes[n]].Onset == first.Onset && s.Notes[notes[n]].Grace == first.Grace {
			n++
		}
		f = append(f, newAttack(s, notes[:n], f))
		notes = notes[n:]
	}
	return f
}

func newAttack(s *score.Score, notes []int, before motif) motifAttack {
	lowest := slices.MinFunc(notes, func(a, b int) int { return Key(s, a) - Key(s, b) })
	a := motifAttack{at: s.Notes[lowest].Onset, low: s.Notes[lowest].Pitch}
	var chord, spelling []byte
	for _, i := range notes {
		n := &s.Notes[i]
		chord = strconv.AppendInt(append(chord, n.Hand.String()...), int64(n.Pitch.MIDI()-a.low.MIDI()), 10)
		spelling = strconv.AppendInt(append(spelling, n.Hand.String()...), int64(n.Pitch.Staff()-a.low.Staff()), 10)
		a.hands[n.Hand] = true
		a.grace = n.Grace
	}
	a.chord, a.spelling = string(chord), string(spelling)
	if len(before) > 0 {
		last := before[len(before)-1]
		a.after = a.at.Sub(last.at)
		a.semitones = a.low.MIDI() - last.low.MIDI()
		a.steps = a.low.Staff() - last.low.Staff()
	}
	return a
}

// sameness is a way of comparing attacks. The first attacks of two motifs are
// compared without what came before them.
type sameness func(a, b *motifAttack, first bool) bool

// byRhythm: struck at the same time by the same hands.
func byRhythm(a, b *motifAttack, first bool) bool {
	return a.hands == b.hands && a.grace == b.grace && (first || a.after == b.after)
}

// bySemitones: the same notes, or all transposed by one interval.
func bySemitones(a, b *motifAttack, first bool) bool {
	return byRhythm(a, b, first) && a.chord == b.chord && (first || a.semitones == b.semitones)
}

// bySteps: the same steps on the staff, whatever the accidentals.
func bySteps(a, b *motifAttack, first bool) bool {
	return byRhythm(a, b, first) && a.spelling == b.spelling && (first || a.steps == b.steps)
}

// find returns where motif g begins in f, -1 where it is nowhere.
func (f motif) find(g motif, same sameness) int {
	for i := 0; len(g) > 0 && i+len(g) <= len(f); i++ {
		if f[i:].begins(g, same) {
			return i
		}
	}
	return -1
}

// begins reports whether f begins with g, which is no longer.
func (f motif) begins(g motif, same sameness) bool {
	for i := range g {
		if !same(&f[i], &g[i], i == 0) {
			return false
		}
	}
	return true
}

// String is equal for motifs that no comparison tells apart.
func (f motif) String() string {
	var text []byte
	for i := range f {
		a := &f[i]
		for _, n := range []int64{a.after.Num(), a.after.Den(), int64(a.grace), int64(a.semitones), int64(a.steps)} {
			text = append(strconv.AppendInt(text, n, 10), ' ')
		}
		text = append(append(append(append(text, a.chord...), ' '), a.spelling...), '\n')
	}
	return string(text)
}

// is reports whether two motifs are the same as a whole.
func (f motif) is(g motif, same sameness) bool {
	return len(f) > 0 && len(f) == len(g) && f.begins(g, same)
}

// alike is the share of attacks that two motifs of one rhythm have in common
// when g is laid over f at the pitch of its first attack; 0 in other rhythms.
func (f motif) alike(g motif) float64 {
	if !f.is(g, byRhythm) {
		return 0
	}
	moved := g[0].low.MIDI() - f[0].low.MIDI()
	common := 0
	for i := range f {
		if f[i].chord == g[i].chord && g[i].low.MIDI()-f[i].low.MIDI() == moved {
			common++
		}
	}
	return float64(common) / float64(len(f))
}
