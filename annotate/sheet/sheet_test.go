package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hardbars/annotate/engrave"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest/library"
)

// recorder draws on paper and keeps what was drawn, page by page.
type recorder struct {
	paper
	marks []mark
}

// mark is the box around one thing drawn, in millimetres.
type mark struct {
	left, top, right, bottom float64
	words                    string // "" for lines and shapes
}

func (c *recorder) add(words string, xs, ys []float64) {
	m := mark{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1), words}
	for i := range xs {
		m.left, m.right = min(m.left, xs[i]), max(m.right, xs[i])
		m.top, m.bottom = min(m.top, ys[i]), max(m.bottom, ys[i])
	}
	c.marks = append(c.marks, m)
}

// text takes the height of capitals, 0.73 of the size, for the box's.
func (c *recorder) text(x, y float64, s string, f face) {
	c.add(s, []float64{x, x + c.width(s, f)}, []float64{y - 0.73*f.mm(), y})
	c.paper.text(x, y, s, f)
}

func (c *recorder) line(x1, y1, x2, y2 float64, p pen) {
	c.add("", []float64{x1, x2}, []float64{y1, y2})
	c.paper.line(x1, y1, x2, y2, p)
}

func (c *recorder) curve(x1, y1, bendX, bendY, x2, y2 float64, p pen) {
	c.add("", []float64{x1, bendX, x2}, []float64{y1, bendY, y2})
	c.paper.curve(x1, y1, bendX, bendY, x2, y2, p)
}

func (c *recorder) box(x, y, w, h float64, fill grey, p pen) {
	c.add("", []float64{x, x + w}, []float64{y, y + h})
	c.paper.box(x, y, w, h, fill, p)
}

func (c *recorder) oval(x, y, rx, ry, tilt float64, fill grey, p pen) {
	c.add("", []float64{x - rx, x + rx}, []float64{y - ry, y + ry})
	c.paper.oval(x, y, rx, ry, tilt, fill, p)
}

func (c *recorder) triangle(x1, y1, x2, y2, x3, y3 float64) {
	c.add("", []float64{x1, x2, x3}, []float64{y1, y2, y3})
	c.paper.triangle(x1, y1, x2, y2, x3, y3)
}

func (c *recorder) music(x, y float64, d *engrave.Drawing) {
	c.add("", []float64{x, x + d.Width}, []float64{y, y + d.Height})
	c.paper.music(x, y, d)
}

// drawn is the sheet as marks, one list a page.
func drawn(r *detect.Report, o Options) [][]mark {
	f := frames[o.Paper]
	c := &recorder{paper: paper{newDocument(f, r, "study sheet")}}
	return c.draw(f, r, newComposer(c, f, r, o).pages())
}

func (c *recorder) draw(f frame, r *detect.Report, pages []page) [][]mark {
	var all [][]mark
	for i, p := range pages {
		c.pdf.AddPage()
		c.marks = nil
		drawPage(c, f, p, r, i+1, len(pages))
		all = append(all, c.marks)
	}
	return all
}

// wording is every text of the sheet, one a line.
func wording(r *detect.Report, o Options) string {
	var b strings.Builder
	for _, page := range drawn(r, o) {
		for _, m := range page {
			if m.words != "" {
				fmt.Fprintln(&b, m.words)
			}
		}
	}
	return b.String()
}

var a4 = Options{Paper: "a4"}

