package musicxml

import (
	"cmp"
	"slices"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// writeSignatures fills in the clefs, keys and time signatures. One that says
// again what is in force is no change and is not drawn again.
func (w *writer) writeSignatures() {
	for _, item := range w.items {
		if item.elem.Tag != "attributes" {
			continue
		}
		for elem := range item.elem.ChildElementsSeq() {
			w.signature(item, elem)
		}
	}
	w.Clefs = slices.DeleteFunc(w.Clefs, func(c notation.Clef) bool { return w.offPage(c.Staff) })
	w.Keys = slices.DeleteFunc(w.Keys, func(k notation.Key) bool { return w.offPage(k.Staff) })
	w.sortClefs()
	w.sortKeys()
	slices.SortStableFunc(w.Times, func(a, b notation.Time) int { return a.At.Cmp(b.At) })
	w.Times = changes(w.Times, func(a, b notation.Time) bool {
		return slices.Equal(a.Beats, b.Beats) && slices.Equal(a.Types, b.Types) && a.Symbol == b.Symbol && (b.Hidden || !a.Hidden)
	})
}

func (w *writer) signature(item placed, elem *etree.Element) {
	// The staves of the lower of two one-staff parts begin at its own.
	above := max(0, item.staff-1)
	switch elem.Tag {
	case "clef":
		w.clef(item, elem, above)
	case "key":
		w.key(item, elem, above)
	case "time":
		if above == 0 && staffNumber(elem) == 1 {
			w.time(item, elem)
		}
	case "staff-details":
		if lines := whole(childText(elem, "staff-lines")); lines != 5 && lines > 0 {
			w.leaveOut(item.bar, item.at, above+staffNumber(elem), "a staff with another number of lines")
		}
	case "measure-style":
		w.measureStyle(item, elem, above+staffNumber(elem))
	}
}

func (w *writer) clef(item placed, elem *etree.Element, above int) {
	if isYes(elem, "additional") {
		w.leaveOut(item.bar, item.at, above+staffNumber(elem), "a second clef beside the first")
		return
	}
	sign := childText(elem, "sign")
	c := notation.Clef{
		At: item.at, Bar: item.bar, Staff: above + staffNumber(elem), Sign: sign, Line: clefLine(sign, childText(elem, "line")),
		Octave: int(max(-3, min(3, whole(childText(elem, "clef-octave-change"))))), Hidden: hidden(elem),
	}
	bar := w.score.Bars[item.bar]
	c.AtEnd = item.at == bar.End() && !isYes(elem, "after-barline")
	w.Clefs = append(w.Clefs, c)
}

// clefLine is the line that a clef stands on: the usual one where the file does
// not say.
func clefLine(sign, line string) int {
	if n := int(whole(line)); n != 0 {
		return max(1, min(5, n))
	}
	switch sign {
	case "F":
		return 4
	case "C":
		return 3
	}
	return 2
}

// sortClefs puts the clefs in order, with one at the start of each staff.
func (w *writer) sortClefs() {
	byPlace := func(a, b notation.Clef) int { return cmp.Or(a.At.Cmp(b.At), cmp.Compare(a.Staff, b.Staff)) }
	slices.SortStableFunc(w.Clefs, byPlace)
	for staff := 1; staff <= w.Staves; staff++ {
		first := slices.IndexFunc(w.Clefs, func(c notation.Clef) bool { return c.Staff == staff })
		if first < 0 || w.Clefs[first].At.Sign() > 0 {
			w.Clefs = append(w.Clefs, w.usualClef(staff, first))
		}
	}
	slices.SortStableFunc(w.Clefs, byPlace)
	w.Clefs = changesOn(w.Clefs, func(c notation.Clef) int { return c.Staff }, func(a, b notation.Clef) bool {
		return a.Sign == b.Sign && a.Line == b.Line && a.Octave == b.Octave && (b.Hidden || !a.Hidden)
	})
}

// usualClef is the clef at the start of a staff for which the file gives none: the
// usual one of its hand, but not the one to which its first clef, by index,
// changes. −1 is none.
func (w *writer) usualClef(staff, first int) notation.Clef {
	treble, bass := notation.Clef{Staff: staff, Sign: "G", Line: 2}, notation.Clef{Staff: staff, Sign: "F", Line: 4}
	usual, other := treble, bass
	if staffHand(staff, w.Staves, 0) == score.Left {
		usual, other = bass, treble
	}
	if first >= 0 && w.Clefs[first].Sign == usual.Sign {
		return other
	}
	return usual
}

func (w *writer) key(item placed, elem *etree.Element, above int) {
	k := notation.Key{At: item.at, Fifths: keyOf(elem).Fifths, Mode: keyOf(elem).Mode, Hidden: hidden(elem)}
	if elem.SelectAttr("number") != nil || w.pair {
		k.Staff = above + staffNumber(elem)
	}
	if elem.SelectElement("key-step") != nil {
		k.Hidden = true
		w.leaveOut(item.bar, item.at, max(1, k.Staff), "a key signature that is no major or minor one")
	}
	w.Keys = append(w.Keys, k)
}

// sortKeys puts the key signatures in order, with one for all at the start.
// Where every staff has the same it is one for all.
func (w *writer) sortKeys() {
	slices.SortStableFunc(w.Keys, func(a, b notation.Key) int {
		return cmp.Or(a.At.Cmp(b.At), cmp.Compare(a.Staff, b.Staff))
	})
	var keys []notation.Key
	for here := range byPlace(w.Keys, func(k notation.Key) score.Rat { return k.At }) {
		keys = append(keys, w.shared(here)...)
	}
	if len(keys) == 0 || keys[0].At.Sign() > 0 {
		keys = slices.Insert(keys, 0, notation.Key{})
	}
	w.Keys = changesOn(keys, func(k notation.Key) int { return k.Staff }, func(a, b notation.Key) bool {
		return a.Fifths == b.Fifths && (b.Hidden || !a.Hidden)
	})
}

// shared makes the keys of all staves at one place one, where they are the same.
func (w *writer) shared(keys []notation.Key) []notation.Key {
	one := keys[0]
	one.Staff = 0
	staves := map[int]bool{}
	for _, k := range keys {
		staves[k.Staff] = true
		if k.Staff == 0 || k.Fifths != one.Fifths || k.Hidden != one.Hidden {
			return keys
		}
	}
	if len(staves) < w.Staves {
		return keys
	}
	return []notation.Key{one}
}

func (w *writer) time(item placed, elem *etree.Element) {
	t := notation.Time{At: item.at, Hidden: hidden(elem)}
	for child := range elem.ChildElementsSeq() {
		switch child.Tag {
		case "beats":
			t.Beats = append(t.Beats, text(child))
		case "beat-type":
			t.Types = append(t.Types, text(child))
		case "interchangeable":
			w.leaveOut(item.bar, item.at, 1, "a second time signature beside the first")
		}
	}
	if symbol := elem.SelectAttrValue("symbol", ""); symbol == "common" || symbol == "cut" {
		t.Symbol = symbol
	}
	if n := min(len(t.Beats), len(t.Types)); len(t.Beats) != len(t.Types) {
		t.Beats, t.Types = t.Beats[:n], t.Types[:n]
	}
	w.Times = append(w.Times, t)
}

func (w *writer) measureStyle(item placed, style *etree.Element, staff int) {
	for elem := range style.ChildElementsSeq() {
		switch elem.Tag {
		case "measure-repeat", "beat-repeat", "slash":
			if elem.SelectAttrValue("type", "start") == "start" {
				w.leaveOut(item.bar, item.at, staff, "a sign that stands for notes written before")
			}
		}
	}
}

// changes leaves out what is the same as what is in force.
func changes[T any](sorted []T, same func(a, b T) bool) []T {
	return changesOn(sorted, func(T) int { return 0 }, same)
}

// changesOn is changes for what each staff has of its own; staff 0 holds for all.
func changesOn[T any](sorted []T, staff func(T) int, same func(a, b T) bool) []T {
	inForce := map[int]T{}
	var out []T
	for _, t := range sorted {
		now, ok := inForce[staff(t)]
		if !ok {
			now, ok = inForce[0]
		}
		if ok && same(now, t) {
			continue
		}
		if staff(t) == 0 {
			clear(inForce)
		}
		inForce[staff(t)] = t
		out = append(out, t)
	}
	return out
}
