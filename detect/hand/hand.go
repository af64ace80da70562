// Package hand holds what a pianist plays with as physical things: the
// keyboard in millimetres, hands of a given span with five fingers on it, and
// which finger takes which note of a piece (Finger).
//
// It knows keys, fingers and reach, and decides which hand plays each note of a
// score (Assign). What is hard for whom, and how a finding is
// told, is kept out.
package hand

import "hardbars/score"

// Hand is one hand of a player.
type Hand struct {
	Side   score.Hand
	SpanMM float64 // thumb tip to fifth-finger tip at full stretch
}

// A hand is its span: thumb tip to fifth-finger tip at full stretch. What it
// must span for an octave, a ninth and a tenth is measured: 170, 193 and
// 216 mm (Boyle, Boyle & Booker 2015). The three lie on one line, 23 mm of
// span for each white key of 23.5 mm, and that line is used for all intervals.
const (
	OctaveSpan  = 170.0
	SpanPerKey  = 23.0
	ComfortLess = WhiteWidth // MaxComf = MaxPrac − 2 semitones (Parncutt et al. 1997): one white key
)

// SpanFor is the hand span, in mm, needed at full stretch to take two keys
// whose centres are mm apart.
func SpanFor(mm float64) float64 { return OctaveSpan + (mm-OctaveMM)*SpanPerKey/WhiteWidth }

// ModelSpan is that of the hand whose finger spans are given in semitones: it
// reaches 15, on the average over the keyboard 205.6 mm.
const ModelSpan = OctaveSpan + (205.6-OctaveMM)*SpanPerKey/WhiteWidth

// Reach is how far apart the centres of two keys may be, in mm, for one hand
// to take both at full stretch.
func (h Hand) Reach() float64 {
	return OctaveMM + (h.SpanMM-OctaveSpan)*WhiteWidth/SpanPerKey
}

// ComfortableReach is Reach less a whole tone.
func (h Hand) ComfortableReach() float64 { return h.Reach() - ComfortLess }

// Covers reports whether one hand can take all of keys, sorted low to high, at
// once at full stretch: the outer ones within reach, and a finger for each.
// The thumb can take two neighbouring white keys.
func (h Hand) Covers(keys []int) bool {
	fingers := len(keys)
	if fingers > 5 && h.thumbTakesTwo(keys) {
		fingers--
	}
	return fingers <= 5 && Extent(keys) <= h.Reach()
}

func (h Hand) thumbTakesTwo(keys []int) bool {
	low, high := keys[0], keys[1]
	if h.Side == score.Left {
		low, high = keys[len(keys)-2], keys[len(keys)-1]
	}
	return !IsBlack(low) && !IsBlack(high) && Distance(low, high) == WhiteWidth
}

// Largest is as large a hand as there is: it reaches a twelfth. Common practice.
func Largest(side score.Hand) Hand { return Hand{side, SpanFor(11 * WhiteWidth)} }
