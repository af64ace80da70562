package score

import (
	"slices"
	"testing"
)

// A held high note is the melody until it ends, whatever is struck below it
// (common practice); a chord's highest note is; a grace note goes with its own.
func TestTopLine(t *testing.T) {
	note := func(pitch string, hand Hand, onset, length Rat, grace int) Note {
		p, _ := ParsePitch(pitch)
		return Note{Pitch: p, Hand: hand, Onset: onset, Length: length, Grace: grace}
	}
	s := &Score{Notes: []Note{
		note("C5", Right, Int(0), Int(2), 0), // melody
		note("C3", Left, Int(0), Int(1), 0),
		note("E4", Right, Int(1), Int(1), 0), // below what is held
		note("F5", Right, Int(2), Int(0), 1), // grace note of the next
		note("A4", Right, Int(2), Int(1), 0),
		note("E5", Right, Int(2), Int(1), 0), // melody, the top of a chord
		note("G3", Left, Int(3), Int(1), 0),  // alone: one hears it
	}}
	want := []bool{true, false, false, true, false, true, true}
	if got := s.TopLine(); !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if got := (&Score{}).TopLine(); len(got) != 0 {
		t.Errorf("an empty score has %v", got)
	}
}
