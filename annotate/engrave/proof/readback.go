package proof

import (
	"fmt"
	"math"
	"slices"

	"hardbars/annotate/engrave"
	"hardbars/score/notation"
)

// ReadBack reads a drawing as a player does, by where its ink stands, and says
// where that is not what the score has written: clefs and heights of heads,
// accidentals, dots, stems with their flags and beams, ties and slurs. Space is
// between two lines of a staff, in millimetres.
func ReadBack(n *notation.Score, d *engrave.Drawing, space float64) []string {
	r := &reading{n: n, space: space}
	for _, extent := range d.Systems {
		r.system(extent, d.Items)
	}
	return r.problems
}

// reading is what was read so far of one drawing, and now of one system of it.
type reading struct {
	n        *notation.Score
	space    float64
	problems []string

	engrave.Extent
	items map[engrave.Role][]engrave.Item // by role, from left to right
	top   map[int]float64                 // y of the top line of each staff
	heads map[int]engrave.Item            // by Note.ID
}

func (r *reading) system(extent engrave.Extent, items []engrave.Item) {
	r.Extent, r.items = extent, map[engrave.Role][]engrave.Item{}
	r.top, r.heads = map[int]float64{}, map[int]engrave.Item{}
	for _, it := range items {
		if middle := (it.Box.Top + it.Box.Bottom) / 2; middle < extent.Top || extent.Bottom < middle {
			continue
		}
		r.items[it.Role] = append(r.items[it.Role], it)
		switch it.Role {
		case engrave.RoleHead:
			r.heads[it.Note] = it
		case engrave.RoleStaff:
			if y, ok := r.top[it.Staff]; !ok || it.Stroke.Y1 < y {
				r.top[it.Staff] = it.Stroke.Y1
			}
		}
	}
	for _, list := range r.items {
		slices.SortStableFunc(list, func(a, b engrave.Item) int { return int(math.Copysign(1, a.Box.Left-b.Box.Left)) })
	}
	for i := range r.n.Chords {
		c := &r.n.Chords[i]
		if c.Hidden || c.Rest || !r.shows(c) {
			continue
		}
		for k := range c.Notes {
			r.note(i, c, &c.Notes[k])
		}
		r.stem(i, c)
	}
	r.ties()
	r.slurs()
}

// shows reports whether a chord stands on the system.
func (r *reading) shows(c *notation.Chord) bool {
	if c.GraceAfter && c.At == r.n.Bars[c.Bar].End() {
		return r.From.Less(c.At) && !r.To.Less(c.At)
	}
	return !c.At.Less(r.From) && c.At.Less(r.To)
}

func (r *reading) problem(c *notation.Chord, format string, args ...any) {
	bar := r.n.Bars[c.Bar]
	r.problems = append(r.problems, fmt.Sprintf("bar %s, %s quarters in, staff %d: ", bar.Number, c.At.Sub(bar.Start), c.Staff)+fmt.Sprintf(format, args...))
}

// note reads one head: its place on the staff by the clef to its left, its
// accidental and its dots.
func (r *reading) note(chord int, c *notation.Chord, note *notation.Note) {
	if note.Head == "none" {
		return
	}
	head, ok := r.heads[note.ID]
	if !ok {
		r.problem(c, "%v has no head", note.Written)
		return
	}
	switch place, ok := r.place(head); {
	case !ok && r.hasClef(note.Staff):
		r.problem(c, "%v stands behind no clef", note.Written)
	case ok && place != note.Written.Staff():
		r.problem(c, "%v stands %d places too high", note.Written, place-note.Written.Staff())
	}
	r.accidental(c, note, head)
	if !r.dotted(head, c) {
		r.problem(c, "%v has not its %d dots", note.Written, c.Value.Dots)
	}
}

// clefPlaces are the lines of clefs, counted from 0 at the bottom line in half
// spaces of the clef's own height, as pitches: G4, F3 and C4 as
// score.Pitch.Staff counts (general theory of music); with a figure 8 or 15
// an octave or two away.
var clefPlaces = map[string]int{
	"gClef": 32, "gClef8va": 39, "gClef8vb": 25, "gClef15ma": 46, "gClef15mb": 18,
	"fClef": 24, "fClef8va": 31, "fClef8vb": 17, "fClef15ma": 38, "fClef15mb": 10,
	"cClef": 28, "cClef8vb": 21,
}

// place is the line or space of a head as score.Pitch.Staff counts, by the last
// clef to its left.
func (r *reading) place(head engrave.Item) (place int, ok bool) {
	for _, clef := range r.items[engrave.RoleClef] {
		if clef.Staff != head.Staff || clef.Box.Left > head.Box.Left {
			continue
		}
		var ref int
		if ref, ok = clefPlaces[clef.Glyph]; ok {
			place = ref + int(math.Round((clef.Y-head.Y)/r.space*2))
		}
	}
	return place, ok
}

// hasClef reports whether a staff always has a clef that tells pitches.
func (r *reading) hasClef(staff int) bool {
	return !slices.ContainsFunc(r.n.Clefs, func(c notation.Clef) bool {
		return c.Staff == staff && (c.Hidden || c.Sign != "G" && c.Sign != "F" && c.Sign != "C")
	})
}

