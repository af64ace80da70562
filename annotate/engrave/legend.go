package engrave

// legend is ink that is placed as one: letters, words, a note with its figure.
// Its items count from the legend's own baseline, y = 0.
type legend struct {
	items []Item
	box   Box
}

// newLegend puts items together.
func (l *layout) newLegend(items ...Item) legend {
	s := legend{items: items}
	for i, it := range items {
		box := l.boxOf(it)
		if i == 0 {
			s.box = box
		}
		s.box = s.box.around(box)
	}
	return s
}

// around is the smallest box that holds both.
func (b Box) around(c Box) Box {
	return Box{min(b.Left, c.Left), min(b.Top, c.Top), max(b.Right, c.Right), max(b.Bottom, c.Bottom)}
}

// with is a legend with another one behind it, a gap away.
func (s legend) with(next legend, gap float64) legend {
	if len(s.items) == 0 {
		return next
	}
	next.move(s.box.Right+gap-next.box.Left, 0)
	return legend{append(s.items, next.items...), s.box.around(next.box)}
}

// under is a legend with another one below it, a gap away.
func (s legend) under(next legend, gap float64) legend {
	if len(s.items) == 0 {
		return next
	}
	next.move((s.box.Left+s.box.Right-next.box.Left-next.box.Right)/2, s.box.Bottom+gap-next.box.Top)
	return legend{append(s.items, next.items...), s.box.around(next.box)}
}

// move moves a legend.
func (s *legend) move(dx, dy float64) {
	for i, it := range s.items {
		s.items[i] = it.scaled(dx, dy, 1)
	}
	s.box = Box{s.box.Left + dx, s.box.Top + dy, s.box.Right + dx, s.box.Bottom + dy}
}

// beyond is the y of the baseline at which a legend stands clear of all ink of
// a staff, by a gap.
func (l *layout) beyond(s legend, staff int, above bool, gap float64) float64 {
	return l.sky(staff, above).reach(s.box.Left, s.box.Right) + toward(above)*gap - s.box.near(above)
}

// near is the edge that is next to what a box stands above or below of.
func (b Box) near(above bool) float64 {
	if above {
		return b.Bottom
	}
	return b.Top
}

// putBeyond adds a legend beyond all ink of a staff.
func (l *layout) putBeyond(s legend, staff int, above bool, gap float64) {
	l.put(s, staff, l.beyond(s, staff, above, gap))
}

// put adds a legend with its baseline at y.
func (l *layout) put(s legend, staff int, y float64) {
	s.move(0, y)
	for _, it := range s.items {
		it.Staff = staff
		l.add(it)
	}
}

// forteKern is how far the next letter of a dynamic comes under an f, as in the
// glyphs that the font has for whole dynamics: fz is so much narrower than f and z.
const forteKern = 0.45

// glyphRow is glyphs side by side from x = 0 on.
func (l *layout) glyphRow(role Role, size float64, names ...string) (items []Item) {
	x := 0.0
	for _, name := range names {
		items = append(items, Item{Role: role, Note: -1, Chord: -1, Glyph: name, X: x, Scale: size})
		x += size * l.font.Glyph(name).Advance
		if name == "dynamicForte" {
			x -= size * forteKern
		}
	}
	return items
}
