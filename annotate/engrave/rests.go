package engrave

import (
	"math"

	"hardbars/score/notation"
)

var restGlyphs = map[string]string{
	"long": "restLonga", "breve": "restDoubleWhole", "whole": "restWhole", "half": "restHalf", "quarter": "restQuarter",
	"eighth": "rest8th", "16th": "rest16th", "32nd": "rest32nd", "64th": "rest64th", "128th": "rest128th", "256th": "rest256th",
}

func restGlyph(c *notation.Chord) string {
	if c.WholeBar {
		return "restWhole"
	}
	return restGlyphs[c.Value.Type]
}

// restAway is how far a rest of one of two voices stands from the middle of
// the staff, in half spaces (common practice).
const restAway = 4

// restOutside is how far outside the staff a rest may stand where the file
// puts it, in half spaces: some put the rest of a voice that changes staves onto
// the other staff.
const restOutside = 6

// restDotGap is the distance from a rest to its first dot.
const restDotGap = 0.25

// restWhite is the least distance from a rest to the heads of other voices.
const restWhite = 0.25

// settleRest gives a rest its place on the staff: where the file puts it, in
// the middle when its voice is alone, and otherwise to the side of its voice;
// from there out of the way of the heads in others.
func (l *layout) settleRest(c *chord, others []*chord) {
	pos, step := 4, 2
	if c.upper {
		step = -2
	}
	switch {
	case c.RestAt != 0:
		pos = staffPos(c.RestAt, clefAt(l.score, c.Staff, c.At))
		pos = 2 * int(math.Round(float64(pos)/2))
		pos = max(-restOutside, min(pos, 8+restOutside))
	case c.voices > 1 && c.upper:
		pos -= restAway
	case c.voices > 1:
		pos += restAway
	}
	h := &c.heads[0]
	h.pos = pos
	if h.glyph == "restWhole" {
		h.pos -= 2 // it hangs from the line above
	}
	for h.glyph != "" && l.restMeets(c, others) {
		h.pos += step
	}
	c.settled = true
}

// restMeets reports whether a rest stands on a head of another chord.
func (l *layout) restMeets(c *chord, others []*chord) bool {
	box := l.font.Glyph(c.heads[0].glyph).Box
	y := float64(c.heads[0].pos) / 2
	top, bottom := y+box.Top-restWhite, y+box.Bottom+restWhite
	for _, d := range others {
		for _, h := range d.heads {
			if d.Rest && d != c && d.settled && d.Staff == c.Staff && h.glyph != "" && !d.WholeBar {
				other := l.font.Glyph(h.glyph).Box
				if y := float64(h.pos) / 2; y+other.Bottom > top && y+other.Top < bottom {
					return true
				}
			}
			if head := float64(h.pos) / 2; h.note != nil && h.staff == c.Staff && head+0.5 > top && head-0.5 < bottom {
				return true
			}
		}
	}
	return false
}

// besideRest is what may be in a rest's way: what strikes with it, or all of
// its bar for a rest that stands in the middle of it.
func (l *layout) besideRest(col *column, c *chord) []*chord {
	if !c.WholeBar {
		return col.chords
	}
	var all []*chord
	for _, d := range l.chords {
		if d.Bar == c.Bar {
			all = append(all, d)
		}
	}
	return all
}

// fillRest places a rest; one for a whole bar is put into its middle later.
func (l *layout) fillRest(col *column, c *chord) {
	l.settleRest(c, l.besideRest(col, c))
	h := &c.heads[0]
	h.x = 0
	c.left, c.right = 0, 0
	if h.glyph == "" {
		return
	}
	box := l.font.Glyph(h.glyph).Box
	h.width = box.Right * c.scale
	if !c.WholeBar {
		h.x = l.besideStems(col, c)
		c.x, c.left = h.x, h.x
	}
	c.right = h.x + h.width
	if !c.WholeBar {
		c.right = h.x + l.withDots(c, h)
		col.ink[c.Staff-1].cover(h.x, c.right)
	}
}

// besideStems is how far a rest moves to stand clear of the stems of what strikes
// with it.
func (l *layout) besideStems(col *column, c *chord) (dx float64) {
	const white = 0.2
	h := &c.heads[0]
	box := l.font.Glyph(h.glyph).Box
	top, bottom := float64(h.pos)/2+box.Top, float64(h.pos)/2+box.Bottom
	for _, d := range col.chords {
		if d.Staff != c.Staff || !d.stemmed() {
			continue
		}
		stem := l.stemWidth(d)
		at, end := float64(d.far().pos)/2, float64(d.near().pos)/2+d.dir()*stemLength*d.scale
		if max(at, end) < top || bottom < min(at, end) {
			continue
		}
		if d.up {
			dx = min(dx, d.far().width-stem-white-h.width)
		} else {
			dx = max(dx, stem+white-box.Left)
		}
	}
	return dx
}

// withDots is the right edge of a rest with its dots.
func (l *layout) withDots(c *chord, h *head) float64 {
	if c.Value.Dots == 0 {
		return h.width
	}
	return h.width + (restDotGap+float64(c.Value.Dots)*l.dotStep()-dotNext)*c.scale
}

// drawRests draws the rests; those for a whole bar in its middle.
func (l *layout) drawRests() {
	for _, c := range l.chords {
		if !c.Rest || c.heads[0].glyph == "" {
			continue
		}
		h := &c.heads[0]
		l.add(Item{Role: RoleRest, Note: -1, Chord: c.index, Staff: c.Staff, Glyph: h.glyph, X: h.x, Y: h.y, Scale: c.scale})
		l.drawRestLine(c, h)
		if !c.WholeBar {
			l.drawRestDots(c, h)
		}
	}
}

// drawRestDots draws a rest's dots, in the space above its middle, or below the
// line that it hangs from.
func (l *layout) drawRestDots(c *chord, h *head) {
	pos := h.pos - 1
	if h.glyph == "restWhole" {
		pos = h.pos + 1
	}
	for i := range c.Value.Dots {
		l.add(Item{
			Role: RoleDot, Note: -1, Chord: c.index, Staff: c.Staff, Glyph: "augmentationDot",
			X: h.x + h.width + (restDotGap+float64(i)*l.dotStep())*c.scale, Y: l.yOf(c.Staff, pos), Scale: c.scale,
		})
	}
}

// drawRestLine draws the short line that a whole or half rest has beyond the
// staff.
func (l *layout) drawRestLine(c *chord, h *head) {
	if h.glyph != "restWhole" && h.glyph != "restHalf" || h.pos >= 0 && h.pos <= 8 {
		return
	}
	ext := l.font.Defaults.LedgerExtension
	l.add(Item{Role: RoleLedger, Note: -1, Chord: c.index, Staff: c.Staff, Stroke: &Stroke{
		X1: h.x - ext, Y1: h.y, X2: h.x + h.width + ext, Y2: h.y, Width: l.font.Defaults.LedgerLine,
	}})
}
