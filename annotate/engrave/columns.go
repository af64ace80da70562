package engrave

import (
	"cmp"
	"math"
	"slices"

	"hardbars/score"
	"hardbars/score/notation"
)

// columnKind is what a column is.
type columnKind uint8

const (
	noteColumn columnKind = iota // what begins at one instant
	barColumn                    // a barline, with the signatures behind it
	endColumn                    // the end of a line inside a bar
)

// column is what stands on all staves at one x.
type column struct {
	kind   columnKind
	at     score.Rat
	bar    int          // index into score.Bars: for a barline of the bar that it ends
	chords []*chord     // all that strike or rest here, grace notes not
	graces []*chord     // the grace notes before it
	clefs  []*clefSign  // the clefs before it
	signs  []placedSign // behind a barline: key and time, from x
	bars   []barPart    // the strokes of a barline

	natural float64  // its distance from the column before, unstretched
	least   float64  // the smallest such distance, whatever stands there
	ink     []extent // by staff, from x, with the white around it
	tail    float64  // of a barline: the width of its ink
	body    float64  // of a barline: the width of its strokes
	x       float64
}

// extent is what a column covers on one staff; none where left is more than right.
type extent struct{ left, right float64 }

func (e *extent) cover(left, right float64) {
	e.left, e.right = min(e.left, left), max(e.right, right)
}

func noExtent() extent { return extent{math.Inf(1), math.Inf(-1)} }

func (e extent) none() bool { return e.left > e.right }

// Distances between columns, in staff spaces (common practice).
const (
	noteWhite   = 0.2  // to each side of what strikes together
	barBefore   = 0.5  // left of a barline
	barBehind   = 0.9  // right of it
	graceGap    = 0.35 // between grace notes
	clefGap     = 0.4  // right of a change of clef
	spreadRoom  = 1.1  // for an arpeggio sign
	leastColumn = 0.4  // from one instant to the next
	leastBar    = 4.5  // of a bar
	quarterRoom = 5.0  // of a quarter note, unstretched
	roomPower   = 0.6  // twice the length takes 2^0.6 = 1.5 times the room
)

// makeColumns makes the columns of the line and what each of them covers.
func (l *layout) makeColumns() {
	l.columns, l.stacks = nil, nil
	for i := barAt(l.score.Bars, l.from); i < len(l.score.Bars) && l.score.Bars[i].Start.Less(l.to); i++ {
		l.makeBar(i)
	}
	l.fillColumns()
	spread := l.spreadChords()
	for _, c := range l.columns {
		l.fillInk(c, spread)
	}
	l.setNatural()
}

// makeBar makes the empty columns of a bar, as far as the line holds it.
func (l *layout) makeBar(i int) {
	bar := l.score.Bars[i]
	times := []score.Rat{score.Max(bar.Start, l.from)}
	chords := l.score.Chords
	for k := chordFrom(chords, times[0]); k < len(chords) && chords[k].At.Less(bar.End()); k++ {
		if c := &chords[k]; c.Grace == 0 && !c.Hidden && c.At.Less(l.to) {
			times = append(times, c.At)
		}
	}
	slices.SortFunc(times, score.Rat.Cmp)
	for _, at := range slices.Compact(times) {
		l.columns = append(l.columns, &column{kind: noteColumn, at: at, bar: i, least: leastColumn})
	}
	end := &column{kind: barColumn, at: bar.End(), bar: i, least: leastColumn}
	if l.to.Less(bar.End()) {
		end.kind, end.at = endColumn, l.to
	} else {
		l.makeBarline(end)
	}
	l.columns = append(l.columns, end)
}

// columnOf is the column of an instant: the barline for what stands at the end
// of a bar.
func (l *layout) columnOf(at score.Rat, barline bool) *column {
	for _, c := range l.columns {
		if c.at == at && (c.kind != noteColumn) == barline {
			return c
		}
	}
	return nil
}

// columnFrom is the column of an instant, or the next one.
func (l *layout) columnFrom(at score.Rat) *column {
	i, _ := slices.BinarySearchFunc(l.columns, at, func(c *column, at score.Rat) int { return c.at.Cmp(at) })
	for i < len(l.columns) && l.columns[i].at == at && l.columns[i].kind == barColumn {
		i++
	}
	if i == len(l.columns) {
		return nil
	}
	return l.columns[i]
}

// fillColumns gives each chord and clef change to its column.
func (l *layout) fillColumns() {
	for _, c := range l.chords {
		switch {
		case c.GraceAfter && l.score.Bars[c.Bar].End() == c.At:
			if col := l.columnOf(c.At, true); col != nil {
				col.graces = append(col.graces, c)
			}
		case c.Grace > 0:
			if col := l.columnFrom(c.At); col != nil {
				col.graces = append(col.graces, c)
			}
		default:
			if col := l.columnFrom(c.At); col != nil {
				col.chords = append(col.chords, c)
			}
		}
	}
	for i := range l.score.Clefs {
		l.fillClef(&l.score.Clefs[i])
	}
}

