package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Steps stand one below the other, each with its number, and none is alone at
// the foot or the head of a page.
func TestStepsOfAnEntry(t *testing.T) {
	f := frames["a4"]
	page := paper{newDocument(f, emptyReport(1), "study sheet")}
	page.pdf.AddPage()
	for n := range 9 {
		e := entry{number: "1", place: "Bar 1", tempo: "at any tempo", test: "Learnt: it holds."}
		for i := range n {
			e.steps = append(e.steps, fmt.Sprintf("This is step %d.", i+1))
		}
		var steps []string
		var inPart []int
		for _, p := range entryParts(page, f, e) {
			rec := &recorder{paper: page}
			p.draw(rec, 0, 0)
			before, height := len(steps), -1.0
			for _, m := range rec.marks {
				if strings.HasPrefix(m.words, "This is step") {
					if m.top <= height {
						t.Errorf("%d steps: %q is not below the one before", n, m.words)
					}
					height = m.top
					steps = append(steps, m.words)
				}
			}
			inPart = append(inPart, len(steps)-before)
		}
		if !slices.Equal(steps, e.steps) {
			t.Errorf("%d steps: got %q", n, steps)
		}
		if last := len(inPart) - 1; last > 0 && (inPart[0] != 2 || inPart[last] != 2) {
			t.Errorf("%d steps are parted %v", n, inPart)
		}
	}
}

// Each wish holds the one before, so that the lists only grow.
func TestWishesGrow(t *testing.T) {
	for i := range wishes[1:] {
		less, more := wishes[i], wishes[i+1]
		for j, n := range less.fields() {
			if *n > *more.fields()[j] {
				t.Errorf("wish %d takes back what wish %d gives: %+v, %+v", i+1, i, more, less)
			}
		}
	}
}

// A page that has room for one thing more shows it: three pages of a piece
// with many places leave less than a third of the last one blank.
func TestPagesAreFilled(t *testing.T) {
	for _, paper := range []string{"a4", "letter"} {
		f, c := frames[paper], sheetOfPaper()
		pages := newComposer(c, f, crowded(100, 200), Options{Paper: paper}).pages()
		if len(pages) != 3 {
			t.Fatalf("%s: %d pages", paper, len(pages))
		}
		for i, p := range pages {
			last := p[len(p)-1]
			if blank := f.bottom() - last.y - last.height; blank > f.height/3 {
				t.Errorf("%s, page %d: the last %.0f mm are blank", paper, i+1, blank)
			}
		}
	}
}
