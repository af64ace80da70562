package musicxml

import (
	"cmp"
	"slices"
	"strconv"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

func ratioOf(note *etree.Element) notation.Ratio {
	var s symbol
	if t := note.SelectElement("time-modification"); t != nil {
		s.tuplet(t)
	}
	return s.ratio()
}

// tuplet is a notation.Tuplet with what its number and bracket depend on.
type tuplet struct {
	notation.Tuplet
	number  string         // tells tuplets apart that are open together
	show    string         // "actual", "both" or "none"
	bracket string         // "yes", "no" or ""
	printed notation.Ratio // as the sign itself has it; 0 where it does not
	notes   notation.Ratio // of its notes
}

// writeTuplets fills in the tuplets: as the file marks them, or by rule where it
// marks none at all.
func (w *writer) writeTuplets() {
	read := w.markedTuplets
	if !w.hasSign("tuplet") {
		read = w.likelyTuplets
	}
	var all []tuplet
	for _, line := range w.VoicesByBar() {
		all = append(all, nested(read(line))...)
	}
	slices.SortStableFunc(all, func(a, b tuplet) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.Depth, b.Depth))
	})
	for _, t := range all {
		w.Tuplets = append(w.Tuplets, t.Tuplet)
		w.brackets = append(w.brackets, t.bracket)
	}
}

// writeBrackets decides about the brackets that the file leaves open.
func (w *writer) writeBrackets() {
	for i := range w.Tuplets {
		t := &w.Tuplets[i]
		t.Bracket = w.brackets[i] == "yes" || w.brackets[i] == "" && t.Text != "" && !w.OneBeam(t.From, t.To)
	}
}

// hasSign reports whether a sign of that name hangs on any note.
func (w *writer) hasSign(tag string) bool {
	for _, s := range w.sources {
		for _, sign := range s.signs {
			if sign.Tag == tag {
				return true
			}
		}
	}
	return false
}

// markedTuplets reads the signs of one voice in one bar. A tuplet that is never
// ended goes as far as its notes are played in its time.
func (w *writer) markedTuplets(line []int) []tuplet {
	var done, open []tuplet
	for _, i := range line {
		var ended []string
		for _, sign := range w.sources[i].signs {
			switch {
			case sign.Tag != "tuplet":
			case sign.SelectAttrValue("type", "") == "start":
				open = append(open, tupletOf(sign, i))
			default:
				ended = append(ended, sign.SelectAttrValue("number", ""))
			}
		}
		mine := w.Chords[i].Ratio
		for k := range open {
			if mine != (notation.Ratio{}) {
				open[k].To, open[k].notes = i, smaller(open[k].notes, mine)
			}
		}
		for _, number := range ended {
			done, open = endTuplet(done, open, number)
		}
	}
	return slices.DeleteFunc(append(done, open...), func(t tuplet) bool { return t.notes == notation.Ratio{} })
}

// endTuplet ends the open tuplet of that number, the last of several.
func endTuplet(done, open []tuplet, number string) (nowDone, stillOpen []tuplet) {
	for k := len(open) - 1; k >= 0; k-- {
		if open[k].number == number {
			return append(done, open[k]), slices.Delete(open, k, k+1)
		}
	}
	return done, open
}

func tupletOf(sign *etree.Element, chord int) tuplet {
	t := tuplet{
		number: sign.SelectAttrValue("number", ""), show: sign.SelectAttrValue("show-number", "actual"),
		bracket: sign.SelectAttrValue("bracket", ""),
		printed: notation.Ratio{Actual: printedNumber(sign, "tuplet-actual"), Normal: printedNumber(sign, "tuplet-normal")},
	}
	t.From, t.To, t.Side = chord, chord, sideOf(sign)
	return t
}

func printedNumber(sign *etree.Element, side string) int64 {
	return whole(childText(sign.SelectElement(side).NotNil(), "tuplet-number"))
}

// smaller is the ratio of fewer notes; a is none at first.
func smaller(a, b notation.Ratio) notation.Ratio {
	if a == (notation.Ratio{}) || b.Actual < a.Actual {
		return b
	}
	return a
}

// likelyTuplets groups the notes of one voice in one bar that are played in
// another time, where no sign does. A group is full when it lasts as long as its
// shortest value taken as often as the ratio says, or twice, four times that.
func (w *writer) likelyTuplets(line []int) []tuplet {
	var done []tuplet
	var length, shortest score.Rat
	open := false
	for _, i := range line {
		c := &w.Chords[i]
		mine := w.Chords[i].Ratio
		if mine == (notation.Ratio{}) || c.WholeBar || c.Grace > 0 {
			open = false
			continue
		}
		value, _ := notation.TypeLength(c.Value.Type)
		if !open || done[len(done)-1].notes != mine {
			done = append(done, tuplet{notes: mine, show: "actual", Tuplet: notation.Tuplet{From: i}})
			open, length, shortest = true, score.Rat{}, value
		}
		done[len(done)-1].To = i
		length, shortest = length.Add(c.Length), score.Min(shortest, value)
		full := shortest.Mul(score.Int(mine.Normal))
		open = length.Less(full) || notation.TupletPart(length.Div(full)) > 1
	}
	return done
}

// nested gives the tuplets of one voice in one bar their depth and their number.
// Of two over the same notes the one of the lower number, or else the one that
// begins first in the file, is the outer.
func nested(all []tuplet) []tuplet {
	slices.SortStableFunc(all, func(a, b tuplet) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(b.To, a.To), cmp.Compare(a.number, b.number))
	})
	for i := range all {
		t, outer := &all[i], notation.Ratio{}
		for k := range i {
			if o := &all[k]; t.To <= o.To {
				t.Depth, outer = o.Depth+1, o.notes
			}
		}
		t.Text = t.text(outer)
	}
	return all
}

// text is the number as printed, for a tuplet within another one of that ratio.
func (t *tuplet) text(outer notation.Ratio) string {
	r := t.printed
	if r.Actual < 1 {
		r = t.notes
		if outer != (notation.Ratio{}) && outer != r {
			inner := score.R(r.Actual, r.Normal).Div(score.R(outer.Actual, outer.Normal))
			r = notation.Ratio{Actual: inner.Num(), Normal: inner.Den()}
		}
	}
	if t.show == "none" {
		return ""
	}
	text := strconv.FormatInt(r.Actual, 10)
	if t.show == "both" && r.Normal > 0 {
		text += ":" + strconv.FormatInt(r.Normal, 10)
	}
	return text
}
