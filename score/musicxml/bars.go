package musicxml

import (
	"strconv"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
)

// draft is a bar while the parts are being read.
type draft struct {
	number   string
	implicit bool
	time     score.Time
	key      score.Key

	end        score.Rat // where its longest part ends
	rested     score.Rat // its longest whole-bar rest in the file
	slack      score.Rat // how far rounding may have moved the end
	noNotes    bool      // drawn as part of a rest over several bars
	repeatBack bool      // ends with a repeat sign
	repeatOpen bool      // begins with one
}

// openBar makes the draft of a bar, once for all parts.
func (r *reader) openBar(index int, measure *etree.Element) {
	if index < len(r.bars) {
		return
	}
	r.bars = append(r.bars, draft{})
	bar := &r.bars[index]
	bar.implicit = measure.SelectAttrValue("implicit", "no") == "yes"
	bar.number = strings.TrimSpace(measure.SelectAttrValue("number", ""))
	if text := strings.TrimSpace(measure.SelectAttrValue("text", "")); text != "" && !bar.implicit {
		bar.number = text // what is printed where it differs from the number
	}
	if bar.number == "" {
		bar.number = strconv.Itoa(index + 1)
		r.warner.add(index, "the bar has no number; it is counted as bar %s of the file", bar.number)
	}
}

// numberBars counts the bars of a file whose own numbers tell most of them not
// apart: all 0, all X.
func (r *reader) numberBars() {
	useless := 0
	for i, b := range r.bars {
		if !strings.ContainsAny(b.number, "0123456789") || i > 0 && b.number == r.bars[i-1].number {
			useless++
		}
	}
	if len(r.bars) < 2 || 2*useless < len(r.bars) {
		return
	}
	for i := range r.bars {
		r.bars[i].number = strconv.Itoa(i + 1)
	}
	r.warner.add(wholeFile, "the file does not number its bars; they are counted from 1, the first of the file")
}

// layBars gives each bar its number, its length and its place.
func (r *reader) layBars() []score.Bar {
	r.numberBars()
	bars := make([]score.Bar, len(r.bars))
	var start score.Rat
	for i := range r.bars {
		d := &r.bars[i]
		bars[i] = score.Bar{
			Number: d.number, Index: i + 1, Start: start, Length: r.barLength(i),
			Implicit: d.implicit, Time: d.time, Key: d.key,
		}
		start = bars[i].End()
	}
	for i := range bars {
		r.checkLength(bars, i)
	}
	return bars
}

// debris is more than rounding leaves behind in any file that can be read at all.
var debris = score.R(1, 16)

// barLength is where the longest part ends. Where nothing but rounding lies
// between that and the time signature, it is the time signature's length.
func (r *reader) barLength(i int) score.Rat {
	d := &r.bars[i]
	full := d.time.Length
	end := score.Max(d.end, d.rest())
	if off := distance(end, full); off.Cmp(d.slack) <= 0 && off.Less(debris) {
		end = full
	}
	if end.Sign() > 0 {
		return end
	}
	if full.IsZero() {
		full = score.Int(4)
	}
	if !d.noNotes {
		r.warner.add(i, "the bar is empty; it is taken to last %s", quarters(full))
	}
	return full
}

// rest is how far a whole-bar rest makes the bar last. It is drawn, and by some
// writers counted, as four quarters in every time signature, and in a pickup the
// notes know better.
func (d *draft) rest() score.Rat {
	switch full := d.time.Length; {
	case d.implicit && d.end.Sign() > 0:
		return score.Rat{}
	case full.Sign() > 0:
		return score.Min(d.rested, full)
	}
	return d.rested
}

// checkLength warns of a bar that is longer than its time signature, or shorter
// without being a pickup, the rest of one, or half of a bar that a sign divides.
func (r *reader) checkLength(bars []score.Bar, i int) {
	full, length := bars[i].Time.Length, bars[i].Length
	if full.IsZero() {
		return
	}
	if full.Less(length) {
		r.warner.add(i, "the bar holds %s, more than its time signature's %s", quarters(length), full)
		return
	}
	if length == full || bars[i].Implicit || i == 0 || i == len(bars)-1 || r.divided(i) || r.divided(i-1) {
		return
	}
	if length.Add(bars[i-1].Length) == full || length.Add(bars[i+1].Length) == full {
		return
	}
	r.warner.add(i, "the bar holds only %s of its time signature's %s", quarters(length), full)
}

// divided reports whether a repeat sign stands between bar i and the next.
func (r *reader) divided(i int) bool {
	return r.bars[i].repeatBack || r.bars[i+1].repeatOpen
}
