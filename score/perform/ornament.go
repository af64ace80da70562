package perform

import (
	"slices"

	"hardbars/score"
)

// ornaments names the signs by their elements in MusicXML; of two at one note the
// first here is played. "mordent" goes down and "inverted-mordent" up, as
// MusicXML has it.
var ornaments = []struct{ element, name string }{
	{"trill-mark", "trill"}, {"wavy-line", "trill"},
	{"turn", "turn"}, {"vertical-turn", "turn"}, {"haydn", "turn"}, {"delayed-turn", "delayed turn"},
	{"inverted-turn", "inverted turn"}, {"inverted-vertical-turn", "inverted turn"}, {"delayed-inverted-turn", "delayed inverted turn"},
	{"mordent", "mordent"}, {"inverted-mordent", "inverted mordent"}, {"shake", "inverted mordent"},
	{"schleifer", "slide"},
}

// Ornament is the ornament at a note: "trill", "turn", "inverted mordent", …; ""
// where it has none.
func Ornament(n *score.Note) string {
	for _, o := range ornaments {
		if n.Length.Sign() > 0 && slices.Contains(n.Ornaments, o.element) {
			return o.name
		}
	}
	return ""
}

// Steps are the notes of the ornaments that have a fixed number of them, as steps
// from the main note.
var Steps = map[string][]int{
	"turn": {1, 0, -1, 0}, "delayed turn": {0, 1, 0, -1, 0},
	"inverted turn": {-1, 0, 1, 0}, "delayed inverted turn": {0, -1, 0, 1, 0},
	"mordent": {0, -1, 0}, "inverted mordent": {0, 1, 0},
	"slide": {-2, -1, 0},
}

// Common practice.
const (
	SlowestTrill = 6.0 // notes a second; slower is heard as single notes
	ShortTrill   = 3   // notes: the main one, the one above, the main one again
	turnedFrom   = 6   // notes of a trill from which the last four are a turn
)

// Trill is the notes of a trill as steps from the main note: pairs from the note
// above, the last four a turn where the score writes no ending; three notes where
// no more fit.
func Trill(count int, ended bool) (steps []int, turn bool) {
	shaken := func(count int) []int {
		var steps []int
		for range count / 2 {
			steps = append(steps, 1, 0)
		}
		return steps
	}
	switch {
	case count < 4:
		return []int{0, 1, 0}, false
	case count >= turnedFrom && !ended:
		return append(shaken(count-4), 1, 0, -1, 0), true
	}
	return shaken(count), false
}

// partsOfQuarter are the even notes that a trill may have in a quarter note.
var partsOfQuarter = []int64{2, 3, 4, 6, 8, 12, 16}

// TrillCount is how many notes of a trill go into a length: pairs, in even parts
// of a quarter note; as many as go at a comfortable rate, in notes a second, but no
// slower than the slowest trill.
func TrillCount(length score.Rat, perSecond func(notes score.Rat) float64, comfortable float64) int {
	count, slow := 0, true
	for _, parts := range partsOfQuarter {
		fit := length.Mul(score.Int(parts))
		rate := perSecond(fit)
		if !slow && rate > comfortable {
			break
		}
		count, slow = int(fit.Num()/fit.Den())/2*2, rate < SlowestTrill
	}
	return count
}

// Pitches are the pitches of an ornament, given as steps from its main note.
func Pitches(s *score.Score, note int, steps []int) []score.Pitch {
	known := map[int]score.Pitch{}
	pitches := make([]score.Pitch, len(steps))
	for i, step := range steps {
		if _, ok := known[step]; !ok {
			known[step] = auxiliary(s, note, step)
		}
		pitches[i] = known[step]
	}
	return pitches
}

// auxiliary is the pitch some steps from a note: with the accidental at the
// sign; or else as it was last played in the bar on its line or space; or else
// as the key has it. Where that is no semitone and no tone for a single step,
// it is taken to the nearer of the two.
func auxiliary(s *score.Score, note, step int) score.Pitch {
	n := &s.Notes[note]
	if step == 0 {
		return n.Pitch
	}
	aux := score.PitchAt(n.Pitch.Staff()+step, 0)
	if alter, ok := score.AccidentalAlter(map[int]string{1: n.AuxAbove, -1: n.AuxBelow}[step]); ok {
		aux.Alter = alter
		return aux
	}
	aux.Alter = s.Bars[n.Bar].Key.Alter(aux.Step)
	for i := note - 1; i >= 0 && s.Notes[i].Bar == n.Bar; i-- {
		if m := &s.Notes[i]; m.Staff == n.Staff && m.Pitch.Staff() == aux.Staff() && m.Onset.Less(n.Onset) {
			aux.Alter = m.Pitch.Alter
			break
		}
	}
	if step == 1 || step == -1 {
		way := (aux.MIDI() - n.Pitch.MIDI()) * step
		aux.Alter += (min(max(way, 1), 2) - way) * step
	}
	return aux
}
