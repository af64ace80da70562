package engrave

import (
	"cmp"
	"math"
	"slices"

	"hardbars/score"
	"hardbars/score/notation"
)

// Distances of what stands at a note, in staff spaces (common practice).
const (
	markGap      = 0.3  // from an articulation to what lies under it
	markStep     = 0.25 // by which an articulation moves on where its place is taken
	ornamentGap  = 0.45 // from an ornament or a fermata to what lies under it
	fingerGap    = 0.35 // from a finger's number to what lies under it
	fingerSize   = 1.15 // of a finger's number, to its own size in the font
	fingerSpread = 0.2  // between the numbers of one chord
	fingerNext   = 0.45 // between the numbers of one note, played one after the other
)

// articulation is how an articulation is set.
type articulation struct {
	glyph  string // without "Above" or "Below"
	rank   int    // from the head outwards
	inside bool   // it may stand between the lines of the staff
}

// articulations by their MusicXML elements; their order is common practice.
var articulations = map[string]articulation{
	"staccato":      {"articStaccato", 0, true},
	"staccatissimo": {"articStaccatissimo", 0, false},
	"spiccato":      {"articStaccatissimoStroke", 0, false},
	"tenuto":        {"articTenuto", 1, true},
	"unstress":      {"articUnstress", 2, false},
	"stress":        {"articStress", 2, false},
	"soft-accent":   {"articSoftAccent", 3, false},
	"accent":        {"articAccent", 3, false},
	"strong-accent": {"articMarcato", 4, false},
}

