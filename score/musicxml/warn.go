package musicxml

import (
	"fmt"
	"sort"

	"hardbars/score"
)

// wholeFile stands for a bar in a warning that holds for the whole file.
const wholeFile = -1

// manyBars is how many times a warning of one kind is spelled out.
const manyBars = 12

// warner collects what was assumed, repaired or skipped. The same text is kept
// once for each bar, however many notes of the bar raise it.
type warner struct {
	raised []raised
	seen   map[raised]bool
}

type raised struct {
	bar        int    // index into Score.Bars, or wholeFile
	kind, text string // the text before and after its figures were filled in
}

func (w *warner) add(bar int, format string, args ...any) {
	r := raised{bar, format, fmt.Sprintf(format, args...)}
	if w.seen == nil {
		w.seen = map[raised]bool{}
	}
	if !w.seen[r] {
		w.seen[r] = true
		w.raised = append(w.raised, r)
	}
}

// warnings lists what was raised in the order of the bars. What is raised of the
// same kind very many times is told once, at the first bar, with how many more.
func (w *warner) warnings(bars []score.Bar) []score.Warning {
	sort.SliceStable(w.raised, func(i, j int) bool { return w.raised[i].bar < w.raised[j].bar })
	count := map[string]int{}
	for _, r := range w.raised {
		count[r.kind]++
	}
	var out []score.Warning
	for _, r := range w.raised {
		warning := score.Warning{Text: r.text}
		if r.bar != wholeFile {
			warning.Bar = bars[r.bar].Number
		}
		if n := count[r.kind]; n > manyBars {
			warning.Text += fmt.Sprintf(" (and the like in %d more places)", n-1)
			count[r.kind] = told
		} else if n == told {
			continue
		}
		out = append(out, warning)
	}
	return out
}

// told marks a kind of warning that needs no further mention.
const told = -1
