package musicxml

import (
	"slices"
	"strconv"

	"github.com/beevik/etree"
)

// writeBeams fills in the beams: as the file has them, or by rule where it has
// none at all.
func (w *writer) writeBeams() {
	if !w.hasElement("beam") {
		w.Beam()
		return
	}
	for _, line := range w.Voices() {
		w.fileBeams(line)
	}
}

// hasElement reports whether any note has an element of that name.
func (w *writer) hasElement(tag string) bool {
	return slices.ContainsFunc(w.sources, func(s source) bool {
		return slices.ContainsFunc(s.elems, func(e *etree.Element) bool { return e.SelectElement(tag) != nil })
	})
}

// fileBeams sets the beams of one voice by the file's first-level ones. A group
// that is not begun or not ended is taken as far as it goes; rests may lie within
// one.
func (w *writer) fileBeams(line []int) {
	var chords []int
	var marks []map[int]string
	for _, i := range line {
		if w.Chords[i].Rest {
			continue
		}
		here := w.sources[i].beams()
		if mark := beam(here[1]); mark == "" || mark == "begin" {
			w.SetBeams(chords, marks)
			chords, marks = nil, nil
		}
		if beam(here[1]) == "" {
			continue
		}
		chords, marks = append(chords, i), append(marks, here)
		if here[1] == "end" {
			w.SetBeams(chords, marks)
			chords, marks = nil, nil
		}
	}
	w.SetBeams(chords, marks)
}

// beams is what the file says of each level of beams at the chord, by level.
func (s source) beams() map[int]string {
	for _, elem := range s.elems {
		if elem.SelectElement("beam") == nil {
			continue
		}
		marks := map[int]string{}
		for b := range elem.SelectElementsSeq("beam") {
			level, _ := strconv.Atoi(b.SelectAttrValue("number", "1"))
			marks[level] = token(b)
		}
		return marks
	}
	return nil
}
