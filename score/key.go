package score

// Alter is what the signature does to a step, 'A' to 'G': 1 sharpens it, −1
// flattens it.
func (k Key) Alter(step byte) int {
	const order = "FCGDAEB" // of the sharps; the flats come from the other end
	for i := range order {
		switch {
		case order[i] != step:
		case k.Fifths > i:
			return 1
		case -k.Fifths > len(order)-1-i:
			return -1
		}
	}
	return 0
}

// PitchAt is the pitch on a line or space, counted as Pitch.Staff does.
func PitchAt(staff, alter int) Pitch {
	octave := staff / 7
	if staff < 7*octave {
		octave--
	}
	return Pitch{Step: "CDEFGAB"[staff-7*octave], Alter: alter, Octave: octave}
}

// AccidentalAlter is what an accidental does to its note, by its name in
// MusicXML. The ones for microtones are none that a piano can play.
func AccidentalAlter(name string) (alter int, ok bool) {
	alter, ok = accidentals[name]
	return alter, ok
}

var accidentals = map[string]int{
	"sharp": 1, "natural": 0, "flat": -1, "double-sharp": 2, "sharp-sharp": 2, "flat-flat": -2,
	"natural-sharp": 1, "natural-flat": -1, "triple-sharp": 3, "triple-flat": -3,
}
