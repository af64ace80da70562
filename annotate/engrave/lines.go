package engrave

import (
	"math"

	"hardbars/score"
	"hardbars/score/notation"
)

// Sizes of lines in staff spaces: common practice.
const (
	lineGap    = 0.5 // from a line to the ink under it
	lineHook   = 0.9 // of an octave line or a bracket, towards the notes
	lineDash   = 0.6
	wordsDash  = 0.9 // of dashes after words
	lineFigure = 0.3 // from a figure or a word to its line
	lineEnd    = 0.5 // from the end of a line to the next column
)

// lines draws octave lines, pedal signs and pedal lines, the lines of trills,
// and brackets.
func (l *layout) lines() {
	for _, n := range l.score.Lines {
		if !n.From.Less(l.to) || !l.from.Less(n.To) {
			continue
		}
		switch n.Kind {
		case notation.OctaveUp, notation.OctaveDown:
			l.octaveLine(n)
		case notation.TrillLine:
			l.trillLine(n)
		case notation.Dashes:
			l.dashes(n)
		case notation.Bracket:
			l.lineBracket(n)
		}
	}
	l.pedals()
}

// under is what stands on a staff while a line lasts: the left edge of its
// first heads and the right edge of its last; ok is false where there is none.
func (l *layout) under(n notation.Line) (left, right float64, ok bool) {
	left, right = math.Inf(1), math.Inf(-1)
	for _, c := range l.chords {
		if c.At.Less(n.From) || !c.At.Less(n.To) || c.Rest {
			continue
		}
		for _, h := range c.heads {
			if h.staff == n.Staff {
				left, right, ok = min(left, h.x), max(right, h.x+h.width), true
			}
		}
	}
	if !ok {
		return l.lineStart(n.From), l.lineStop(n.To), false
	}
	return left, right, true
}

// lineStart is where a line begins that begins at an instant, or before the
// system.
func (l *layout) lineStart(at score.Rat) float64 {
	if at.Less(l.from) {
		return l.music
	}
	return l.xAt(at)
}

// lineStop is where a line ends that lasts until an instant, or past the system.
func (l *layout) lineStop(at score.Rat) float64 {
	if l.to.Less(at) {
		return l.lastBarline() - tieBeside
	}
	return l.endX(at) - lineEnd
}

// lineAbove is the side of a line: as the file says, or as told.
func lineAbove(side notation.Side, rule bool) bool {
	if side == notation.Auto {
		return rule
	}
	return side == notation.Above
}

// octaveFigures are the figures of octave lines above and below.
var octaveFigures = map[string][2]string{
	"8":  {"ottavaAlta", "ottavaBassa"},
	"15": {"quindicesimaAlta", "quindicesimaBassa"},
	"22": {"ventiduesimaAlta", "ventiduesimaBassa"},
}

const octaveScale = 0.85 // of the figure of an octave line

// octaveLine draws the figure of an octave line, in brackets where it goes on
// from the system before, its dashes to over the last note, and its hook.
func (l *layout) octaveLine(n notation.Line) {
	names, ok := octaveFigures[n.Text]
	if !ok {
		l.omit(score.Max(n.From, l.from), n.Staff, "an octave line with the figure "+n.Text)
		return
	}
	above := lineAbove(n.Side, n.Kind == notation.OctaveUp)
	figure := []string{names[0]}
	if !above {
		figure[0] = names[1]
	}
	goesOn, hooked := n.From.Less(l.from), !l.to.Less(n.To)
	if goesOn {
		figure = []string{"octaveParensLeft", figure[0], "octaveParensRight"}
	}
	left, right, _ := l.under(n)
	if goesOn {
		left = min(left, l.music)
	}
	if !hooked {
		right = l.lastBarline()
	}
	width := 0.0
	for _, name := range figure {
		width += l.font.Glyph(name).Advance * octaveScale
	}
	right = max(right, left+width)
	dir := toward(above)
	high := l.font.Glyph(names[0]).Box.Top * -octaveScale
	edge := l.sky(n.Staff, above).reach(left, right) + dir*lineGap
	base := edge // of the figure, which stands on it or hangs from it
	if !above {
		base += high
	}
	it := Item{Role: RoleLine, Note: -1, Chord: -1, Staff: n.Staff, Y: base, Scale: octaveScale}
	x := left
	for _, name := range figure {
		it.Glyph, it.X = name, x
		l.add(it)
		x += l.font.Glyph(name).Advance * octaveScale
	}
	l.octaveStrokes(n, x+lineFigure, right, edge+dir*high, dir, hooked)
}

// octaveStrokes draws the dashes of an octave line and its hook.
func (l *layout) octaveStrokes(n notation.Line, left, right, y, dir float64, hooked bool) {
	w := l.font.Defaults.OctaveLine
	it := Item{Role: RoleLine, Note: -1, Chord: -1, Staff: n.Staff}
	y -= dir * w / 2
	if right > left {
		it.Stroke = &Stroke{X1: left, Y1: y, X2: right, Y2: y, Width: w, Dash: lineDash}
		l.add(it)
	}
	if hooked {
		it.Stroke = &Stroke{X1: right, Y1: y, X2: right, Y2: y - dir*lineHook, Width: w}
		l.add(it)
	}
}

