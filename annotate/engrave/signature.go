package engrave

import (
	"fmt"

	"hardbars/score"
	"hardbars/score/notation"
)

// Distances of clefs and signatures, in staff spaces (common practice).
const (
	startGap   = 0.7 // from the staff's left edge to the clef
	clefKeyGap = 0.8
	keyTimeGap = 0.8
	startMusic = 1.0 // before the first note
	keyNext    = 0.1 // between the signs of a key
)

// clefGlyph is the glyph of a clef, and that of a change of clef where the font
// has one; "" for a clef that is not set.
func clefGlyph(c notation.Clef) string {
	name := map[string]string{"G": "gClef", "F": "fClef", "C": "cClef", "percussion": "unpitchedPercussionClef1"}[c.Sign]
	if name == "" {
		return ""
	}
	octave := map[int]string{-2: "15mb", -1: "8vb", 1: "8va", 2: "15ma"}[c.Octave]
	if c.Sign == "C" && c.Octave != -1 || c.Sign == "percussion" {
		octave = ""
	}
	return name + octave
}

// clefPos is the line of a clef as head.pos.
func clefPos(c notation.Clef) int {
	if c.Line == 0 {
		return 4
	}
	return 10 - 2*c.Line
}

// clefSign is a change of clef before a column.
type clefSign struct {
	placedSign
	width float64
}

const clefChangeScale = 2.0 / 3 // of a clef that changes inside a system (common practice)

// clefChange is the sign of a change of clef; nil for a clef that is not set.
func (l *layout) clefChange(c notation.Clef) *clefSign {
	glyph := clefGlyph(c)
	if glyph == "" {
		return nil
	}
	s := placedSign{role: RoleClef, glyph: glyph, staff: c.Staff, pos: clefPos(c), scale: clefChangeScale, note: -1, chord: -1}
	return &clefSign{s, l.font.Glyph(glyph).Box.Right * clefChangeScale}
}

// fillClefInk places changes of clef to the left of all that stands in their
// column.
func (col *column) fillClefInk() {
	for _, c := range col.clefs {
		ink := &col.ink[c.staff-1]
		c.dx = min(ink.left, 0) - clefGap - c.width
		ink.cover(c.dx, c.dx+c.width)
	}
}

func (l *layout) drawClefChanges() {
	for _, col := range l.columns {
		for _, c := range col.clefs {
			l.addSign(c.placedSign, col.x)
		}
	}
}

// keyAt is the key signature in force on a staff before an instant, or from it
// on.
func keyAt(n *notation.Score, staff int, at score.Rat, before bool) (key notation.Key) {
	for _, k := range n.Keys {
		if at.Less(k.At) || before && k.At == at {
			break
		}
		if k.Staff == 0 || k.Staff == staff {
			key = k
		}
	}
	return key
}

// keyChanges reports whether a key signature stands at an instant inside the piece.
func keyChanges(n *notation.Score, at score.Rat) bool {
	for _, k := range n.Keys {
		if k.At == at && !k.Hidden && !at.IsZero() {
			return true
		}
	}
	return false
}

// timeAt is the time signature written at an instant.
func timeAt(n *notation.Score, at score.Rat) (t notation.Time, ok bool) {
	for _, t := range n.Times {
		if t.At == at && !t.Hidden {
			return t, true
		}
	}
	return notation.Time{}, false
}

// Places of the signs of a key in the treble clef, as head.pos, in the order
// of the signature; and those of sharps in the tenor clef, which keep off the
// lines above the staff.
var (
	sharpPlaces      = [7]int{0, 3, -1, 2, 5, 1, 4}
	flatPlaces       = [7]int{4, 1, 5, 2, 6, 3, 7}
	tenorSharpPlaces = [7]int{6, 2, 5, 1, 4, 0, 3}
)

// keyPlaces is where the signs of a key stand in a clef.
func keyPlaces(clef notation.Clef, sharps bool) [7]int {
	shift := staffPos(0, notation.Clef{Sign: clef.Sign, Line: clef.Line}) - staffPos(0, notation.Clef{Sign: "G", Line: 2})
	shift = ((shift+2)%7+7)%7 - 2 // -2 … 4
	places := flatPlaces
	if sharps {
		places = sharpPlaces
	}
	if sharps && shift == -1 {
		return tenorSharpPlaces
	}
	for i := range places {
		places[i] += shift
		switch { // an octave away, rather than on a ledger line
		case places[i] < -1:
			places[i] += 7
		case places[i] > 9:
			places[i] -= 7
		}
	}
	return places
}

// meterAt is the time signature in force at an instant, which an excerpt from the
// middle of a piece has at its start.
func meterAt(n *notation.Score, at score.Rat) (meter notation.Time, ok bool) {
	for _, t := range n.Times {
		if at.Less(t.At) {
			break
		}
		meter, ok = t, !t.Hidden
	}
	return meter, ok
}

