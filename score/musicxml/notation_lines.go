package musicxml

import (
	"slices"
	"strconv"

	"github.com/beevik/etree"

	"hardbars/score/notation"
)

// lineReader reads what reaches from one direction to another.
type lineReader struct {
	*writer
	open     map[lineKey][]int             // indices into Lines
	hairpins map[*etree.Element]hairpinEnd // by the sign that begins each
	down     map[int]bool                  // by staff: the last pedal sign there is not yet ended by another
}

// end ends the lines that the direction ends: the last begun of those with its
// number, on its staff before others.
func (r *lineReader) end(d *direction) {
	for _, sign := range r.linesOf(d) {
		switch kind := sign.SelectAttrValue("type", ""); {
		case kind != "stop" && kind != "discontinue" || sign.Tag == "wedge":
		case sign.Tag == "pedal":
			r.endPedal(d, sign)
		case !r.close(d, sign):
			r.leaveOut(d.bar, d.at, r.staffOf(d.placed), "a line that has no beginning")
		}
	}
}

// endPedal reads a pedal going up: at the end of a line, or with a sign of its own.
// Of a sign and a line that are open, it ends the one that it looks like.
func (r *lineReader) endPedal(d *direction, sign *etree.Element) {
	staff := r.staffOf(d.placed)
	lined := isYes(sign, "line")
	switch {
	case r.down[staff] && !lined:
		r.pedalSign(d, sign, notation.PedalUp)
	case r.close(d, sign):
		if isYes(sign, "sign") {
			r.pedalSign(d, sign, notation.PedalUp)
		}
	case r.down[staff] || !lined:
		r.pedalSign(d, sign, notation.PedalUp)
	default:
		r.leaveOut(d.bar, d.at, staff, "a pedal line that has no beginning")
	}
}

// linesOf are the signs of a direction of the piano that belong to lines.
func (r *lineReader) linesOf(d *direction) []*etree.Element {
	if d.staff < 0 {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(d.signs), func(sign *etree.Element) bool {
		return hidden(sign) || !slices.Contains([]string{"wedge", "dashes", "bracket", "pedal"}, sign.Tag)
	})
}

// close ends an open line at the direction, and reports whether there was one.
func (r *lineReader) close(d *direction, sign *etree.Element) bool {
	key, ok := r.openAs(d, sign)
	if !ok {
		return false
	}
	last := len(r.open[key]) - 1
	line := &r.Lines[r.open[key][last]]
	line.To = d.at
	line.Niente = line.Niente || isYes(sign, "niente")
	r.open[key] = r.open[key][:last]
	return true
}

// openAs finds the open line that a sign is about; some writers end it on
// another staff.
func (r *lineReader) openAs(d *direction, sign *etree.Element) (lineKey, bool) {
	key := d.lineKey(sign)
	for staff := 0; len(r.open[key]) == 0 && staff <= r.Staves; staff++ {
		key.staff = strconv.Itoa(staff)
	}
	return key, len(r.open[key]) > 0
}

// begin begins the lines that the direction begins.
func (r *lineReader) begin(d *direction) {
	for _, sign := range r.linesOf(d) {
		switch kind := sign.SelectAttrValue("type", ""); {
		case sign.Tag == "pedal":
			r.pedal(d, sign, kind)
		case sign.Tag == "wedge":
			r.hairpin(d, sign)
		case sign.Tag == "dashes" && kind == "start":
			r.add(d, sign, notation.Dashes)
		case sign.Tag == "bracket" && kind == "start":
			r.add(d, sign, notation.Bracket)
		}
	}
}

// add begins a line; where it ends is told later.
func (r *lineReader) add(d *direction, sign *etree.Element, kind notation.LineKind) {
	key := d.lineKey(sign)
	r.open[key] = append(r.open[key], len(r.Lines))
	r.Lines = append(r.Lines, notation.Line{
		Kind: kind, From: d.at, To: d.at, Staff: r.staffOf(d.placed), Side: d.side(sign), Niente: isYes(sign, "niente"),
	})
}

// pedal reads a pedal going down, or being changed. Where the file says that
// there is a line, signs stand only where it says so too. (MusicXML 4.0,
// complexType pedal.)
func (r *lineReader) pedal(d *direction, sign *etree.Element, kind string) {
	line := isYes(sign, "line")
	switch kind {
	case "start", "sostenuto", "resume":
		if line {
			r.pedalLine(d, sign)
		}
		if kind != "resume" && (!line || isYes(sign, "sign")) {
			r.pedalSign(d, sign, notation.PedalDown)
		}
	case "change":
		if !r.changePedal(d, sign) {
			r.pedalSign(d, sign, notation.PedalDown)
		}
	}
}

