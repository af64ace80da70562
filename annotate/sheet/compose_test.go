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
		e := entry{number: "1", place: "Bar 1", tempo: "at any tempo"}
		for i := range n {
			e.steps = append(e.steps, fmt.Sprintf("This is step %d.", i+1))
			e.ladder = append(e.ladder, fmt.Sprint(40+i))
		}
		var steps []string
		boxes, height := 0, -1.0
		for _, p := range paginate(f, topMargin, []block{spotBlock(page, f, e, music{})})[0] {
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

// A page that has room for the next passage, were it without its picture, shows
// it: no page of passages ends where the first of the next would have fitted.
func TestPagesAreFilled(t *testing.T) {
	for _, paper := range []string{"a4", "letter"} {
		f, c := frames[paper], sheetOfPaper()
		s := newComposer(c, f, crowded(100, 200), Options{Paper: paper, Sections: []Section{Passages}})
		blocks := s.passages()
		pages := s.pages()
		used := 0.0
		for _, b := range blocks[:len(s.entries)] {
			used += heightOf(b.shortest().all(f)) + blockGap
		}
		if most := int(used/(f.bottom()-topMargin)) + 3; len(pages) > most {
			t.Errorf("%s: %d pages for %.0f mm of passages", paper, len(pages), used)
		}
	}
}

// shortest is a block in its shortest form.
func (b block) shortest() block {
	for b.shorter != nil {
		b = *b.shorter
	}
	return b
}

func TestParseSections(t *testing.T) {
	for list, want := range map[string][]Section{"all": Sections, "lesson": {Lesson}, "plan, figures": {Plan, Figures}} {
		if got, err := ParseSections(list); err != nil || !slices.Equal(got, want) {
			t.Errorf("%q: %v, %v", list, got, err)
		}
	}
	for _, list := range []string{"", "lessons", "lesson,,plan"} {
		if _, err := ParseSections(list); err == nil || !strings.Contains(err.Error(), "lesson, passages, habits") {
			t.Errorf("%q: the error %v does not say what there is to choose", list, err)
		}
	}
}

// What is not asked for is not on the sheet, and what is, is.
func TestSectionsAreChosen(t *testing.T) {
	telling := map[Section]string{
		Lesson: "Bar by bar", Passages: "The passages, in the order", Form: "How the piece is put", Figures: "The figures behind",
	}
	for chosen := range telling {
		text := wording(usual(), Options{Paper: "a4", Sections: []Section{chosen}})
		for section, words := range telling {
			if strings.Contains(text, words) != (section == chosen) {
				t.Errorf("asked for %s, %q is on the sheet: %v", chosen, words, section != chosen)
			}
		}
	}
}
