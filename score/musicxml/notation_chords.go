package musicxml

import (
	"cmp"
	"slices"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// writeChords fills in the chords and rests with what stands at each.
func (w *writer) writeChords() {
	w.sources = w.gather()
	w.Chords = make([]notation.Chord, len(w.sources))
	order := make([]int, len(w.sources))
	for i := range w.sources {
		order[i] = i
		w.Chords[i] = w.chord(w.sources[i])
	}
	w.numberGraceChords()
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := &w.Chords[i], &w.Chords[j]
		return cmp.Or(cmp.Compare(a.Bar, b.Bar), a.At.Cmp(b.At), cmp.Compare(a.Staff, b.Staff))
	})
	w.Chords, w.sources = rearranged(w.Chords, order), rearranged(w.sources, order)
	w.chordOf = map[int]int{}
	for i := range w.Chords {
		for _, n := range w.Chords[i].Notes {
			w.chordOf[n.ID] = i
		}
	}
}

func rearranged[T any](list []T, order []int) []T {
	out := make([]T, len(list))
	for to, from := range order {
		out[to] = list[from]
	}
	return out
}

// gather puts the notes on one stem together, in the order of the file.
func (w *writer) gather() []source {
	notes := slices.Collect(w.written())
	slices.SortFunc(notes, func(a, b *pageNote) int { return cmp.Compare(a.ID, b.ID) })
	names := w.voiceNames()
	var sources []source
	last := [2]int{-1, -1} // part and chord
	for _, n := range notes {
		if n.why == unpitched {
			w.leaveOut(n.Bar, n.Onset, n.Staff, "a note without a pitch")
			continue
		}
		if here := [2]int{n.part, n.chord}; here != last {
			last = here
			sources = append(sources, source{voice: voice{n.part, names[n.ID]}})
		}
		s := &sources[len(sources)-1]
		s.notes, s.elems = append(s.notes, n), append(s.elems, w.elems[n.ID])
	}
	return sources
}

// chord is the chord or rest of a source, without beams and grace numbers.
func (w *writer) chord(s source) notation.Chord {
	first, elem := s.notes[0], s.elems[0]
	c := notation.Chord{
		Bar: first.Bar, At: first.Onset, Length: first.Length, Voice: s.voice.name, Staff: first.Staff, Hand: first.hand,
		Rest: s.rests(), Cue: first.cue, Hidden: s.hidden(),
		Stem: stemOf(s), Tremolo: first.note.Tremolo,
	}
	if grace := elem.SelectElement("grace"); grace != nil {
		c.Slashed = isYes(grace, "slash")
		c.Length = score.Rat{}
	}
	c.Cue = c.Cue || elem.SelectElement("type").NotNil().SelectAttrValue("size", "") == "cue"
	if c.Rest {
		w.rest(&c, first, elem)
	} else {
		c.Notes = w.heads(s, c.Hidden)
		c.Staff = c.Notes[0].Staff
	}
	c.Ratio = ratioOf(elem)
	c.Value = w.value(c, first, elem)
	c.Marks, c.Lyrics = marksOf(s), lyricsOf(s)
	if c.Tremolo > 0 {
		c.TremoloPart = tremoloPart(s)
	}
	w.leaveOutAt(s)
	return c
}

// hidden reports whether none of the notes is printed.
func (s source) hidden() bool {
	return !slices.ContainsFunc(s.notes, func(n *pageNote) bool { return !n.Hidden })
}

// rests reports whether it is a rest and nothing else.
func (s source) rests() bool {
	return !slices.ContainsFunc(s.notes, func(n *pageNote) bool { return !n.rest })
}

// rest fills in what only rests have. A whole rest that fills its bar stands for
// the bar, and so does one without a sign of its own.
func (w *writer) rest(c *notation.Chord, first *pageNote, elem *etree.Element) {
	rest := elem.SelectElement("rest").NotNil()
	if p, ok := restPitch(rest); ok {
		c.RestAt = p.Staff()
	}
	kind := childText(elem, "type")
	bar := w.score.Bars[c.Bar]
	c.WholeBar = first.wholeBar || (kind == "" || kind == "whole") && c.At == bar.Start && c.Length == bar.Length
}

