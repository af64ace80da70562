package mark

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hardbars/detect/kinds"
	"hardbars/score"
)

var bracketEnd = regexp.MustCompile(`<\?hardbars bracket (start|stop) (\d+)\?>`)

// numbers are the bracket ends that were written, in document order:
// "start 1 stop 1".
func numbers(text string) string {
	var ends []string
	for _, m := range bracketEnd.FindAllStringSubmatch(text, -1) {
		ends = append(ends, m[1]+" "+m[2])
	}
	return strings.Join(ends, " ")
}

// inBars is a score of one part, a bar for each text, with four quarters to
// the bar.
func inBars(version string, bars ...string) string {
	var b strings.Builder
	b.WriteString(`<score-partwise version="` + version + `"><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list><part id="P1">`)
	for i, bar := range bars {
		fmt.Fprintf(&b, `<measure number="%d"><attributes><divisions>1</divisions></attributes>%s</measure>`, i+1, bar)
	}
	b.WriteString("</part></score-partwise>")
	return b.String()
}

func lineEnd(tag, kind, number string) string {
	return `<direction><direction-type><` + tag + ` type="` + kind + `" ` + number + ` line-end="none"/></direction-type></direction>`
}

// The score's own brackets keep their numbers to themselves.
func TestBracketNumbersOfTheScore(t *testing.T) {
	for _, c := range []struct {
		name string
		bars []string
		want string
	}{
		{"none", []string{plainNote, plainNote}, "start 1 stop 1"},
		{"around", []string{lineEnd("bracket", "start", `number="1"`) + plainNote, plainNote + lineEnd("bracket", "stop", `number="1"`)}, "start 2 stop 2"},
		{"inside", []string{plainNote + lineEnd("bracket", "start", `number="1"`), lineEnd("bracket", "stop", `number="1"`) + plainNote}, "start 2 stop 2"},
		{"without a number", []string{lineEnd("bracket", "start", "") + plainNote, plainNote + lineEnd("bracket", "stop", "")}, "start 2 stop 2"},
		{"dashes", []string{lineEnd("dashes", "start", `number="1"`) + plainNote, plainNote + lineEnd("dashes", "stop", `number="1"`)}, "start 2 stop 2"},
		{"before", []string{lineEnd("bracket", "start", "") + lineEnd("bracket", "stop", "") + plainNote, plainNote}, "start 1 stop 1"},
		{"after", []string{plainNote, plainNote + lineEnd("bracket", "start", "") + lineEnd("bracket", "stop", "")}, "start 1 stop 1"},
		{"endless", []string{lineEnd("bracket", "start", "") + plainNote, plainNote}, "start 2 stop 2"},
		{"stopped twice", []string{plainNote, lineEnd("bracket", "stop", "") + plainNote}, "start 2 stop 2"},
		{"continued", []string{lineEnd("bracket", "start", "") + plainNote, lineEnd("bracket", "continue", "") + plainNote}, "start 2 stop 2"},
		{"out of range", []string{lineEnd("bracket", "start", `number="99"`) + plainNote, plainNote}, "start 1 stop 1"},
	} {
		f := read(t, inBars("3.0", c.bars...))
		r := newReport()
		r.spot(score.Right, kinds.All[0].Kind, "leap", r.note(0, "0", "4", 1, score.Right), r.note(1, "4", "4", 1, score.Right))
		mustMark(t, f, r, all)
		if got := numbers(write(t, f)); got != c.want {
			t.Errorf("%s: %s, not %s", c.name, got, c.want)
		}
	}
}

// Type number-level is 1 to 6 in the MusicXML 3.0 schema and 1 to 16 in that
// of 4.0. When the numbers run out it is the lowest-ranked spots that go
// without; their words stay.
func TestBracketNumbersRunOut(t *testing.T) {
	for version, limit := range map[string]int{"1.0": 6, "2.0": 6, "3.1": 6, "4.0": 16, "": 6} {
		f := read(t, inBars(version, plainNote))
		r := newReport()
		n := r.note(0, "0", "4", 1, score.Right)
		for range 20 {
			r.spot(score.Right, kinds.All[0].Kind, "leap", n)
		}
		mustMark(t, f, r, all)
		text := write(t, f)
		var starts []string
		for i := range limit {
			starts = append(starts, fmt.Sprintf("start %d", i+1))
		}
		if got := numbers(text); !strings.HasPrefix(got, strings.Join(starts, " ")+" stop") {
			t.Errorf("version %q: %s", version, got)
		}
		if n := strings.Count(text, "<?hardbars words"); n != 20 {
			t.Errorf("version %q: %d words for 20 spots", version, n)
		}
	}
}

// A bracket under a low note that stands late in the document, between two
// that are over high notes early in it.
func TestBracketsStackAndNest(t *testing.T) {
	f := read(t, inBars("4.0", plainNote, plainNote, plainNote))
	r := newReport()
	one, two, three := r.note(0, "0", "4", 1, score.Right), r.note(1, "4", "4", 1, score.Right), r.note(2, "8", "4", 1, score.Right)
	r.spot(score.Both, kinds.All[0].Kind, "long", one, two, three)
	r.spot(score.Right, kinds.All[0].Kind, "short", one, two)
	r.spot(score.Right, kinds.All[0].Kind, "late", three)
	mustMark(t, f, r, Options{Words: true, Brackets: true})
	text := write(t, f)
	if got, want := numbers(text), "start 2 start 1 stop 2 start 2 stop 1 stop 2"; got != want {
		t.Errorf("brackets %s, not %s", got, want)
	}
	if words := regexp.MustCompile(`words (\d)`).FindAllString(text, -1); !slices.Equal(words, []string{"words 2", "words 1", "words 3"}) {
		t.Errorf("%v: of two spots that begin at one place the shorter comes first", words)
	}
}
