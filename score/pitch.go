package score

import (
	"strconv"
	"strings"
)

// Pitch is a sounding pitch with its spelling. C4 is middle C.
type Pitch struct {
	Step   byte // 'A' to 'G'
	Alter  int  // semitones: 1 is a sharp, −1 a flat
	Octave int  // scientific: 4 holds middle C
}

var naturals = [7]int{9, 11, 0, 2, 4, 5, 7} // semitones above C for A…G

// MIDI is the key number: middle C is 60, A0 is 21, C8 is 108.
func (p Pitch) MIDI() int {
	return 12*(p.Octave+1) + naturals[p.Step-'A'] + p.Alter
}

// Staff is the diatonic position: C4 is 28, D4 is 29, C5 is 35. The difference
// of two is the written interval: 2 is a third, whatever the accidentals.
func (p Pitch) Staff() int {
	return 7*p.Octave + int(p.Step-'A'+5)%7
}

// String prints "F2", "F#4", "Bb1", "Cx5" (double sharp), "Ebb3".
func (p Pitch) String() string { return p.spell("#", "x", "b") }

// MarshalText makes a Pitch what String prints in JSON: "F#4".
func (p Pitch) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// Pretty prints the pitch with the signs of music: "F♯4", "B♭1".
func (p Pitch) Pretty() string { return p.spell("♯", "♯♯", "♭") }

func (p Pitch) spell(sharp, double, flat string) string {
	s := string(p.Step)
	for a := p.Alter; a != 0; {
		switch {
		case a >= 2:
			s, a = s+double, a-2
		case a == 1:
			s, a = s+sharp, 0
		default:
			s, a = s+flat, a+1
		}
	}
	return s + strconv.Itoa(p.Octave)
}

// ParsePitch reads what String prints: "F2", "F#4", "Bb1", "Cx5".
func ParsePitch(text string) (p Pitch, ok bool) {
	if text == "" || text[0] < 'A' || text[0] > 'G' {
		return Pitch{}, false
	}
	p.Step = text[0]
	for text = text[1:]; text != "" && strings.Contains("#xb", text[:1]); text = text[1:] {
		p.Alter += map[byte]int{'#': 1, 'x': 2, 'b': -1}[text[0]]
	}
	octave, err := strconv.Atoi(text)
	p.Octave = octave
	return p, err == nil
}
