package engrave

import (
	"math"
	"slices"

	"hardbars/score"
	"hardbars/score/notation"
)

// The room that a length takes unstretched, in staff spaces (common practice).
const (
	quarterRoom = 5.0 // of a quarter note
	roomPower   = 0.6 // twice the length takes 2^0.6 = 1.5 times the room
)

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
