package score

import "testing"

// MIDI numbers as the MIDI standard and the piano's makers give them: middle C is
// 60, A4 (440 Hz) is 69, the keyboard runs from A0, 21, to C8, 108.
func TestPitch(t *testing.T) {
	tests := []struct {
		pitch        Pitch
		midi, staff  int
		name, pretty string
	}{
		{Pitch{'C', 0, 4}, 60, 28, "C4", "C4"},
		{Pitch{'A', 0, 4}, 69, 33, "A4", "A4"},
		{Pitch{'A', 0, 0}, 21, 5, "A0", "A0"},
		{Pitch{'C', 0, 8}, 108, 56, "C8", "C8"},
		{Pitch{'F', 1, 4}, 66, 31, "F#4", "F♯4"},
		{Pitch{'B', -1, 1}, 34, 13, "Bb1", "B♭1"},
		{Pitch{'B', 1, 3}, 60, 27, "B#3", "B♯3"},
		{Pitch{'C', -1, 4}, 59, 28, "Cb4", "C♭4"},
		{Pitch{'C', 2, 5}, 74, 35, "Cx5", "C♯♯5"},
		{Pitch{'E', -2, 3}, 50, 23, "Ebb3", "E♭♭3"},
		{Pitch{'F', 3, 2}, 44, 17, "Fx#2", "F♯♯♯2"},
		{Pitch{'G', 0, -1}, 7, -3, "G-1", "G-1"},
	}
	for _, test := range tests {
		p := test.pitch
		if p.MIDI() != test.midi || p.Staff() != test.staff || p.String() != test.name || p.Pretty() != test.pretty {
			t.Errorf("%+v: MIDI %d, staff %d, %s, %s", p, p.MIDI(), p.Staff(), p, p.Pretty())
		}
	}
}

// The difference of two staff positions is the interval that is written.
func TestIntervals(t *testing.T) {
	third := Pitch{'E', -1, 4}.Staff() - Pitch{'C', 1, 4}.Staff()
	second := Pitch{'D', 1, 4}.Staff() - Pitch{'C', 0, 4}.Staff()
	octave := Pitch{'C', 1, 5}.Staff() - Pitch{'C', 0, 4}.Staff()
	if third != 2 || second != 1 || octave != 7 {
		t.Errorf("third %d, second %d, octave %d", third, second, octave)
	}
}

// ParsePitch reads back what String prints, and nothing else.
func TestParsePitch(t *testing.T) {
	for staff := range 70 {
		for alter := -3; alter <= 3; alter++ {
			p := PitchAt(staff, alter)
			if got, ok := ParsePitch(p.String()); !ok || got != p {
				t.Errorf("%s is read as %+v, %t", p, got, ok)
			}
		}
	}
	for _, text := range []string{"", "H4", "C", "C#", "4", "c4", "C♯4"} {
		if p, ok := ParsePitch(text); ok {
			t.Errorf("%q is read as %s", text, p)
		}
	}
}
