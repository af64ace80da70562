package engrave

// tremoloBetween reports whether a chord is one of two that a tremolo goes
// between.
func tremoloBetween(c *chord) bool {
	return c.TremoloPart == "start" || c.TremoloPart == "stop"
}

// tremoloGlyphs are the strokes through a stem, by their number from 1.
var tremoloGlyphs = [...]string{"tremolo1", "tremolo2", "tremolo3", "tremolo4", "tremolo5"}

// singleGlyph is the sign of a tremolo on one chord, "" for none.
func singleGlyph(c *chord) string {
	if c.Tremolo <= 0 || tremoloBetween(c) || c.Rest || c.Hidden || len(c.heads) == 0 {
		return ""
	}
	return tremoloGlyphs[min(c.Tremolo, len(tremoloGlyphs))-1]
}

// strokeGap is left free between the strokes of a tremolo and a head, a flag,
// a beam or a stem: common practice.
const strokeGap = 0.4

// strokeRoom is how long a stem must be for the strokes through it, from the
// middle of its head, in its own size; 0 without strokes.
func (l *layout) strokeRoom(c *chord) float64 {
	name := singleGlyph(c)
	if name == "" {
		return 0
	}
	box := l.font.Glyph(name).Box
	return 0.5 + strokeGap + box.Bottom - box.Top + l.tipRoom(c)
}

// tipRoom is what flags or beams take of a stem at its free end, with the gap
// to what comes next, in its own size.
func (l *layout) tipRoom(c *chord) float64 {
	n := flagsOf(c.Value)
	if n == 0 {
		return 0
	}
	room := l.font.Defaults.Beam + float64(n-1)*l.beamPitch() + strokeGap
	if c.beam == nil {
		room++ // a flag hangs down from the stem's end
	}
	return room
}

// drawTremolo draws the strokes of a tremolo on a chord, or between a chord and
// its partner.
func (l *layout) drawTremolo(c *chord) {
	switch name := singleGlyph(c); {
	case name != "":
		l.drawSingle(c, name)
	case c.Tremolo > 0 && c.TremoloPart == "start" && !c.Hidden && len(c.heads) > 0:
		if p := l.partner(c); p != nil {
			l.drawBetween(c, p)
		} else {
			l.omit(c.At, c.Staff, "a tremolo whose other chord is not shown")
		}
	}
}

// drawSingle draws the strokes through a stem, in the middle of what flags and
// beams leave of it; beyond the head where there is no stem.
func (l *layout) drawSingle(c *chord, name string) {
	box, near := l.font.Glyph(name).Box, c.near()
	x, y := c.stemX, near.y+c.dir()*(0.5+strokeGap+box.Bottom)*c.scale
	if c.stemmed() {
		tip := c.stemEnd - c.dir()*l.tipRoom(c)*c.scale
		y = (near.y + c.dir()*0.5*c.scale + tip) / 2
	} else {
		x = near.x + near.width/2
	}
	l.add(Item{
		Role: RoleTremolo, Note: -1, Chord: c.index, Staff: near.staff,
		Glyph: name, X: x, Y: y, Scale: c.scale,
	})
}

// partner is the chord at the other end of a tremolo between two, nil where it
// is not on the system.
func (l *layout) partner(c *chord) *chord {
	for _, p := range l.chords {
		if p.TremoloPart == "stop" && p.Voice == c.Voice && p.At.Cmp(c.End()) == 0 && !p.Hidden && len(p.heads) > 0 {
			return p
		}
	}
	return nil
}

// pair lets the two chords of a tremolo share a beam, on which its strokes
// are laid, where they have stems.
func (l *layout) pair() {
	for _, c := range l.chords {
		if c.TremoloPart != "start" || c.beam != nil || !c.stemmed() {
			continue
		}
		if p := l.partner(c); p != nil && p.beam == nil && p.stemmed() {
			b := &beam{chords: []*chord{c, p}}
			c.beam, p.beam = b, b
		}
	}
}

// drawBetween draws the strokes between two chords. They touch the stems of
// half notes, and keep clear of those of others and of beams: common practice.
func (l *layout) drawBetween(c, p *chord) {
	w, pitch := l.font.Defaults.Beam*c.scale, l.beamPitch()*c.scale
	x1, x2, y1, y2, side := l.between(c, p)
	if x2-x1 < strokeGap {
		l.omit(c.At, c.Staff, "a tremolo between two chords without room for it")
		return
	}
	if c.Value.Type == "half" && c.stemmed() {
		x1, x2 = c.stemX-l.stemWidth(c)/2, p.stemX+l.stemWidth(p)/2
	} else {
		slope := (y2 - y1) / (x2 - x1)
		gap := min(2*strokeGap*c.scale, (x2-x1)/4)
		x1, x2, y1, y2 = x1+gap, x2-gap, y1+gap*slope, y2-gap*slope
	}
	for i := range c.Tremolo {
		dy := side * pitch * float64(flagsOf(c.Value)+i)
		l.add(Item{
			Role: RoleTremolo, Note: -1, Chord: c.index, Staff: l.tremoloStaff(c, p),
			Shape: bar(x1, y1+dy, x2, y2+dy, w),
		})
	}
}

// tremoloStaff is the staff that strokes between two chords belong to.
func (l *layout) tremoloStaff(c, p *chord) int {
	if c.beam != nil {
		return c.beam.staff()
	}
	if c.Staff == p.Staff {
		return c.Staff
	}
	return 0
}

// between is the line of the first stroke between two chords: that of their
// beam, or of whole notes one through the middle of the heads; side is the way
// that further strokes go.
func (l *layout) between(c, p *chord) (x1, x2, y1, y2, side float64) {
	if b := c.beam; b != nil && b == p.beam {
		return c.stemX, p.stemX, b.at(c.stemX), b.at(p.stemX), -c.dir()
	}
	x1, x2 = c.x, p.x
	for _, h := range c.heads {
		x1 = max(x1, h.x+h.width)
	}
	for _, h := range p.heads {
		x2 = min(x2, h.x)
	}
	half := float64(c.Tremolo-1) * l.beamPitch() * c.scale / 2
	y1 = (c.heads[0].y+c.heads[len(c.heads)-1].y)/2 - half
	y2 = (p.heads[0].y+p.heads[len(p.heads)-1].y)/2 - half
	steep := 0.25 * (x2 - x1)
	if d := y2 - y1; d > steep || d < -steep {
		mean, tilt := (y1+y2)/2, max(-steep, min(d, steep))/2
		y1, y2 = mean-tilt, mean+tilt
	}
	return x1, x2, y1, y2, 1
}
