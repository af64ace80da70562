package reading

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// readIn describes what is found: "right accidentals 4 doubles 1 ledgers 0 clefs 0".
func readIn(found []detect.Occurrence) string {
	var all []string
	for _, o := range found {
		d := o.Detail.(Detail)
		all = append(all, fmt.Sprintf("%s accidentals %d doubles %d ledgers %d clefs %d", o.Hand, len(d.Accidentals), len(d.Doubles), len(d.Ledgers), d.Clefs))
	}
	return strings.Join(all, "; ")
}

func eighths(keys string) string { return strings.ReplaceAll(keys, " ", ":1/2 ") + ":1/2" }

// The accidentals and ledger lines that an engraver writes, by the rules of
// notation: an accidental holds in its bar for its line or space; C6 is on the
// second ledger line above the treble staff, E6 on the third; A3 is on the second below, F3 on the third.
func TestReadingFound(t *testing.T) {
	for _, c := range []struct {
		name   string
		fifths int
		right  string
		want   string
	}{
		{"accidentals that part again", 0, "C#5 E5 G#4 Bb4 Eb5 F#5 A4 C5", "right accidentals 6 doubles 0 ledgers 0 clefs 0"},
		{"the same in their key", 3, "C#5 E5 G#4 B4 E5 F#5 A4 C#5", ""},
		{"one sign holds to the barline", 0, "C#5 E5 C#5 E5 C#5 E5 C#5 E5", ""},
		{"and is taken back", 0, "C#5 E5 C5 E5 C#5 E5 C5 E5 C#5 E5 C5", "right accidentals 6 doubles 0 ledgers 0 clefs 0"},
		{"doubles", 5, "Fx5 A#5 Cx5 E5 F#5 D#5 C#5 B4", "right accidentals 2 doubles 2 ledgers 0 clefs 0"},
		{"a chromatic scale", 0, "C5 C#5 D5 D#5 E5 F5 F#5 G5 G#5 A5 A#5 B5", ""},
		{"a chromatic scale in octaves", 0, "C4+C5 C#4+C#5 D4+D5 D#4+D#5 E4+E5 F4+F5 F#4+F#5 G4+G5 G#4+G#5 A4+A5 A#4+A#5 B4+B5", ""},
		{"three ledger lines", 0, "E6 G6 A6 F6 B6 C7 E6 G6", "right accidentals 0 doubles 0 ledgers 6 clefs 0"},
		{"two ledger lines", 0, "C6 D6 A5 B5 A3 B3 C6 D6", ""},
		{"three below", 0, "F3 E3 D3 C3 B2 A2", "right accidentals 0 doubles 0 ledgers 6 clefs 0"},
	} {
		s := scoretest.Piece{Time: "6/4", QPM: 90, Fifths: c.fifths, Right: []string{eighths(c.right)}}.Score(t)
		if got := readIn(Detector.Find(s, detect.DefaultPlayer())); got != c.want {
			t.Errorf("%s: found %q, want %q", c.name, got, c.want)
		}
	}
}

// A bar that comes again is read already; an octave line takes ledger lines away; a new clef is two signs.
func TestReadingOnce(t *testing.T) {
	bar := eighths("E6 G6 A6 F6 B6 C7 E6 G6")
	s := scoretest.Piece{QPM: 90, Right: []string{bar + " | " + bar}}.Score(t)
	if found := Detector.Find(s, detect.DefaultPlayer()); len(found) != 1 || !found[0].From.IsZero() {
		t.Errorf("found %q in a bar and its copy", readIn(found))
	}
	s.Clefs = append(s.Clefs, score.Clef{At: score.Int(2), Staff: 1, Sign: 'F'})
	if got, want := readIn(Detector.Find(s, detect.DefaultPlayer())[:1]), "right accidentals 0 doubles 0 ledgers 6 clefs 1"; got != want {
		t.Errorf("found %q, want %q", got, want)
	}
	for i := range s.Notes {
		s.Notes[i].OctaveShift = 2
	}
	s.Clefs = s.Clefs[:len(s.Clefs)-1]
	if got := readIn(Detector.Find(s, detect.DefaultPlayer())); got != "" {
		t.Errorf("found %q under an octave line", got)
	}
}
