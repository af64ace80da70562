package engrave

import (
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
	noteWhite    = 0.2 // to each side of what strikes together
	barBefore    = 0.5 // left of a barline
	barBehind    = 0.9 // right of it
	clefGap      = 0.4 // right of a change of clef
	arpeggioRoom = 1.1 // for an arpeggio sign
	tieRoom      = 0.8 // behind a head, for a tie
	leastColumn  = 0.4 // from one instant to the next
	leastBar     = 4.5 // of a bar
)

// makeColumns makes the columns of the line and what each of them covers.
func (l *layout) makeColumns() {
	l.columns, l.stacks = nil, nil
	for i := barAt(l.score.Bars, l.from); i < len(l.score.Bars) && l.score.Bars[i].Start.Less(l.to); i++ {
		l.makeBar(i)
	}
	l.fillColumns()
	needs := l.findNeeds()
	for _, c := range l.columns {
		l.fillInk(c, needs)
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

// needs is what asks for room of its own beside the chords.
type needs struct {
	spread map[int]bool // chords behind an arpeggio sign, by index into score.Chords
	tied   map[int]bool // heads that a bow goes on from, by Note.ID
}

func (l *layout) findNeeds() needs {
	n := needs{map[int]bool{}, map[int]bool{}}
	for _, s := range l.score.Arpeggios {
		for _, i := range s.Chords {
			n.spread[i] = true
		}
	}
	for _, t := range l.score.Ties {
		n.tied[t.From] = true
	}
	return n
}

// fillInk places what stands in a column, from its x, and tells what it covers
// on each staff.
func (l *layout) fillInk(col *column, needs needs) {
	col.ink = make([]extent, l.score.Staves)
	for i := range col.ink {
		col.ink[i] = noExtent()
	}
	for _, c := range col.chords {
		c.x, c.left, c.right, c.with, c.settled = 0, math.Inf(1), math.Inf(-1), nil, false
	}
	for _, c := range col.chords {
		if c.Rest {
			l.fillRest(col, c)
		}
	}
	for i := range col.ink {
		if s := l.makeStack(i+1, col.at, col.chords); len(s.parts) > 0 {
			l.stacks = append(l.stacks, s)
			col.ink[i].cover(s.left, s.right)
			col.makeTieRoom(s, needs.tied)
		}
	}
	col.makeArpeggioRoom(needs.spread)
	if col.kind == barColumn {
		for i := range col.ink {
			col.ink[i].cover(0, col.tail)
		}
	}
	l.fillGraces(col)
	col.fillClefInk()
	col.addWhite()
}

// makeTieRoom leaves room for the bows that go on from a stack.
func (col *column) makeTieRoom(s *stack, tied map[int]bool) {
	for _, p := range s.parts {
		if h := p.head(); tied[h.note.ID] {
			col.ink[s.staff-1].cover(h.x, h.x+h.width+tieRoom)
		}
	}
}

// makeArpeggioRoom leaves room for an arpeggio sign, one for all staves.
func (col *column) makeArpeggioRoom(spread map[int]bool) {
	left := math.Inf(1)
	for _, c := range col.chords {
		if spread[c.index] {
			for _, h := range c.heads {
				left = min(left, col.ink[h.staff-1].left-arpeggioRoom)
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
