package detect

import (
	"hardbars/score"
)

// A hand is its span: thumb tip to fifth-finger tip at full stretch. What it
// must span for an octave, a ninth and a tenth is measured: 170, 193 and
// 216 mm (Boyle, Boyle & Booker 2015). The three lie on one line, 23 mm of
// span for each white key of 23.5 mm, and that line is used for all intervals.
const (
	OctaveMM    = 7 * whiteWidth
	octaveSpan  = 170.0
	spanPerKey  = 23.0
	ComfortLess = whiteWidth // MaxComf = MaxPrac − 2 semitones (Parncutt et al. 1997): one white key
)

// SpanFor is the hand span, in mm, needed at full stretch to take two keys
// whose centres are mm apart.
func SpanFor(mm float64) float64 { return octaveSpan + (mm-OctaveMM)*spanPerKey/whiteWidth }

// Reach is how far apart the centres of two keys may be, in mm, for one hand
// to take both at full stretch.
func (p Player) Reach(h score.Hand) float64 {
	return OctaveMM + (p.SpanMM[h]-octaveSpan)*whiteWidth/spanPerKey
}

// ComfortableReach is Reach less a whole tone.
func (p Player) ComfortableReach(h score.Hand) float64 { return p.Reach(h) - ComfortLess }

// Extent is the distance in mm from the lowest to the highest of keys, which
// are sorted; 0 for fewer than two.
func Extent(keys []int) float64 {
	if len(keys) == 0 {
		return 0
	}
	return Distance(keys[0], keys[len(keys)-1])
}

// Covers tells whether one hand can take all of keys, sorted low to high, at
// once at full stretch: the outer ones within reach, and a finger for each.
// The thumb can take two neighbouring white keys.
func (p Player) Covers(h score.Hand, keys []int) bool {
	fingers := len(keys)
	if fingers > 5 && thumbTakesTwo(h, keys) {
		fingers--
	}
	return fingers <= 5 && Extent(keys) <= p.Reach(h)
}

func thumbTakesTwo(h score.Hand, keys []int) bool {
	low, high := keys[0], keys[1]
	if h == score.Left {
		low, high = keys[len(keys)-2], keys[len(keys)-1]
	}
	return !IsBlack(low) && !IsBlack(high) && Distance(low, high) == whiteWidth
}
