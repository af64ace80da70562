package musicxml

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// tune is a score of one bar; the head, before the root, varies.
const tune = `<score-partwise version="4.0">
  <work><work-title>Étude für Zoë</work-title></work>
  <part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list>
  <part id="P1"><measure number="1">
    <attributes><divisions>1</divisions><staves>2</staves></attributes>
    <note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration><staff>1</staff></note>
    <backup><duration>4</duration></backup>
    <note><pitch><step>C</step><octave>3</octave></pitch><duration>4</duration><staff>2</staff></note>
  </measure></part>
</score-partwise>
`

func mustRead(t *testing.T, text string) *File {
	t.Helper()
	f, err := Read(strings.NewReader(text), "tune.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func workTitle(f *File) string { return f.Doc.FindElement("//work-title").Text() }

func written(t *testing.T, f *File) string {
	t.Helper()
	var b bytes.Buffer
	if _, err := f.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// The byte-order marks and the names of encodings are those of XML 1.0,
// appendix F; the bytes come from golang.org/x/text.
func TestEncodings(t *testing.T) {
	const utf8Declared, declaredAs = `<?xml version="1.0" encoding="UTF-8"?>`, `<?xml version='1.0' encoding='`
	tests := []struct {
		name, head string
		encoding   encoding.Encoding
		warning    string
	}{
		{"plain", "", encoding.Nop, ""},
		{"declared", utf8Declared, encoding.Nop, ""},
		{"lower case", declaredAs + `utf-8' standalone='no'?>`, encoding.Nop, ""},
		{"space before the declaration", "\r\n " + utf8Declared, encoding.Nop, ""},
		{"UTF-8 with mark", "\ufeff" + utf8Declared, encoding.Nop, ""},
		{"UTF-8 with mark, undeclared", "\ufeff", encoding.Nop, ""},
		{"UTF-16 LE", declaredAs + `UTF-16'?>`, unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), ""},
		{"UTF-16 BE", declaredAs + `UTF-16'?>`, unicode.UTF16(unicode.BigEndian, unicode.UseBOM), ""},
		{"UTF-16 undeclared", "", unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), ""},
		{"UTF-16 without mark", declaredAs + `UTF-16'?>`, unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), ""},
		{"Latin-1", declaredAs + `ISO-8859-1'?>`, charmap.ISO8859_1, ""},
		{"Windows", declaredAs + `windows-1252'?>`, charmap.Windows1252, ""},
		{"Mac", declaredAs + `macintosh'?>`, charmap.Macintosh, ""},
		{"UTF-16 in name only", declaredAs + `UTF-16'?>`, encoding.Nop, "calls itself utf-16"},
		{"Latin-1 undeclared", "", charmap.ISO8859_1, "3 bytes from line 2 on are not UTF-8"},
		{"Latin-1 called UTF-8", utf8Declared + "\n", charmap.ISO8859_1, "3 bytes from line 3 on are not UTF-8"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			data, err := test.encoding.NewEncoder().String(test.head + tune)
			if err != nil {
				t.Fatal(err)
			}
			f := mustRead(t, data)
			if got := workTitle(f); got != "Étude für Zoë" {
				t.Errorf("title is %q", got)
			}
			if test.warning == "" && len(f.Warnings) > 0 || test.warning != "" &&
				(len(f.Warnings) != 1 || !strings.Contains(f.Warnings[0].Text, test.warning)) {
				t.Errorf("warnings are %q, want %q", f.Warnings, test.warning)
			}
			again := mustRead(t, written(t, f))
			if got := workTitle(again); got != "Étude für Zoë" || len(again.Warnings) > 0 {
				t.Errorf("written and read again, the title is %q, with warnings %q", got, again.Warnings)
			}
		})
	}
}

