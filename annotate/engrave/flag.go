package engrave

import (
	"hardbars/annotate/smufl"
	"hardbars/score/notation"
)

// point is a place on a glyph or a system.
type point = smufl.Point

// flags are the note values that carry flags, from one flag on, and the glyphs
// of their flags without the direction.
var flags = [...]struct{ value, glyph string }{
	{"eighth", "flag8th"}, {"16th", "flag16th"}, {"32nd", "flag32nd"}, {"64th", "flag64th"},
	{"128th", "flag128th"}, {"256th", "flag256th"}, {"512th", "flag512th"}, {"1024th", "flag1024th"},
}

// flagsOf is how many flags or beams a note value has.
func flagsOf(v notation.Value) int {
	for i, f := range flags {
		if v.Type == f.value {
			return i + 1
		}
	}
	return 0
}

// flagOf is the flag that a stem carries, "" for none.
func flagOf(c *chord) string {
	n := flagsOf(c.Value)
	if n == 0 || c.beam != nil || !c.stemmed() || c.with != nil {
		return ""
	}
	if c.up {
		return flags[n-1].glyph + "Up"
	}
	return flags[n-1].glyph + "Down"
}

// drawFlag draws the flag of a chord, if it has one, and the stroke through
// the stem of a grace note.
func (l *layout) drawFlag(c *chord) {
	name := flagOf(c)
	if name != "" {
		at := l.flagOrigin(c)
		l.add(Item{
			Role: RoleFlag, Note: -1, Chord: c.index, Staff: c.near().staff,
			Glyph: name, X: at.X, Y: at.Y, Scale: c.scale,
		})
	}
	if c.Slashed && (c.beam == nil || c.leads()) {
		l.drawSlash(c)
	}
}

// flagOrigin is where the flag's glyph stands so that its anchor lies on the
// free end of the stem, at its left edge.
func (l *layout) flagOrigin(c *chord) point {
	at := l.flagAnchor(c, flagOf(c))
	return point{X: c.stemX - l.stemWidth(c)/2 - at.X*c.scale, Y: c.stemEnd - at.Y*c.scale}
}

// flagAnchor is where the stem ends on the glyph of a flag.
func (l *layout) flagAnchor(c *chord, flag string) point {
	name := "stemDownSW"
	if c.up {
		name = "stemUpNW"
	}
	at, _ := l.font.Glyph(flag).Anchor(name)
	return at
}

// drawSlash draws the stroke through the stem of a grace note: where the font
// has it on the flag of an eighth, and at the same place on a stem without one.
func (l *layout) drawSlash(c *chord) {
	flag, first, second := "flag8thDown", "graceNoteSlashNW", "graceNoteSlashSE"
	if c.up {
		flag, first, second = "flag8thUp", "graceNoteSlashSW", "graceNoteSlashNE"
	}
	g := l.font.Glyph(flag)
	a, _ := g.Anchor(first)
	b, _ := g.Anchor(second)
	x, y := c.stemX, c.stemEnd
	if flagOf(c) != "" {
		y = l.flagOrigin(c).Y
	}
	l.add(Item{
		Role: RoleStem, Note: -1, Chord: c.index, Staff: c.near().staff,
		Stroke: &Stroke{X1: x + a.X*c.scale, Y1: y + a.Y*c.scale, X2: x + b.X*c.scale, Y2: y + b.Y*c.scale, Width: l.stemWidth(c)},
	})
}
