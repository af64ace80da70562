package musicxml

import (
	"cmp"
	"slices"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// writeTies fills in the bows between the heads that Score joins, and those of
// which the file lacks an end.
func (w *writer) writeTies() {
	page := map[int]*pageNote{}
	for n := range w.written() {
		page[n.ID] = n
	}
	for i := range w.score.Notes {
		heads := w.score.Notes[i].Heads
		if page[heads[0].ID].tieStop {
			w.addTie(-1, heads[0].ID)
		}
		for k := 1; k < len(heads); k++ {
			w.addTie(heads[k-1].ID, heads[k].ID)
		}
		if last := heads[len(heads)-1].ID; page[last].tieStart || w.rings(last) {
			w.addTie(last, -1)
		}
	}
	w.joinTies(page)
	slices.SortStableFunc(w.Ties, func(a, b notation.Tie) int {
		return cmp.Compare(w.placeOf(a), w.placeOf(b))
	})
}

// joinTies makes one bow of two halves at one pitch, from a note to a later one
// in its bar or the next: over a rest or a gap in its voice it sounds as two
// notes, and is written as one tie.
func (w *writer) joinTies(page map[int]*pageNote) {
	used := map[int]bool{} // by index into Ties
	for i := range w.Ties {
		to := &w.Ties[i]
		if to.From >= 0 || to.To < 0 {
			continue
		}
		stop, best := page[to.To], -1
		for k, from := range w.Ties {
			if from.To >= 0 || from.From < 0 || used[k] || !page[from.From].tieStart {
				continue
			}
			start := page[from.From]
			if start.written == stop.written && start.Onset.Less(stop.Onset) && stop.Bar-start.Bar <= 1 &&
				(best < 0 || page[w.Ties[best].From].Onset.Less(start.Onset)) {
				best = k
			}
		}
		if best >= 0 {
			used[best], to.From, to.Side = true, w.Ties[best].From, w.Ties[best].Side
		}
	}
	kept := w.Ties[:0]
	for i, t := range w.Ties {
		if !used[i] {
			kept = append(kept, t)
		}
	}
	w.Ties = kept
}

// placeOf is the chord where a tie begins, or else ends.
func (w *writer) placeOf(t notation.Tie) int {
	if t.From < 0 {
		return w.chordOf[t.To]
	}
	return w.chordOf[t.From]
}

// addTie adds a bow unless neither of its heads is printed.
func (w *writer) addTie(from, to int) {
	if !w.printed(from) && !w.printed(to) {
		return
	}
	t := notation.Tie{From: from, To: to}
	if from >= 0 {
		t.Side = w.tieSide(from)
	}
	w.Ties = append(w.Ties, t)
}

// printed reports whether a head is printed; −1 is none.
func (w *writer) printed(id int) bool { return id >= 0 && !hidden(w.elems[id]) }

func (w *writer) tieSide(id int) notation.Side {
	for tied := range tieds(w.elems[id]) {
		if kind := tied.SelectAttrValue("type", ""); kind == "start" || kind == "continue" {
			return sideOf(tied)
		}
	}
	return notation.Auto
}

// rings reports whether the note has a bow that leads nowhere: let ring.
func (w *writer) rings(id int) bool {
	for tied := range tieds(w.elems[id]) {
		if tied.SelectAttrValue("type", "") == "let-ring" {
			return true
		}
	}
	return false
}

// tieds goes through the <tied> signs of a note.
func tieds(note *etree.Element) func(func(*etree.Element) bool) {
	return func(yield func(*etree.Element) bool) {
		for notations := range note.SelectElementsSeq("notations") {
			for tied := range notations.SelectElementsSeq("tied") {
				if !yield(tied) {
					return
				}
			}
		}
	}
}

// bowEnd is one end of a slur or a slide, at a note.
type bowEnd struct {
	sign  *etree.Element
	chord int
	note  int // Note.ID
	stop  bool
}

// bowEnds lists the ends of the bows of one kind in the order of time. Of those at
// one chord the ones that end a bow come first.
func (w *writer) bowEnds(tags ...string) []bowEnd {
	var ends []bowEnd
	for i := range w.sources {
		for k, sign := range w.sources[i].signs {
			kind := sign.SelectAttrValue("type", "")
			if slices.Contains(tags, sign.Tag) && (kind == "start" || kind == "stop") {
				ends = append(ends, bowEnd{sign, i, w.sources[i].notes[k].ID, kind == "stop"})
			}
		}
	}
	slices.SortStableFunc(ends, func(a, b bowEnd) int {
		x, y := &w.Chords[a.chord], &w.Chords[b.chord]
		return cmp.Or(cmp.Compare(x.Bar, y.Bar), x.At.Cmp(y.At), graceFirst(x, y), stopFirst(a, b))
	})
	return ends
}

// graceFirst orders the chords at one place: grace notes before main notes.
func graceFirst(a, b *notation.Chord) int {
	if (a.Grace > 0) != (b.Grace > 0) {
		if a.Grace > 0 {
			return -1
		}
		return 1
	}
	return cmp.Compare(a.Grace, b.Grace)
}

func stopFirst(a, b bowEnd) int {
	switch {
	case a.stop == b.stop:
		return 0
	case a.stop:
		return -1
	}
	return 1
}

// pairBows finds the two ends of each bow of one kind. Ends belong together by
// part and number. Of several beginnings that wait, one that its own voice ends
// later is left to it, and the nearest is taken. Where an end is missing, it is
// nil.
func (w *writer) pairBows(tags ...string) [][2]*bowEnd {
	ends := w.bowEnds(tags...)
	own := w.endedByVoice(ends)
	var pairs [][2]*bowEnd
	var open []int // indices into pairs
	for i := range ends {
		e := &ends[i]
		if !e.stop {
			open = append(open, len(pairs))
			pairs = append(pairs, [2]*bowEnd{e, nil})
			continue
		}
		if k := w.begun(pairs, open, e, own); k >= 0 {
			pairs[open[k]][1] = e
			open = slices.Delete(open, k, k+1)
		} else {
			pairs = append(pairs, [2]*bowEnd{nil, e})
		}
	}
	return pairs
}

// bowNumber is what the two ends of a bow have in common.
type bowNumber struct {
	part        int
	tag, number string
}

func (w *writer) bowNumber(e *bowEnd) bowNumber {
	return bowNumber{w.sources[e.chord].part, e.sign.Tag, e.sign.SelectAttrValue("number", "1")}
}

// endedByVoice finds the end that follows each beginning in its own voice, with
// no other beginning of its number between them.
func (w *writer) endedByVoice(ends []bowEnd) map[*bowEnd]*bowEnd {
	type key struct {
		bowNumber
		voice
	}
	next := map[key]*bowEnd{}
	own := map[*bowEnd]*bowEnd{}
	for i := len(ends) - 1; i >= 0; i-- {
		e := &ends[i]
		k := key{w.bowNumber(e), w.sources[e.chord].voice}
		if after := next[k]; !e.stop && after != nil && after.stop {
			own[e] = after
		}
		next[k] = e
	}
	return own
}

// begun is the open bow that ends at e, as an index into open; −1 for none.
func (w *writer) begun(pairs [][2]*bowEnd, open []int, e *bowEnd, own map[*bowEnd]*bowEnd) int {
	best, least := -1, score.Rat{}
	for k, i := range open {
		from := pairs[i][0]
		if w.bowNumber(from) != w.bowNumber(e) || from.chord == e.chord {
			continue
		}
		d := w.bowDistance(from, e)
		if own[from] != nil && own[from] != e {
			d = d.Add(w.score.End()) // the last choice
		}
		if best < 0 || d.Cmp(least) <= 0 {
			best, least = k, d
		}
	}
	return best
}

// bowDistance is how far two ends are apart, in quarters; another staff counts
// as a bar more.
func (w *writer) bowDistance(a, b *bowEnd) score.Rat {
	apart := w.Chords[b.chord].At.Sub(w.Chords[a.chord].At)
	if w.Chords[a.chord].Staff != w.Chords[b.chord].Staff {
		apart = apart.Add(score.Int(4))
	}
	return apart
}

// writeSlurs fills in the slurs.
func (w *writer) writeSlurs() {
	for _, ends := range w.pairBows("slur") {
		s := notation.Slur{From: -1, To: -1}
		for _, e := range ends[1:] {
			if e != nil {
				s.To, s.Side = e.chord, sideOf(e.sign)
			}
		}
		if e := ends[0]; e != nil {
			s.From, s.Side = e.chord, cmp.Or(sideOf(e.sign), s.Side)
			kind := e.sign.SelectAttrValue("line-type", "")
			s.Dashed = kind == "dashed" || kind == "dotted"
		}
		w.Slurs = append(w.Slurs, s)
	}
	slices.SortStableFunc(w.Slurs, func(a, b notation.Slur) int {
		return cmp.Or(cmp.Compare(firstOf(a), firstOf(b)), cmp.Compare(a.To, b.To))
	})
}

// firstOf is the chord where a slur begins, or else ends.
func firstOf(s notation.Slur) int {
	if s.From < 0 {
		return s.To
	}
	return s.From
}

// writeSlides fills in the glissandi that have both ends.
func (w *writer) writeSlides() {
	for _, ends := range w.pairBows("glissando", "slide") {
		from, to := ends[0], ends[1]
		if from == nil || to == nil {
			e := cmp.Or(from, to)
			c := &w.Chords[e.chord]
			w.leaveOut(c.Bar, c.At, c.Staff, "a glissando that lacks an end")
			continue
		}
		kind := from.sign.SelectAttrValue("line-type", "")
		w.Slides = append(w.Slides, notation.Slide{
			From: from.note, To: to.note, Text: plain(from.sign.Text()),
			Wavy: kind == "wavy" || kind == "" && from.sign.Tag == "glissando",
		})
	}
}

// writeArpeggios fills in the arpeggio signs. Signs of one number at one place are
// one sign, also across the staves, and a sign on any note of a chord stands
// before all of it.
func (w *writer) writeArpeggios() {
	type key struct {
		chord  int // the first at the place
		tag    string
		number string
	}
	index := map[key]int{}
	first := 0
	for i := range w.Chords {
		if a, b := &w.Chords[i], &w.Chords[first]; a.Bar != b.Bar || a.At != b.At || graceFirst(a, b) != 0 {
			first = i
		}
		for _, sign := range w.sources[i].signs {
			if sign.Tag != "arpeggiate" && sign.Tag != "non-arpeggiate" || w.Chords[i].Rest {
				continue
			}
			k := key{first, sign.Tag, sign.SelectAttrValue("number", "")}
			at, known := index[k]
			if !known {
				at = len(w.Arpeggios)
				index[k] = at
				w.Arpeggios = append(w.Arpeggios, notation.Arpeggio{Not: sign.Tag == "non-arpeggiate", Arrow: sign.SelectAttrValue("direction", "")})
			}
			w.arpeggioBefore(&w.Arpeggios[at], i)
		}
	}
}

// arpeggioBefore lets an arpeggio sign stand before a chord too.
func (w *writer) arpeggioBefore(s *notation.Arpeggio, chord int) {
	if slices.Contains(s.Chords, chord) {
		return
	}
	s.Chords = append(s.Chords, chord)
	for _, n := range w.Chords[chord].Notes {
		s.Notes = append(s.Notes, n.ID)
	}
}
