package engrave

import (
	"cmp"
	"slices"
	"strings"

	"hardbars/score/notation"
)

// farSigns are the glyphs of the signs that stand beyond slurs, by their
// MusicXML elements; the sides are added to those that have two.
var farSigns = map[string]string{
	"trill-mark": "ornamentTrill", "shake": "ornamentTremblement",
	"turn": "ornamentTurn", "delayed-turn": "ornamentTurn",
	"inverted-turn": "ornamentTurnInverted", "delayed-inverted-turn": "ornamentTurnInverted",
	"vertical-turn": "ornamentTurnUp", "inverted-vertical-turn": "ornamentTurnSlash",
	"mordent": "ornamentMordent", "inverted-mordent": "ornamentShortTrill",
	"schleifer": "ornamentSchleifer", "haydn": "ornamentHaydn",
	"up-bow": "stringsUpBow", "down-bow": "stringsDownBow", "harmonic": "stringsHarmonic", "open-string": "stringsHarmonic",
	"stopped": "pluckedLeftHandPizzicato",
}

// fermatas are the glyphs of fermatas by their MusicXML shapes.
var fermatas = map[string]string{
	"": "fermata", "normal": "fermata", "angled": "fermataShort", "square": "fermataLong",
	"double-angled": "fermataVeryShort", "double-square": "fermataVeryLong",
}

// pauses are the glyphs of the signs for a breath and a break.
var pauses = map[string]string{"breath-mark": "breathMarkComma", "caesura": "caesura"}

// accidentalSize is the size of an accidental beside an ornament.
const accidentalSize = 0.65

// farMarks draws what stands beyond slurs: ornaments and fermatas.
func (l *layout) farMarks() {
	for _, c := range l.chords {
		if len(c.heads) == 0 {
			continue
		}
		for _, m := range outwards(c.Marks) {
			l.farMark(c, m)
		}
	}
}

// outwards puts fermatas last: they stand outside of all else.
func outwards(marks []notation.Mark) []notation.Mark {
	marks = slices.Clone(marks)
	rank := func(m notation.Mark) int {
		if m.Name == "fermata" {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(marks, func(a, b notation.Mark) int { return cmp.Compare(rank(a), rank(b)) })
	return marks
}

func (l *layout) farMark(c *chord, m notation.Mark) {
	_, near := articulations[m.Name]
	glyph, far := farSigns[m.Name]
	pause, breathes := pauses[m.Name]
	switch {
	case near || m.Name == "detached-legato":
	case m.Name == "fermata":
		l.drawFermata(c, m)
	case far:
		l.drawOrnament(c, m, glyph)
	case breathes:
		l.drawPause(c, pause)
	default:
		l.omit(c.At, c.Staff, "a sign at a note ("+strings.ReplaceAll(m.Name, "-", " ")+")")
	}
}

// farAbove reports whether a sign beyond slurs stands above its chord: as the
// file says, and else above all but the lower of two voices.
func (l *layout) farAbove(c *chord, m notation.Mark) bool {
	if m.Side != notation.Auto {
		return m.Side == notation.Above
	}
	return !l.shares(c) || c.upper
}

// drawFermata draws a fermata, one for all voices of a staff that stop together.
func (l *layout) drawFermata(c *chord, m notation.Mark) {
	above := l.farAbove(c, m)
	name, ok := fermatas[m.Shape]
	if !ok {
		name = "fermata"
	}
	if name += "Below"; above {
		name = strings.TrimSuffix(name, "Below") + "Above"
	}
	staff := c.outer(above).staff
	for _, it := range l.items {
		if it.Role == RoleMark && it.Glyph == name && it.Staff == staff && l.index[it.Chord] != nil && l.index[it.Chord].At == c.At {
			return
		}
	}
	s := l.newLegend(Item{Role: RoleMark, Note: -1, Chord: c.index, Glyph: name, Scale: max(c.scale, cueScale)})
	s.move(c.centre()-(s.box.Left+s.box.Right)/2, 0)
	l.putBeyond(s, staff, above, ornamentGap)
}

// drawOrnament draws an ornament with its accidentals.
func (l *layout) drawOrnament(c *chord, m notation.Mark, glyph string) {
	const white = 0.25
	size := max(c.scale, cueScale)
	s := l.newLegend(Item{Role: RoleMark, Note: -1, Chord: c.index, Glyph: glyph, Scale: size})
	mid := (s.box.Left + s.box.Right) / 2
	for _, beside := range [2]struct {
		name  string
		above bool
	}{{m.AboveIt, true}, {m.BelowIt, false}} {
		name, ok := accidentalGlyphs[beside.name]
		if !ok {
			continue
		}
		a := l.newLegend(Item{Role: RoleMark, Note: -1, Chord: c.index, Glyph: name, Scale: size * accidentalSize})
		y := s.box.Bottom + white - a.box.Top
		if beside.above {
			y = s.box.Top - white - a.box.Bottom
		}
		a.move(mid-(a.box.Left+a.box.Right)/2, y)
		s.items = append(s.items, a.items...)
		s.box = s.box.around(a.box)
	}
	x := c.centre()
	if strings.HasPrefix(m.Name, "delayed-") {
		x = (x + max(x, l.xAt(c.End()))) / 2 // between the note and the next
	}
	s.move(x-mid, 0)
	above := l.farAbove(c, m)
	l.putBeyond(s, c.outer(above).staff, above, ornamentGap)
}

// drawPause draws a breath or a break behind a chord, through or above the top
// line of its staff.
func (l *layout) drawPause(c *chord, glyph string) {
	s := l.newLegend(Item{Role: RoleMark, Note: -1, Chord: c.index, Glyph: glyph, Scale: 1})
	next := l.endX(c.End())
	x := max(c.right+0.3, (c.right+next)/2-(s.box.Right-s.box.Left)/2)
	s.move(x-s.box.Left, l.top[c.Staff-1]+0.5)
	if l.taken(s.items[0]) || glyph == pauses["breath-mark"] {
		s.move(0, -l.top[c.Staff-1]-0.5)
		l.putBeyond(s, c.Staff, true, 0.1)
		return
	}
	l.put(s, c.Staff, 0)
}
