package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// Steps stand one below the other, each with its number, and a box to tick for
// each tempo.
func TestStepsOfABlock(t *testing.T) {
	f := frames["a4"]
	page := paper{newDocument(f, emptyReport(1), "study sheet")}
	page.pdf.AddPage()
	for n := range 9 {
		e := entry{number: "1", place: "Bar 1", tempo: "at any tempo", test: "Learnt: it holds."}
		for i := range n {
			e.steps = append(e.steps, fmt.Sprintf("This is step %d.", i+1))
			e.ladder = append(e.ladder, fmt.Sprint(40+i))
		}
		var steps []string
		boxes, height := 0, -1.0
		for _, p := range paginate(f, topMargin, []block{spotBlock(page, f, e, music{}, nil, nil)})[0] {
			rec := &recorder{paper: page}
			p.draw(rec, margin, p.y)
			for _, m := range rec.marks {
				switch {
				case m.words == "" && math.Hypot(m.right-m.left-tickBox, m.bottom-m.top-tickBox) < 1e-9:
					boxes++
				case strings.HasPrefix(m.words, "This is step"):
					if m.top <= height {
						t.Errorf("%d steps: %q is not below the one before", n, m.words)
					}
					height = m.top
					steps = append(steps, m.words)
				}
			}
		}
		if !slices.Equal(steps, e.steps) {
			t.Errorf("%d steps: got %q", n, steps)
		}
		if boxes != n {
			t.Errorf("%d boxes for %d tempos", boxes, n)
		}
	}
}

// Each wish holds the one before, so that the lists only grow.
func TestWishesGrow(t *testing.T) {
	for i := range wishes[1:] {
		less, more := wishes[i], wishes[i+1]
		if less.rows > more.rows || less.blocks > more.blocks || less.returns > more.returns || less.assumed > more.assumed {
			t.Errorf("wish %d takes back what wish %d gives: %+v, %+v", i+1, i, more, less)
		}
	}
}

// A page that has room for the next block shows it, as long as there may be
// pages: of a piece with many places none of the pages of blocks ends where the
// first block of the next would have fitted.
func TestPagesAreFilled(t *testing.T) {
	for _, paper := range []string{"a4", "letter"} {
		f, c := frames[paper], sheetOfPaper()
		pages := newComposer(c, f, crowded(100, 200), Options{Paper: paper}).pages()
		if len(pages) != 4 {
			t.Fatalf("%s: %d pages", paper, len(pages))
		}
		for i, p := range pages[:3] {
			last := p[len(p)-1]
			if blank := f.bottom() - last.y - last.height - blockGap; blank >= blockHeight(pages[i+1]) {
				t.Errorf("%s, page %d: the last %.0f mm are blank, and the next block has %.0f", paper, i+1, blank, blockHeight(pages[i+1]))
			}
		}
	}
}

// blockHeight is the height of the first block of a page.
func blockHeight(p page) float64 {
	for i := range p {
		if i > 0 && (p[i].spot != "" || p[i].heading) {
			return p[i-1].y + p[i-1].height - p[0].y
		}
	}
	return p[len(p)-1].y + p[len(p)-1].height - p[0].y
}
