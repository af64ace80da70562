package musicxml

import (
	"io"
	"strings"
	"testing"
	"unicode"
)

const laughs = `<?xml version="1.0"?>
<!DOCTYPE score-partwise [
<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">
]>
<score-partwise>
<work><work-title>&c;</work-title></work>
</score-partwise>`

func TestReadRefuses(t *testing.T) {
	const again = "; export the score as MusicXML (.musicxml or .mxl)"
	nested := func(n int, middle string) string {
		return "<score-partwise>\n" + strings.Repeat("<a>", n-1) + middle + strings.Repeat("</a>", n-1) + "</score-partwise>"
	}
	tests := []struct{ name, data, want string }{
		{"empty", "", "the file is empty; save or download it again"},
		{"blank", " \n\t", "the file is empty; save or download it again"},
		{"only a mark", "\ufeff", "this is not XML" + again},
		{"words", "Allegro, ma non troppo", "this is not XML" + again},
		{"MIDI", "MThd\x00\x00\x00\x06\x00\x01\x00\x02\x01\xe0MTrk", "this is a MIDI file, which knows no bars, hands or note names" + again},
		{"PDF", "%PDF-1.7\n1 0 obj<<>>", "this is a PDF, a picture of the score" + again},
		{"picture", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "this is not XML" + again},
		{"zeros", strings.Repeat("\x00", 512), "this is not XML" + again},
		{"HTML", "<!DOCTYPE html>\n<HTML><head><meta charset=utf-8><br></HTML>", "this is a web page, not a score; download the score file itself"},
		{"HTML with BOM", "\ufeff<!-- page --><html>", "this is a web page, not a score; download the score file itself"},
		{"other XML", "<?xml version=\"1.0\"?>\n\n<plist><dict/></plist>", "line 3: this is XML but not MusicXML, since it begins with <plist>" + again},
		{"list of scores", `<opus version="4.0"/>`, "this is a list of scores; name one of the scores in it"},
		{"cut before the root", "<?xml version=\"1.0\"?>\n<!-- score", "line 2: the file is cut short; save or download it again"},
		{"no root", "<?xml version=\"1.0\"?>\n<!-- score -->\n", "line 3: the file is cut short; save or download it again"},
		{"cut in a tag", tune[:strings.Index(tune, "name>Piano")], "line 3: the file is cut short; save or download it again"},
		{"cut between tags", tune[:strings.Index(tune, "<backup>")], "line 7: the file is cut short; save or download it again"},
		{"cut in CDATA", "<score-partwise><![CDATA[x", "line 1: the file is cut short; save or download it again"},
		{"unclosed", "<score-partwise>\n<part>\n</score-partwise>", "line 3: this is not well-formed XML (element <part> closed by </score-partwise>); export the score again"},
		{"closed too often", "<score-partwise/>\n</part>", "line 2: this is not well-formed XML (unexpected end element </part>); export the score again"},
		{"bare ampersand", "<score-partwise>\n<credit>Ebb & Flow</credit></score-partwise>", "line 2: this is not well-formed XML (invalid character entity & (no semicolon)); export the score again"},
		{"control character", "<score-partwise>\n\x01</score-partwise>", "line 2: this is not well-formed XML (illegal character code U+0001); export the score again"},
		{"two roots", "<score-partwise/><score-partwise/>", "there is a second root element after the score; export the score again"},
		{"text after the root", "<score-partwise/>\nThe End", `there is text outside the score, "The End"; export the score again`},
		{"XML 1.1", "<?xml version=\"1.1\"?><score-partwise/>", `line 1: this is not well-formed XML (xml: unsupported version "1.1"; only version 1.0 is supported); export the score again`},
		{"encoding", `<?xml version="1.0" encoding="Shift_JIS"?><score-partwise/>`, `the encoding "shift_jis" is not read here; save the score in UTF-8`},
		{"entity", "<score-partwise>\n<a>caf&eacute;</a></score-partwise>", "line 2: the entity &eacute; is not read here; write its text in its place"},
		{"entity bomb", laughs, "line 6: the entity &c; is not read here; write its text in its place"},
		{"257 deep", nested(257, ""), "line 2: elements are nested more than 256 deep, as in no score; export the score again"},
		{"a million deep", nested(1_000_000, ""), "line 2: elements are nested more than 256 deep, as in no score; export the score again"},
		{"a million deep, unclosed", "<score-partwise>" + strings.Repeat("<a>", 1_000_000), "line 1: elements are nested more than 256 deep, as in no score; export the score again"},
		{"deep after a comment like its end", nested(257, "<!-- </a></a> --><![CDATA[</a>]]><?pi </a>?>"), "line 2: elements are nested more than 256 deep, as in no score; export the score again"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			f, err := Read(strings.NewReader(test.data), "odd.xml")
			if err == nil {
				t.Fatalf("read %q", f.Doc.Root().Tag)
			}
			if want := "odd.xml: " + test.want; err.Error() != want {
				t.Errorf("error: %v\n want: %s", err, want)
			}
		})
	}
}