// restPitch is the line or space that a rest stands on, where the file gives one.
func restPitch(rest *etree.Element) (p score.Pitch, ok bool) {
	step, octave := childText(rest, "display-step"), childText(rest, "display-octave")
	return score.ParsePitch(step + octave)
}

// value is the look of a chord or rest. Without a <type> the length tells.
func (w *writer) value(c notation.Chord, first *pageNote, elem *etree.Element) notation.Value {
	kind := childText(elem, "type")
	_, known := notation.TypeLength(kind)
	switch {
	case c.WholeBar:
		return notation.Value{Type: "whole"}
	case known:
		return notation.Value{Type: kind, Dots: len(elem.SelectElements("dot"))}
	case first.grace:
		return notation.Value{Type: "eighth"}
	}
	in := c.Ratio
	if odd := notation.TupletPart(first.Length); in == (notation.Ratio{}) && odd > 1 {
		in = notation.UsualRatio(odd)
	}
	v, ok := notation.ValueOf(in.Written(first.Length))
	if ok {
		return v
	}
	if !c.Hidden {
		w.leaveOut(c.Bar, c.At, c.Staff, "the part of a note or rest of "+quarters(first.Length)+" that no single sign can show")
	}
	return notation.Longest(in.Written(first.Length))
}

// stemOf is the direction that the file gives the stem.
func stemOf(s source) notation.Stem {
	for _, elem := range s.elems {
		switch childText(elem, "stem") {
		case "up":
			return notation.StemUp
		case "down":
			return notation.StemDown
		case "none":
			return notation.StemNone
		}
	}
	return notation.StemAuto
}

// heads lists the notes of a chord, low to high. One that is hidden among others
// has a head that is not drawn.
func (w *writer) heads(s source, allHidden bool) []notation.Note {
	var notes []notation.Note
	for i, n := range s.notes {
		if n.rest {
			continue
		}
		note := noteOf(n, s.elems[i])
		if n.Hidden && !allHidden {
			note.Head, note.Accidental, note.Fingering = "none", "", nil
		}
		notes = append(notes, note)
	}
	slices.SortStableFunc(notes, func(a, b notation.Note) int {
		return cmp.Or(cmp.Compare(a.Written.Staff(), b.Written.Staff()), cmp.Compare(a.Written.Alter, b.Written.Alter))
	})
	return notes
}

func noteOf(n *pageNote, elem *etree.Element) notation.Note {
	note := notation.Note{ID: n.ID, Written: n.written, Staff: n.Staff, Head: childText(elem, "notehead")}
	note.Written.Octave -= n.note.OctaveShift
	if note.Head == "normal" {
		note.Head = ""
	}
	if a := elem.SelectElement("accidental"); a != nil {
		note.Accidental = token(a)
		note.Bracketed = isYes(a, "parentheses") || isYes(a, "bracket") || isYes(a, "editorial")
	}
	for notations := range elem.SelectElementsSeq("notations") {
		readNoteSigns(&note, notations)
	}
	return note
}

// numberGraceChords numbers the grace notes of each group, and tells the groups
// that follow a note from those before one: in the file no main note comes after
// them at their place.
func (w *writer) numberGraceChords() {
	type group struct {
		voice
		bar int
		at  score.Rat
	}
	count, led := map[group]int{}, map[group]bool{}
	for i := range w.Chords {
		c := &w.Chords[i]
		here := group{w.sources[i].voice, c.Bar, c.At}
		if w.sources[i].notes[0].grace {
			count[here]++
			c.Grace = count[here]
		} else if count[here] > 0 && !c.Rest {
			led[here] = true
		}
	}
	for i := range w.Chords {
		c := &w.Chords[i]
		c.GraceAfter = c.Grace > 0 && !led[group{w.sources[i].voice, c.Bar, c.At}]
	}
}
