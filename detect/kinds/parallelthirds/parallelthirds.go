// Package parallelthirds finds runs of thirds in one hand.
package parallelthirds

import "hardbars/detect"

// Detector finds the kind parallel-thirds.
var Detector = &detect.Detector{
	Kind: "parallel-thirds",
	Name: "a run of thirds",
	Doc: `One hand strikes thirds one after the other, and they move. A third is two notes two staff steps apart, whatever
their accidentals; in a fuller chord the top two notes count.
Anything else that the hand strikes ends the run, and so does a silence of a quarter note or more after a third, or a
top line that passes to another voice, as where a melody enters over repeated thirds. A run counts when three thirds in
succession each differ from the one before; repeats at either end are left out. Demand is the fastest rate over three
successive thirds that move, divided by the comfortable rate; in fuller chords it is more in proportion to the keys that
the hand strikes at once, three halves of it for three.`,
	Basis: detect.Calibrated,
	Rests: "recorded performances: pairs alone are missed 0.4 times as often as other notes at the least demand " +
		"and 1.1 times at the greatest, fuller chords 1.4 times. The level is common practice.",
	Limits:   []detect.Limit{detect.ThirdsRate.Limit()},
	Telling:  []string{"count", "pitches"},
	Run:      detect.DoubleNotes{Name: "thirds", Rate: detect.ThirdsRate, Pick: detect.TopPair(2)}.Find,
	Speech:   speech,
	Practise: detect.PractisePairs,
}
