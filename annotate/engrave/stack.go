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

// cluster is the heads of a stack that stand around one stem:
// those of a chord, and of other voices that share it.
type cluster struct {
	lead   *chord // whose stem it is
	chords []*chord
	parts  []part // low to high
}

// makeStack places what the chords have on one staff.
func (l *layout) makeStack(staff int, at score.Rat, chords []*chord) *stack {
	s := &stack{staff: staff, at: at}
	clusters := makeClusters(staff, chords)
	for _, g := range clusters {
		l.displaceSeconds(g)
	}
	l.offsetVoices(clusters)
	for _, g := range clusters {
		s.parts = append(s.parts, g.parts...)
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

// makeClusters gathers the heads that chords have on a staff. Those of upper
// voices come first: they keep their place when two clusters collide.
func makeClusters(staff int, chords []*chord) (clusters []*cluster) {
	chords = slices.Clone(chords)
	slices.SortStableFunc(chords, func(a, b *chord) int { return rankOf(a) - rankOf(b) })
	for _, c := range chords {
		parts := partsOn(staff, c)
		if len(parts) == 0 {
			continue
		}
		i := slices.IndexFunc(clusters, func(g *cluster) bool { return shareStem(g.lead, c) })
		if i < 0 {
			i = len(clusters)
			clusters = append(clusters, &cluster{lead: c})
		} else {
			c.with = clusters[i].lead
		}
		g := clusters[i]
		g.chords, g.parts = append(g.chords, c), append(g.parts, parts...)
		slices.SortStableFunc(g.parts, func(a, b part) int { return b.head().pos - a.head().pos })
	}
	return clusters
}

func partsOn(staff int, c *chord) (parts []part) {
	for i := range c.heads {
		if c.heads[i].staff == staff && !c.Rest {
			parts = append(parts, part{c, i})
		}
	}
	return parts
}

// rankOf puts up stems before down stems, and these before no stems.
func rankOf(c *chord) int {
	switch {
	case c.Stem == notation.StemNone:
		return 2
	case c.up:
		return 0
	}
	return 1
}

// shareStem reports whether two chords look like one: of one value, without
// beams, on stems that go the same way, or one without a stem of its own.
func shareStem(a, b *chord) bool {
	alike := a.Value == b.Value && a.scale == b.scale
	return alike && (b.Stem == notation.StemNone || a.up == b.up && a.beam == nil && b.beam == nil)
}

// displaceSeconds puts one head of every second to the other side of the stem:
// the upper one to the right of an up stem, the lower one to the left of a
// down stem. Two voices may have one head for a unison.
func (l *layout) displaceSeconds(g *cluster) {
	parts, side := slices.Clone(g.parts), 1.0
	if !g.lead.up {
		slices.Reverse(parts)
		side = -1
	}
	for i, p := range parts {
		h := p.head()
		h.x = 0
		if i == 0 {
			continue
		}
		before := parts[i-1]
		switch apart := abs(before.head().pos - h.pos); {
		case apart == 0 && before.head().note.Written == h.note.Written:
			h.x = before.head().x
		case apart <= 1 && before.head().x == 0:
			h.x = side * l.beside(before.head(), g.lead)
		}
	}
}

// beside is how far two heads of a second stand apart: they touch the stem from
// both sides.
func (l *layout) beside(h *head, c *chord) float64 {
	return h.width - l.font.Defaults.Stem*c.scale
}

// offsetVoices moves the clusters of a stack that would collide with those before
// them to the right.
func (l *layout) offsetVoices(clusters []*cluster) {
	for i, g := range clusters {
		for moved := true; moved; {
			moved = false
			for _, other := range clusters[:i] {
				if by := l.collision(other, g); by > 0 {
					g.shift(by)
					moved = true
				}
			}
		}
	}
}

// left and right are the edges of its heads.
func (g *cluster) left() float64 {
	left := math.Inf(1)
	for _, p := range g.parts {
		left = min(left, p.head().x)
	}
	return left
}

func (g *cluster) right() float64 {
	right := math.Inf(-1)
	for _, p := range g.parts {
		right = max(right, p.head().x+p.head().width)
	}
	return right
}

func (g *cluster) shift(by float64) {
	for _, c := range g.chords {
		c.x += by
	}
	for _, p := range g.parts {
		p.head().x += by
	}
}

// voiceGap is the white between the heads of two voices side by side.
const voiceGap = 0.15

// collision is how far the second cluster must move to the right to stand clear
// of the first, or 0.
func (l *layout) collision(a, b *cluster) (need float64) {
	if a.lead.up == b.lead.up && a.lead.stemmed() && b.lead.stemmed() { // its own stem, beside
		return max(0, a.right()+max(voiceGap, l.flagBeside(a, b))-b.left())
	}
	if by := l.stemThrough(a, b); by > 0 {
		return by
	}
	aligned := a.lead.x == b.lead.x
	highest := b.parts[len(b.parts)-1].head().pos
	crossed := aligned && a.lead.up && !b.lead.up && a.parts[0].head().pos > highest
	for _, p := range a.parts {
		for _, q := range b.parts {
			h, k := p.head(), q.head()
			apart := k.pos - h.pos
			if abs(apart) > 1 && !crossed || apart == 0 && aligned && shareHead(p, q) {
				continue
			}
			gap := voiceGap
			if apart == 1 && a.lead.up != b.lead.up {
				gap = -l.font.Defaults.Stem // the stems meet in one line
			}
			if by := h.x + h.width + gap - k.x; by > 1e-9 && k.x+k.width > h.x {
				need = max(need, by, a.right()+l.flagBeside(a, b)-b.left())
			}
		}
	}
	return need
}

// stemThrough is how far the second of two clusters must move to the right where
// the stem of one goes through the heads of the other, which has none.
func (l *layout) stemThrough(a, b *cluster) float64 {
	const white = 0.2
	switch {
	case a.lead.stemmed() && !b.lead.stemmed() && a.passes(b):
		at := a.left() + l.stemWidth(a.lead)
		if a.lead.up {
			at = a.right()
		}
		return max(0, at+white-b.left())
	case b.lead.stemmed() && !a.lead.stemmed() && b.passes(a):
		at := b.left()
		if b.lead.up {
			at = b.right() - l.stemWidth(b.lead)
		}
		return max(0, a.right()+white-at)
	}
	return 0
}

// passes reports whether the stem of a cluster is as high as any head of
// another beyond its own.
func (g *cluster) passes(other *cluster) bool {
	const longest = 7 // half spaces
	for _, p := range other.parts {
		pos := p.head().pos
		low, high := g.parts[0].head().pos, g.parts[len(g.parts)-1].head().pos
		if g.lead.up && pos < high-1 && pos >= high-longest || !g.lead.up && pos > low+1 && pos <= low+longest {
			return true
		}
	}
	return false
}

// flagBeside is what the flag of a cluster takes up beside its heads, where
// another that is moved there would lie in it.
func (l *layout) flagBeside(a, b *cluster) float64 {
	room := l.flagRoom(a.lead)
	if room == 0 {
		return 0
	}
	near := a.parts[len(a.parts)-1].head().pos
	for _, p := range b.parts {
		if pos := p.head().pos; b.lead.up || near-8 < pos && pos <= near {
			return room
		}
	}
	return 0
}

// shareHead reports whether two voices may have one head for a unison: heads of
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
