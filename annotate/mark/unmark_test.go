package mark

import (
	"regexp"
	"strings"
	"testing"

	"github.com/beevik/etree"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
)

// onNote is a score of one bar with one note, written as the test wants.
func onNote(version, note string) string {
	return `<score-partwise version="` + version + `"><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list>` +
		`<part id="P1"><measure number="1"><attributes><divisions>1</divisions></attributes>` + note + `</measure></part></score-partwise>`
}

const plainNote = `<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note>`

// onNoteReport is one right-hand spot on the only note.
func onNoteReport() *report {
	r := newReport()
	r.spot(score.Right, kinds.All[0].Kind, "leap", r.note(0, "0", "4", 1, score.Right))
	return r
}

// A score without line breaks gets none.
func TestMarkOnOneLine(t *testing.T) {
	f := read(t, onNote("4.0", plainNote))
	mustMark(t, f, onNoteReport(), all)
	same(t, "the marked bar", between(t, write(t, f), "</attributes>", "</measure>"),
		`<?hardbars words 1 · leap?><direction placement="above"><direction-type><words font-style="normal" font-size="8" color="#D55E00">`+signed("1 · leap", true)+`</words></direction-type></direction>`+
			`<?hardbars bracket start 1?><direction placement="above"><direction-type><bracket type="start" number="1" line-end="down" line-type="dashed" color="#D55E00"/></direction-type></direction>`+
			`<note color="#D55E00"><?hardbars color #D55E00?><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note>`+
			`<?hardbars bracket stop 1?><direction placement="above"><direction-type><bracket type="stop" number="1" line-end="down" line-type="dashed" color="#D55E00"/></direction-type></direction>`)
}

// Whatever stands around a note comes back as it was.
func TestUnmarkRestores(t *testing.T) {
	for _, note := range []string{
		plainNote,
		"\n" + plainNote + "\n",
		"\r\n\t" + plainNote,
		"text" + plainNote + "text",
		" <![CDATA[ ]]> \n " + plainNote,
		"<!-- before --> <?other before?> " + plainNote + " <?other after?> <!-- after -->",
		"\n<direction><direction-type><words>1 · leap</words></direction-type></direction>\n" + plainNote,
		"<?hardbars?>" + plainNote,
		"<?hardbars settings?>" + plainNote,
		strings.Replace(plainNote, "<note>", `<note color="#000000" id="n1">`, 1),
		strings.Replace(plainNote, "<note>", `<note id="n1" color="">`, 1),
		strings.Replace(plainNote, "<note>", `<note color=" a?&gt;&quot;é&#10;%+ " id="n1">`, 1),
		strings.Replace(plainNote, "<note>", "<note>\n\n  <!-- in -->\n  ", 1),
		strings.Replace(plainNote, "</note>", "<unknown a='1'/></note>", 1),
	} {
		f := read(t, onNote("4.0", note))
		before := write(t, f)
		mustMark(t, f, onNoteReport(), all)
		marked := write(t, f)
		want := 4 // words, two bracket ends, a colour
		if strings.Contains(note, "color=") {
			want = 3 // the note keeps its own colour
		}
		if got := Unmark(f); got != want {
			t.Errorf("%q: %d marks were taken out, not %d", note, got, want)
		}
		same(t, "unmarked", write(t, f), before)
		again := read(t, marked)
		Unmark(again)
		same(t, "stored and unmarked", write(t, again), before)
	}
}

// What somebody has changed since is theirs: it stays, and only the
// announcement goes.
func TestUnmarkKeepsChanges(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		removed        int
		keeps          string
	}{
		{"words", "1 · leap</words>", "mind the gap</words>", 3, ">mind the gap<"},
		{"colour", `color="#D55E00"><?`, `color="#FF0000"><?`, 3, `<note color="#FF0000">`},
		{"no colour", ` color="#D55E00"><?`, `><?`, 3, "<note><pitch>"},
		{"bracket", `type="stop" number="1"`, `type="stop" number="2"`, 3, `type="stop" number="2"`},
		{"a dynamic in the direction", "</words></direction-type>", "</words></direction-type><direction-type><dynamics><p/></dynamics></direction-type>", 3, "<p/>"},
		{"a sound in the direction", "</words></direction-type>", `</words></direction-type><sound tempo="60"/>`, 3, `tempo="60"`},
		{"an element between", "<?hardbars words 1 · leap?>", "<?hardbars words 1 · leap?><print/>", 4, "<print/>"},
		{"no announcement", "<?hardbars words 1 · leap?>", "", 4, "<note><pitch>"},
		{"a colour that cannot be read", "color #D55E00?>", "color #D55E00 was %zz?>", 3, `<note color="#D55E00">`},
	} {
		f := read(t, onNote("4.0", plainNote))
		mustMark(t, f, onNoteReport(), all)
		marked := write(t, f)
		changed := strings.Replace(marked, c.old, c.new, 1)
		if changed == marked {
			t.Fatalf("%s: the test changes nothing", c.name)
		}
		f = read(t, changed)
		if removed := Unmark(f); removed != c.removed {
			t.Errorf("%s: %d marks removed, not %d", c.name, removed, c.removed)
		}
		left := write(t, f)
		if !strings.Contains(left, c.keeps) || strings.Contains(left, "<?hardbars") {
			t.Errorf("%s: %q is lost, or an announcement is left:\n%s", c.name, c.keeps, left)
		}
		if Unmark(f) != 0 {
			t.Errorf("%s: a second Unmark finds something", c.name)
		}
	}
}

