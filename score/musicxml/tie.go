package musicxml

import (
	"cmp"
	"sort"

	"hardbars/score"
)

// soundingNotes joins tied notes and sorts the result as Score.Notes promises.
func (r *reader) soundingNotes() []score.Note {
	r.numberGraces()
	r.beginWavyLines()
	heads := r.heads()
	t := tier{reader: r, notes: make([]score.Note, 0, len(heads)), open: map[int][]tie{}}
	for _, w := range heads {
		t.add(w)
	}
	t.warnLoose()
	sort.SliceStable(t.notes, func(i, j int) bool { return before(&t.notes[i], &t.notes[j]) })
	return t.notes
}

// heads lists the written notes in the order of the notes that they would be
// without ties.
func (r *reader) heads() []*pageNote {
	heads := make([]*pageNote, 0, len(r.notes))
	single := make([]score.Head, len(r.notes)) // one allocation for all notes
	for i := range r.notes {
		if w := &r.notes[i]; !w.rest {
			single[i] = w.Head
			w.strike(single[i : i+1 : i+1])
			heads = append(heads, w)
		}
	}
	sort.Slice(heads, func(i, j int) bool { return before(&heads[i].note, &heads[j].note) })
	return heads
}

// strike makes the sounding note that begins with w.
func (w *pageNote) strike(heads []score.Head) {
	n := &w.note
	n.Hand, n.Bar, n.Onset, n.Length = w.hand, w.Bar, w.Onset, w.Length
	n.Voice, n.Staff = w.Voice, w.Staff
	n.Heads = heads
}

// numberGraces numbers the grace notes that one voice plays before one instant,
// those at the end of a bar included. The notes of a grace chord share a number.
func (r *reader) numberGraces() {
	type place struct {
		voice
		at score.Rat
	}
	last := map[place]*pageNote{}
	for i := range r.notes {
		w := &r.notes[i]
		if !w.grace {
			continue
		}
		key := place{voice{w.part, w.Voice}, w.Onset}
		w.note.Grace = 1
		if prev := last[key]; prev != nil {
			w.note.Grace = prev.note.Grace
			if prev.chord != w.chord {
				w.note.Grace++
			}
		}
		last[key] = w
	}
}

// before is the order of Score.Notes.
func before(a, b *score.Note) bool {
	switch {
	case a.Onset != b.Onset:
		return a.Onset.Less(b.Onset)
	case (a.Grace > 0) != (b.Grace > 0):
		return a.Grace > 0
	case a.Hand != b.Hand:
		return a.Hand < b.Hand
	case a.Grace != b.Grace:
		return a.Grace < b.Grace
	case a.Pitch.MIDI() != b.Pitch.MIDI():
		return a.Pitch.MIDI() < b.Pitch.MIDI()
	}
	return a.Heads[0].ID < b.Heads[0].ID
}

// tier joins tied notes.
type tier struct {
	*reader
	notes []score.Note
	open  map[int][]tie // ties that wait for their second note, by key
	loose []*pageNote   // where ties begin that lead nowhere
}

// tie begins at a written note and waits for the note that goes on from it.
type tie struct {
	from *pageNote
	note int // index into tier.notes
}

// add makes a note of its own, or the continuation of the one it is tied from.
func (t *tier) add(w *pageNote) {
	key := w.note.Pitch.MIDI()
	note := -1
	if w.tieStop {
		note = t.take(key, w)
	}
	if note < 0 {
		note = len(t.notes)
		t.notes = append(t.notes, w.note)
	} else {
		extend(&t.notes[note], w)
	}
	if w.tieStart {
		t.wait(key, tie{w, note})
	}
}

// maxOpen is more ties than wait on one key in any score: one a voice.
const maxOpen = 64

// wait keeps a tie until its second note comes. The oldest gives way.
func (t *tier) wait(key int, begun tie) {
	open := append(t.open[key], begun)
	if len(open) > maxOpen {
		t.loose = append(t.loose, open[0].from)
		open = open[1:]
	}
	t.open[key] = open
}

// take finds the note that w goes on from and closes its tie; -1 for none.
// It is on the same key, however spelled, and ends where w begins. Of several,
// the likest: the same voice before the same staff before the same spelling.
func (t *tier) take(key int, w *pageNote) int {
	best, likest := -1, -1
	for i, tie := range t.open[key] {
		if l := likeness(tie.from, w); l > likest && t.meets(tie.from, w) {
			best, likest = i, l
		}
	}
	if best < 0 {
		if !t.repeats(w) {
			t.warner.add(w.Bar, "a tie to %s comes from nowhere; the note is read as struck", w.note.Pitch)
		}
		return -1
	}
	note := t.open[key][best].note
	t.open[key] = append(t.open[key][:best], t.open[key][best+1:]...)
	return note
}

func likeness(a, b *pageNote) int {
	l := 0
	if a.part == b.part && a.Voice == b.Voice {
		l += 4
	}
	if a.Staff == b.Staff {
		l += 2
	}
	if a.note.Pitch == b.note.Pitch {
		l++
	}
	return l
}

// meets reports whether the tie from a can lead to b: b begins where a ends, and no
// repeat sign sends the player elsewhere in between. Within one voice the two may
// miss each other by what rounding leaves behind.
func (t *tier) meets(a, b *pageNote) bool {
	gap := distance(a.end(), b.Onset)
	near := gap.IsZero() || a.part == b.part && a.Voice == b.Voice && gap.Less(debris) && a.Onset.Less(b.Onset)
	return near && (a.Bar == b.Bar || !t.bars[b.Bar-1].repeatBack)
}

// repeats reports whether w begins a bar that follows a repeat sign: a tie into it
// comes from the bar before the first ending, and is no mistake of the file.
func (t *tier) repeats(w *pageNote) bool {
	return w.Bar > 0 && t.bars[w.Bar-1].repeatBack
}

// warnLoose tells of ties that lead nowhere, but for those that lead back to
// where a repeat begins.
func (t *tier) warnLoose() {
	for _, ties := range t.open {
		for _, tie := range ties {
			t.loose = append(t.loose, tie.from)
		}
	}
	sort.Slice(t.loose, func(i, j int) bool { return t.loose[i].ID < t.loose[j].ID })
	for _, w := range t.loose {
		if !t.bars[w.Bar].repeatBack {
			t.warner.add(w.Bar, "a tie from %s leads nowhere; the note is read as long as it is written", w.note.Pitch)
		}
	}
}

func (w *pageNote) end() score.Rat { return w.Onset.Add(w.Length) }

// extend lets a note sound on through w. A grace note tied to its main note is
// an ordinary note: its key is held from then on.
func extend(n *score.Note, w *pageNote) {
	if n.Grace > 0 && !w.grace {
		n.Grace, n.Bar = 0, w.Bar
	}
	n.Length = w.end().Sub(n.Onset)
	n.Heads = append(n.Heads, w.Head)
	n.SlurStart += w.note.SlurStart
	n.SlurEnd += w.note.SlurEnd
	n.Articulations = append(n.Articulations, w.note.Articulations...)
	n.Ornaments = append(n.Ornaments, w.note.Ornaments...)
	n.AuxAbove, n.AuxBelow = cmp.Or(n.AuxAbove, w.note.AuxAbove), cmp.Or(n.AuxBelow, w.note.AuxBelow)
	if n.Tremolo == 0 {
		n.Tremolo, n.TremoloPair = w.note.Tremolo, w.note.TremoloPair
	}
	if n.Fingering == "" {
		n.Fingering = w.note.Fingering
	}
}
