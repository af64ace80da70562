package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// sheetOfPaper measures text.
func sheetOfPaper() canvas {
	return paper{newDocument(frames["a4"], emptyReport(1), "study sheet")}
}

func TestWrap(t *testing.T) {
	c := sheetOfPaper()
	texts := []string{
		"", "word", "The left hand drops 26 semitones (364 mm) from C4 to B♭1 in 0.45 s: 10.9 bits a second.",
		strings.Repeat("unbroken", 30), strings.Repeat("é", 100) + " " + strings.Repeat("ab ", 80), "\n a \t b ",
	}
	for _, text := range texts {
		for _, width := range []float64{5, 20, 60} {
			lines := wrap(c, text, bodyFace, width, 1000)
			for _, line := range lines {
				if c.width(line, bodyFace) > width && !strings.Contains(line, " ") && utf8.RuneCountInString(line) > 1 {
					t.Errorf("%q is wider than %g mm", line, width)
				}
			}
			if got, want := strings.Join(lines, ""), strings.Join(strings.Fields(text), ""); strings.ReplaceAll(got, " ", "") != want {
				t.Errorf("at %g mm %q became %q", width, want, got)
			}
		}
	}
}

func TestWrapKeepsFiguresWithTheirUnits(t *testing.T) {
	c := sheetOfPaper()
	for width := 30.0; width < 90; width++ {
		for _, line := range wrap(c, "from A1 up to A3 in 0.83 s on the keyboard, which is 329 mm wide", bodyFace, width, 99) {
			if strings.HasSuffix(line, "0.83") || strings.HasSuffix(line, "329") {
				t.Errorf("at %g mm a line ends in %q", width, line)
			}
		}
	}
}

func TestWrapAtMost(t *testing.T) {
	c := sheetOfPaper()
	lines := wrap(c, strings.Repeat("many words ", 100), bodyFace, 60, 3)
	if len(lines) != 3 || !strings.HasSuffix(lines[2], "…") || c.width(lines[2], bodyFace) > 60 {
		t.Errorf("got %q", lines)
	}
	if lines := wrap(c, "few words", bodyFace, 60, 3); !slices.Equal(lines, []string{"few words"}) {
		t.Errorf("got %q", lines)
	}
}

// A heading is never the last thing on a page, no part is lost or doubled,
// parts stay in order, and a block that fits on a page stands on one.
func TestPaginate(t *testing.T) {
	f := frames["a4"]
	for height := 3.0; height < 200; height += 7 {
		var blocks []block
		for b := range 5 {
			var parts []part
			for p := range 4 {
				parts = append(parts, part{height: height, outline: target{words: fmt.Sprint(b, ".", p)}})
			}
			blocks = append(blocks, block{heading: fmt.Sprint(b), parts: parts})
		}
		var order []string
		pagesOf := map[byte]map[int]bool{}
		for n, page := range paginate(f, firstTop, blocks) {
			for i, p := range page {
				if p.y+p.height > f.bottom() || p.y < firstTop {
					t.Errorf("parts of %g mm: one from %g mm is outside the frame", height, p.y)
				}
				if p.heading && i == len(page)-1 {
					t.Errorf("parts of %g mm: a heading ends a page", height)
				}
				order = append(order, p.outline.words)
				b := p.outline.words[0]
				if pagesOf[b] == nil {
					pagesOf[b] = map[int]bool{}
				}
				pagesOf[b][n] = true
			}
		}
		if len(order) != 25 || !slices.IsSorted(order) {
			t.Errorf("parts of %g mm: in order %v", height, order)
		}
		for b, on := range pagesOf {
			if whole := heightOf(blocks[0].all(f)); whole <= f.bottom()-topMargin && len(on) > 1 {
				t.Errorf("block %c of %g mm stands on %d pages", b, whole, len(on))
			}
		}
	}
}

// Where the rest of a page has no room for a block, the longest of the shorter
// ones that has takes its place; where none has, the block begins a page.
func TestShorter(t *testing.T) {
	f := frames["a4"]
	named := func(name string, height float64, shorter *block) block {
		return block{parts: []part{{height: height, outline: target{words: name}}}, shorter: shorter}
	}
	least := named("least", 20, nil)
	less := named("less", 60, &least)
	for _, tt := range []struct {
		room float64
		want string
	}{{120, "all"}, {99, "less"}, {60, "less"}, {59, "least"}, {19, "all"}} {
		first := named("first", f.bottom()-firstTop-blockGap-tt.room-1e-6, nil)
		pages := paginate(f, firstTop, []block{first, named("all", 100, &less)})
		last := pages[len(pages)-1]
		if got := last[len(last)-1].outline.words; got != tt.want || (len(pages) == 2) != (tt.room < 20) {
			t.Errorf("in %g mm: %q on %d pages, want %q", tt.room, got, len(pages), tt.want)
		}
	}
	for by, want := range []string{"all", "less", "least", "least"} {
		if got := named("all", 100, &less).shortened(by).parts[0].outline.words; got != want {
			t.Errorf("%d forms shorter: %q, want %q", by, got, want)
		}
	}
}

// A block that may go back stands on the first page with room for the whole of
// it, below what is there; where none has room it follows the last block.
func TestPaginateGoesBack(t *testing.T) {
	f := frames["a4"]
	named := func(name string, height float64, back bool) block {
		return block{back: back, parts: []part{{height: height, outline: target{words: name}}}}
	}
	before := []block{named("first", 200, false), named("second", 150, false), named("third", 200, false)}
	for _, test := range []struct {
		height float64
		back   bool
		want   int
	}{{40, true, 0}, {80, true, 1}, {150, true, 3}, {40, false, 2}, {80, false, 3}} {
		pages := paginate(f, topMargin, append(slices.Clip(before), named("list", test.height, test.back)))
		got := slices.IndexFunc(pages, func(p page) bool { return p[len(p)-1].outline.words == "list" })
		if got != test.want {
			t.Errorf("a list of %v mm, back %v, is on page %d, want %d", test.height, test.back, got, test.want)
			continue
		}
		p := pages[got]
		if last := p[len(p)-1]; last.y+last.height > f.bottom() {
			t.Errorf("a list of %v mm ends at %v mm, below the page", test.height, last.y+last.height)
		}
		if n := len(p); n > 1 && p[n-1].y < p[n-2].y+p[n-2].height+blockGap-1e-9 {
			t.Errorf("a list of %v mm is %v mm below the block before it", test.height, p[n-1].y-p[n-2].y-p[n-2].height)
		}
	}
}