// accidentalNames are the glyphs of accidentals by the names of MusicXML.
var accidentalNames = map[string]string{
	"sharp": "accidentalSharp", "natural": "accidentalNatural", "flat": "accidentalFlat", "double-sharp": "accidentalDoubleSharp",
	"sharp-sharp": "accidentalDoubleSharp", "flat-flat": "accidentalDoubleFlat", "double-flat": "accidentalDoubleFlat",
	"natural-sharp": "accidentalNaturalSharp", "natural-flat": "accidentalNaturalFlat",
}

// accidental reads the sign in front of a head, at its height.
func (r *reading) accidental(c *notation.Chord, note *notation.Note, head engrave.Item) {
	const farthest = 7 // staff spaces before the head
	want, found := accidentalNames[note.Accidental], ""
	brackets := 0
	for _, it := range r.items[engrave.RoleAccidental] {
		before := (head.Box.Left - it.Box.Right) / r.space
		if it.Staff != head.Staff || math.Abs(it.Y-head.Y) > r.space/10 || before < -0.1 || before > farthest || r.strikes(it) != r.strikes(head) {
			continue
		}
		if it.Glyph == "accidentalParensLeft" || it.Glyph == "accidentalParensRight" {
			brackets++
		} else {
			found = it.Glyph
		}
	}
	if found != want && !r.twin(c, note, found) {
		r.problem(c, "%v has the accidental %q, not %q", note.Written, found, want)
	}
	if want != "" && note.Bracketed && brackets < 2 {
		r.problem(c, "the accidental of %v has no parentheses", note.Written)
	}
}

// strikes is when the chord of an item strikes, and which of its grace notes.
func (r *reading) strikes(it engrave.Item) string {
	c := &r.n.Chords[it.Chord]
	return fmt.Sprint(c.At, c.Grace, c.GraceAfter)
}

// twin reports whether another note on the same line or space, that strikes with
// it, has the accidental.
func (r *reading) twin(c *notation.Chord, note *notation.Note, accidental string) bool {
	for i := range r.n.Chords {
		d := &r.n.Chords[i]
		if d.At != c.At || d.Grace != c.Grace || d.Hidden {
			continue
		}
		for _, other := range d.Notes {
			if other.ID != note.ID && other.Staff == note.Staff && other.Written.Staff() == note.Written.Staff() && accidentalNames[other.Accidental] == accidental {
				return true
			}
		}
	}
	return false
}

// dotted reports whether so many dots stand behind a head: in its space, or above
// or below its line.
func (r *reading) dotted(head engrave.Item, c *notation.Chord) bool {
	found := map[int]int{} // by how many half spaces they stand below the head
	for _, it := range r.items[engrave.RoleDot] {
		behind := (it.Box.Left - head.Box.Right) / r.space
		if it.Staff == head.Staff && behind > 0 && behind < 5 && r.strikes(it) == r.strikes(head) &&
			(it.Note == head.Note || r.n.Chords[it.Chord].Value.Dots == c.Value.Dots) {
			found[int(math.Round((it.Y-head.Y)/r.space*2))]++
		}
	}
	for away := -2; away <= 2; away++ {
		if c.Value.Dots > 0 && found[away] >= c.Value.Dots {
			return true
		}
	}
	return c.Value.Dots == 0 && len(found) == 0
}

// hooks is how many flags or beams a note value has.
var hooks = map[string]int{"eighth": 1, "16th": 2, "32nd": 3, "64th": 4, "128th": 5, "256th": 6, "512th": 7, "1024th": 8}

// flagNames are the flags by how many they are.
var flagNames = [...]string{"", "flag8th", "flag16th", "flag32nd", "flag64th", "flag128th", "flag256th", "flag512th", "flag1024th"}

// stem reads the stem of a chord, and what hangs on it.
func (r *reading) stem(index int, c *notation.Chord) {
	flags := hooks[c.Value.Type]
	if c.Stem == notation.StemNone || flags == 0 && c.Value.Type != "half" && c.Value.Type != "quarter" {
		return
	}
	var stem *engrave.Stroke
	for _, it := range r.items[engrave.RoleStem] {
		if it.Chord == index && it.Stroke.X1 == it.Stroke.X2 {
			stem = it.Stroke
		}
	}
	if stem == nil {
		r.problem(c, "a %s has no stem", c.Value.Type)
		return
	}
	top, bottom := min(stem.Y1, stem.Y2), max(stem.Y1, stem.Y2)
	for _, note := range c.Notes {
		if head, ok := r.heads[note.ID]; ok && (head.Y < top-0.6*r.space || head.Y > bottom+0.6*r.space ||
			stem.X1 < head.Box.Left-stem.Width || stem.X1 > head.Box.Right+stem.Width) {
			r.problem(c, "the stem does not touch %v", note.Written)
		}
	}
	if got := r.flagged(index, c) + r.beamed(stem); got != flags && flags > 0 {
		r.problem(c, "a %s has %d flags or beams, not %d", c.Value.Type, got, flags)
	}
}

