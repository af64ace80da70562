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

// A heading is never the last thing on a page, no part is lost or doubled, and
// parts stay in order.
func TestPaginate(t *testing.T) {
	f := frames["a4"]
	for height := 3.0; height < 200; height += 7 {
		var order []string
		var blocks []block
		for b := range 5 {
			var parts []part
			for p := range 4 {
				name := fmt.Sprint(b, ".", p)
				parts = append(parts, part{height: height, draw: func(canvas, float64, float64) { order = append(order, name) }})
			}
			blocks = append(blocks, block{heading: "heading", parts: parts})
		}
		total := 0
		for _, page := range paginate(f, firstTop, blocks) {
			for i, p := range page {
				total++
				if p.y+p.height > f.bottom() || p.y < firstTop {
					t.Errorf("parts of %g mm: one from %g mm is outside the frame", height, p.y)
				}
				if p.height == 9 && i == len(page)-1 {
					t.Errorf("parts of %g mm: a heading ends a page", height)
				}
				if p.height == height {
					p.draw(nil, 0, 0)
				}
			}
		}
		if total != 25 || len(order) != 20 || !slices.IsSorted(order) {
			t.Errorf("parts of %g mm: %d placed, in order %v", height, total, order)
		}
	}
}
