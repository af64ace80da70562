package engrave

import (
	"slices"
	"sort"

	"hardbars/annotate/smufl"
	"hardbars/score"
	"hardbars/score/notation"
)

// Lengths of an excerpt, in staff spaces (common practice).
const (
	defaultSpace = 1.75 // millimetres: a staff 7 mm high
	leastWidth   = 24   // a narrower drawing is set this wide
	systemGap    = 2.5  // between the ink of one system and the next
	edge         = 0.5  // of white around the whole
)

// excerpt is what Set sets, before it is cut into systems.
type excerpt struct {
	font  *smufl.Font
	score *notation.Score
	picks Picks
	cut   bool
	from  score.Rat
	to    score.Rat
	space float64 // millimetres to a staff space
	width float64 // of a line, in staff spaces
}

func set(n *notation.Score, o Options) *Drawing {
	e := newExcerpt(n, o)
	d := &Drawing{Width: o.Width}
	if !e.from.Less(e.to) || n.Staves < 1 {
		return d
	}
	lines, short := e.lines(o.Systems)
	y := edge
	for i, line := range lines {
		l := e.system(line, i == 0, i == len(lines)-1, short)
		y = e.place(d, l, y)
	}
	d.Height = (y - systemGap + edge) * e.space
	return d
}

func newExcerpt(n *notation.Score, o Options) *excerpt {
	e := &excerpt{font: smufl.Bravura(), score: n, picks: o.Picks, cut: o.Cut, from: o.From, to: o.To, space: o.Space}
	if e.space <= 0 {
		e.space = defaultSpace
	}
	e.width = max(o.Width/e.space, leastWidth)
	if len(n.Bars) == 0 {
		e.to = e.from
		return e
	}
	e.from = score.Max(e.from, n.Bars[0].Start)
	e.to = score.Min(e.to, n.Bars[len(n.Bars)-1].End())
	if e.from.Less(e.to) && !o.Cut {
		e.from = n.Bars[barAt(n.Bars, e.from)].Start
		e.to = n.Bars[barEnding(n.Bars, e.to)].End()
	}
	return e
}

// barAt is the index of the bar that holds an instant as a beginning.
func barAt(bars []notation.Bar, at score.Rat) int {
	i := sort.Search(len(bars), func(i int) bool { return at.Less(bars[i].Start) })
	return max(i-1, 0)
}

// barEnding is the index of the bar that holds an instant as an end.
func barEnding(bars []notation.Bar, at score.Rat) int {
	i := sort.Search(len(bars), func(i int) bool { return at.Cmp(bars[i].Start) <= 0 })
	return max(i-1, 0)
}

// place puts a system into the drawing with its ink from y on, and returns
// where the next may begin.
func (e *excerpt) place(d *Drawing, l *layout, y float64) float64 {
	ink := l.extent()
	down := y - ink.Top
	for _, it := range l.items {
		d.Items = append(d.Items, it.scaled(0, down, e.space))
	}
	d.Systems = append(d.Systems, Extent{
		Top: y * e.space, Bottom: (ink.Bottom + down) * e.space, From: l.from, To: l.to, Bars: l.barExtents(e.space),
	})
	d.Warnings = append(d.Warnings, l.told...)
	return ink.Bottom + down + systemGap
}

// barExtents are the system's bars, in millimetres.
func (l *layout) barExtents(mm float64) (all []BarExtent) {
	for _, b := range l.bars {
		all = append(all, BarExtent{Index: b.index, Left: b.left * mm, Right: b.right * mm})
	}
	return all
}

// extent is what all ink of the system covers.
func (l *layout) extent() Box {
	b := Box{Top: l.top[0], Bottom: l.top[len(l.top)-1] + staffHeight, Right: l.width}
	for _, it := range l.items {
		b.Top, b.Bottom = min(b.Top, it.Box.Top), max(b.Bottom, it.Box.Bottom)
	}
	return b
}

// scaled is an item moved by dx, dy and then taken from staff spaces to
// millimetres. The Scale of a glyph becomes millimetres to a staff space of the
// font.
func (it Item) scaled(dx, dy, mm float64) Item {
	x := func(v float64) float64 { return (v + dx) * mm }
	y := func(v float64) float64 { return (v + dy) * mm }
	it.X, it.Y = x(it.X), y(it.Y)
	it.Scale *= mm
	it.Face.Size *= mm
	it.Box = Box{x(it.Box.Left), y(it.Box.Top), x(it.Box.Right), y(it.Box.Bottom)}
	if s := it.Stroke; s != nil {
		it.Stroke = &Stroke{x(s.X1), y(s.Y1), x(s.X2), y(s.Y2), s.Width * mm, s.Dash * mm}
	}
	it.Shape = slices.Clone(it.Shape)
	for i, s := range it.Shape {
		s.X1, s.Y1, s.X2, s.Y2, s.X, s.Y = x(s.X1), y(s.Y1), x(s.X2), y(s.Y2), x(s.X), y(s.Y)
		it.Shape[i] = s
	}
	return it
}
