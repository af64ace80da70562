package hand

import "math"

// The piano's keyboard in millimetres. Seven white keys, one octave, are
// 164.5 mm: the modern standard since about 1880; Jacobs 2001 gives 165.
const (
	WhiteWidth = 23.5 // of a white key, and from one to the next
	BlackWidth = 10.5 // of a black key's top: the middle of the builders' 9.5 to 11.5
	OctaveMM   = 7 * WhiteWidth
)

// whiteBelow counts the white keys of an octave below each key, from C.
var whiteBelow = [12]int{0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6}

// IsBlack reports whether a MIDI key number is a black key.
func IsBlack(key int) bool {
	switch PitchClass(key) {
	case 1, 3, 6, 8, 10:
		return true
	}
	return false
}

// KeyX is the centre of a key in mm from the left edge of A0, MIDI 21. A black
// key is taken to be centred on the joint of its white neighbours, which is
// less than 3 mm wrong.
func KeyX(key int) float64 {
	const whitesBelowA0 = 7 + 5 // from C−1, MIDI 0
	octave := (key - PitchClass(key)) / 12
	x := float64(7*octave+whiteBelow[PitchClass(key)]-whitesBelowA0) * WhiteWidth
	if IsBlack(key) {
		return x
	}
	return x + WhiteWidth/2
}

// KeyWidth is the width in mm of what a finger aims at.
func KeyWidth(key int) float64 {
	if IsBlack(key) {
		return BlackWidth
	}
	return WhiteWidth
}

// Distance is from centre to centre of two keys, in mm.
func Distance(a, b int) float64 { return math.Abs(KeyX(b) - KeyX(a)) }

// PitchClass is a key's place in the octave, 0 for C.
func PitchClass(key int) int { return (key%12 + 12) % 12 }

// Extent is the distance in mm from the lowest to the highest of keys, which
// are sorted; 0 for fewer than two.
func Extent(keys []int) float64 {
	if len(keys) == 0 {
		return 0
	}
	return Distance(keys[0], keys[len(keys)-1])
}