// keySigns is a key signature on one staff: naturals for what the old key had
// and the new one has not, then the new key. dx is from x on, and width is what
// it takes.
func (l *layout) keySigns(staff int, clef notation.Clef, old, key int, x float64) (signs []placedSign, width float64) {
	from := x
	put := func(glyph string, pos int) {
		g := l.font.Glyph(glyph)
		signs = append(signs, placedSign{role: RoleKey, glyph: glyph, staff: staff, dx: x, pos: pos, scale: 1, note: -1, chord: -1})
		x += g.Box.Right + keyNext
	}
	kept := 0
	if old*key > 0 {
		kept = min(abs(old), abs(key))
	}
	places := keyPlaces(clef, old > 0)
	for i := kept; i < min(abs(old), 7); i++ {
		put("accidentalNatural", places[i])
	}
	if len(signs) > 0 && key != 0 {
		x += 2 * keyNext
	}
	glyph := "accidentalSharp"
	if key < 0 {
		glyph = "accidentalFlat"
	}
	places = keyPlaces(clef, key > 0)
	for i := range min(abs(key), 7) {
		put(glyph, places[i])
	}
	return signs, x - from
}

func abs(n int) int { return max(n, -n) }

// timeSigns is a time signature on one staff.
func (l *layout) timeSigns(staff int, t notation.Time, x float64) (signs []placedSign, width float64) {
	from := x
	put := func(glyph string, x float64, pos int) {
		signs = append(signs, placedSign{role: RoleTime, glyph: glyph, staff: staff, dx: x, pos: pos, scale: 1, note: -1, chord: -1})
	}
	switch t.Symbol {
	case "common", "cut":
		glyph := map[string]string{"common": "timeSigCommon", "cut": "timeSigCutCommon"}[t.Symbol]
		put(glyph, x, 4)
		return signs, l.font.Glyph(glyph).Box.Right
	}
	for i := range min(len(t.Beats), len(t.Types)) {
		if i > 0 {
			put("timeSigPlus", x+0.2, 4)
			x += l.font.Glyph("timeSigPlus").Box.Right + 0.4
		}
		upper, wide := l.timeFigures(t.Beats[i])
		lower, wide2 := l.timeFigures(t.Types[i])
		column := max(wide, wide2)
		for _, row := range []struct {
			glyphs []string
			wide   float64
			pos    int
		}{{upper, wide, 2}, {lower, wide2, 6}} {
			at := x + (column-row.wide)/2
			for _, g := range row.glyphs {
				put(g, at, row.pos)
				at += l.font.Glyph(g).Advance
			}
		}
		x += column
	}
	return signs, x - from
}

// timeFigures is the glyphs of a number of a time signature, such as "3+2".
func (l *layout) timeFigures(text string) (glyphs []string, width float64) {
	for _, r := range text {
		glyph := ""
		switch {
		case r >= '0' && r <= '9':
			glyph = fmt.Sprintf("timeSig%c", r)
		case r == '+':
			glyph = "timeSigPlusSmall"
		default:
			continue
		}
		glyphs = append(glyphs, glyph)
		width += l.font.Glyph(glyph).Advance
	}
	return glyphs, width
}

// measureStart places the clefs, the key and, where it stands there, the time
// at the left edge, and tells where the music begins.
func (l *layout) measureStart() {
	l.start, l.openSigns = 0, nil
	if l.score.Staves > 1 {
		l.start = braceRoom
	}
	x := l.start + startGap
	wide := 0.0
	for staff := 1; staff <= l.score.Staves; staff++ {
		clef := clefAt(l.score, staff, l.from)
		if glyph := clefGlyph(clef); glyph != "" && !clef.Hidden {
			l.openSigns = append(l.openSigns, placedSign{role: RoleClef, glyph: glyph, staff: staff, dx: x, pos: clefPos(clef), scale: 1, note: -1, chord: -1})
			wide = max(wide, l.font.Glyph(glyph).Box.Right)
		}
	}
	x += wide
	x = l.openWith(x, clefKeyGap, func(staff int, x float64) ([]placedSign, float64) {
		key := keyAt(l.score, staff, l.from, false)
		if key.Hidden {
			return nil, 0
		}
		return l.keySigns(staff, clefAt(l.score, staff, l.from), 0, key.Fifths, x)
	})
	meter := timeAt
	if l.opens {
		meter = meterAt
	}
	if t, ok := meter(l.score, l.from); ok {
		x = l.openWith(x, keyTimeGap, func(staff int, x float64) ([]placedSign, float64) {
			return l.timeSigns(staff, t, x)
		})
	}
	l.openBars, l.openX = nil, 0
	if bar := l.score.Bars[barAt(l.score.Bars, l.from)]; bar.Start == l.from && bar.Left.Repeat {
		l.openBars, l.openX = leftParts(bar.Left), x+keyTimeGap
		x = l.openX + l.partsWidth(l.openBars)
	}
	l.music = x + startMusic - noteWhite + l.comingRoom()
}

// openWith puts signs on every staff at the left edge, from one x, and returns
// where the widest ends.
func (l *layout) openWith(x, gap float64, make func(staff int, x float64) ([]placedSign, float64)) float64 {
	wide := 0.0
	for staff := 1; staff <= l.score.Staves; staff++ {
		signs, w := make(staff, x+gap)
		l.openSigns = append(l.openSigns, signs...)
		wide = max(wide, w)
	}
	if wide == 0 {
		return x
	}
	return x + gap + wide
}

func (l *layout) drawStart() {
	for _, s := range l.openSigns {
		l.addSign(s, 0)
	}
	if l.openBars != nil {
		l.drawParts(l.openBars, l.openX)
	}
}