// Another program may indent the score anew, or write one element on a line:
// the marks still go.
func TestUnmarkAfterReindenting(t *testing.T) {
	f := read(t, onePart("4.0"))
	f.Doc.Indent(1)
	before := write(t, f)
	f = read(t, onePart("4.0"))
	mustMark(t, f, onePartReport(), all)
	f.Doc.Indent(1)
	f = read(t, write(t, f))
	Unmark(f)
	same(t, "unmarked", write(t, f), before)
}

// TestUnmarkTakesOutTheSeal: what is written after the score to know a file
// just written again goes with the marks; the score's own instructions stay.
func TestUnmarkTakesOutTheSeal(t *testing.T) {
	const page = `<?own note?><score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list><part id="P1"><measure number="1"/></part></score-partwise><?own end?>`
	f, err := musicxml.Read(strings.NewReader(page+"<?hardbars seal 0123?>"), "sealed")
	if err != nil {
		t.Fatal(err)
	}
	Unmark(f)
	var left strings.Builder
	if _, err := f.WriteTo(&left); err != nil {
		t.Fatal(err)
	}
	if left.String() != page {
		t.Errorf("left:\n%s\nwant:\n%s", left.String(), page)
	}
}

// saved is a file as a notation program saves it: without processing
// instructions and the colours of words and brackets, with those of notes on
// their heads. So MuseScore 3.2 does, which .ci tries itself.
func saved(t *testing.T, f *musicxml.File) *musicxml.File {
	t.Helper()
	text := regexp.MustCompile(`<\?hardbars[^>]*\?>`).ReplaceAllString(write(t, f), "")
	text = regexp.MustCompile(`(<(words|bracket)[^>]*) color="[^"]*"`).ReplaceAllString(text, "$1")
	text = regexp.MustCompile(`(?s)<note color="(#[0-9A-F]{6})"(.*?)</note>`).ReplaceAllString(text, `<note$2<notehead color="$1">normal</notehead></note>`)
	return read(t, text)
}

// A marked score that went through a notation program loses its marks all the
// same, and what its owner did there stays.
func TestUnmarkAfterAnotherProgram(t *testing.T) {
	eachReport(t, func(t *testing.T, path string, report func(*testing.T, *musicxml.File) *detect.Report) {
		f := open(t, path)
		r := report(t, f)
		before := bare(f)
		for _, o := range []Options{all, {Shortlist: true, Words: true, Brackets: true, Colour: true}} {
			markOrFail(t, f, r, o)
			again := saved(t, f)
			Unmark(again)
			same(t, "marked, saved by another program and unmarked", bare(again), before)
			markOrFail(t, again, report(t, again), o)
			Unmark(again)
			same(t, "and so once more", bare(again), before)
			Unmark(f)
		}
	})
}

// bare is a score's directions and notes without white space and coloured heads.
func bare(f *musicxml.File) string {
	var b strings.Builder
	eachBar(f, func(_ string, bar *etree.Element) {
		for _, e := range bar.ChildElements() {
			c := e.Copy()
			c.IndentWithSettings(&etree.IndentSettings{Spaces: etree.NoIndent})
			doc := etree.NewDocument()
			doc.SetRoot(c)
			text, _ := doc.WriteToString()
			b.WriteString(text + "\n")
		}
	})
	return b.String()
}

func TestOwnersChangesStay(t *testing.T) {
	f := read(t, onNote("4.0", plainNote))
	mustMark(t, f, onNoteReport(), all)
	text := strings.Replace(write(t, saved(t, f)), "1 · leap</words>", "1 · leap, from the shoulder</words>", 1)
	text = strings.Replace(text, "</note>", `<notations><technical><fingering>3</fingering></technical></notations></note>`+
		`<direction placement="above"><direction-type><bracket type="start" number="3" line-end="down"/></direction-type></direction>`+
		`<direction placement="above"><direction-type><bracket type="stop" number="3" line-end="down"/></direction-type></direction>`, 1)
	f = read(t, text)
	Unmark(f)
	got := write(t, f)
	for _, kept := range []string{">1 · leap, from the shoulder<", "<fingering>3<", `<bracket type="start" number="3"`, `<bracket type="stop" number="3"`} {
		if !strings.Contains(got, kept) {
			t.Errorf("%s is lost:\n%s", kept, got)
		}
	}
	if strings.Contains(got, `"start" number="1"`) || strings.ContainsRune(got, opening) {
		t.Errorf("a mark is left:\n%s", got)
	}
}
