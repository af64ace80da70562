package engrave

// Sizes of first and second endings in staff spaces: common practice.
const (
	endingHook  = 2.0
	endingText  = 1.9 // of the em of "1."
	endingPad   = 0.5
	endingWhite = 0.3 // from one ending to the next
)

// ending is what the system shows of a first, second, … ending.
type ending struct {
	text        string
	left, right float64
	start, stop bool // hooks
}

// endings draws the brackets of first and second endings, all at one height.
func (l *layout) endings() {
	found := l.endingsHere()
	if len(found) == 0 {
		return
	}
	y := l.top[0]
	for _, e := range found {
		y = min(y, l.above[0].reach(e.left, e.right)-lineGap-endingText)
	}
	for _, e := range found {
		l.drawEnding(e, y)
	}
}

// endingsHere finds the endings of the system's bars; bars of one ending are
// joined.
func (l *layout) endingsHere() (found []ending) {
	open := false
	for _, b := range l.bars {
		n := l.score.Bars[b.index].Ending
		if n == nil {
			open = false
			continue
		}
		if !open || n.Start {
			start := n.Start && !l.score.Bars[b.index].Start.Less(l.from)
			found = append(found, ending{text: n.Text, left: b.left + endingWhite, start: start})
		}
		e := &found[len(found)-1]
		e.right = b.right
		ends := n.Stop && !l.to.Less(l.score.Bars[b.index].End())
		e.stop = ends && !n.Open
		open = !ends
	}
	return found
}

func (l *layout) drawEnding(e ending, y float64) {
	it := Item{Role: RoleLine, Note: -1, Chord: -1, Staff: 1}
	for _, s := range hooked(e.left, e.right, y, endingHook, l.font.Defaults.Ending, e.start, e.stop) {
		it.Stroke = &s
		l.add(it)
	}
	text := e.text
	if !e.start && text != "" {
		text = "(" + text + ")"
	}
	if text != "" {
		l.add(Item{Role: RoleLine, Note: -1, Chord: -1, Staff: 1, Text: text, Face: Face{Size: endingText},
			X: e.left + endingPad, Y: y + endingText*0.9})
	}
}