func TestReadAllowsDepthUpToTheLimit(t *testing.T) {
	mustRead(t, strings.Repeat("<score-partwise>", maxDepth)+strings.Repeat("</score-partwise>", maxDepth))
}

// Whatever a score's bytes are cut to, the answer is an error of one line that
// names the file.
func TestReadRefusesEveryBeginning(t *testing.T) {
	text := strings.TrimRight(odd[:strings.Index(odd, "<!-- after")], "\n")
	for n := range len(text) {
		_, err := Read(strings.NewReader(text[:n]), "cut.xml")
		if err == nil {
			t.Fatalf("the first %d bytes are a score: …%s", n, text[max(0, n-20):n])
		}
		if s := err.Error(); !strings.HasPrefix(s, "cut.xml: ") || strings.ContainsFunc(s, unicode.IsControl) {
			t.Errorf("the first %d bytes: %q", n, s)
		}
	}
}

// endless is a file without end.
type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

func TestReadRefusesTooLarge(t *testing.T) {
	_, err := Read(endless{}, "long.xml")
	if want := "long.xml: the score is larger than 256 MiB; split it into movements"; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

type broken struct{ io.Reader }

func (broken) Read([]byte) (int, error) { return 0, io.ErrClosedPipe }

func TestReadReportsBrokenInput(t *testing.T) {
	if _, err := Read(broken{}, "pipe"); err == nil || !strings.HasPrefix(err.Error(), "pipe: ") {
		t.Errorf("error is %v", err)
	}
}

// What asks for more than any score is refused before it is built.
func TestMoreThanAScoreHolds(t *testing.T) {
	for name, text := range map[string]string{
		"elements":   "<score-partwise>" + strings.Repeat("<a/>", maxElements+1) + "</score-partwise>",
		"attributes": "<score-partwise>" + strings.Repeat(`<a b="" c="" d="" e="" f="" g=""/>`, maxElements/3+1) + "</score-partwise>",
	} {
		if _, err := Read(strings.NewReader(text), name); err == nil || !strings.Contains(err.Error(), "as no score has") {
			t.Errorf("%s: %v", name, err)
		}
	}
	bars := `<score-partwise><part-list/><part id="P1">` + strings.Repeat("<measure/>", maxBars+1) + "</part></score-partwise>"
	if _, err := mustRead(t, bars).Score(Options{}); err == nil || !strings.Contains(err.Error(), "more than the 50000 that are read") {
		t.Error(err)
	}
	notes := `<score-partwise><part-list/><part id="P1"><measure>` + strings.Repeat("<note/>", maxNotes+1) + "</measure></part></score-partwise>"
	if _, err := mustRead(t, notes).Score(Options{}); err == nil || !strings.Contains(err.Error(), "more than the 500000 that are read") {
		t.Error(err)
	}
}