// trillLine draws the wave behind a trill sign, on the sign's side, or alone
// where there is none on the system, as long as the trill lasts.
func (l *layout) trillLine(n notation.Line) {
	above := lineAbove(n.Side, true)
	left, right := l.lineStart(n.From), l.lineStop(n.To)
	g := l.font.Glyph("wiggleTrill")
	mid := (g.Box.Top + g.Box.Bottom) / 2
	sign := l.trillSign(n)
	if sign != nil {
		left = sign.Box.Right + lineFigure
		above = (sign.Box.Top+sign.Box.Bottom)/2 < l.top[n.Staff-1]+staffHeight/2
	}
	count := max(1, int((right-left)/g.Advance))
	right = left + float64(count)*g.Advance
	y := l.sky(n.Staff, above).reach(left, right) + toward(above)*(lineGap+(g.Box.Bottom-g.Box.Top)/2)
	if sign != nil {
		y = farther(above, y, (sign.Box.Top+sign.Box.Bottom)/2)
	}
	for i := range count {
		l.add(Item{Role: RoleLine, Note: -1, Chord: -1, Staff: n.Staff, Glyph: "wiggleTrill",
			X: left + float64(i)*g.Advance, Y: y - mid, Scale: 1})
	}
}

// trillSign is the trill sign that a line begins at; nil where there is none.
func (l *layout) trillSign(n notation.Line) *Item {
	for i := range l.items {
		it := &l.items[i]
		if it.Glyph != "ornamentTrill" || l.index[it.Chord] == nil {
			continue
		}
		c := l.index[it.Chord]
		if c.At == n.From && c.Staff == n.Staff {
			return it
		}
	}
	return nil
}

// dashes draws the dashes after words, level with them, as far as nothing is in
// their way.
func (l *layout) dashes(n notation.Line) {
	above := lineAbove(n.Side, n.Staff > 1 && n.Staff == l.score.Staves)
	left, right := l.lineStart(n.From), l.lineStop(n.To)
	w := l.font.Defaults.OctaveLine
	words := l.wordsAt(n)
	y := 0.0
	if words != nil {
		left = words.Box.Right + lineFigure
		y = words.Y - 0.3*words.Face.Size
	}
	right = l.freeUntil(n.Staff, left, right, y)
	if right-left < wordsDash {
		return
	}
	if words == nil {
		y = l.sky(n.Staff, above).reach(left, right) + toward(above)*lineGap
	}
	l.add(Item{Role: RoleLine, Note: -1, Chord: -1, Staff: n.Staff,
		Stroke: &Stroke{X1: left, Y1: y, X2: right, Y2: y, Width: w, Dash: wordsDash}})
}

// wordsAt is the words that dashes follow, nil where there are none: those at
// their staff that begin nearest to them.
func (l *layout) wordsAt(n notation.Line) (words *Item) {
	if n.From.Less(l.from) {
		return nil
	}
	const near = 3.0
	x := l.xAt(n.From)
	for i := range l.items {
		it := &l.items[i]
		if it.Role != RoleWords || it.Staff != n.Staff || math.Abs(it.Box.Left-x) > near {
			continue
		}
		if words == nil || it.Box.Right > words.Box.Right {
			words = it
		}
	}
	return words
}

// freeUntil is how far to the right a line may go at y before it meets ink.
func (l *layout) freeUntil(staff int, left, right, y float64) float64 {
	for _, it := range l.items {
		if it.Role == RoleStaff || it.Role == RoleBarline || it.Box.Left < left {
			continue
		}
		if it.Box.Top-0.2 < y && y < it.Box.Bottom+0.2 {
			right = min(right, it.Box.Left-lineFigure)
		}
	}
	return right
}

// lineBracket draws a bracket with a hook at each end that lies on the system.
func (l *layout) lineBracket(n notation.Line) {
	above := lineAbove(n.Side, true)
	left, right, _ := l.under(n)
	from, to := n.From.Less(l.from), l.to.Less(n.To)
	if from {
		left = l.music
	}
	if to {
		right = l.lastBarline()
	}
	dir, w := toward(above), l.font.Defaults.TupletBracket
	y := l.sky(n.Staff, above).reach(left, right) + dir*(lineGap+lineHook)
	it := Item{Role: RoleLine, Note: -1, Chord: -1, Staff: n.Staff}
	for _, s := range hooked(left, right, y, -dir*lineHook, w, !from, !to) {
		it.Stroke = &s
		l.add(it)
	}
}

// hooked is a level line with hooks at its ends, as high as told.
func hooked(left, right, y, hook, w float64, atLeft, atRight bool) []Stroke {
	strokes := []Stroke{{X1: left, Y1: y, X2: right, Y2: y, Width: w}}
	if atLeft {
		strokes = append(strokes, Stroke{X1: left + w/2, Y1: y, X2: left + w/2, Y2: y + hook, Width: w})
	}
	if atRight {
		strokes = append(strokes, Stroke{X1: right - w/2, Y1: y, X2: right - w/2, Y2: y + hook, Width: w})
	}
	return strokes
}
