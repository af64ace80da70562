package engrave

import "hardbars/score/notation"

// Lengths of stems in staff spaces: common practice.
const (
	stemLength   = 3.5  // an octave
	shortestStem = 2.5  // of what a beam or a head outside the staff may leave of it
	middle       = 4    // pos of the middle line
	clearance    = 1.25 // from the middle of a head to the innermost beam, at least
)

// directions settles which way every stem goes, and which chords share beams.
// It is called when the heads know their staff and pos; where they stand is
// not asked for.
func (l *layout) directions() {
	for _, c := range l.chords {
		c.beam = nil
	}
	l.gather()
	l.pair()
	for _, c := range l.chords {
		switch {
		case c.beam == nil:
			c.up = c.goesUp()
		case c.beam.chords[0] == c:
			c.beam.direct()
		}
	}
	l.unclash()
}

// goesUp is the direction of a stem that shares no beam: as the file says, by
// voice, and else towards the middle line.
func (c *chord) goesUp() bool {
	switch {
	case c.Stem == notation.StemUp:
		return true
	case c.Stem == notation.StemDown:
		return false
	case c.voices > 1:
		return c.upper
	case c.Grace > 0:
		return true
	}
	return lean(c) > 0
}

// lean is how far heads lie below the middle line, by the head farthest from
// it; by all of them where the highest and the lowest are as far.
func lean(chords ...*chord) int {
	low, high, sum := 0, 0, 0
	for _, c := range chords {
		for _, h := range c.heads {
			d := h.pos - middle
			low, high, sum = max(low, d), min(high, d), sum+d
		}
	}
	if low+high != 0 {
		return low + high
	}
	return sum
}

// dir is which way the stem goes in y: −1 up, 1 down.
func (c *chord) dir() float64 {
	if c.up {
		return -1
	}
	return 1
}

// far and near are the heads at the stem's own end and next to its free end.
func (c *chord) far() *head {
	if c.up {
		return &c.heads[0]
	}
	return &c.heads[len(c.heads)-1]
}

func (c *chord) near() *head {
	if c.up {
		return &c.heads[len(c.heads)-1]
	}
	return &c.heads[0]
}

// stemmed reports whether a chord is drawn with a stem.
func (c *chord) stemmed() bool {
	if c.Rest || c.Hidden || c.Stem == notation.StemNone || len(c.heads) == 0 {
		return false
	}
	return c.Value.Type == "half" || c.Value.Type == "quarter" || flagsOf(c.Value) > 0
}

// stems draws stems, beams, flags and tremolos. Beams of grace notes are laid
// first: other beams keep clear of them.
func (l *layout) stems() {
	for _, c := range l.chords {
		l.plant(c)
	}
	for _, c := range l.chords {
		c.joinStem()
	}
	for _, grace := range [2]bool{true, false} {
		for _, c := range l.chords {
			if c.leads() && (c.Grace > 0) == grace {
				l.setBeam(c.beam)
			}
		}
	}
	for _, c := range l.chords {
		if c.stemmed() {
			l.drawStem(c)
			l.drawFlag(c)
		}
		l.drawTremolo(c)
		if c.leads() {
			l.drawBeam(c.beam)
		}
	}
}

// joinStem ends a stem that two voices share beyond the heads of both.
func (c *chord) joinStem() {
	if c.with == nil || !c.stemmed() || !c.with.stemmed() {
		return
	}
	if (c.stemEnd-c.with.stemEnd)*c.dir() > 0 {
		c.with.stemEnd = c.stemEnd
	}
	c.stemEnd = c.with.stemEnd
}

// leads reports whether a chord is the first of its beam.
func (c *chord) leads() bool { return c.beam != nil && c.beam.chords[0] == c }

// plant settles where a stem stands, and where it ends as long as no beam
// moves it.
func (l *layout) plant(c *chord) {
	if len(c.heads) == 0 {
		return
	}
	far := c.far()
	w, at := l.stemWidth(c), l.anchor(c, far)
	c.stemX = c.x + at.X*c.scale + c.dir()*w/2
	c.stemAt = far.y
	if far.x == c.x {
		c.stemAt += at.Y * c.scale
	}
	c.stemEnd = c.stemAt
	if c.stemmed() {
		c.stemEnd = l.bestEnd(c)
	}
}

