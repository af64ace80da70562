package engrave

import (
	"math"
	"slices"

	"hardbars/score"
	"hardbars/score/notation"
)

// stack is what stands on one staff at one instant: the heads of all voices
// that strike there, with their accidentals and dots. Everything in it is
// placed from the column's x; when that is known, x is it.
type stack struct {
	staff       int
	at          score.Rat
	parts       []part // by chord, low to high
	signs       []placedSign
	left, right float64 // what it covers, from x
	dx          float64 // from the x of its column: less than 0 for grace notes
	x           float64
}

// part is one head of a stack.
type part struct {
	chord *chord
	index int // into chord.heads
}

func (p part) head() *head { return &p.chord.heads[p.index] }

// placedSign is an accidental, a dot, or a sign of a clef or a signature.
type placedSign struct {
	role  Role
	glyph string
	staff int
	dx    float64 // of its origin, from the x of what it belongs to
	pos   int     // as head.pos
	scale float64
	note  int // Note.ID, −1 for none
	chord int // index into score.Chords, −1 for none
}

// addSign draws a placed sign that belongs to what stands at x.
func (l *layout) addSign(s placedSign, x float64) {
	l.add(Item{
		Role: s.role, Note: s.note, Chord: s.chord, Staff: s.staff,
		Glyph: s.glyph, X: x + s.dx, Y: l.yOf(s.staff, s.pos), Scale: s.scale,
	})
}

// makeStack places what the chords have on one staff.
func (l *layout) makeStack(staff int, at score.Rat, chords []*chord) *stack {
	s := &stack{staff: staff, at: at}
	groups := [][]part{}
	for _, c := range stackOrder(chords) {
		var group []part
		for i := range c.heads {
			if c.heads[i].staff == staff && !c.Rest {
				group = append(group, part{c, i})
			}
		}
		if len(group) > 0 {
			l.displaceSeconds(c, group)
			groups = append(groups, group)
		}
	}
	l.offsetVoices(groups)
	for _, g := range groups {
		s.parts = append(s.parts, g...)
	}
	l.cover(s)
	l.stackAccidentals(s)
	l.stackDots(s)
	for _, p := range s.parts {
		p.chord.left = min(p.chord.left, s.left)
		p.chord.right = max(p.chord.right, s.right)
	}
	return s
}

// stackOrder puts the upper voice first: it keeps its place when two collide.
func stackOrder(chords []*chord) []*chord {
	chords = slices.Clone(chords)
	slices.SortStableFunc(chords, func(a, b *chord) int { return rankOf(a) - rankOf(b) })
	return chords
}

func rankOf(c *chord) int {
	if c.up {
		return 0
	}
	return 1
}

// displaceSeconds puts one head of every second to the other side of the stem:
// the upper one to the right of an up stem, the lower one to the left of a
// down stem.
func (l *layout) displaceSeconds(c *chord, group []part) {
	if c.up {
		for i := 1; i < len(group); i++ {
			h, below := group[i].head(), group[i-1].head()
			h.x = 0
			if below.pos-h.pos <= 1 && below.x == 0 {
				h.x = l.beside(below, c)
			}
		}
		return
	}
	for i := len(group) - 2; i >= 0; i-- {
		h, above := group[i].head(), group[i+1].head()
		h.x = 0
		if h.pos-above.pos <= 1 && above.x == 0 {
			h.x = -l.beside(above, c)
		}
	}
}

// beside is how far two heads of a second stand apart: they touch the stem from
// both sides.
func (l *layout) beside(h *head, c *chord) float64 {
	return h.width - l.font.Defaults.Stem*c.scale
}

// offsetVoices moves the chords of a stack that would collide with those
// before them to the right.
func (l *layout) offsetVoices(groups [][]part) {
	for i, g := range groups {
		for moved := true; moved; {
			moved = false
			for _, other := range groups[:i] {
				if by := l.collision(other, g); by > 0 {
					shift(g, by)
					moved = true
				}
			}
		}
	}
}

func shift(group []part, by float64) {
	group[0].chord.x += by
	for _, p := range group {
		p.head().x += by
	}
}

// collision is how far the second chord must move to the right to stand clear
// of the first, or 0.
func (l *layout) collision(a, b []part) float64 {
	need := 0.0
	aligned := b[0].chord.x == a[0].chord.x
	crossed := a[0].chord.up && !b[0].chord.up && a[0].head().pos > b[len(b)-1].head().pos
	for _, p := range a {
		for _, q := range b {
			h, k := p.head(), q.head()
			apart := k.pos - h.pos
			if apart < -1 || apart > 1 {
				if !crossed || !aligned {
					continue
				}
			}
			if apart == 0 && aligned && shareHead(p, q) {
				continue
			}
			gap := 0.15
			if apart == 1 && a[0].chord.up != b[0].chord.up {
				gap = -l.font.Defaults.Stem // the stems meet in one line
			}
			if by := h.x + h.width + gap - k.x; by > 1e-9 && k.x+k.width > h.x {
				need = max(need, by)
			}
		}
	}
	return need
}

// shareHead tells whether two voices may have one head for a unison: heads of
// one look, in one size, with the same dots, on stems that go apart.
func shareHead(p, q part) bool {
	a, b := p.chord, q.chord
	return p.head().glyph == q.head().glyph && a.scale == b.scale && a.Value.Dots == b.Value.Dots &&
		p.head().note.Written == q.head().note.Written && a.up != b.up && a.Value.Type != "whole"
}

// cover is what the heads and flags of a stack take up.
func (l *layout) cover(s *stack) {
	s.left, s.right = math.Inf(1), math.Inf(-1)
	for _, p := range s.parts {
		h := p.head()
		s.left, s.right = min(s.left, h.x), max(s.right, h.x+h.width)
	}
	if len(s.parts) == 0 {
		s.left, s.right = 0, 0
	}
}

// flagRoom is what a flag takes up to the right of an up stem.
func (l *layout) flagRoom(c *chord) float64 {
	if c.beam != nil || !c.up || len(c.Beams) > 0 || c.Stem == notation.StemNone || !flagged[c.Value.Type] {
		return 0
	}
	return l.font.Glyph("flag8thUp").Box.Right * c.scale
}

var flagged = map[string]bool{"eighth": true, "16th": true, "32nd": true, "64th": true, "128th": true, "256th": true}
