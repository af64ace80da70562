package musicxml

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hardbars/score"
)

// describePlay lists the bars that say something about the order of play.
func describePlay(s *score.Score) []string {
	var out []string
	for _, b := range s.Bars {
		var text []string
		if b.RepeatStart {
			text = append(text, "from here")
		}
		if b.RepeatEnd > 0 {
			text = append(text, fmt.Sprintf("%d times", b.RepeatEnd))
		}
		if b.Ending != "" {
			text = append(text, "ending "+b.Ending)
		}
		text = append(text, b.Jumps...)
		if len(text) > 0 {
			out = append(out, b.Number+": "+strings.Join(text, ", "))
		}
	}
	return out
}

func barline(location, inner string) string {
	return `<barline location="` + location + `">` + inner + `</barline>`
}

func repeat(direction, times string) string {
	if times != "" {
		times = ` times="` + times + `"`
	}
	return `<repeat direction="` + direction + `"` + times + `/>`
}

func ending(number, kindOf string) string {
	return `<ending number="` + number + `" type="` + kindOf + `"/>`
}

func TestRepeats(t *testing.T) {
	for _, c := range []struct {
		name  string
		signs []sign
		want  []string
	}{
		{"a passage", []sign{{2, "0", barline("left", repeat("forward", ""))}, {3, "4", barline("right", repeat("backward", ""))}}, []string{"2: from here", "3: 2 times"}},
		{"so often", []sign{{3, "4", barline("right", repeat("backward", "4"))}}, []string{"3: 4 times"}},
		{"not often enough", []sign{{3, "4", barline("right", repeat("backward", "0"))}}, []string{"3: 2 times"}},
		{"on the wrong side of the barline", []sign{{1, "4", barline("right", repeat("forward", ""))}, {4, "0", barline("left", repeat("backward", ""))}}, []string{"2: from here", "3: 2 times"}},
		{"inside a bar", []sign{{2, "2", barline("middle", repeat("forward", ""))}, {3, "2", barline("middle", repeat("backward", ""))}}, []string{"2: from here", "3: 2 times"}},
		{"implied", []sign{{2, "0", `<sound forward-repeat="yes"/>`}}, []string{"2: from here"}},
		{"two endings", []sign{
			{2, "0", barline("left", ending("1", "start"))}, {3, "4", barline("right", ending("1", "stop")+repeat("backward", ""))},
			{4, "0", barline("left", ending("2", "start"))}, {5, "4", barline("right", ending("2", "discontinue"))}},
			[]string{"2: ending 1", "3: 2 times, ending 1", "4: ending 2", "5: ending 2"}},
		{"an ending for two", []sign{
			{2, "0", barline("left", ending("1, 2", "start"))}, {2, "4", barline("right", ending("1, 2", "stop")+repeat("backward", ""))},
			{3, "0", barline("left", ending("3", "start"))}, {3, "4", barline("right", ending("3", "stop"))}},
			[]string{"2: 3 times, ending 1,2", "3: ending 3"}},
		{"endings that are not closed", []sign{
			{2, "0", barline("left", ending("1", "start"))}, {3, "4", barline("right", repeat("backward", ""))}, {4, "0", barline("left", ending("2", "start"))}},
			[]string{"2: ending 1", "3: 2 times, ending 1", "4: ending 2"}},
		{"endings without a number", []sign{
			{2, "0", barline("left", ending("", "start"))}, {2, "4", barline("right", ending("", "stop")+repeat("backward", ""))},
			{3, "0", barline("left", `<ending number=" " type="start">2.</ending>`)}, {3, "4", barline("right", ending("", "stop"))}},
			[]string{"2: 2 times, ending 1", "3: ending 2"}},
	} {
		t.Run(c.name, func(t *testing.T) { check(t, describePlay(read(t, "4/4", 5, c.signs...)), c.want) })
	}
}

func TestJumps(t *testing.T) {
	segno, coda := above(kind(`<segno/>`)), above(kind(`<coda/>`))
	for _, c := range []struct {
		name  string
		signs []sign
		want  []string
	}{
		{"by words", []sign{{2, "0", segno}, {3, "4", words("Fine")}, {5, "4", words("D.S. al Fine")}}, []string{"2: segno", "3: fine", "5: dal segno"}},
		{"in full", []sign{{2, "4", words("To Coda")}, {4, "4", words("Da Capo al Coda")}, {5, "0", words("Coda")}}, []string{"2: to coda", "4: da capo", "5: coda"}},
		{"by sounds", []sign{{1, "0", `<sound segno="a"/>`}, {2, "4", `<sound tocoda="b"/>`}, {3, "4", `<sound dalsegno="a"/>`}, {4, "0", `<sound coda="b"/>`}, {5, "4", `<sound fine="yes" dacapo="no"/>`}},
			[]string{"1: segno", "2: to coda", "3: dal segno", "4: coda", "5: fine"}},
		{"signs with sounds", []sign{{2, "4", dir(1, "above", kind(`<words>To Coda</words>`)+kind(`<coda/>`), `<sound tocoda="c"/>`)}, {3, "4", dir(1, "above", kind(`<words>D.C. al Coda</words>`), `<sound dacapo="yes"/>`)}, {4, "0", dir(1, "above", kind(`<coda/>`), `<sound coda="c"/>`)}},
			[]string{"2: to coda", "3: da capo", "4: coda"}},
		{"two coda signs", []sign{{2, "4", coda}, {4, "4", words("D.C.")}, {5, "0", coda}}, []string{"2: to coda", "4: da capo", "5: coda"}},
		{"on barlines", []sign{{2, "0", barline("left", `<segno/>`)}, {5, "0", barline("left", `<coda/>`)}}, []string{"2: segno", "5: coda"}},
		{"glyphs", []sign{{2, "0", words("&#xE047;")}, {3, "0", words("&#x1D10C;")}}, []string{"2: segno", "3: coda"}},
		{"other words", []sign{{2, "0", words("fine line")}, {3, "0", words("Code")}, {4, "0", words("dc.")}}, []string{"4: da capo"}},
	} {
		t.Run(c.name, func(t *testing.T) { check(t, describePlay(read(t, "4/4", 5, c.signs...)), c.want) })
	}
}

// The second of two one-staff parts has the same signs again.
func TestRepeatsOnTwoParts(t *testing.T) {
	bars := func(clef string, octave int) string {
		var b strings.Builder
		for bar := 1; bar <= 3; bar++ {
			left, right := "", ""
			if bar == 2 {
				left, right = barline("left", ending("1", "start")), barline("right", ending("1", "stop")+repeat("backward", ""))
			}
			fmt.Fprintf(&b, `<measure number="%d"><attributes><divisions>1</divisions><clef><sign>%s</sign></clef></attributes>%s<note><pitch><step>C</step><octave>%d</octave></pitch><duration>4</duration></note>%s</measure>`, bar, clef, left, octave, right)
		}
		return b.String()
	}
	s, err := mustRead(t, `<score-partwise><part-list><score-part id="R"/><score-part id="L"/></part-list><part id="R">`+bars("G", 5)+`</part><part id="L">`+bars("F", 3)+`</part></score-partwise>`).Score(Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := describePlay(s); !slices.Equal(got, []string{"2: 2 times, ending 1"}) {
		t.Errorf("got %v", got)
	}
}