func TestDeclarationTellsTheTruth(t *testing.T) {
	for head, want := range map[string]string{
		`<?xml version="1.0" encoding="ISO-8859-1" standalone="no"?>`: `<?xml version="1.0" encoding="UTF-8" standalone="no"?><score`,
		`<?xml version='1.0' encoding='utf-8'?>`:                      `<?xml version='1.0' encoding='utf-8'?><score`,
		`<?xml version="1.0"?>`:                                       `<?xml version="1.0"?><score`,
		"\n":                                                          `<score`,
	} {
		if got := written(t, mustRead(t, head+tune)); !strings.HasPrefix(got, want) {
			t.Errorf("%q is written %.60q, want %q", head, got, want)
		}
	}
}

// The public identifiers are those of the MusicXML DTDs, from memory.
func TestVersion(t *testing.T) {
	const public = `<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML `
	for text, want := range map[string]string{
		`<score-partwise version="4.0"/>`:                                                          "4.0",
		`<score-partwise version="3.1"><part/></score-partwise>`:                                   "3.1",
		public + `2.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd"><score-partwise/>`: "2.0",
		public + `1.1 Partwise//EN" "x"><score-partwise version="3.0"/>`:                           "3.0",
		`<!DOCTYPE score-partwise SYSTEM "partwise.dtd"><score-partwise/>`:                         "1.0",
		`<score-timewise/>`: "1.0",
	} {
		if got := mustRead(t, text).Version; got != want {
			t.Errorf("%s has version %q, want %q", text, got, want)
		}
	}
}

func TestNoteElements(t *testing.T) {
	const part = `<measure number="1"><note id="%1"/><backup/><note id="%2"><notations/></note></measure><measure number="2"><note id="%3"/></measure>`
	fill := func(names ...string) string {
		return strings.NewReplacer("%1", names[0], "%2", names[1], "%3", names[2]).Replace(part)
	}
	for text, want := range map[string]string{
		`<score-partwise><part id="P1">` + fill("a", "b", "c") + `</part><part id="P2">` + fill("d", "e", "f") + `</part></score-partwise>`: "a b c d e f",
		`<score-timewise><measure><part id="P1"><note id="a"/></part><part id="P2"><note id="b"/></part></measure>` +
			`<measure><part id="P1"><note id="c"/></part></measure></score-timewise>`: "a b c",
		`<score-partwise/>`: "",
	} {
		var ids []string
		f := mustRead(t, text)
		for _, n := range f.NoteElements() {
			ids = append(ids, n.SelectAttrValue("id", ""))
		}
		if got := strings.Join(ids, " "); got != want {
			t.Errorf("notes are %q, want %q", got, want)
		}
	}
}

func TestNoteNumbersStayWhenNotesAreAdded(t *testing.T) {
	f := mustRead(t, tune)
	before := f.NoteElements()
	f.Doc.FindElement("//measure").CreateElement("note")
	if after := f.NoteElements(); len(before) != 2 || len(after) != 2 {
		t.Errorf("%d notes, then %d; want 2 and 2", len(before), len(after))
	}
}

func TestOpen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tune.mid") // the name says nothing
	if err := os.WriteFile(path, []byte(tune), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	if f.Name != path || workTitle(f) != "Étude für Zoë" {
		t.Errorf("opened %q, title %q", f.Name, workTitle(f))
	}
}

func TestOpenStandardInput(t *testing.T) {
	in, out, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := out.WriteString(tune); err != nil { // far less than a pipe holds
		t.Fatal(err)
	}
	out.Close()
	defer func(old *os.File) { os.Stdin = old }(os.Stdin)
	os.Stdin = in
	f, err := Open("-")
	if err != nil {
		t.Fatal(err)
	}
	if f.Name != "standard input" || workTitle(f) != "Étude für Zoë" {
		t.Errorf("read %q, title %q", f.Name, workTitle(f))
	}
}

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	for path, want := range map[string]string{
		dir:                          dir + ": this is a folder; name a score file in it",
		filepath.Join(dir, "no.mxl"): filepath.Join(dir, "no.mxl") + ": there is no such file; check the name and the folder",
	} {
		if _, err := Open(path); err == nil || err.Error() != want {
			t.Errorf("%s: %v, want %s", path, err, want)
		}
	}
}
