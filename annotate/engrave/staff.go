package engrave

import "strings"

const (
	braceRoom  = 1.8 // left of the staves
	braceWidth = 1.2
	braceGap   = 0.3  // between brace and staves
	numberSize = 1.82 // of the em of a bar number
	numberGap  = 0.6  // from what is below a bar number
	shortRoom  = 4.0  // for the mark of music that goes on
)

// drawStaves draws the lines of the staves, what joins them at the left, and
// the mark where the music goes on but is not shown.
func (l *layout) drawStaves() {
	width := l.font.Defaults.StaffLine
	for staff, top := range l.top {
		for line := range 5 {
			y := top + float64(line)
			l.add(Item{Role: RoleStaff, Note: -1, Chord: -1, Staff: staff + 1, Stroke: &Stroke{
				X1: l.start, Y1: y, X2: l.width, Y2: y, Width: width,
			}})
		}
	}
	if len(l.top) > 1 {
		l.drawBrace()
	}
	if l.short {
		l.add(Item{Role: RoleOmission, Note: -1, Chord: -1, X: l.width + 0.8, Y: (l.top[0]+l.top[len(l.top)-1]+staffHeight)/2 + 0.3,
			Text: "…", Face: Face{Size: 3}})
	}
}

// drawBrace draws the brace and the line at the left of two or more staves.
func (l *layout) drawBrace() {
	top, bottom := l.top[0], l.top[len(l.top)-1]+staffHeight
	thin := l.font.Defaults.ThinBarline
	l.add(Item{Role: RoleBarline, Note: -1, Chord: -1, Stroke: &Stroke{
		X1: l.start + thin/2, Y1: top, X2: l.start + thin/2, Y2: bottom, Width: thin,
	}})
	l.add(Item{Role: RoleBrace, Note: -1, Chord: -1, Shape: l.brace(l.start-braceGap, top, bottom)})
}

// brace is the font's brace, drawn out to the height of the staves and always
// of one width.
func (l *layout) brace(right, top, bottom float64) []Segment {
	g := l.font.Glyph("brace")
	wide, high := g.Box.Right-g.Box.Left, g.Box.Bottom-g.Box.Top
	x := func(v float64) float64 { return right + (v-g.Box.Right)/wide*braceWidth }
	y := func(v float64) float64 { return bottom + (v-g.Box.Bottom)/high*(bottom-top) }
	shape := make([]Segment, len(g.Outline))
	for i, s := range g.Outline {
		shape[i] = Segment{Op: s.Op, X1: x(s.X1), Y1: y(s.Y1), X2: x(s.X2), Y2: y(s.Y2), X: x(s.X), Y: y(s.Y)}
	}
	return shape
}

// drawNumbers draws the number of every bar that begins on the line, as
// printed, above its barline.
func (l *layout) drawNumbers() {
	if len(l.bars) == 0 {
		return
	}
	bar := l.score.Bars[l.bars[0].index]
	if bar.Number == "" || bar.Start.Less(l.from) {
		return
	}
	it := Item{Role: RoleNumber, Note: -1, Chord: -1, Staff: 1, X: l.start, Text: bar.Number, Face: Face{Size: numberSize}}
	it.Y = l.numberY(it)
	l.add(it)
}

// numberY is the baseline of a bar number: next to the staff where there is room,
// if need be under a slur, and else above all.
func (l *layout) numberY(it Item) float64 {
	it.Y = l.top[0] - numberGap
	box := l.boxOf(it)
	box = Box{box.Left - cell, box.Top - cell, box.Right + cell, box.Bottom}
	for _, other := range l.items {
		if !other.Box.Meets(box) {
			continue
		}
		if top, bottom, ok := other.over(box.Left, box.Right); ok && top < box.Bottom && box.Top < bottom {
			return min(l.above[0].reach(box.Left, box.Right), l.top[0]) - numberGap
		}
	}
	return it.Y
}

// drawLeftOut marks what the score holds and cannot be set.
func (l *layout) drawLeftOut() {
	for _, o := range l.score.LeftOut {
		if !o.At.Less(l.from) && o.At.Less(l.to) {
			l.omit(o.At, o.Staff, o.What)
		}
	}
	for _, c := range l.chords {
		for _, h := range c.heads {
			if name := accidentalOf(h); name != "" && accidentalGlyphs[name] == "" {
				l.omit(c.At, h.staff, "the accidental "+strings.ReplaceAll(name, "-", " "))
			}
		}
		if c.Rest && c.heads[0].glyph == "" && restGlyph(c.Chord) == "" {
			l.omit(c.At, c.Staff, "a rest of the value "+c.Value.Type)
		}
	}
}

func accidentalOf(h head) string {
	if h.note == nil {
		return ""
	}
	return h.note.Accidental
}
