package musicxml

import (
	"fmt"
	"sort"

	"hardbars/score"
)

// wholeFile stands for a bar in a warning that holds for the whole file.
const wholeFile = -1

// manyBars is how many bars may carry the same warning before they share one.
const manyBars = 12

// warner collects what was assumed, repaired or skipped. The same text is kept
// once for each bar, however many notes of the bar raise it.
type warner struct {
	raised []raised
	seen   map[raised]bool
}

type raised struct {
	bar  int // index into Score.Bars, or wholeFile
	text string
}

func (w *warner) add(bar int, format string, args ...any) {
	r := raised{bar, fmt.Sprintf(format, args...)}
	if w.seen == nil {
		w.seen = map[raised]bool{}
	}
	if !w.seen[r] {
		w.seen[r] = true
		w.raised = append(w.raised, r)
	}
}

// warnings lists what was raised in the order of the bars. A text that holds
// in very many bars is told once, at the first of them, with their number.
func (w *warner) warnings(bars []score.Bar) []score.Warning {
	sort.SliceStable(w.raised, func(i, j int) bool { return w.raised[i].bar < w.raised[j].bar })
	count := map[string]int{}
	for _, r := range w.raised {
		count[r.text]++
	}
	var out []score.Warning
	for _, r := range w.raised {
		n := count[r.text]
		switch {
		case n < 0: // told already
		case r.bar == wholeFile:
			out = append(out, score.Warning{Text: r.text})
		case n > manyBars:
			count[r.text] = -1
			out = append(out, score.Warning{Bar: bars[r.bar].Number, Text: fmt.Sprintf("%s (and so in %d more bars)", r.text, n-1)})
		default:
			out = append(out, score.Warning{Bar: bars[r.bar].Number, Text: r.text})
		}
	}
	return out
}
