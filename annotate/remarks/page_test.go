package remarks

import (
	"reflect"
	"strings"
	"testing"

	"hardbars/score"
)

func mustParse(t testing.TB, text string) *Page {
	t.Helper()
	p, err := Parse([]byte(text))
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return p
}

const whole = `<!-- for myself -->
for: Ida
From: Frau Lindner
date: 3 May

Begin with the coda. It is
the same as the opening.

- bar 9 left: try 2-5-3 and cross over
Bars 30–37: hands together,
   from the downbeat
bar 12 right hand: 4 2 1
bar 13:
add bars 47 - 48 both: shared between the hands
skip 7, 9 and 11
bar 3 (2) both hands: again, softer
`

// TestParse reads one page with every kind of line.
func TestParse(t *testing.T) {
	want := &Page{
		Heading:    Heading{"Ida", "Frau Lindner", "3 May"},
		Paragraphs: []string{"Begin with the coda. It is\nthe same as the opening."},
		Remarks: []Line{
			{9, Bars{"9", "9", 0}, score.Left, "try 2-5-3 and cross over"},
			{10, Bars{"30", "37", 0}, score.Both, "hands together, from the downbeat"},
			{12, Bars{"12", "12", 0}, score.Right, "4 2 1"},
			{13, Bars{"13", "13", 0}, score.Both, ""},
			{16, Bars{"3", "3", 2}, score.Both, "again, softer"},
		},
		Added:   []Line{{14, Bars{"47", "48", 0}, score.Both, "shared between the hands"}},
		Skipped: []Skip{{15, "7"}, {15, "9"}, {15, "11"}},
	}
	if got := mustParse(t, whole); !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%+v\nwant\n%+v", got, want)
	}
}

// TestParseStorage: the same page as other editors store it.
func TestParseStorage(t *testing.T) {
	const text = "for: Käthe\nbar 9 left: größer, nach außen\n"
	want := mustParse(t, text)
	utf16 := []byte{0xFF, 0xFE}
	latin := []byte{}
	for _, r := range text { // every sign of it is below U+0100
		utf16 = append(utf16, byte(r), 0)
		latin = append(latin, byte(r))
	}
	for name, data := range map[string][]byte{
		"byte-order mark":   []byte("\uFEFF" + text),
		"LH":                []byte(strings.Replace(text, "bar 9 left", "Bar 9, LH", 1)),
		"Windows line ends": []byte(strings.ReplaceAll(text, "\n", "\r\n")),
		"old line ends":     []byte(strings.ReplaceAll(text, "\n", "\r")),
		"tabs":              []byte(strings.ReplaceAll(text, " ", "\t")),
		"hard spaces":       []byte(strings.ReplaceAll(text, " ", "\u00a0")),
		"UTF-16":            utf16,
		"Windows-1252":      latin,
	} {
		if got, err := Parse(data); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: got %+v, %v; want %+v", name, got, err, want)
		}
	}
}

// TestParseProse: what only looks a little like the grammar is a paragraph, and
// none of it is lost.
func TestParseProse(t *testing.T) {
	for _, text := range []string{
		"Barcarolle means: a song of the boat.",
		"Add a little pedal everywhere.",
		"Skip the repeats.",
		"Bar lines are not accents.",
		"For once: no pedal.",
		"First part: slowly.",
		"Bar lines: they are no accents.",
		"It comes again in\nbar 9, much softer: listen for it.",
		"We begin at the end, then\nbars 30 to 37 in tempo, then\nskip 3 if time is short.",
		"I have 3 wishes.",
		"1. Slowly",
	} {
		got := mustParse(t, text)
		if want := (&Page{Paragraphs: []string{text}}); !reflect.DeepEqual(got, want) {
			t.Errorf("%q: got %+v", text, got)
		}
	}
	if got := mustParse(t, "# Waltz\n- warm up\n- count"); !reflect.DeepEqual(got.Paragraphs, []string{"Waltz", "- warm up", "- count"}) {
		t.Errorf("a list: %q", got.Paragraphs)
	}
}

