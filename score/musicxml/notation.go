package musicxml

import (
	"cmp"
	"slices"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// Notation reads what is written on the piano's staves, sign by sign, at the
// same places and with the same Head.IDs as Score. What it returns shares
// nothing with the tree. The error is one sentence that names the file.
func (f *File) Notation(o Options) (*notation.Score, error) {
	r, s, err := f.page(o)
	if err != nil {
		return nil, err
	}
	w := &writer{reader: r, score: s, elems: f.NoteElements(), Score: &notation.Score{Staves: r.staves()}}
	w.writeBars()
	w.writeSignatures()
	w.writeChords()
	w.writeTuplets()
	w.writeBeams()
	w.writeBrackets()
	w.writeTies()
	if !w.hasElement("accidental") {
		w.AddAccidentals()
	}
	w.writeSlurs()
	w.writeSlides()
	w.writeArpeggios()
	w.writeDirections()
	w.writeOctaveLines()
	w.writeTrillLines()
	w.finish()
	return w.Score, nil
}

// staves is how many staves the piano has, those included that notes stand on
// and the part does not declare.
func (r *reader) staves() int {
	n := r.height
	for w := range r.written() {
		n = max(n, w.Staff)
	}
	return n
}

// writer fills in a notation.Score from what was read.
type writer struct {
	*notation.Score
	*reader
	score *score.Score
	elems []*etree.Element // <note> elements by Head.ID

	sources  []source    // of each of Chords
	brackets []string    // of each of Tuplets, whether the file has a bracket: "yes", "no" or ""
	chordOf  map[int]int // index into Chords, by Note.ID
	leftSeen map[leftOut]bool
}

// source is what a chord or rest was read from.
type source struct {
	voice
	notes []*pageNote      // in the order of the file, at least one
	elems []*etree.Element // the <note> of each
}

// signs goes through what hangs on the chord: the children of the <notations>
// of its notes, each with the index of its note.
func (s source) signs(yield func(note int, sign *etree.Element) bool) {
	for i, elem := range s.elems {
		for notations := range elem.SelectElementsSeq("notations") {
			for sign := range notations.ChildElementsSeq() {
				if !hidden(sign) && !yield(i, sign) {
					return
				}
			}
		}
	}
}

// leftOut is a notation.LeftOut by its bar: one of a kind is told for each staff
// of a bar.
type leftOut struct {
	bar, staff int
	what       string
}

func (w *writer) leaveOut(bar int, at score.Rat, staff int, what string) {
	key := leftOut{bar, staff, what}
	if w.leftSeen == nil {
		w.leftSeen = map[leftOut]bool{}
	}
	if !w.leftSeen[key] {
		w.leftSeen[key] = true
		w.LeftOut = append(w.LeftOut, notation.LeftOut{At: at, Staff: staff, What: what})
	}
}

// offPage reports whether a sign names a staff that the piano does not have: no
// note stands there, and nothing is drawn.
func (w *writer) offPage(staff int) bool { return staff > w.Staves }

// finish puts the tables that were filled kind by kind in their order.
func (w *writer) finish() {
	w.Signs = slices.DeleteFunc(w.Signs, func(s notation.Sign) bool { return w.offPage(s.Staff) })
	w.Lines = slices.DeleteFunc(w.Lines, func(l notation.Line) bool { return w.offPage(l.Staff) })
	w.LeftOut = slices.DeleteFunc(w.LeftOut, func(l notation.LeftOut) bool { return w.offPage(l.Staff) })
	slices.SortStableFunc(w.Signs, func(a, b notation.Sign) int {
		return cmp.Or(a.At.Cmp(b.At), cmp.Compare(a.Staff, b.Staff))
	})
	slices.SortStableFunc(w.Lines, func(a, b notation.Line) int {
		return cmp.Or(a.From.Cmp(b.From), cmp.Compare(a.Staff, b.Staff))
	})
	slices.SortStableFunc(w.LeftOut, func(a, b notation.LeftOut) int {
		return cmp.Or(a.At.Cmp(b.At), cmp.Compare(a.Staff, b.Staff))
	})
}

// sideOf is where a sign stands, by its placement or the way its bow opens.
func sideOf(sign *etree.Element) notation.Side {
	switch {
	case sign.SelectAttrValue("placement", "") == "above", sign.SelectAttrValue("orientation", "") == "over":
		return notation.Above
	case sign.SelectAttrValue("placement", "") == "below", sign.SelectAttrValue("orientation", "") == "under":
		return notation.Below
	}
	return notation.Auto
}

func isYes(elem *etree.Element, attr string) bool { return elem.SelectAttrValue(attr, "") == "yes" }

// token is an element's text where it is one word of the schema.
func token(elem *etree.Element) string { return strings.TrimSpace(elem.Text()) }
