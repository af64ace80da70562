package musicxml

import (
	"bytes"
	"errors"
	"fmt"

	"hardbars/score"
)

// What a score may ask for. The longest real files that were tried have 20,000
// notes in 5 MB; each limit is many times that.
const (
	maxElements = 4 << 20 // and attributes, each counted as a third of an element
	maxNotes    = 500_000
	maxBars     = 50_000
	maxLength   = 1 << 20 // of a piece, in quarters
	maxFine     = 1 << 20 // parts of a quarter in which one place can be counted
)

// checkElements counts what a text will be made into, before anything is built.
func checkElements(text []byte) error {
	elements := bytes.Count(text, []byte("<")) - bytes.Count(text, []byte("</"))
	if attributes := bytes.Count(text, []byte("=")); elements+attributes/3 > maxElements {
		return fmt.Errorf("the file has %d elements and %d attributes, as no score has; split it into movements or export it again", elements, attributes)
	}
	return nil
}

// checkSize refuses more notes or bars than any piece has.
func (f *File) checkSize(piano []partView) error {
	if n := len(f.NoteElements()); n > maxNotes {
		return fmt.Errorf("%s: the score has %d notes, more than the %d that are read; split it into movements", f.Name, n, maxNotes)
	}
	for _, p := range piano {
		if n := len(p.measures); n > maxBars {
			return fmt.Errorf("%s: the score has %d bars, more than the %d that are read; split it into movements", f.Name, n, maxBars)
		}
	}
	return nil
}

// checkPlaces refuses a piece in which places or lengths cannot be counted exactly
// together, or that has no end.
func (r *reader) checkPlaces() error {
	total := score.Rat{}
	for i := range r.bars {
		total = total.Add(score.Max(r.bars[i].end, r.bars[i].time.Length))
		if total.Den() > maxFine || score.Int(maxLength).Less(total) {
			return r.uncountable(i)
		}
	}
	for w := range r.written() {
		if w.Onset.Den() > maxFine || w.Length.Den() > maxFine {
			return r.uncountable(w.Bar)
		}
	}
	return nil
}

// uncountable says in which bar exact arithmetic ends.
func (r *reader) uncountable(bar int) error {
	return fmt.Errorf("bar %s (bar %d of the file): %w; mend the bar or export the score again", r.bars[bar].number, bar+1, score.Overflow)
}

// overflown turns an overflow of exact arithmetic, which is the reason of a panic,
// into an error that names the bar being read; other panics go on.
func (r *reader) overflown(fault any, err error) error {
	if cause, ok := fault.(error); ok && errors.Is(cause, score.Overflow) && len(r.bars) > 0 {
		return r.uncountable(min(r.reading, len(r.bars)-1))
	}
	if fault != nil {
		panic(fault)
	}
	return err
}
