package notation

import "hardbars/score"

// AccidentalName is the accidental, as Note.Accidental, for an alteration in
// semitones.
func AccidentalName(alter int) string { return accidentalNames[alter] }

var accidentalNames = map[int]string{
	-3: "triple-flat", -2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp", 3: "triple-sharp",
}

// AddAccidentals sets the accidentals by rule: one where the note is not what the
// key signature, or an accidental before it in the bar, has made of its line or
// space. A note that a tie leads to needs none unless it is spelled anew, and the
// next one on its line needs it (common practice).
func (s *Score) AddAccidentals() {
	tied := s.tiedTo()
	type line struct{ staff, position int }
	memory, bar := map[line]int{}, -1
	for i := range s.Chords {
		c := &s.Chords[i]
		if c.Bar != bar {
			bar = c.Bar
			clear(memory)
		}
		for k := range c.Notes {
			n := &c.Notes[k]
			at := line{n.Staff, n.Written.Staff()}
			before, known := memory[at]
			if !known {
				before = s.KeyAt(c.At, n.Staff).Alter(n.Written.Step)
			}
			if c.Hidden || tied[n.ID] || n.Head == "none" || before == n.Written.Alter {
				continue
			}
			memory[at] = n.Written.Alter
			n.Accidental = accidentalNames[n.Written.Alter]
		}
	}
}

// tiedTo are the notes, by ID, that go on from another of the same spelling.
func (s *Score) tiedTo() map[int]bool {
	written := map[int]score.Pitch{}
	for i := range s.Chords {
		for _, n := range s.Chords[i].Notes {
			written[n.ID] = n.Written
		}
	}
	tied := map[int]bool{}
	for _, t := range s.Ties {
		if t.From >= 0 && t.To >= 0 {
			a, b := written[t.From], written[t.To]
			tied[t.To] = a.Step == b.Step && a.Alter == b.Alter
		}
	}
	return tied
}

// KeyAt is the key signature in force on a staff.
func (s *Score) KeyAt(at score.Rat, staff int) score.Key {
	var key Key
	for _, k := range s.Keys {
		if at.Less(k.At) {
			break
		}
		if k.Staff == 0 || k.Staff == staff {
			key = k
		}
	}
	return score.Key{Fifths: key.Fifths}
}