// TestParseErrors: a slip of the pen is said with its line, and the other lines
// are read all the same.
func TestParseErrors(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"bra 9 left: cross over", `line 1: "bra 9 left: cross over": expected one of`},
		{"\n\nbar 9 left try 2-5-3", "line 3: "},
		{"br 9: x", "line 1: "},
		{"barr 9: x", "line 1: "},
		{"bat 9: x", "line 1: "},
		{"bars 9, 13: x", "line 1: "},
		{"bar 9 (0): x", "line 1: "},
		{"bar 9 third hand: x", "line 1: "},
		{"skip 7 because it is easy", "line 1: "},
		{"skpi 7", "line 1: "},
		{"add bars 47-48 both", "line 1: "},
		{"add bras 47-48: x", "line 1: "},
		{"ad bars 47: x", "line 1: "},
		{"fro: Ida", "line 1: "},
		{"A paragraph.\nbar 9 lfet: cross over", "line 2: "},
		{"A paragraph.\nadd bar 9 lfet: cross over", "line 2: "},
		{"bar nine left: cross over", "line 1: "},
		{"bar: cross over", "line 1: "},
		{"skip seven", "line 1: "},
		{"skip", "line 1: "},
		{"dat: today", "line 1: "},
		{"A paragraph.\n- bar 9 left", "line 2: "},
		{"for: Ida\nfor: Oda", "line 2: a second “for:”"},
		{"<!-- open", "line 1: this comment never ends"},
		{"<!-- a --> bar 9: x", "line 1: "},
		{"bar 9: " + strings.Repeat("x", longest+1), "line 1: the remark has 401 characters"},
		{"bar 9: " + strings.Repeat("x", longest) + "\n more", "line 2: the remark has 405 characters"},
	} {
		p, err := Parse([]byte(c.text + "\n\nbar 99: still read\n"))
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%.40q: error %v, want %q…", c.text, err, c.want)
		}
		if strings.HasPrefix(c.text, "<!-- open") {
			continue
		}
		if n := len(p.Remarks); n == 0 || p.Remarks[n-1].Text != "still read" {
			t.Errorf("%.40q: the line after it was not read", c.text)
		}
	}
}

// FuzzParse: what was understood, printed and parsed again, is the same.
func FuzzParse(f *testing.F) {
	f.Add([]byte(whole))
	f.Add([]byte("# bar 9\n> add bars 1-2: \n- - x\n\tbar 3:\n  4 2 1\n-->"))
	f.Add([]byte("a\nbar\n9: x\n<!--\n-->\n# <!-- -->"))
	f.Add([]byte{0xFF, 0xFE, 'b', 0, 0xE4})
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Parse(data)
		if err != nil {
			return
		}
		text := p.String()
		again, err := Parse([]byte(text))
		if err != nil {
			t.Fatalf("%q is printed as %q: %v", data, text, err)
		}
		for _, page := range []*Page{p, again} {
			unnumber(page)
		}
		if !reflect.DeepEqual(p, again) {
			t.Errorf("%q is printed as %q and then read as\n%+v, not\n%+v", data, text, again, p)
		}
	})
}

func unnumber(p *Page) {
	for _, lines := range [][]Line{p.Remarks, p.Added} {
		for i := range lines {
			lines[i].Number = 0
		}
	}
	for i := range p.Skipped {
		p.Skipped[i].Number = 0
	}
}

// What is taken back or changed stays as a comment; nothing else moves.
func TestReplace(t *testing.T) {
	const before, after = "for: Ida\r\n\r\n", "bar 9 left: lightly\r\nprose\r\n"
	data := []byte(before + "bars 2-3 right: from\r\n  the wrist -- always\r\n" + after)
	page, err := Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	back, err := Replace(data, page.Remarks[0])
	if err != nil || !strings.HasPrefix(string(back), before+"<!-- taken back: bars 2-3 right: from") || !strings.HasSuffix(string(back), " -->\r\n"+after) {
		t.Errorf("%q, %v", back, err)
	}
	left, err := Parse(back)
	if err != nil || len(left.Remarks) != 1 || left.Remarks[0].Text != "lightly" {
		t.Errorf("%+v, %v", left, err)
	}
	by := page.Remarks[1]
	by.Text = "louder"
	changed, err := Replace(append([]byte("# in front\r\n\r\n"), data...), page.Remarks[1], by)
	if err != nil || !strings.Contains(string(changed), "<!-- changed: bar 9 left: lightly -->\r\nbar 9 left: louder\r\nprose") {
		t.Errorf("%q, %v", changed, err)
	}
	if _, err := Replace(back, page.Remarks[0]); err == nil {
		t.Error("taken back twice")
	}
}
