package musicxml

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hardbars/score"
)

// twoNotes reads one bar of two quarter notes, C5 and D5, with the given ornaments.
func twoNotes(t *testing.T, first, second string) *score.Score {
	t.Helper()
	var notes strings.Builder
	for i, ornaments := range []string{first, second} {
		fmt.Fprintf(&notes, `<note><pitch><step>%c</step><octave>5</octave></pitch><duration>1</duration><voice>1</voice><type>quarter</type>
<notations><ornaments>%s</ornaments></notations></note>`, "CD"[i], ornaments)
	}
	f, err := Read(strings.NewReader(`<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions><time><beats>2</beats><beat-type>4</beat-type></time></attributes>`+
		notes.String()+`</measure></part></score-partwise>`), "page.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Score(Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A wavy line ends at the note after the trill; one that ends where none began
// stands over the note it ends at.
func TestWavyLines(t *testing.T) {
	const start, stop = `<wavy-line type="start"/>`, `<wavy-line type="stop"/>`
	for _, c := range []struct {
		first, second string
		want          [2][]string
		warned        bool
	}{
		{`<trill-mark/>` + start, stop, [2][]string{{"trill-mark", "wavy-line"}, nil}, false},
		{start + stop, "", [2][]string{{"wavy-line"}, nil}, false},
		{start + stop, stop, [2][]string{{"wavy-line"}, {"wavy-line"}}, true},
		{stop, "", [2][]string{{"wavy-line"}, nil}, true},
		{"", stop, [2][]string{nil, {"wavy-line"}}, true},
		{stop, stop, [2][]string{{"wavy-line"}, {"wavy-line"}}, true},
	} {
		s := twoNotes(t, c.first, c.second)
		if got := [2][]string{s.Notes[0].Ornaments, s.Notes[1].Ornaments}; !slices.Equal(got[0], c.want[0]) || !slices.Equal(got[1], c.want[1]) {
			t.Errorf("%s, %s: got %q", c.first, c.second, got)
		}
		warned := slices.ContainsFunc(s.Warnings, func(w score.Warning) bool { return w.Bar == "1" && strings.Contains(w.Text, "wavy line") })
		if warned != c.warned {
			t.Errorf("%s, %s: warnings %v", c.first, c.second, s.Warnings)
		}
	}
}

// The sides that accidentals of ornaments may stand on: the placement of
// MusicXML 4.0, and where it is left out, what the sign has.
func TestOrnamentAccidentals(t *testing.T) {
	for _, c := range []struct{ ornaments, above, below string }{
		{`<trill-mark/><accidental-mark>sharp</accidental-mark>`, "sharp", ""},
		{`<turn/><accidental-mark placement="below">natural</accidental-mark>`, "", "natural"},
		{`<turn/><accidental-mark placement="above">flat</accidental-mark><accidental-mark placement="below">sharp</accidental-mark>`, "flat", "sharp"},
		{`<turn/><accidental-mark>flat</accidental-mark><accidental-mark>sharp</accidental-mark>`, "flat", "sharp"},
		{`<mordent/><accidental-mark>sharp</accidental-mark>`, "", "sharp"},
		{`<inverted-mordent/><accidental-mark>sharp</accidental-mark>`, "sharp", ""},
	} {
		n := twoNotes(t, c.ornaments, "").Notes[0]
		if n.AuxAbove != c.above || n.AuxBelow != c.below {
			t.Errorf("%s: above %q, below %q", c.ornaments, n.AuxAbove, n.AuxBelow)
		}
	}
}
