package musicxml

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/score"
)

// hands prints who plays each note: "R" or "L" and its pitch.
func hands(s *score.Score) string {
	var all []string
	for _, n := range s.Notes {
		all = append(all, strings.ToUpper(n.Hand.String()[:1])+n.Pitch.String())
	}
	return strings.Join(all, " ")
}

func TestHands(t *testing.T) {
	const clefs = "<attributes><clef number=\"1\"><sign>G</sign></clef><clef number=\"2\"><sign>F</sign></clef></attributes>;"
	tests := []struct {
		name string
		bars []string
		want string
	}{
		{"by staff", []string{"C5 960; back 960; C3 960 v5 s2"}, "RC5 LC3"},
		{"the right hand's run begins in the bass", []string{
			"G2 480 s2; E4 480; G4 480; C5 480; back 1920; C2 1920 v5 s2"}, "RG2 LC2 RE4 RG4 RC5"},
		{"the left hand reaches over for a bar", []string{
			"C5 1920; back 1920; C3 960 v5 s2; G3 960 v5 s2",
			"C5 1920; back 1920; C6 960 v5 s1; G5 960 v5 s1"}, "RC5 LC3 LG3 RC5 LC6 LG5"},
		{"voices numbered through, and one that crosses", []string{
			"C5 960; back 960; C3 480 v2 s2; G4 480 v2 s1",
			"C5 960; back 960; C3 480 v2 s2; E3 480 v2 s2"}, "RC5 LC3 LG4 RC5 LC3 LE3"},
		{"one number for a voice on each staff", []string{
			"C5 960; D5 960; back 1920; C3 960 s2; D3 960 s2",
			"E5 960; C5 960; back 1920; E3 960 s2; C3 960 s2"}, "RC5 LC3 RD5 LD3 RE5 LE3 RC5 LC3"},
		{"a number that means the bass here and an inner voice there", []string{
			"C5 960; back 960; C3 960 v2 s2", "D5 960; back 960; D3 960 v2 s2", "E5 960; back 960; E3 960 v2 s2",
			"F5 960; back 960; A4 960 v2 s1; back 960; F3 960 v3 s2"}, "RC5 LC3 RD5 LD3 RE5 LE3 RA4 RF5 LF3"},
		{"no voices: by staff", []string{"C5 480 v; G3 480 v s2; E5 480 v; C3 480 v s2"}, "RC5 LG3 RE5 LC3"},
		{"a tied note stays with the hand that struck it", []string{
			clefs + "C4 960 start; r 960; back 1920; r 960 v5 s2; C4 960 stop v5 s2"}, "RC4"},
		{"three staves, the middle one in the bass clef", []string{
			"<attributes><staves>3</staves><clef number=\"2\"><sign>F</sign></clef></attributes>; C5 480; back 480; C4 480 v5 s2; back 480; C2 480 v9 s3"}, "RC5 LC2 LC4"},
		{"three staves, the middle one in the treble clef", []string{
			"<attributes><staves>3</staves><clef number=\"2\"><sign>G</sign></clef></attributes>; C5 480; back 480; C4 480 v5 s2; back 480; C2 480 v9 s3"}, "RC4 RC5 LC2"},
		{"four staves", []string{
			"<attributes><staves>4</staves></attributes>; C6 480; back 480; C5 480 v5 s2; back 480; C4 480 v9 s3; back 480; C2 480 v13 s4"}, "RC5 RC6 LC2 LC4"},
		{"one staff", []string{"<attributes><staves>1</staves></attributes>; C5 480; C3 480"}, "RC5 RC3"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			text := sketch(test.bars...)
			if test.name == "one staff" {
				text = strings.Replace(text, "<staves>2</staves>", "", 1)
			}
			wantLines(t, []string{hands(scoreFrom(t, text))}, test.want)
		})
	}
}