// flagged is how many flags the chord has, of its own or at a stem that it shares.
func (r *reading) flagged(index int, c *notation.Chord) int {
	for _, it := range r.items[engrave.RoleFlag] {
		other := &r.n.Chords[it.Chord]
		if it.Chord == index || other.At == c.At && other.Staff == c.Staff && other.Value == c.Value && other.Grace == c.Grace && r.sameStem(index, it.Chord) {
			for n, name := range flagNames {
				if it.Glyph == name+"Up" || it.Glyph == name+"Down" {
					return n
				}
			}
		}
	}
	return 0
}

// sameStem reports whether the stems of two chords end at one place.
func (r *reading) sameStem(a, b int) bool {
	var ends [2]engrave.Stroke
	for _, it := range r.items[engrave.RoleStem] {
		for k, chord := range [2]int{a, b} {
			if it.Chord == chord && it.Stroke.X1 == it.Stroke.X2 {
				ends[k] = *it.Stroke
			}
		}
	}
	return ends[0].X2 == ends[1].X2 && ends[0].Y2 == ends[1].Y2
}

// beamed counts the beams that a stem meets.
func (r *reading) beamed(stem *engrave.Stroke) (count int) {
	top, bottom := min(stem.Y1, stem.Y2)-0.1*r.space, max(stem.Y1, stem.Y2)+0.1*r.space
	for _, it := range r.items[engrave.RoleBeam] {
		if it.Box.Left > stem.X1+0.05 || it.Box.Right < stem.X1-0.05 || len(it.Shape) != 4 {
			continue
		}
		a, b := it.Shape[0], it.Shape[1]
		x := max(a.X, min(stem.X1, b.X))
		y := a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X) + (it.Shape[3].Y-it.Shape[0].Y)/2
		if top < y && y < bottom && r.owns(it, stem) {
			count++
		}
	}
	return count
}

// owns reports whether a beam is of a stem's own group: it begins at a stem of
// a chord of the same voice. Beams of another voice that a stem crosses are not
// its own.
func (r *reading) owns(beam engrave.Item, stem *engrave.Stroke) bool {
	for _, it := range r.items[engrave.RoleStem] {
		if it.Stroke == stem {
			a, b := &r.n.Chords[it.Chord], &r.n.Chords[beam.Chord]
			return a.Voice == b.Voice && (a.Grace > 0) == (b.Grace > 0)
		}
	}
	return false
}

// ends are where a bow begins and ends.
func ends(it engrave.Item) (x1, y1, x2, y2 float64) {
	a, b := it.Shape[0], it.Shape[1]
	return a.X, a.Y, b.X, b.Y
}

// ties reads the bows between heads: one for each that is written, from head to
// head.
func (r *reading) ties() {
	for _, t := range r.n.Ties {
		from, ok := r.heads[t.From]
		to, both := r.heads[t.To]
		if !ok || !both {
			continue
		}
		near := func(x, y float64, head engrave.Item, side float64) bool {
			dx := (x - (head.Box.Left+head.Box.Right)/2) / r.space * side
			return dx > -1 && dx < 5 && math.Abs(y-head.Y) < 1.5*r.space
		}
		if !slices.ContainsFunc(r.items[engrave.RoleTie], func(it engrave.Item) bool {
			x1, y1, x2, y2 := ends(it)
			return near(x1, y1, from, 1) && near(x2, y2, to, -1)
		}) {
			c := &r.n.Chords[from.Chord]
			r.problem(c, "no tie leads from the head of note %d to that of note %d", t.From, t.To)
		}
	}
}

// slurs reads the bows over chords: one for each that is written and lies within
// the system, from its first chord to its last.
func (r *reading) slurs() {
	for _, s := range r.n.Slurs {
		if s.From < 0 || s.To < 0 || !r.drawn(s.From) || !r.drawn(s.To) {
			continue
		}
		near := func(x float64, chord int) bool {
			left, right := math.Inf(1), math.Inf(-1)
			for _, note := range r.n.Chords[chord].Notes {
				if head, ok := r.heads[note.ID]; ok {
					left, right = min(left, head.Box.Left), max(right, head.Box.Right)
				}
			}
			return x > left-2*r.space && x < right+2*r.space
		}
		if !slices.ContainsFunc(r.items[engrave.RoleSlur], func(it engrave.Item) bool {
			x1, _, x2, _ := ends(it)
			return s.Dashed && near(x1, s.From) || near(min(x1, x2), s.From) && near(max(x1, x2), s.To) || near(x1, s.To) && near(x2, s.From)
		}) {
			r.problem(&r.n.Chords[s.From], "no slur leads to bar %s", r.n.Bars[r.n.Chords[s.To].Bar].Number)
		}
	}
}

// drawn reports whether a chord has a head on the system.
func (r *reading) drawn(chord int) bool {
	return slices.ContainsFunc(r.n.Chords[chord].Notes, func(note notation.Note) bool { _, ok := r.heads[note.ID]; return ok })
}
