package musicxml

import (
	"fmt"
	"strings"
	"testing"
)

// The schema: <transpose> "represents what must be added to a written pitch to get
// a correct sounding pitch"; <octave-change> is added to both of its figures.
func TestTransposingParts(t *testing.T) {
	tests := []struct{ name, transpose, want string }{
		{"none", "", "C4 F#4 Bb4 B4"},
		{"in B flat", "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>", "Bb3 E4 Ab4 A4"},
		{"in E flat, upwards", "<transpose><diatonic>2</diatonic><chromatic>3</chromatic></transpose>", "Eb4 A4 Db5 D5"},
		{"in A, semitones only", "<transpose><chromatic>-3</chromatic></transpose>", "A3 D#4 G4 G#4"},
		{"an octave lower", "<transpose><diatonic>0</diatonic><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>", "C3 F#3 Bb3 B3"},
		{"a ninth lower", "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic><octave-change>-1</octave-change></transpose>", "Bb2 E3 Ab3 A3"},
		{"the other staff only", `<transpose number="2"><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>`, "C4 F#4 Bb4 B4"},
		{"this staff only", `<transpose number="1"><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>`, "Bb3 E4 Ab4 A4"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := scoreFrom(t, sketch("<attributes>"+test.transpose+"</attributes>; C4 480; F#4 480; Bb4 480; B4 480"))
			var got []string
			for _, n := range s.Notes {
				got = append(got, n.Pitch.String())
			}
			wantLines(t, []string{strings.Join(got, " ")}, test.want)
		})
	}
	s := scoreFrom(t, sketch("<attributes><transpose><chromatic>0</chromatic><double/></transpose></attributes>; C4 480"))
	wantLines(t, table(s), "right 1 0+1 C4")
	wantLines(t, warned(s, ""), "bar 1: the part is marked as doubled at the octave; only the notes as written are read")
}

// A new <transpose> takes the place of the old one.
func TestTranspositionEnds(t *testing.T) {
	s := scoreFrom(t, sketch("<attributes><transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>; C4 480",
		"<attributes><transpose><chromatic>0</chromatic></transpose></attributes>; C4 480"))
	wantLines(t, table(s), "right 1 0+1 Bb3", "right 2 0+1 C4")
}

func TestAlterations(t *testing.T) {
	const rounded = "bar 1: a microtone was rounded to the next key"
	tests := []struct{ alter, pitch, warning string }{
		{"1", "C#4", ""}, {"-2", "Cbb4", ""}, {"2.0", "Cx4", ""},
		{"0.5", "C#4", rounded}, {"-0.5", "Cb4", rounded}, {"0.25", "C4", rounded}, {"1.5", "Cx4", rounded}, {"-1.25", "Cb4", rounded},
		{"sharp", "C4", `bar 1: an alteration of "sharp" semitones makes no sense; the note is read as natural`},
		{"1000000", "C4", `bar 1: an alteration of "1000000" semitones makes no sense; the note is read as natural`},
	}
	for _, test := range tests {
		s := scoreFrom(t, sketch(fmt.Sprintf("<note><pitch><step>C</step><alter>%s</alter><octave>4</octave></pitch><duration>480</duration></note>", test.alter)))
		if got := s.Notes[0].Pitch.String(); got != test.pitch {
			t.Errorf("alter %s: %s, want %s", test.alter, got, test.pitch)
		}
		if got := strings.Join(warned(s, ""), ""); got != test.warning {
			t.Errorf("alter %s: warned %q, want %q", test.alter, got, test.warning)
		}
	}
}

// The schema: under an 8va line the pitch data stay what sounds. The sign stands
// after the last note that it covers.
func TestOctaveLines(t *testing.T) {
	line := func(attributes string) string {
		return "<direction><direction-type><octave-shift " + attributes + "/></direction-type><staff>1</staff></direction>;"
	}
	s := scoreFrom(t, sketch(
		"C6 480;"+line(`type="down" size="8"`)+"D6 480; E6 480;"+line(`type="stop" size="8"`)+"F6 480; back 1920; C3 1920 v5 s2",
		line(`type="up" size="15" number="2"`)+"C2 960", "D2 960;"+line(`type="stop" number="2"`)+"E2 960",
		line(`type="down" size="22"`)+"C5 960"))
	var got []string
	for _, n := range s.Notes {
		got = append(got, fmt.Sprint(n.Pitch, " ", n.OctaveShift))
	}
	wantLines(t, got, "C6 0", "C3 0", "D6 1", "E6 1", "F6 0", "C2 -2", "D2 -2", "E2 0", "C5 3")
}