// fillClef gives a change of clef to its column: at the start of a bar to the
// barline before it.
func (l *layout) fillClef(clef *notation.Clef) {
	if clef.Hidden || !l.from.Less(clef.At) || l.to.Less(clef.At) || clef.At == l.to && l.last {
		return
	}
	col := l.columnOf(clef.At, true)
	if col == nil {
		col = l.columnFrom(clef.At)
	}
	if s := l.clefChange(*clef); s != nil && col != nil {
		col.clefs = append(col.clefs, s)
	}
}

// spreadChords is the chords that stand behind an arpeggio sign, by index.
func (l *layout) spreadChords() map[int]bool {
	set := map[int]bool{}
	for _, s := range l.score.Spreads {
		for _, i := range s.Chords {
			if l.index[i] != nil {
				set[i] = true
			}
		}
	}
	return set
}

// fillInk places what stands in a column, from its x, and tells what it covers
// on each staff.
func (l *layout) fillInk(col *column, spread map[int]bool) {
	col.ink = make([]extent, l.score.Staves)
	for i := range col.ink {
		col.ink[i] = noExtent()
	}
	for _, c := range col.chords {
		c.x, c.left, c.right = 0, math.Inf(1), math.Inf(-1)
		if c.Rest {
			l.fillRest(col, c)
		}
	}
	for i := range col.ink {
		if s := l.makeStack(i+1, col.at, col.chords); len(s.parts) > 0 {
			l.stacks = append(l.stacks, s)
			col.ink[i].cover(s.left, s.right)
		}
	}
	col.makeSpreadRoom(spread)
	if col.kind == barColumn {
		for i := range col.ink {
			col.ink[i].cover(0, col.tail)
		}
	}
	l.fillGraces(col)
	col.fillClefInk()
	col.addWhite()
}

// makeSpreadRoom leaves room for an arpeggio sign, one for all staves.
func (col *column) makeSpreadRoom(spread map[int]bool) {
	left := math.Inf(1)
	for _, c := range col.chords {
		if spread[c.index] {
			for _, h := range c.heads {
				left = min(left, col.ink[h.staff-1].left-spreadRoom)
			}
		}
	}
	for _, c := range col.chords {
		if spread[c.index] {
			for _, h := range c.heads {
				ink := &col.ink[h.staff-1]
				ink.left = min(ink.left, left)
			}
		}
	}
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
	c.right = h.width
	if !c.WholeBar {
		col.ink[c.Staff-1].cover(0, l.withDots(c, h))
		c.right = l.withDots(c, h)
	}
}

// withDots is the right edge of a rest with its dots.
func (l *layout) withDots(c *chord, h *head) float64 {
	return h.width + float64(c.Value.Dots)*(l.font.Glyph("augmentationDot").Box.Right+dotNext)*c.scale
}

// fillGraces places grace notes to the left of all that stands in their column.
func (l *layout) fillGraces(col *column) {
	slices.SortStableFunc(col.graces, func(a, b *chord) int {
		return cmp.Or(cmp.Compare(after(b), after(a)), cmp.Compare(a.Grace, b.Grace))
	})
	for staff := 1; staff <= l.score.Staves; staff++ {
		ink := &col.ink[staff-1]
		for end := len(col.graces); end > 0; {
			start := end - 1
			for start > 0 && col.graces[start-1].Grace == col.graces[start].Grace && after(col.graces[start-1]) == after(col.graces[start]) {
				start--
			}
			l.fillGrace(col, ink, staff, col.graces[start:end])
			end = start
		}
	}
}

// after is 1 for grace notes that end the note before: they stand left of those
// that begin the next.
func after(c *chord) int {
	if c.GraceAfter {
		return 1
	}
	return 0
}

// fillGrace places the grace notes that strike together on one staff.
func (l *layout) fillGrace(col *column, ink *extent, staff int, chords []*chord) {
	var here []*chord
	for _, c := range chords {
		if c.Staff == staff {
			c.x, c.left, c.right = 0, math.Inf(1), math.Inf(-1)
			here = append(here, c)
		}
	}
	if len(here) == 0 {
		return
	}
	s := l.makeStack(staff, col.at, here)
	s.dx = min(ink.left, 0) - graceGap - s.right
	for _, c := range here {
		c.graceX = s.dx
	}
	l.stacks = append(l.stacks, s)
	ink.cover(s.dx+s.left, s.dx+s.right)
}

// addWhite leaves white around what a column covers.
func (col *column) addWhite() {
	before, behind := noteWhite, noteWhite
	if col.kind == barColumn {
		before, behind = barBefore, barBehind
	}
	for i := range col.ink {
		if e := &col.ink[i]; !e.none() {
			e.left, e.right = e.left-before, e.right+behind
		}
	}
}

