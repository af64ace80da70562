// Package parallelsixths finds runs of sixths in one hand.
package parallelsixths

import (
	"hardbars/detect"
	"hardbars/score"
)

// Detector finds the kind parallel-sixths.
var Detector = &detect.Detector{
	Kind: "parallel-sixths",
	Name: "a run of sixths",
	Doc: `One hand strikes sixths one after the other, and they move. A sixth is two notes five staff steps apart, whatever
their accidentals; in a fuller chord the top two notes count, but not where the outer notes are an octave: that is a
run of octaves. What ends a run, what counts as one and how its demand is measured is as for thirds: the fastest rate
over three successive sixths that move, divided by the comfortable rate.`,
	Basis:    detect.CommonPractice,
	Rests:    "common practice, and the likeness to thirds; recorded performances have too few of them to tell.",
	Limits:   []detect.Limit{detect.SixthsRate.Limit()},
	Telling:  []string{"count", "pitches"},
	Run:      detect.DoubleNotes{Name: "sixths", Rate: detect.SixthsRate, Pick: sixth}.Find,
	Speech:   speech,
	Practise: detect.PractisePairs,
}

// sixth picks the top two notes struck where they are a sixth, and not the top
// of a filled octave.
func sixth(s *score.Score, e detect.Event) (low, high int, ok bool) {
	if _, _, filled := detect.OctavePair(s, e); filled {
		return 0, 0, false
	}
	return detect.TopPair(5)(s, e)
}
