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

// settleRest gives a rest its place on the staff: where the file puts it, in
// the middle when its voice is alone, and otherwise out of the way of the
// other voice.
func (l *layout) settleRest(c *chord) {
	pos := 4
	switch {
	case c.RestAt != 0:
		pos = staffPos(c.RestAt, clefAt(l.score, c.Staff, c.At))
		pos = 2 * int(math.Round(float64(pos)/2))
		pos = max(-restOutside, min(pos, 8+restOutside))
	case c.voices > 1 && c.upper:
		pos = min(4-restAway, l.clearOf(c, true))
	case c.voices > 1:
		pos = max(4+restAway, l.clearOf(c, false))
	}
	if c.heads[0].glyph == "restWhole" {
		pos -= 2 // it hangs from the line above
	}
	c.heads[0].pos = pos
}

// clearOf is the nearest place for a rest beyond the heads of the other voices
// at its instant.
func (l *layout) clearOf(c *chord, up bool) int {
	const away = 5 // half spaces from the middle of the rest to a head
	pos := 4
	for _, d := range l.chords {
		if d.At != c.At || d.Rest || d.Grace > 0 {
			continue
		}
		for _, h := range d.heads {
			switch {
			case h.staff != c.Staff:
			case up:
				pos = min(pos, evenDown(h.pos-away))
			default:
				pos = max(pos, -evenDown(-h.pos-away))
			}
		}
	}
	return pos
}

// evenDown is the even number at or below n.
func evenDown(n int) int { return n - (n & 1) }

// drawRests draws the rests; those for a whole bar in its middle.
func (l *layout) drawRests() {
	for _, c := range l.chords {
		if !c.Rest || c.heads[0].glyph == "" {
			continue
		}
		h := &c.heads[0]
		l.add(Item{Role: RoleRest, Note: -1, Chord: c.index, Staff: c.Staff, Glyph: h.glyph, X: h.x, Y: h.y, Scale: c.scale})
		l.drawRestLine(c, h)
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