// changePedal notes a change in the pedal line that is open, and reports whether
// one is.
func (r *lineReader) changePedal(d *direction, sign *etree.Element) bool {
	key, ok := r.openAs(d, sign)
	if !ok {
		return false
	}
	lines := r.open[key]
	l := &r.Lines[lines[len(lines)-1]]
	if l.From.Less(d.at) {
		l.Changes = append(l.Changes, d.at)
	}
	return true
}

// pedalLine begins a pedal line. Where one ends at the same place, or has not
// ended, it is the same line, and the pedal is changed.
func (r *lineReader) pedalLine(d *direction, sign *etree.Element) {
	if r.changePedal(d, sign) {
		return
	}
	for i := len(r.Lines) - 1; i >= 0; i-- {
		l := &r.Lines[i]
		if l.Kind == notation.PedalLine && l.Staff == r.staffOf(d.placed) && l.To == d.at && l.From.Less(d.at) {
			l.Changes = append(l.Changes, d.at)
			key := d.lineKey(sign)
			r.open[key] = append(r.open[key], i)
			return
		}
	}
	r.add(d, sign, notation.PedalLine)
}

func (r *lineReader) pedalSign(d *direction, sign *etree.Element, kind notation.SignKind) {
	s := notation.Sign{Kind: kind, At: d.at, Staff: r.staffOf(d.placed), Side: d.side(sign), Text: "Ped."}
	switch {
	case kind == notation.PedalUp:
		s.Text = "*"
	case sign.SelectAttrValue("type", "") == "sostenuto":
		s.Kind, s.Text, s.Italic = notation.Words, "Sost. Ped.", true
	}
	r.down[s.Staff] = kind == notation.PedalDown
	r.Signs = append(r.Signs, s)
}

// finish ends what the file leaves open: a line at the end of its bar, and a
// pedal line is no more than the sign at its beginning.
func (r *lineReader) finish() {
	unended := map[int]bool{}
	for _, lines := range r.open {
		for _, i := range lines {
			unended[i] = true
		}
	}
	var kept []notation.Line
	for i, l := range r.Lines {
		bar := r.score.BarAt(l.From)
		switch {
		case !unended[i]:
		case l.Kind == notation.PedalLine:
			r.leaveOut(bar, l.From, l.Staff, "a pedal line that has no end")
			l.To = l.From
			r.Signs = append(r.Signs, notation.Sign{Kind: notation.PedalDown, At: l.From, Staff: l.Staff, Side: l.Side, Text: "Ped."})
		default:
			l.To = r.Bars[bar].End()
		}
		if l.From.Less(l.To) {
			kept = append(kept, l)
		}
	}
	r.Lines = kept
}

// hairpin adds the hairpin that a sign begins.
func (r *lineReader) hairpin(d *direction, sign *etree.Element) {
	kinds := map[string]notation.LineKind{"crescendo": notation.Crescendo, "diminuendo": notation.Diminuendo}
	switch end, known := r.hairpins[sign]; {
	case !known:
	case end.sign == sign:
		r.leaveOut(d.bar, d.at, r.staffOf(d.placed), "a hairpin that has no beginning")
	case d.at.Less(end.at):
		r.Lines = append(r.Lines, notation.Line{
			Kind: kinds[sign.SelectAttrValue("type", "")], From: d.at, To: end.at, Staff: r.staffOf(d.placed), Side: d.side(sign),
			Niente: isYes(sign, "niente") || end.sign != nil && isYes(end.sign, "niente"),
		})
	}
}

// writeOctaveLines fills in the octave lines as they are read for the pitches.
func (w *writer) writeOctaveLines() {
	figures := map[int]string{1: "8", 2: "15", 3: "22"}
	lines := w.octaveLines(w.score.End())
	for staff := 1; staff <= w.Staves; staff++ {
		for _, o := range lines[staff] {
			l := notation.Line{Kind: notation.OctaveUp, From: o.from, To: o.to, Staff: staff, Side: notation.Above, Text: figures[max(o.shift, -o.shift)]}
			if o.shift < 0 {
				l.Kind, l.Side = notation.OctaveDown, notation.Below
			}
			w.Lines = append(w.Lines, l)
		}
	}
}