// articulationsOf are those of a chord on one side of it, from the heads
// outwards.
func (l *layout) articulationsOf(c *chord, above bool) (list []articulation) {
	for _, m := range c.Marks {
		names := []string{m.Name}
		if m.Name == "detached-legato" {
			names = []string{"staccato", "tenuto"}
		}
		for _, name := range names {
			if a, ok := articulations[name]; ok && l.articulatedAbove(c, m) == above && !slices.Contains(list, a) {
				list = append(list, a)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b articulation) int { return cmp.Compare(a.rank, b.rank) })
	return list
}

// articulatedAbove reports whether an articulation stands above its chord: as the
// file says, outside of two voices, and else away from the stem. A wedge for a
// strong accent stands above.
func (l *layout) articulatedAbove(c *chord, m notation.Mark) bool {
	switch {
	case m.Side != notation.Auto:
		return m.Side == notation.Above
	case l.shares(c):
		return c.upper
	case m.Name == "strong-accent":
		return true
	}
	return !c.up
}

// shares reports whether another voice has a note or a rest on the chord's staff
// where it begins.
func (l *layout) shares(c *chord) bool {
	return c.voices > 1 && slices.ContainsFunc(l.chords, func(d *chord) bool {
		return d.Staff == c.Staff && d.Voice != c.Voice && d.Grace == 0 && d.At.Cmp(c.At) <= 0 && c.At.Less(d.End())
	})
}

// outer is the head farthest to one side.
func (c *chord) outer(above bool) *head {
	if above {
		return &c.heads[len(c.heads)-1]
	}
	return &c.heads[0]
}

// centre is the x that signs at a chord are centred on: the middle of its heads
// that are not displaced.
func (c *chord) centre() float64 {
	for _, h := range c.heads {
		if h.x == c.x {
			return h.x + h.width/2
		}
	}
	return c.heads[0].x + c.heads[0].width/2
}

// toward is which way a side lies in y: −1 above, 1 below.
func toward(above bool) float64 {
	if above {
		return -1
	}
	return 1
}

// farther is the y that lies farther to a side.
func farther(above bool, a, b float64) float64 {
	if above {
		return min(a, b)
	}
	return max(a, b)
}

// closeMarks draws what stands next to the heads: articulations and fingering.
func (l *layout) closeMarks() {
	for _, c := range l.chords {
		for _, above := range [2]bool{true, false} {
			l.articulate(c, above)
			l.finger(c, above)
		}
	}
}

// articulate draws the articulations of a chord on one side of it.
func (l *layout) articulate(c *chord, above bool) {
	list := l.articulationsOf(c, above)
	if len(list) == 0 || len(c.heads) == 0 {
		return
	}
	h, dir := c.outer(above), toward(above)
	x, edge := c.centre(), h.y+dir*0.5*c.scale
	if c.up == above && c.stemmed() {
		edge = farther(above, edge, c.stemEnd)
		if len(list) == 1 && list[0].rank == 0 {
			x = c.stemX // a dot alone stands on the stem
		}
	}
	for _, a := range list {
		edge = l.setArticulation(c, a, h.staff, above, x, edge)
	}
}

// setArticulation draws an articulation beyond an edge and returns the edge for
// the next.
func (l *layout) setArticulation(c *chord, a articulation, staff int, above bool, x, edge float64) float64 {
	name := a.glyph + "Below"
	if above {
		name = a.glyph + "Above"
	}
	box := l.font.Glyph(name).Box
	dir, half := toward(above), c.scale*(box.Bottom-box.Top)/2
	mid := edge + dir*max(0.5*c.scale, markGap+half)
	if !a.inside {
		mid = farther(above, mid, l.staffEdge(staff, above)+dir*(markGap+half))
	}
	it := Item{Role: RoleMark, Note: -1, Chord: c.index, Staff: staff, Glyph: name, Scale: c.scale}
	it.X = x - c.scale*(box.Left+box.Right)/2
	for range 100 {
		if a.inside {
			mid = l.intoSpace(staff, mid, dir)
		}
		it.Y = mid - c.scale*(box.Top+box.Bottom)/2
		if !l.taken(it) {
			break
		}
		mid += dir * markStep
	}
	l.add(it)
	return mid + dir*half
}

// staffEdge is the y of the outer line of a staff.
func (l *layout) staffEdge(staff int, above bool) float64 {
	if above {
		return l.top[staff-1]
	}
	return l.top[staff-1] + staffHeight
}

// intoSpace moves a y that lies within a staff on to the middle of a space.
func (l *layout) intoSpace(staff int, y, dir float64) float64 {
	const near = 0.1 // so close to a middle is in it
	top := l.top[staff-1]
	if y < top-near || y > top+staffHeight+near {
		return y
	}
	if dir < 0 {
		return top + math.Floor(y-top-0.5+near) + 0.5
	}
	return top + math.Ceil(y-top-0.5-near) + 0.5
}

// taken reports whether an item would lie on other ink of its staff, or between
// the staves. The lines of the staff and barlines are no such ink.
func (l *layout) taken(it Item) bool {
	const white = 0.08
	box := l.boxOf(it)
	box.Top, box.Bottom = box.Top-white, box.Bottom+white
	for _, other := range l.items {
		if other.Staff != it.Staff && other.Staff != 0 || other.Role == RoleStaff || other.Role == RoleBarline || !other.Box.Meets(box) {
			continue
		}
		if top, bottom, ok := other.over(box.Left, box.Right); ok && top < box.Bottom && box.Top < bottom {
			return true
		}
	}
	return false
}

// finger draws the fingers' numbers of a chord that stand on one side of it, in
// the order of its heads. Several numbers of one head follow each other, the
// fingers of an ornament; at a head of a chord they stand over each other, as
// the hand lies on the keys.
func (l *layout) finger(c *chord, above bool) {
	gap, staff := fingerGap, c.outer(above).staff
	for i := range c.heads {
		h := &c.heads[i]
		if !above {
			h = &c.heads[len(c.heads)-1-i]
		}
		s := l.fingersOf(c, h, above)
		if len(s.items) == 0 {
			continue
		}
		s.move(c.centre()-(s.box.Left+s.box.Right)/2, 0)
		wide := s
		if c.up == above && c.stemmed() { // beyond the stem too
			wide.box.Left, wide.box.Right = min(s.box.Left, c.stemX), max(s.box.Right, c.stemX)
		}
		l.put(s, staff, l.beyond(wide, staff, above, gap))
		gap = fingerSpread
	}
}

// fingersOf is the numbers of a head on one side, in a row or over each other.
func (l *layout) fingersOf(c *chord, h *head, above bool) (row legend) {
	if h.note == nil {
		return row
	}
	for _, f := range l.fingersAt(c, h) {
		if l.fingeredAbove(c, f) != above {
			continue
		}
		s := l.fingerSign(f.Text, c)
		if len(h.note.Fingering) == 0 {
			s = l.suggestedSign(f.Text, c)
		}
		for k := range s.items {
			s.items[k].Note, s.items[k].Chord = h.note.ID, c.index
		}
		if len(c.heads) > 1 {
			row = row.under(s, fingerSpread)
		} else {
			row = row.with(s, fingerNext)
		}
	}
	return row
}

// fingersAt is the fingers that the score prints at a head, or else the one that
// is suggested.
func (l *layout) fingersAt(c *chord, h *head) []notation.Fingering {
	if text := l.picks.Fingers[h.note.ID]; len(h.note.Fingering) == 0 && text != "" {
		return []notation.Fingering{{Text: text}}
	}
	return fingersInOrder(c, h)
}

// suggestedSign is a suggested finger: a figure in italics.
func (l *layout) suggestedSign(text string, c *chord) legend {
	const size = 1.9 // spaces
	return l.newLegend(Item{Role: RoleFingering, Note: -1, Text: text, Face: Face{Size: size * max(c.scale, cueScale), Italic: true}})
}

// fingersInOrder is the numbers of a head: at a chord as the fingers of its hand
// lie, the right thumb lowest, the left thumb highest.
func fingersInOrder(c *chord, h *head) []notation.Fingering {
	fingers := slices.Clone(h.note.Fingering)
	if len(c.heads) > 1 {
		slices.SortStableFunc(fingers, func(a, b notation.Fingering) int {
			if c.Hand == score.Right {
				a, b = b, a
			}
			return cmp.Compare(a.Text, b.Text)
		})
	}
	return fingers
}

// fingeredAbove reports whether a finger's number stands above its chord: as the
// file says, outside of two voices, and else away from the other hand.
func (l *layout) fingeredAbove(c *chord, f notation.Fingering) bool {
	switch {
	case f.Side != notation.Auto:
		return f.Side == notation.Above
	case l.shares(c):
		return c.upper
	}
	return c.Hand == score.Right
}

// fingerGlyphs are the signs of a fingering that are no figures.
var fingerGlyphs = map[rune]string{
	'-': "fingeringSubstitutionDash", '–': "fingeringSubstitutionDash",
	'(': "fingeringLeftParenthesis", ')': "fingeringRightParenthesis",
	'[': "fingeringLeftBracket", ']': "fingeringRightBracket",
	'/': "fingeringSeparatorSlash", '·': "fingeringSeparatorMiddleDot",
}

// fingerSign is a fingering in the figures of the font, and in words where it
// holds anything else.
func (l *layout) fingerSign(text string, c *chord) legend {
	size := fingerSize * max(c.scale, cueScale)
	var names []string
	for _, r := range text {
		name := fingerGlyphs[r]
		if r >= '0' && r <= '9' {
			name = "fingering" + string(r)
		}
		if name == "" {
			return l.newLegend(Item{Role: RoleFingering, Note: -1, Text: text, Face: Face{Size: 1.6 * size}})
		}
		names = append(names, name)
	}
	return l.newLegend(l.glyphRow(RoleFingering, size, names...)...)
}
