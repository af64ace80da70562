package musicxml

import (
	"fmt"
	"strings"
	"testing"
)

// arpeggiated writes a chord in which the notes named first carry the sign.
func arpeggiated(sign, voice, staff string, signed int, pitches ...string) string {
	var b strings.Builder
	for i, p := range pitches {
		note := noteXML([]string{p, "1920", "v" + voice, "s" + staff})
		if i > 0 {
			note = strings.Replace(note, "<note>", "<note><chord/>", 1)
		}
		if i < signed {
			note = strings.Replace(note, "</note>", "<notations>"+sign+"</notations></note>", 1)
		}
		b.WriteString(note + ";")
	}
	return b.String()
}

func TestSpreads(t *testing.T) {
	const plain = "<arpeggiate/>"
	tests := []struct {
		name, bar string
		want      []string
	}{
		{"one hand", arpeggiated(plain, "1", "1", 3, "E5", "C5", "G5") + "back 1920; C3 1920 v5 s2", []string{"right up C5 E5 G5"}},
		{"a sign on one note holds for its chord", arpeggiated(plain, "5", "2", 1, "C3", "G3", "E4"), []string{"left up C3 G3 E4"}},
		{"downwards", arpeggiated(`<arpeggiate direction="down"/>`, "1", "1", 2, "C5", "C6"), []string{"right down C5 C6"}},
		{"both hands under one sign", arpeggiated(plain, "1", "1", 2, "G4", "E5") + "back 1920;" + arpeggiated(plain, "5", "2", 2, "C3", "C4"), []string{"both up C3 C4 G4 E5"}},
		{"both hands, one number", arpeggiated(`<arpeggiate number="2"/>`, "1", "1", 1, "G4") + "back 1920;" + arpeggiated(`<arpeggiate number="2"/>`, "5", "2", 1, "C3"), []string{"both up C3 G4"}},
		{"each hand its own", arpeggiated(`<arpeggiate number="1"/>`, "1", "1", 2, "G4", "E5") + "back 1920;" + arpeggiated(`<arpeggiate number="2"/>`, "5", "2", 2, "C3", "C4"), []string{"right up G4 E5", "left up C3 C4"}},
		{"a bracket is no spread", arpeggiated(`<non-arpeggiate type="bottom"/>`, "1", "1", 2, "C5", "E5"), nil},
		{"one note is no spread", arpeggiated(plain, "1", "1", 1, "C5"), nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := scoreFrom(t, sketch(test.bar))
			var got []string
			for _, arpeggio := range s.Arpeggios {
				line := fmt.Sprint(arpeggio.Hand, " up")
				if arpeggio.Down {
					line = fmt.Sprint(arpeggio.Hand, " down")
				}
				for _, n := range arpeggio.Notes {
					line += " " + s.Notes[n].Pitch.String()
				}
				got = append(got, line)
			}
			wantLines(t, got, test.want...)
		})
	}
}

func TestTiedNotesAreNotSpread(t *testing.T) {
	held := strings.ReplaceAll(arpeggiated("<arpeggiate/>", "1", "1", 3, "C5", "E5", "G5"), "<voice>", `<tie type="stop"/><voice>`)
	held = strings.Replace(held, `<tie type="stop"/>`, "", 2) // C5 and E5 are struck again
	s := scoreFrom(t, sketch("G5 1920 start", held))
	if len(s.Arpeggios) != 1 || len(s.Arpeggios[0].Notes) != 2 {
		t.Fatalf("spreads %+v of %v", s.Arpeggios, table(s))
	}
}
