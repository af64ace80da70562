package musicxml

import (
	"strings"

	"github.com/beevik/etree"

	"hardbars/score/notation"
)

// writeBars fills in the bars with their barlines and endings.
func (w *writer) writeBars() {
	readRepeats(w.score, w.items)
	w.Bars = make([]notation.Bar, len(w.score.Bars))
	for i, b := range w.score.Bars {
		w.Bars[i] = notation.Bar{Number: b.Number, Implicit: b.Implicit, Start: b.Start, Length: b.Length, Time: b.Time}
		if b.Implicit {
			w.Bars[i].Number = ""
		}
	}
	w.writeEndings()
	for _, item := range w.items {
		if item.elem.Tag == "barline" {
			w.barline(item)
		}
	}
}

// barline reads one side of a bar. A repeat sign on the wrong side of a barline
// belongs to the bar beyond, as readRepeat has it.
func (w *writer) barline(item placed) {
	bar := &w.Bars[item.bar]
	location := item.elem.SelectAttrValue("location", "right")
	side := &bar.Right
	switch location {
	case "left":
		side = &bar.Left
	case "middle":
		w.leaveOut(item.bar, item.at, max(1, item.staff), "a barline within the bar")
		return
	}
	style := childText(item.elem, "bar-style")
	repeat := item.elem.SelectElement("repeat")
	if repeat == nil {
		if style != "" && style != "regular" {
			side.Style = style
		}
		w.barlineSigns(item, location)
		return
	}
	if repeat.SelectAttrValue("direction", "") == "forward" {
		if location == "right" && item.bar+1 < len(w.Bars) {
			bar = &w.Bars[item.bar+1]
		}
		bar.Left = notation.Barline{Style: "heavy-light", Repeat: true}
	} else {
		if location == "left" && item.bar > 0 {
			bar = &w.Bars[item.bar-1]
		}
		bar.Right = notation.Barline{Style: "light-heavy", Repeat: true, Times: int(max(0, min(maxTimes, whole(repeat.SelectAttrValue("times", "")))))}
	}
	w.barlineSigns(item, location)
}

// barlineSigns reads what stands over a barline.
func (w *writer) barlineSigns(item placed, location string) {
	at := w.Bars[item.bar].Start
	if location == "right" {
		at = w.Bars[item.bar].End()
	}
	for sign := range item.elem.ChildElementsSeq() {
		switch sign.Tag {
		case "segno":
			w.Signs = append(w.Signs, notation.Sign{Kind: notation.Segno, At: at, Staff: 1, Side: notation.Above})
		case "coda":
			w.Signs = append(w.Signs, notation.Sign{Kind: notation.Coda, At: at, Staff: 1, Side: notation.Above})
		case "fermata":
			w.leaveOut(item.bar, at, 1, "a fermata over a barline")
		}
	}
}

// writeEndings gives the bars the endings that Score reads, with their text.
func (w *writer) writeEndings() {
	starts, stops := map[int]*etree.Element{}, map[int]*etree.Element{}
	for _, item := range w.items {
		e := item.elem.SelectElement("ending")
		if item.elem.Tag != "barline" || e == nil {
			continue
		}
		if e.SelectAttrValue("type", "") == "start" {
			starts[item.bar] = e
		} else {
			stops[item.bar] = e
		}
	}
	text, shown := "", true
	for i, b := range w.score.Bars {
		if b.Ending == "" {
			continue
		}
		begins := starts[i] != nil || i == 0 || w.score.Bars[i-1].Ending != b.Ending
		if begins {
			text, shown = strings.ReplaceAll(b.Ending, ",", ", ")+".", true
			if e := starts[i]; e != nil {
				shown = !hidden(e)
				if own := plain(e.Text()); own != "" {
					text = own
				}
			}
		}
		ends := i == len(w.score.Bars)-1 || starts[i+1] != nil || w.score.Bars[i+1].Ending != b.Ending
		if shown {
			w.Bars[i].Ending = &notation.Ending{
				Text: text, Start: begins, Stop: ends,
				Open: ends && stops[i] != nil && stops[i].SelectAttrValue("type", "") == "discontinue",
			}
		}
	}
}
