package engrave

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/jung-kurt/gofpdf"

	"hardbars/annotate/smufl"
)

// The first bars of a score of the project, with something of each kind picked
// out.
func demo(t testing.TB) *Drawing {
	t.Helper()
	n := readNotation(t, "../../testdata/lantern-barcarolle.musicxml")
	d := set(n, Options{From: n.Bars[0].Start, To: n.Bars[3].End(), Width: 170, Picks: Picks{
		Colour: "#D55E00", Notes: []int{n.Chords[0].Notes[0].ID},
	}})
	d.Items = append(d.Items, Item{Role: RoleWords, Note: -1, Chord: -1, X: 5, Y: 5, Text: `a <"&> é`, Face: Face{Size: 3, Italic: true}})
	return d
}

// Every glyph that the code of this package names is in the font's table: every
// word in quotes that the font's metadata knows as a glyph.
func TestNamedGlyphsExist(t *testing.T) {
	var meta struct {
		Boxes map[string]json.RawMessage `json:"glyphBBoxes"`
	}
	data, err := os.ReadFile("../smufl/bravura/metadata.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &meta); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, file := range files {
		tree, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(tree, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			name, _ := strconv.Unquote(lit.Value)
			if meta.Boxes[name] != nil {
				found++
				smufl.Bravura().Glyph(name) // panics on a name that it does not know
			}
			return true
		})
	}
	if found < 50 {
		t.Errorf("only %d glyphs are named", found)
	}
}

// Words run as far as gofpdf, which reads the font on its own, says that they
// do; so they end at the same place on paper and on the screen.
func TestWordsAreAsWideAsInThePDF(t *testing.T) {
	pdf := gofpdf.New("P", "mm", "A4", "")
	for _, f := range []Face{{Size: 4}, {Size: 3, Italic: true}, {Size: 5, Bold: true}, {Size: 2, Italic: true, Bold: true}} {
		pdf.AddUTF8FontFromBytes(pdfFamily, f.typeface().style, f.typeface().ttf)
		pdf.SetFont(pdfFamily, f.typeface().style, f.Size*pointsPerMM)
		for _, text := range []string{"cresc.", "Très lent", "Più mosso, ♩ = 66", ""} {
			got, want := measure(text, f).Right, pdf.GetStringWidth(f.typeface().printable(text))
			if math.Abs(got-want) > 0.01*f.Size { // gofpdf rounds to thousandths of an em
				t.Errorf("%+v %q is %.3f wide, in the PDF %.3f", f, text, got, want)
			}
		}
	}
}

// Letters with a tail reach below the baseline and others do not, and what the
// face cannot set is a question mark.
func TestWordsOnTheirBaseline(t *testing.T) {
	face := Face{Size: 10}
	if b := measure("p", face); b.Bottom <= 1 || b.Top >= -3 {
		t.Errorf("p covers %v", b)
	}
	if b := measure("H", face); b.Bottom > 0.01 || b.Top > -6 || b.Top < -7 {
		t.Errorf("H covers %v", b)
	}
	for text, want := range map[string]string{"e\u0301": "é", "あ": "?", "שלום": "????", "a\xff": "a?", "Ελ": "Ελ"} {
		if got := face.typeface().printable(text); got != want {
			t.Errorf("%q is set as %q", text, got)
		}
	}
}

func TestBoxOfStrokes(t *testing.T) {
	for _, c := range []struct {
		s    Stroke
		want Box
	}{
		{Stroke{X1: 1, Y1: 2, X2: 5, Y2: 2, Width: 0.5}, Box{1, 1.75, 5, 2.25}},
		{Stroke{X1: 1, Y1: 6, X2: 1, Y2: 2, Width: 0.5}, Box{0.75, 2, 1.25, 6}},
		{Stroke{X1: 0, Y1: 0, X2: 3, Y2: 4, Width: 1}, Box{-0.4, -0.3, 3.4, 4.3}}, // its corners are half the width aside
	} {
		got := c.s.box()
		for _, d := range []float64{got.Left - c.want.Left, got.Top - c.want.Top, got.Right - c.want.Right, got.Bottom - c.want.Bottom} {
			if math.Abs(d) > 1e-9 {
				t.Errorf("%+v covers %v, not %v", c.s, got, c.want)
				break
			}
		}
	}
}

// recorder is a canvas that keeps what each call covers.
type recorder []Box

func (r *recorder) Fill(path []Segment, _ string) { *r = append(*r, Box(smufl.PathBox(path))) }
func (r *recorder) Line(s Stroke, _ string)       { *r = append(*r, s.box()) }
func (r *recorder) Words(x, y float64, text string, f Face, _ string) {
	b := measure(text, f)
	*r = append(*r, Box{x + b.Left, y + b.Top, x + b.Right, y + b.Bottom})
}

// Every item is drawn once, where its box says, moved to where the drawing goes.
func TestDrawPutsItemsWhereTheirBoxesAre(t *testing.T) {
	d := demo(t)
	var r recorder
	d.Draw(&r, 20, 30)
	if len(r) != len(d.Items) {
		t.Fatalf("%d items, %d marks of ink", len(d.Items), len(r))
	}
	for i, it := range d.Items[:len(d.Items)-1] { // the last was added after its setting
		want := Box{it.Box.Left + 20, it.Box.Top + 30, it.Box.Right + 20, it.Box.Bottom + 30}
		for _, off := range []float64{r[i].Left - want.Left, r[i].Top - want.Top, r[i].Right - want.Right, r[i].Bottom - want.Bottom} {
			if math.Abs(off) > 0.03 {
				t.Errorf("%s %s%s is drawn at %.3f, its box is %.3f", it.Role, it.Glyph, it.Text, r[i], want)
				break
			}
		}
	}
}

