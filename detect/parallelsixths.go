package detect

import "hardbars/score"

// ParallelSixths finds runs of sixths in one hand.
var ParallelSixths = &Detector{
	Kind: "parallel-sixths",
	Name: "a run of sixths",
	Doc: `One hand strikes sixths one after the other, and they move. A sixth is two notes five staff steps apart, whatever
their accidentals; in a fuller chord the top two notes count, but not where the outer notes are an octave: that is a
run of octaves. What ends a run, what counts as one and how its demand is measured is as for thirds: the fastest rate
over three successive sixths that move, divided by the comfortable rate.`,
	Limits: []Limit{SixthsRate.Limit()},
	Run:    doubleNotes{"sixths", SixthsRate, sixth}.find,
}

// sixth picks the top two notes struck where they are a sixth, and not the top
// of a filled octave.
func sixth(s *score.Score, e Event) (low, high int, ok bool) {
	if _, _, filled := octave(s, e); filled {
		return 0, 0, false
	}
	return top(5)(s, e)
}