// Words and brackets that name a hand are read with their place; what they mean
// for the notes is not decided here.
func TestHandMarks(t *testing.T) {
	line := func(tag, kind, end string) string {
		return "<direction><direction-type><" + tag + ` type="` + kind + `" number="1"` + end + "/></direction-type><staff>1</staff></direction>;"
	}
	const lower = "; back 1920; C3 1920 v5 s2"
	tests := []struct{ name, bar, want string }{
		{"words", "C5 480; words m.s. s1; D5 480; E5 480; words (R. H.) v2 s1; F5 480" + lower, "1–1 1 left m.s.; 3–3 1/2 right R. H."},
		{"over and under", "words m.g. sopra s1; C5 1920" + lower, "0–0 1 left m.g. sopra"},
		{"not in the middle of other words", "words l.h. ad lib. s1; C5 1920" + lower, ""},
		{"a corner", "words ┌ s2; C5 1920" + lower, "0–0 2 right ┌"},
		{"dashes tell how far", `<direction><direction-type><words>destra</words></direction-type><direction-type><dashes type="start" number="1"/></direction-type><staff>1</staff></direction>; C5 960;` +
			line("dashes", "stop", "") + "C5 960" + lower, "0–2 1 right destra"},
		{"a bracket with one hook", line("bracket", "start", ` line-end="up"`) + "C5 960;" + line("bracket", "stop", ` line-end="none"`) + "C5 960" + lower, "0–2 1 left bracket"},
		{"a bracket with two", line("bracket", "start", ` line-end="up"`) + "C5 960;" + line("bracket", "stop", ` line-end="up"`) + "C5 960" + lower, ""},
	}
	for _, test := range tests {
		s := scoreFrom(t, sketch(test.bar))
		var got []string
		for _, m := range s.HandMarks {
			place := fmt.Sprint(m.Staff)
			if m.Voice != "" {
				place += "/" + m.Voice
			}
			got = append(got, fmt.Sprintf("%s–%s %s %s %s", m.At, m.To, place, m.Hand, m.Text))
		}
		if got := strings.Join(got, "; "); got != test.want {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
	}
}

func TestTwoPartsOfOneStaff(t *testing.T) {
	part := func(id, sign, step, octave string) string {
		return `<part id="` + id + `"><measure number="1"><attributes><divisions>1</divisions><clef><sign>` + sign + `</sign></clef></attributes>` +
			`<note><pitch><step>` + step + `</step><octave>` + octave + `</octave></pitch><duration>4</duration><voice>1</voice></note></measure></part>`
	}
	s := scoreFrom(t, `<score-partwise><part-list><score-part id="R"><part-name>Piano</part-name></score-part>`+
		`<score-part id="L"><part-name>Piano</part-name></score-part></part-list>`+part("R", "G", "C", "5")+part("L", "F", "C", "3")+`</score-partwise>`)
	wantLines(t, table(s), "right 1 0+4 C5", "left 1 0+4 C3")
	if s.Notes[0].Staff != 1 || s.Notes[1].Staff != 2 {
		t.Errorf("staves %d and %d", s.Notes[0].Staff, s.Notes[1].Staff)
	}
	if want := [2]string{"staff 1 of part R", "staff 1 of part L"}; s.Sources != want {
		t.Errorf("sources %q", s.Sources)
	}
}

func TestSources(t *testing.T) {
	tests := []struct {
		staves string
		want   [2]string
	}{
		{"1", [2]string{"staff 1 of part P1", ""}},
		{"2", [2]string{"staff 1 of part P1", "staff 2 of part P1"}},
		{"3", [2]string{"staff 1 of part P1 and staff 2 of part P1", "staff 3 of part P1"}},
	}
	for _, test := range tests {
		text := strings.Replace(sketch("C5 480"), "<staves>2<", "<staves>"+test.staves+"<", 1)
		if got := scoreFrom(t, text).Sources; got != test.want {
			t.Errorf("%s staves: %q", test.staves, got)
		}
	}
}

// A piece of one staff is one hand's: the one that its title names, or else that
// of its clef.
func TestOneStaffIsOneHand(t *testing.T) {
	const treble, bass = "<attributes><clef><sign>G</sign></clef></attributes>;", "<attributes><clef><sign>F</sign></clef></attributes>;"
	for _, test := range []struct{ title, bar, want, said string }{
		{"", treble + "C5 480; C3 480", "RC5 RC3", "right"},
		{"", bass + "C4 480; C3 480", "LC4 LC3", "left"},
		{"Study for the Left Hand", treble + "C5 480; C3 480", "LC5 LC3", "left"},
	} {
		text := strings.Replace(sketch(test.bar), "<staves>2</staves>", "", 1)
		text = strings.Replace(text, "<part-list>", "<work><work-title>"+test.title+"</work-title></work><part-list>", 1)
		s := scoreFrom(t, text)
		wantLines(t, []string{hands(s)}, test.want)
		wantLines(t, warned(s, "one staff"), "the part has one staff; it is read as the "+test.said+" hand's")
		if hand := s.Notes[0].Hand; s.Sources[hand] != "staff 1 of part P1" || s.Sources[1-hand] != "" {
			t.Errorf("read from %q", s.Sources)
		}
	}
}
