package mark

import (
	"regexp"
	"strings"
	"testing"

	"hardbars/detect/kinds"
	"hardbars/score"
)

var landmark = regexp.MustCompile(`<(note|measure|part) (?:id|number)="([^"]*)"|<\?(hardbars [^?]*)\?>|<(backup)>`)

// where lists what stands in a text, in order: the ids of notes, bars and
// parts, and the names of marks.
func where(text string) string {
	var seen []string
	for _, m := range landmark.FindAllStringSubmatch(text, -1) {
		seen = append(seen, strings.TrimSpace(strings.Join(m[1:], " ")))
	}
	return strings.Join(seen, " | ")
}

// note is a note of so many quarters.
func note(id, length, rest string) string {
	return `<note id="` + id + `">` + rest + `<pitch><step>C</step><octave>4</octave></pitch><duration>` + length + `</duration></note>`
}

// Of two one-staff parts the upper one holds the marks of both hands together
// and the lower one those of the left; no <staff> is written.
func TestPairOfParts(t *testing.T) {
	for _, layout := range []struct{ name, xml, want string }{
		{
			"partwise",
			`<score-partwise version="4.0"><part-list/><part id="R"><measure number="1">` + note("c", "1", "") + note("d", "1", "") +
				`</measure></part><part id="L"><measure number="1">` + note("low", "2", "") + `</measure></part></score-partwise>`,
			"part R | measure 1 | hardbars words 1 · 2 over 1 | hardbars bracket start 1 | note c | note d | hardbars bracket stop 1 | " +
				"part L | measure 1 | hardbars words 2 · leap | hardbars bracket start 1 | note low | hardbars bracket stop 1",
		},
		{
			"timewise",
			`<score-timewise version="4.0"><part-list/><measure number="1"><part id="R">` + note("c", "1", "") + note("d", "1", "") +
				`</part><part id="L">` + note("low", "2", "") + `</part></measure></score-timewise>`,
			"measure 1 | part R | hardbars words 1 · 2 over 1 | hardbars bracket start 1 | note c | note d | hardbars bracket stop 1 | " +
				"part L | hardbars words 2 · leap | hardbars bracket start 1 | note low | hardbars bracket stop 1",
		},
	} {
		f := read(t, layout.xml)
		r := newReport()
		c := r.note(0, "0", "1", 1, score.Right)
		d := r.note(1, "1", "1", 1, score.Right)
		low := r.note(2, "0", "2", 2, score.Left)
		r.spot(score.Both, kinds.All[0].Kind, "2 over 1", low, c, d)
		r.spot(score.Left, kinds.All[1].Kind, "leap", low)
		mustMark(t, f, r, Options{Words: true, Brackets: true})
		text := write(t, f)
		if got := where(text); got != layout.want {
			t.Errorf("%s:\n got %s\nwant %s", layout.name, got, layout.want)
		}
		if strings.Contains(text, "<staff>") {
			t.Errorf("%s: a <staff> in parts of one staff", layout.name)
		}
	}
}

// In one bar the left hand's notes stand after the right hand's, so a bracket
// from a left-hand note to a right-hand note would stop before it starts.
// Another note at the same moment takes the one end or the other; without one
// the bracket ends with the last note that it can.
func TestDocumentOrder(t *testing.T) {
	bar := func(upper, lower string) string {
		return inBars("4.0", upper+"<backup><duration>4</duration></backup>"+lower)
	}
	marks := func(notes func(r *report) []int, xml string) string {
		f := read(t, xml)
		r := newReport()
		r.spot(score.Both, kinds.All[0].Kind, "x", notes(r)...)
		mustMark(t, f, r, Options{Brackets: true})
		return where(write(t, f))
	}
	for _, c := range []struct{ name, got, want string }{
		{
			"the start moves to a note of the upper staff",
			marks(func(r *report) []int {
				r.note(0, "0", "2", 1, score.Right)
				return []int{r.note(1, "2", "2", 1, score.Right), r.note(2, "0", "2", 2, score.Left)}
			}, bar(note("a", "2", "")+note("b", "2", ""), note("c", "2", "")+note("d", "2", ""))),
			"part P1 | measure 1 | hardbars bracket start 1 | note a | note b | hardbars bracket stop 1 | backup | note c | note d",
		},
		{
			"the stop moves to a note of the lower staff",
			marks(func(r *report) []int {
				b, c := r.note(0, "1", "3", 1, score.Right), r.note(1, "0", "2", 2, score.Left)
				r.note(2, "2", "2", 2, score.Left)
				return []int{b, c}
			}, bar("<forward><duration>1</duration></forward>"+note("b", "3", ""), note("c", "2", "")+note("d", "2", ""))),
			"part P1 | measure 1 | note b | backup | hardbars bracket start 1 | note c | note d | hardbars bracket stop 1",
		},
		{
			"the stop comes early",
			marks(func(r *report) []int {
				return []int{r.note(0, "1", "3", 1, score.Right), r.note(1, "0", "2", 2, score.Left)}
			}, bar("<forward><duration>1</duration></forward>"+note("b", "3", ""), note("c", "2", "")+note("d", "2", ""))),
			"part P1 | measure 1 | note b | backup | hardbars bracket start 1 | note c | hardbars bracket stop 1 | note d",
		},
	} {
		if c.got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, c.got, c.want)
		}
	}
}

// A mark stands before the grace notes and the whole chord of its note, or
// after the whole chord, whatever stands between.
func TestChordsAndGraceNotes(t *testing.T) {
	grace, chord := "<grace/>", "<chord/>"
	harmony := "<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>"
	f := read(t, inBars("4.0", note("before", "1", "")+
		note("g1", "0", grace)+note("g2", "0", grace+chord)+note("g3", "0", grace)+harmony+
		note("a", "1", "")+harmony+note("b", "1", chord)+note("c", "1", chord)+
		note("g4", "0", grace)+note("after", "1", "")))
	r := newReport()
	b := r.note(5, "1", "1", 1, score.Right)
	r.spot(score.Right, kinds.All[0].Kind, "x", b)
	mustMark(t, f, r, Options{Words: true, Brackets: true})
	want := "part P1 | measure 1 | note before | hardbars words 1 · x | hardbars bracket start 1 | note g1 | note g2 | note g3 | " +
		"note a | note b | note c | hardbars bracket stop 1 | note g4 | note after"
	if got := where(write(t, f)); got != want {
		t.Errorf("\n got %s\nwant %s", got, want)
	}
}

// A hand that visits the other staff has its marks at its own.
func TestMarksKeepToTheHandsStaff(t *testing.T) {
	staff := func(n string) string { return "<staff>" + n + "</staff>" }
	f := read(t, inBars("4.0", strings.Replace(note("a", "1", "")+note("b", "1", ""), "</note>", staff("1")+"</note>", 2)+
		strings.Replace(note("c", "1", ""), "</note>", staff("2")+"</note>", 1)))
	r := newReport()
	r.note(0, "0", "1", 1, score.Right)
	r.note(1, "1", "1", 1, score.Right)
	r.spot(score.Right, kinds.All[0].Kind, "x", r.note(2, "2", "1", 2, score.Right))
	mustMark(t, f, r, all)
	text := write(t, f)
	if n := strings.Count(text, staff("1")+"</direction>"); n != 3 {
		t.Errorf("%d of 3 directions are at staff 1:\n%s", n, text)
	}
}