// setNatural gives every column its unstretched distance from the one before:
// of the shortest note that sounds between the two, the part that lies there.
func (l *layout) setNatural() {
	var sounding []*notation.Chord
	chords := l.score.Chords
	next := 0
	for i, col := range l.columns[:len(l.columns)-1] {
		if col.kind != noteColumn {
			continue
		}
		for ; next < len(chords) && !col.at.Less(chords[next].At); next++ {
			if c := &chords[next]; c.Grace == 0 && !c.Hidden && !c.WholeBar {
				sounding = append(sounding, c)
			}
		}
		sounding = slices.DeleteFunc(sounding, func(c *notation.Chord) bool { return !col.at.Less(c.End()) })
		gap := l.columns[i+1].at.Sub(col.at)
		shortest := gap
		for k, c := range sounding {
			if k == 0 || c.Length.Less(shortest) {
				shortest = c.Length
			}
		}
		shortest = score.Max(shortest, gap)
		l.columns[i+1].natural = roomOf(shortest) * gap.Div(shortest).Float()
	}
	l.setLeastBars()
}

// setLeastBars keeps a bar with a single column from being squeezed to nothing.
func (l *layout) setLeastBars() {
	for i, col := range l.columns {
		if col.kind == barColumn && (i == 1 || i > 1 && l.columns[i-2].kind == barColumn) {
			col.least = leastBar
		}
	}
}

// roomOf is the room that a length takes unstretched.
func roomOf(length score.Rat) float64 {
	return quarterRoom * math.Pow(length.Float(), roomPower)
}

// positions is the x of every column, when natural distances are multiplied by
// stretch and nothing may overlap.
func (l *layout) positions(stretch float64) []float64 {
	xs := make([]float64, len(l.columns))
	edges := make([]float64, l.score.Staves)
	for i := range edges {
		edges[i] = l.music
	}
	x := l.music
	for i, col := range l.columns {
		if i > 0 {
			x += max(stretch*col.natural, col.least)
			if l.columns[i-1].kind == barColumn {
				x = max(x, xs[i-1]+l.columns[i-1].tail+barBehind)
			}
		}
		for s, e := range col.ink {
			if !e.none() {
				x = max(x, edges[s]-e.left)
			}
		}
		for s, e := range col.ink {
			if !e.none() {
				edges[s] = x + e.right
			}
		}
		xs[i] = x
	}
	return xs
}

// justify stretches the line to its width; the last one only so far.
func (l *layout) justify() {
	tail := l.columns[len(l.columns)-1].tail
	room := l.width - tail
	if l.short {
		room -= shortRoom
	}
	stretch := l.stretch(room)
	if l.last && !l.short && stretch > raggedFrom {
		stretch = raggedFrom
	}
	xs := l.positions(stretch)
	end := xs[len(xs)-1]
	if end > room { // more than the line holds, squeezed as far as it goes
		for i := range xs {
			xs[i] = l.music + (xs[i]-l.music)*(room-l.music)/(end-l.music)
		}
	}
	for i, col := range l.columns {
		col.x = xs[i]
	}
	l.width = xs[len(xs)-1] + tail
	l.settle()
}

// stretch is the factor at which the last column stands at x.
func (l *layout) stretch(x float64) float64 {
	end := func(s float64) float64 { xs := l.positions(s); return xs[len(xs)-1] }
	low, high := 0.0, 1.0
	for end(high) < x && high < 1024 {
		low, high = high, 2*high
	}
	for range 50 {
		mid := (low + high) / 2
		if end(mid) < x {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// settle moves everything from its column's x to the x of the system.
func (l *layout) settle() {
	at := map[*chord]float64{}
	l.xs, l.bars = nil, nil
	left, music := l.music, l.music
	for _, col := range l.columns {
		for _, c := range append(slices.Clone(col.chords), col.graces...) {
			at[c] = col.x + c.graceX
		}
		switch col.kind {
		case noteColumn:
			l.xs = append(l.xs, instant{col.at, col.x})
		default:
			l.bars = append(l.bars, barPlace{index: col.bar, left: left, right: col.x, music: music})
			left, music = col.x+col.body, col.x+col.tail
		}
	}
	end := l.columns[len(l.columns)-1]
	l.xs = append(l.xs, instant{end.at, end.x})
	for _, c := range l.chords {
		by := at[c]
		c.x, c.left, c.right = c.x+by, c.left+by, c.right+by
		for i := range c.heads {
			c.heads[i].x += by
		}
	}
	for _, s := range l.stacks {
		if len(s.parts) > 0 {
			s.x = at[s.parts[0].chord]
		}
	}
	l.centreRests()
}

// centreRests puts rests for a whole bar into its middle.
func (l *layout) centreRests() {
	for _, c := range l.chords {
		if !c.WholeBar {
			continue
		}
		for _, b := range l.bars {
			if b.index == c.Bar {
				h := &c.heads[0]
				h.x = (b.music+b.right)/2 - h.width/2
				c.x, c.left, c.right = h.x, h.x, h.x+h.width
			}
		}
	}
}