// hardCases are reports that are hard to lay out.
func hardCases() map[string]*detect.Report {
	long := usual()
	long.Score.Title = strings.Repeat("Sehr langer Titel mit vielen Worten und Unterschriften ", 20)
	long.Score.Composer = strings.Repeat("Ungeteilterkomponistenname", 20)

	odd := usual()
	for i := range odd.Score.Bars {
		odd.Score.Bars[i].Number = []string{"X1", "12a", "12a", "0", strings.Repeat("9", 40)}[i%5]
	}

	foreign := usual()
	foreign.Score.Title, foreign.Score.Composer = "月の光 𝄞 Клер", "דוד Ångström e\u0301 \xf0"

	talkative := usual()
	for i := range 300 {
		talkative.Score.Warnings = append(talkative.Score.Warnings,
			score.Warning{Bar: fmt.Sprint(i%40 + 1), Text: fmt.Sprintf("remark %d %s", i%30, strings.Repeat("said at length ", i))})
	}

	wide := usual()
	wide.Spots[0].Occurrences[0].Picture = detect.KeyMove{From: []int{21}, To: []int{108}, MM: 1198, Seconds: 2}
	wide.Spots[6].Occurrences[0].Picture = detect.HeldNote{
		Held: twentyC1(), Length: score.Int(200), Lost: true, CatchBy: score.R(1, 7),
		Changes: []score.Rat{score.R(1, 7), score.Int(100), score.R(399, 2)}, Attacks: []score.Rat{score.R(1399, 7)},
	}
	wide.Spots[7].Occurrences[0].Picture = detect.PairRun{Pairs: thirds(19)}
	wide.Spots[8].Occurrences[0].Picture = detect.KeyChord{Keys: []int{21, 33, 45}, SpanMM: 329, ReachMM: 196}
	wide.Spots[3].Occurrences[0].Picture = detect.RhythmGrid{
		Right: multiples(2, 70), Left: multiples(35, 70), Grid: 70, Span: score.Int(4), PerRight: 35, PerLeft: 2, Groups: []int{18, 17}}

	return map[string]*detect.Report{
		"usual": usual(), "nothing found": emptyReport(32), "one bar": reportWith(1, place{0, 0, 0, 0}),
		"600 bars": crowded(600, 60), "2000 bars": crowded(2000, 300), "200 spots": crowded(100, 200), "one family": reportWith(300, repeated(300)...),
		"long title": long, "odd bar numbers": odd, "foreign scripts": foreign, "talkative": talkative, "wide pictures": wide,
	}
}

func twentyC1() []score.Pitch {
	held := make([]score.Pitch, 20)
	for i := range held {
		held[i] = score.Pitch{Step: 'C', Octave: 1}
	}
	return held
}

func repeated(n int) []place {
	var list []place
	for i := range n {
		list = append(list, place{0, i, i, 0})
	}
	return list
}

// everyCase runs a check on both papers, cut and full.
func everyCase(t *testing.T, check func(t *testing.T, r *detect.Report, o Options)) {
	for name, r := range hardCases() {
		for _, paper := range []string{"a4", "letter"} {
			for _, full := range []bool{false, true} {
				t.Run(fmt.Sprintf("%s/%s/full=%v", name, paper, full), func(t *testing.T) { check(t, r, Options{Paper: paper, Full: full}) })
			}
		}
	}
}

// TestLayout: nothing is drawn outside the margins, and no text over another.
func TestLayout(t *testing.T) {
	everyCase(t, func(t *testing.T, r *detect.Report, o Options) { checkLayout(t, frames[o.Paper], drawn(r, o)) })
}

func checkLayout(t *testing.T, f frame, pages [][]mark) {
	t.Helper()
	for i, page := range pages {
		var texts []mark
		for _, m := range page {
			if m.left < margin-1 || m.right > f.width-margin+1 || m.top < 8 || m.bottom > f.height-8 {
				t.Fatalf("page %d: %+v is outside the margins", i+1, m)
			}
			if m.words == "" {
				continue
			}
			for _, other := range texts {
				if m.left < other.right && other.left < m.right && m.top < other.bottom && other.top < m.bottom {
					t.Fatalf("page %d: %q is printed over %q", i+1, m.words, other.words)
				}
			}
			texts = append(texts, m)
		}
	}
}

// The first page stands alone, whatever the piece, and the sheet has a page for
// every passage or two.
func TestPages(t *testing.T) {
	everyCase(t, func(t *testing.T, r *detect.Report, o Options) {
		o.Sections = []Section{Lesson}
		if n := len(drawn(r, o)); n != 1 && !strings.Contains(t.Name(), "long_title") {
			t.Errorf("the lesson takes %d pages", n)
		}
	})
	for name, r := range map[string]*detect.Report{"usual": usual(), "one bar": reportWith(1, place{0, 0, 0, 0}), "600 bars": crowded(600, 60)} {
		for _, paper := range []string{"a4", "letter"} {
			if n := len(drawn(r, Options{Paper: paper})); n > 12 {
				t.Errorf("%s on %s: %d pages", name, paper, n)
			}
		}
	}
}

// A full sheet names every passage.
func TestFullNamesEveryPassage(t *testing.T) {
	r := crowded(100, 200)
	text := wording(r, Options{Paper: "a4", Full: true})
	for i := range r.Passages {
		p := &r.Passages[i]
		if words := sentence(barRange(r, p.First, p.Last)); !p.Habit && !strings.Contains(text, words) {
			t.Errorf("%q is not on the full sheet", words)
		}
	}
}