func svgOf(t testing.TB, d *Drawing, o SVGOptions) string {
	t.Helper()
	var b bytes.Buffer
	if err := d.SVG(&b, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// A picture is well-formed, uses only outlines that it defines, defines each
// once, and has every head by its Note.ID.
func TestSVG(t *testing.T) {
	d := demo(t)
	text := svgOf(t, d, SVGOptions{ID: "one", Title: `A <b>"title"</b>`, Desc: "Bars 1 & 2"})
	ids, heads := map[string]bool{}, map[string]int{}
	var hrefs, said []string
	dec := xml.NewDecoder(strings.NewReader(text))
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch tok := tok.(type) {
		case xml.CharData:
			if s := strings.TrimSpace(string(tok)); s != "" {
				said = append(said, s)
			}
		case xml.StartElement:
			attr := map[string]string{}
			for _, a := range tok.Attr {
				attr[a.Name.Local] = a.Value
			}
			if id := attr["id"]; id != "" {
				if ids[id] || !strings.HasPrefix(id, "one-") {
					t.Errorf("id %q", id)
				}
				ids[id] = true
			}
			if href := attr["href"]; href != "" {
				hrefs = append(hrefs, href)
			}
			if attr["class"] == "head" {
				heads[attr["data-note"]]++
			}
			if label := attr["aria-label"]; strings.HasPrefix(label, "a ") && label != `a <"&> é` {
				t.Errorf("words are called %q", label)
			}
		}
	}
	if strings.Join(said, "|") != `A <b>"title"</b>|Bars 1 & 2` {
		t.Errorf("it says %q", said)
	}
	for _, h := range hrefs {
		if !ids[strings.TrimPrefix(h, "#")] {
			t.Errorf("%s is used and not defined", h)
		}
	}
	for _, it := range d.Items {
		if it.Role == RoleHead && heads[strconv.Itoa(it.Note)] != 1 {
			t.Errorf("note %d is in the picture %d times", it.Note, heads[strconv.Itoa(it.Note)])
		}
	}
	if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
		t.Error("a length is no number")
	}
	if strings.Contains(text, "<text") {
		t.Error("words need a font that the reader may not have")
	}
	if text != svgOf(t, demo(t), SVGOptions{ID: "one", Title: `A <b>"title"</b>`, Desc: "Bars 1 & 2"}) {
		t.Error("the same bars give another picture")
	}
}

// Whatever is written as words, the picture is well-formed and the words have a
// width.
func FuzzWords(f *testing.F) {
	for _, text := range []string{"dolce", "", "\x00\xff", "]]>&\"", "é\u0301\U0001D11E", "\n\t"} {
		f.Add(text, true)
	}
	f.Fuzz(func(t *testing.T, text string, italic bool) {
		face := Face{Size: 3, Italic: italic, Bold: !italic}
		if w := measure(text, face); w.Right < 0 || math.IsNaN(w.Right+w.Top+w.Bottom) {
			t.Fatalf("%q covers %v", text, w)
		}
		d := &Drawing{Width: 50, Height: 10, Items: []Item{{Role: RoleWords, Note: -1, Chord: -1, Text: text, Face: face}}}
		dec := xml.NewDecoder(strings.NewReader(svgOf(t, d, SVGOptions{ID: text, Title: text, Desc: text})))
		for {
			if _, err := dec.Token(); err == io.EOF {
				return
			} else if err != nil {
				t.Fatalf("%q: %v", text, err)
			}
		}
	})
}

// Lengths keep three decimals and no more figures than they need.
func TestShort(t *testing.T) {
	for v, want := range map[float64]string{0: "0", -0.0001: "0", 1.5: "1.5", 2: "2", 100: "100", 0.12349: "0.123", -3.1004: "-3.1"} {
		if got := short(v); got != want {
			t.Errorf("%v is written %s, not %s", v, got, want)
		}
	}
}

func pdfOf(t testing.TB, d *Drawing) []byte {
	t.Helper()
	pdf := gofpdf.New("P", "mm", "A4", "")
	pdf.SetCompression(false)
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(time.Unix(0, 0))
	pdf.SetModificationDate(time.Unix(0, 0))
	pdf.AddPage()
	d.Draw(PDF(pdf), 10, 10)
	var b bytes.Buffer
	if err := pdf.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// On paper every glyph and shape is a filled path, words are text in an
// embedded font, and the same drawing gives the same bytes.
func TestPDF(t *testing.T) {
	d := demo(t)
	got := pdfOf(t, d)
	shapes, words := 0, 0
	for _, it := range d.Items {
		switch {
		case it.Glyph != "" || it.Shape != nil:
			shapes++
		case it.Text != "":
			words++
		}
	}
	if n := bytes.Count(got, []byte("\nf\n")); n != shapes {
		t.Errorf("%d filled paths for %d glyphs and shapes", n, shapes)
	}
	if n := bytes.Count(got, []byte(" Tj ET")); n != words {
		t.Errorf("%d pieces of text for %d", n, words)
	}
	if !bytes.Contains(got, []byte("/FontFile2")) {
		t.Error("no font is embedded")
	}
	if !bytes.Equal(got, pdfOf(t, demo(t))) {
		t.Error("the same bars give another page")
	}
}

func TestRGB(t *testing.T) {
	for colour, want := range map[string][3]int{"#D55E00": {213, 94, 0}, "": {0, 0, 0}, "#0072b2": {0, 114, 178}, "orange!": {0, 0, 0}} {
		r, g, b := rgb(colour)
		if [3]int{r, g, b} != want {
			t.Errorf("%q is %d %d %d", colour, r, g, b)
		}
	}
}