// anchor is where a stem meets a head of a chord that is not displaced, from
// the head's origin, in the head's own size.
func (l *layout) anchor(c *chord, h *head) (at point) {
	name := "stemDownNW"
	if c.up {
		name, at.X = "stemUpSE", h.width/c.scale
	}
	if h.glyph == "" {
		return at
	}
	if a, ok := l.font.Glyph(h.glyph).Anchor(name); ok {
		return a
	}
	return at
}

// stemWidth is how thick a stem is: those of small notes are a little thinner.
func (l *layout) stemWidth(c *chord) float64 { return l.font.Defaults.Stem * (1 + c.scale) / 2 }

// bestEnd is where the free end of a stem lies best: an octave from its head,
// farther with many flags or beams, at the middle line at least, and nearer
// where the stem points out of the staff and carries nothing.
func (l *layout) bestEnd(c *chord) float64 {
	length := max(l.bestLength(c), l.leastLength(c)) * c.scale
	near := c.near()
	end := near.y + c.dir()*length
	mid := l.top[near.staff-1] + middle/2
	if c.scale == 1 && (mid-end)*c.dir() > 0 {
		return mid
	}
	return end
}

// bestLength is how long a stem is by rule, in its own size.
func (l *layout) bestLength(c *chord) float64 {
	if flag := flagOf(c); flag != "" {
		return stemLength + c.dir()*l.flagAnchor(c, flag).Y
	}
	if n := beamsOf(c); n > 0 {
		return stemLength + float64(max(0, n-2))*l.beamPitch()
	}
	return stemLength - min(1, max(0, 0.125*c.outside()))
}

// outside is how far, in half spaces, the head next to the free end lies past
// the middle line.
func (c *chord) outside() float64 { return c.dir() * float64(c.near().pos-middle) }

// beamsOf is how many beams a stem carries, strokes between two chords among
// them.
func beamsOf(c *chord) int {
	switch {
	case c.beam == nil:
		return 0
	case tremoloBetween(c):
		return flagsOf(c.Value) + c.Tremolo
	}
	return flagsOf(c.Value)
}

// leastLength is how long a stem must be, from the middle of its head, for all
// that it carries; in its own size.
func (l *layout) leastLength(c *chord) float64 {
	least := shortestStem
	if n := beamsOf(c); n > 0 {
		least = max(least, clearance+l.font.Defaults.Beam+float64(n-1)*l.beamPitch())
	}
	return max(least, l.strokeRoom(c))
}

// beamPitch is from the middle of a beam to the middle of the next.
func (l *layout) beamPitch() float64 { return l.font.Defaults.Beam + l.font.Defaults.BeamSpacing }

func (l *layout) drawStem(c *chord) {
	l.add(Item{
		Role: RoleStem, Note: -1, Chord: c.index, Staff: l.stemStaff(c),
		Stroke: &Stroke{X1: c.stemX, Y1: c.stemAt, X2: c.stemX, Y2: c.stemEnd, Width: l.stemWidth(c)},
	})
	l.raiseTip(c)
}

// stemStaff is the staff that a stem belongs to: none where it reaches across
// two staves, which must not push them apart.
func (l *layout) stemStaff(c *chord) int {
	staff := c.near().staff
	if c.far().staff != staff || c.beam != nil && c.beam.staff() != staff {
		return 0
	}
	return staff
}

// raiseTip lets the free end of a stem with heads on two staves stand in the
// skyline of the staff that it points out of.
func (l *layout) raiseTip(c *chord) {
	near, w := c.near().staff, l.stemWidth(c)/2
	if c.far().staff == near || c.beam != nil {
		return
	}
	sky := l.below[near-1]
	if c.up {
		sky = l.above[near-1]
	}
	sky.raise(c.stemX-w, c.stemX+w, c.stemEnd)
}
