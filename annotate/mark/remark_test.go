package mark

import (
	"strings"
	"testing"

	"hardbars/annotate/remarks"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest"
)

// remarked marks a score with what a page of remarks says.
func remarked(t *testing.T, f *musicxml.File, page string, o Options) string {
	t.Helper()
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	parsed, err := remarks.Parse([]byte(page))
	if err != nil {
		t.Fatal(err)
	}
	if o.Remarks, err = parsed.On(detect.Analyze(s, detect.DefaultPlayer(), kinds.All)); err != nil {
		t.Fatal(err)
	}
	if err := Mark(f, o.Remarks.Report, o); err != nil {
		t.Fatal(err)
	}
	return write(t, f)
}

var quietPiece = scoretest.Piece{
	Time: "4/4", QPM: 60,
	Right: []string{"C5:4 | r:4 | D5:4"}, Left: []string{"C3:4 | C3:4 | r:4"},
}

// wordsIn are the words of a bar with placement and staff, in document order.
func wordsIn(t *testing.T, marked, bar string) []string {
	t.Helper()
	var found []string
	f := read(t, marked)
	for _, measure := range f.Doc.FindElements("//measure[@number='" + bar + "']") {
		for _, dir := range measure.SelectElements("direction") {
			for _, words := range dir.FindElements("direction-type/words") {
				found = append(found, words.Text()+" ("+dir.SelectAttrValue("placement", "")+" "+childText(dir, "staff")+")")
			}
		}
	}
	return found
}

// TestRemarks: each remark stands at its bar, above the right hand's staff or
// below the left hand's, whatever marks are asked for, and goes with the marks.
func TestRemarks(t *testing.T) {
	const page = `
bar 1 left: slowly & "soft" -->?> <
bars 1-3: count
bar 2 right: listen to the rest
bar 3 left: 4 2 1
add bar 3 right: the last note`
	for _, o := range []Options{{}, all} {
		f := read(t, string(quietPiece.MusicXML()))
		before := write(t, f)
		marked := remarked(t, f, page, o)
		for bar, want := range map[string]string{
			"1": `slowly & "soft" -->?> < (below 2)|bars 1–3: count (above 1)`,
			"2": "listen to the rest (above 1)",
			"3": "fingers 4 2 1 (below 2)|R1 · the last note (above 1)",
		} {
			got := wordsIn(t, marked, bar)
			for _, words := range strings.Split(want, "|") {
				if !strings.Contains(strings.Join(got, "|")+"|", words+"|") {
					t.Errorf("bar %s: %q, want %q", bar, got, words)
				}
			}
			if len(got) != strings.Count(want, "|")+1 {
				t.Errorf("bar %s: %q", bar, got)
			}
		}
		again := read(t, marked)
		same(t, "marked again", remarked(t, again, page, o), marked)
		Unmark(again)
		same(t, "unmarked", write(t, again), before)
	}
}

// TestRemarkWhereNothingIsWritten: a bar without a note or a rest sends its
// remark to the bar before, and the remark says whose it is.
func TestRemarkWhereNothingIsWritten(t *testing.T) {
	const empty = `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list><part id="P1">` +
		`<measure number="1"><attributes><divisions>1</divisions></attributes></measure>` +
		`<measure number="2">` + plainNote + `</measure><measure number="3"/></part></score-partwise>`
	marked := remarked(t, read(t, empty), "bar 3 left: silence\nbar 1: wait\nbar 2: now", Options{})
	got := strings.Join(wordsIn(t, marked, "2"), "|")
	for _, want := range []string{"bar 3, left hand: silence (below )", "bar 1: wait (above )", "now (above )"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q: there is no %q", got, want)
		}
	}
}

// TestLongRemark: a long remark is broken into lines, and none of it is lost.
func TestLongRemark(t *testing.T) {
	long := strings.TrimSpace(strings.Repeat("say it aloud ", 20))
	f := read(t, string(quietPiece.MusicXML()))
	before := write(t, f)
	marked := remarked(t, f, "bar 1: "+long, Options{})
	text, _, _ := strings.Cut(wordsIn(t, marked, "1")[0], " (above")
	text, _, _ = unsigned(text)
	for _, line := range strings.Split(text, "\n") {
		if len(line) > lineLength {
			t.Errorf("the line %q has %d characters", line, len(line))
		}
	}
	same(t, "the remark", strings.Join(strings.Fields(text), " "), long)
	again := read(t, marked)
	Unmark(again)
	same(t, "unmarked", write(t, again), before)
}

// TestFingersAtTheirNotes: a fingering with a finger for each time that the
// hand strikes stands at its notes; any other stays in one piece.
func TestFingersAtTheirNotes(t *testing.T) {
	piece := scoretest.Piece{
		Time: "4/4", QPM: 60,
		Right: []string{"C5:1 D5+F5:1 gE5 E5:2 | C5:2~ C5:1 r:1"}, Left: []string{"C3:4 | C3:4"},
	}
	for page, want := range map[string]string{
		"bar 1 right: 1 2-4 3": "1 C5|2-4 D5|3 E5",
		"bar 1 right: 1-2-3":   "1 C5|2 D5|3 E5",
		"bar 1 right: 1 2":     "fingers 1 2 C5",
		"bar 1: 1 2 3":         "fingers 1 2 3 C5",
		"bar 2 right: 5":       "5 C5",
		"bars 1-2 right: 12":   "bars 1–2, right hand: 12 C5",
	} {
		f := read(t, string(piece.MusicXML()))
		before := write(t, f)
		marked := read(t, remarked(t, f, page, Options{}))
		var got []string
		for _, dir := range marked.Doc.FindElements("//direction") {
			for _, words := range dir.FindElements("direction-type/words") {
				note := dir.NextSibling()
				for note.Tag != "note" || has(note, "grace") {
					note = note.NextSibling()
				}
				plain, _, _ := unsigned(words.Text())
				got = append(got, plain+" "+note.FindElement("pitch/step").Text()+note.FindElement("pitch/octave").Text())
			}
		}
		same(t, page, strings.Join(got, "|"), want)
		Unmark(marked)
		same(t, page+", unmarked", write(t, marked), before)
	}
}