// machine finds what nobody says to a pupil: flags, the program, units and
// rates of the analysis, times in figures.
var machine = regexp.MustCompile(`--\w|hardbars|\bbits\b|\d ?mm\b|\bms\b|\d\.\d|[0-9] a second\b|× comfortable|hot spot|%!|\d+ semitones`)

// Paper has no words of a machine before its figures, and says no step twice,
// whatever the score.
func TestWordsOnPaper(t *testing.T) {
	reports := hardCases()
	for _, path := range slices.Concat(library.Own(t, ".musicxml"), library.Shared(t)) {
		f, err := musicxml.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		s, err := f.Score(musicxml.Options{})
		if err != nil {
			t.Fatal(err)
		}
		reports[filepath.Base(path)] = detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
	}
	for name, r := range reports {
		c := newComposer(&recorder{paper: paper{newDocument(frames["a4"], r, "study sheet")}}, frames["a4"], r, a4)
		said := map[string]string{}
		for _, e := range c.entries {
			words := slices.Concat([]string{e.what, e.why}, e.steps)
			if e.picture != nil {
				caption, _ := picture(e.picture)
				words = append(words, caption)
			}
			for _, text := range words {
				if found := machine.FindString(text); found != "" {
					t.Errorf("%s, passage %s says %q: %s", name, e.number, found, text)
				}
			}
			if len(e.steps) > 3 {
				t.Errorf("%s, passage %s has %d steps", name, e.number, len(e.steps))
			}
			for _, step := range e.steps {
				if said[step] != "" {
					t.Errorf("%s, passages %s and %s both say: %s", name, said[step], e.number, step)
				}
				said[step] = e.number
			}
		}
		if strings.HasSuffix(name, ".musicxml") || strings.HasSuffix(name, ".mxl") {
			for _, line := range strings.Split(wording(r, Options{Paper: "a4", Sections: []Section{Habits, Form}}), "\n") {
				if found := machine.FindString(line); found != "" && !strings.Contains(madeForWords(r), line) {
					t.Errorf("%s says %q: %s", name, found, line)
				}
			}
		}
	}
}

func TestSameBytes(t *testing.T) {
	var first, second bytes.Buffer
	if err := errors.Join(Write(&first, usual(), a4), Write(&second, usual(), a4)); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("the same report gives different bytes")
	}
	if !bytes.HasPrefix(first.Bytes(), []byte("%PDF-")) {
		t.Errorf("not a PDF: %.20q", first.Bytes())
	}
}

func TestUnknownPaper(t *testing.T) {
	err := Write(&bytes.Buffer{}, usual(), Options{Paper: "foolscap"})
	if err == nil || !strings.Contains(err.Error(), "a4 or letter") {
		t.Errorf("got error %v", err)
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestWriteError(t *testing.T) {
	if err := Write(fullDisk{}, usual(), a4); err == nil || !strings.Contains(err.Error(), "no space left") {
		t.Errorf("got error %v", err)
	}
}

func TestEverythingIsOnTheSheet(t *testing.T) {
	text := wording(usual(), a4)
	for _, want := range []string{
		"Lied vom Frühling in B♭", "Ágnes Őszi", "♩. = 66 (from the metronome mark “Andante ♩. = 66”)", "201",
		"passages to learn first; with them goes", "left hand", "Left hand leaping", "♩. = 35 → 66", "The same again in",
		"two octaves", "The figures behind this sheet",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet does not say %q", want)
		}
	}
	joined := strings.Join(strings.Fields(text), " ")
	if n := strings.Count(joined, "Stop at once when something hurts"); n != 1 {
		t.Errorf("the caution stands %d times", n)
	}
}

func TestNothingFound(t *testing.T) {
	text := wording(emptyReport(32), a4)
	if !strings.Contains(text, "Nothing in this piece asks for more than is comfortable") {
		t.Errorf("the sheet does not say that nothing was found:\n%s", text)
	}
	if strings.Contains(text, "The passages") {
		t.Error("an empty list has a heading")
	}
}

func BenchmarkWriteSmall(b *testing.B) { benchmarkWrite(b, usual()) }
func BenchmarkWriteLarge(b *testing.B) { benchmarkWrite(b, crowded(1500, 1500)) }

func benchmarkWrite(b *testing.B, r *detect.Report) {
	for b.Loop() {
		if err := Write(io.Discard, r, a4); err != nil {
			b.Fatal(err)
		}
	}
}
