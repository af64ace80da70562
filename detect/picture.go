package detect

import (
	"slices"

	"hardbars/score"
)

// Picture is what a kind wants drawn beside its words. A detector chooses one
// of these forms and fills in the numbers; whoever draws knows the forms, not
// the kinds.
type Picture interface{ picture() }

// RhythmGrid is two hands' attacks over one cycle on their common grid.
type RhythmGrid struct {
	Right, Left []int     // grid parts from 0 on which each hand strikes, in order
	Grid        int       // parts of the cycle
	Span        score.Rat // quarters in the cycle
	PerRight    int       // equal parts that the right hand divides the cycle into
	PerLeft     int
	Groups      []int // the most even grouping of the faster hand under each note of the slower; nil when regular
}

// Strike is one attack of the two hands' composite rhythm.
type Strike struct {
	At          int // grid part from 0
	Right, Left bool
}

// Strikes merges both hands' attacks in time.
func (g RhythmGrid) Strikes() []Strike {
	parts := slices.Concat(g.Right, g.Left)
	slices.Sort(parts)
	var all []Strike
	for _, at := range slices.Compact(parts) {
		_, right := slices.BinarySearch(g.Right, at)
		_, left := slices.BinarySearch(g.Left, at)
		all = append(all, Strike{at, right, left})
	}
	return all
}

// KeyMove is a hand moving over the keyboard.
type KeyMove struct {
	From, To []int // MIDI key numbers, low to high
	Top      bool  // the way is measured between the highest keys, not the lowest
	MM       float64
	Seconds  float64
	Hand     score.Hand
}

// Travel is the key left and the key reached between which the way is measured.
func (m KeyMove) Travel() (from, to int) {
	if m.Top {
		return m.From[len(m.From)-1], m.To[len(m.To)-1]
	}
	return m.From[0], m.To[0]
}

// HeldNote is notes held while pedal changes and other attacks pass.
type HeldNote struct {
	Held    []score.Pitch
	Length  score.Rat   // of the held notes, in quarters
	Changes []score.Rat // pedal changes, in quarters after the attack
	Attacks []score.Rat // what the same hand strikes meanwhile, in quarters after the attack
	CatchBy score.Rat   // the latest moment to press the middle pedal, in quarters after the attack
	Lost    bool        // no finger can hold them
}

// KeyChord is keys that one hand, or both, take together or spread.
type KeyChord struct {
	Keys     []int // MIDI key numbers, low to high
	SpanMM   float64
	ReachMM  float64 // what this hand reaches; 0 where both share the keys
	Sign     bool    // the score has an arpeggio sign
	Downward bool
	Fingers  []int // of each key, where they are taken at once; the thumb is 1
}

// PairRun is a run of double notes.
type PairRun struct {
	Pairs     [][2]score.Pitch // lower and upper
	Lengths   []score.Rat      // quarters from each attack to the next
	PerSecond float64
}

func (RhythmGrid) picture() {}

func (KeyMove) picture() {}

func (HeldNote) picture() {}

func (KeyChord) picture() {}

func (PairRun) picture() {}
