package engrave

import (
	"cmp"
	"iter"
	"regexp"
	"slices"
	"sort"
	"strings"

	"hardbars/score"
	"hardbars/score/notation"
)

// Lengths of dynamics and words, in staff spaces (common practice).
const (
	signGap     = 0.5  // from a sign to the ink of its staff
	signApart   = 0.4  // between two signs side by side
	wordGap     = 0.6  // between signs that belong together
	dynamicGap  = 0.15 // between a dynamic and its brackets
	sameLine    = 4.0  // signs nearer to each other than this stand on one line
	wordsSize   = 2.1  // the em of expression words
	lineApart   = 1.1  // of words in several lines, in ems
	signMiddle  = 0.5  // from the baseline up to the middle of the small letters
	widestWords = 0.6  // of a system: longer words are broken into lines
	leastWords  = 16.0 // room for words: less is no reason to break them
)

// sign is a legend that stands in a row with others.
type sign struct {
	legend
	at    score.Rat
	staff int // as the file has it
	rank  int // what stands nearest to its staff where two have no room side by side: dynamics, hairpins, words
	chain int // signs of one chain stand at one place, one behind the other
}

// is reports whether two signs are the same.
func (s sign) is(other sign) bool { return s.chain == other.chain && s.box.Left == other.box.Left }

// Ranks of signs.
const (
	dynamicRank = iota
	hairpinRank
	insideRank // a dynamic in the middle of a hairpin
	wordsRank
)

// signs draws dynamics and hairpins, and words.
func (l *layout) signs() {
	for staff := 1; staff <= l.score.Staves; staff++ {
		for _, above := range [2]bool{true, false} {
			row := l.signsOf(staff, above)
			l.addHairpins(&row, staff, above)
			l.setRow(row, staff, above, signGap)
		}
	}
}

// rowOf is the row that a sign stands in, by a staff and its side: as the file
// says, and else between the staves. What stands between two staves is one row,
// below the upper one.
func (l *layout) rowOf(staff int, side notation.Side) (of int, above bool) {
	above = side == notation.Above
	if side == notation.Auto {
		above = staff > 1 && staff == l.score.Staves
	}
	if above && staff > 1 {
		return staff - 1, false
	}
	return staff, above
}

// signsHere goes through the signs of the system and of its end, each by its
// index; what stands twice at one place comes once.
func (l *layout) signsHere() iter.Seq2[int, notation.Sign] {
	signs := l.score.Signs
	first := sort.Search(len(signs), func(i int) bool { return !signs[i].At.Less(l.from) })
	return func(yield func(int, notation.Sign) bool) {
		for i := first; i < len(signs) && signs[i].At.Cmp(l.to) <= 0; i++ {
			again := false
			for k := i - 1; k >= first && signs[k].At == signs[i].At; k-- {
				again = again || l.same(signs[k], signs[i])
			}
			if !again && !yield(i, signs[i]) {
				return
			}
		}
	}
}

// same reports whether two signs say the same at one place, as the dynamic does
// that a file gives to both staves and puts between them.
func (l *layout) same(a, b notation.Sign) bool {
	ofA, upA := l.rowOf(a.Staff, a.Side)
	ofB, upB := l.rowOf(b.Staff, b.Side)
	if ofA == ofB && upA == upB {
		a.Staff, a.Side = b.Staff, b.Side
	}
	return a == b
}

// here reports whether an instant lies on the system.
func (l *layout) here(at score.Rat) bool { return !at.Less(l.from) && at.Less(l.to) }

// signsOf makes the dynamics and words on one side of a staff.
func (l *layout) signsOf(staff int, above bool) (row []sign) {
	for i, s := range l.signsHere() {
		if s.Kind > notation.Words || closesBar(s) || !l.here(s.At) {
			continue
		}
		if of, up := l.rowOf(s.Staff, s.Side); of != staff || up != above {
			continue
		}
		next := sign{at: s.At, staff: s.Staff, rank: wordsRank, chain: i}
		if s.Kind == notation.Dynamic || slices.ContainsFunc(strings.Fields(s.Text), dynamicWord.MatchString) {
			next.legend, next.rank = l.dynamic(s.Text), dynamicRank
			next.move(l.dynamicX(next.legend, s.At), 0)
			next.move(l.besideArpeggio(next.box), 0)
		} else {
			x := l.xAt(s.At)
			next.legend = l.words(RoleWords, s.Text, Face{Size: wordsSize, Italic: s.Italic, Bold: s.Bold}, l.width-x)
			next.move(x-next.box.Left, 0)
		}
		if n := len(row); n > 0 && row[n-1].at == s.At && (row[n-1].rank == dynamicRank || next.rank == dynamicRank) {
			next.follow(row[n-1])
		}
		row = append(row, next)
	}
	l.keepInside(row)
	return row
}

// follow puts a sign behind another at the same place: "p dolce".
func (s *sign) follow(before sign) {
	s.chain = before.chain
	s.move(before.box.Right+wordGap-s.box.Left, 0)
}

// keepInside moves chains that reach beyond the system back into it.
func (l *layout) keepInside(row []sign) {
	for i := 0; i < len(row); {
		k := i + 1
		for k < len(row) && row[k].chain == row[i].chain {
			k++
		}
		by := min(0, max(l.width-row[k-1].box.Right, -row[i].box.Left))
		for j := i; j < k && by < 0; j++ {
			row[j].move(by, 0)
		}
		i = k
	}
}

// dynamicX is how far a dynamic is moved for its middle to stand under the
// heads, without crossing the barline before them.
func (l *layout) dynamicX(s legend, at score.Rat) float64 {
	x := l.xAt(at) + 0.6 - (s.box.Left+s.box.Right)/2
	if left := l.barOf(at).left + 0.2; left > x+s.box.Left {
		x = left - s.box.Left
	}
	return x
}

// besideArpeggio is how far a dynamic is moved to the left of an arpeggio sign that
// goes through both staves.
func (l *layout) besideArpeggio(box Box) float64 {
	by := 0.0
	for _, it := range l.items {
		if it.Role == RoleArpeggio && it.Staff == 0 && it.Box.Left < box.Right && box.Left < it.Box.Right {
			by = min(by, it.Box.Left-signApart-box.Right)
		}
	}
	return by
}

// barOf is the bar of the system that holds an instant as a beginning.
func (l *layout) barOf(at score.Rat) (place barPlace) {
	for _, b := range l.bars {
		if at.Less(l.score.Bars[b.index].Start) {
			break
		}
		place = b
	}
	return place
}

// endX is the x at which something ends that lasts until an instant: before the
// next column or the barline.
func (l *layout) endX(at score.Rat) float64 {
	x := l.xAt(at)
	for _, b := range l.bars {
		if l.score.Bars[b.index].End() == at {
			x = min(x, b.right)
		}
	}
	return x
}

// dynamicWord is a dynamic in words: "più f".
var dynamicWord = regexp.MustCompile(`^(p{1,6}|m[pf]|[sr]?f{1,6}z?p{0,2})$`)

// dynamicGlyphs are the dynamics that the font has as one glyph, by their
// letters; others are put together from letters.
var dynamicGlyphs = map[string]string{
	"pppppp": "dynamicPPPPPP", "ppppp": "dynamicPPPPP", "pppp": "dynamicPPPP", "ppp": "dynamicPPP", "pp": "dynamicPP",
	"ffffff": "dynamicFFFFFF", "fffff": "dynamicFFFFF", "ffff": "dynamicFFFF", "fff": "dynamicFFF", "ff": "dynamicFF",
	"mp": "dynamicMP", "mf": "dynamicMF", "pf": "dynamicPF", "fp": "dynamicFortePiano", "fz": "dynamicForzando",
	"sf": "dynamicSforzando1", "sfp": "dynamicSforzandoPiano", "sfpp": "dynamicSforzandoPianissimo",
	"sfz": "dynamicSforzato", "sfzp": "dynamicSforzatoPiano", "sffz": "dynamicSforzatoFF",
	"rf": "dynamicRinforzando1", "rfz": "dynamicRinforzando2",
	"p": "dynamicPiano", "m": "dynamicMezzo", "f": "dynamicForte", "r": "dynamicRinforzando",
	"s": "dynamicSforzando", "z": "dynamicZ", "n": "dynamicNiente",
}

// dynamic is a dynamic in the font's letters, with any other words beside them:
// "più f".
func (l *layout) dynamic(text string) legend {
	var s legend
	for _, word := range strings.Fields(text) {
		s = s.with(l.letters(word), wordGap)
	}
	return s
}

// letters is one word of a dynamic, with the brackets around it.
func (l *layout) letters(word string) legend {
	if inside, ok := strings.CutPrefix(word, "("); ok && inside != "" {
		return l.letters("(").with(l.letters(inside), dynamicGap)
	}
	if inside, ok := strings.CutSuffix(word, ")"); ok && inside != "" {
		return l.letters(inside).with(l.letters(")"), dynamicGap)
	}
	if strings.Trim(word, "pmfrszn") != "" {
		return l.newLegend(Item{Role: RoleDynamic, Note: -1, Chord: -1, Text: word, Face: Face{Size: wordsSize, Italic: true}})
	}
	names := []string{dynamicGlyphs[word]}
	if names[0] == "" {
		names = nil
		for _, r := range word {
			names = append(names, dynamicGlyphs[string(r)])
		}
	}
	return l.newLegend(l.glyphRow(RoleDynamic, 1, names...)...)
}

// words is a text in lines, broken where the file breaks it and where it is too
// long for the room that it has.
func (l *layout) words(role Role, text string, face Face, room float64) (s legend) {
	room = min(max(room, leastWords), widestWords*l.width)
	for i, line := range l.textLines(text, face, room) {
		next := l.newLegend(Item{Role: role, Note: -1, Chord: -1, Text: line, Y: float64(i) * lineApart * face.Size, Face: face})
		if i > 0 {
			next.box = next.box.around(s.box)
		}
		s = legend{append(s.items, next.items...), next.box}
	}
	return s
}

func (l *layout) textLines(text string, face Face, room float64) (lines []string) {
	for _, whole := range strings.Split(text, "\n") {
		line := ""
		for _, word := range strings.Fields(whole) {
			longer := strings.TrimSpace(line + " " + word)
			if box := l.boxOf(Item{Text: longer, Face: face}); line != "" && box.Right-box.Left > room {
				lines, longer = append(lines, line), word
			}
			line = longer
		}
		if line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

// setRow places signs on one side of a staff: side by side on one line where
// they have room, and else one beyond the other.
func (l *layout) setRow(row []sign, staff int, above bool, gap float64) {
	slices.SortStableFunc(row, func(a, b sign) int {
		return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.staff, b.staff), cmp.Compare(a.box.Left, b.box.Left))
	})
	for _, level := range levels(row) {
		slices.SortStableFunc(level, func(a, b sign) int { return cmp.Compare(a.box.Left, b.box.Left) })
		for len(level) > 0 {
			n := 1
			for n < len(level) && level[n].box.Left-level[n-1].box.Right < sameLine {
				n++
			}
			l.setLine(level[:n], row, staff, above, gap)
			level = level[n:]
		}
	}
}

// levels parts signs into lines on which none meets another; a chain stays
// together.
func levels(row []sign) (levels [][]sign) {
	placed := map[int]bool{}
	for _, first := range row {
		if placed[first.chain] {
			continue
		}
		placed[first.chain] = true
		var chain []sign
		for _, s := range row {
			if s.chain == first.chain {
				chain = append(chain, s)
			}
		}
		at := 0
		for at < len(levels) && meets(levels[at], chain) {
			at++
		}
		if at == len(levels) {
			levels = append(levels, nil)
		}
		levels[at] = append(levels[at], chain...)
	}
	return levels
}

// meets reports whether any sign of a chain has no room on a level.
func meets(level, chain []sign) bool {
	for _, s := range chain {
		for _, other := range level {
			if other.box.Left < s.box.Right+signApart/2 && s.box.Left < other.box.Right+signApart/2 {
				return true
			}
		}
	}
	return false
}

// setLine draws signs on one line, as near to their staff as all of them can
// be; between two staves that stand for good, in the middle if it is free.
func (l *layout) setLine(line, row []sign, staff int, above bool, gap float64) {
	near, other := l.lineBeyond(line, staff, above, gap), staff+int(toward(above))
	if !l.settled || other < 1 || other > l.score.Staves {
		l.putLine(line, staff, near)
		return
	}
	far := l.lineBeyond(line, other, !above, gap)
	y, ok := l.freeLine(line, near, far, l.midway(line, row, near, far, staff, above))
	switch {
	case ok:
		l.putLine(line, staff, y)
	case len(line) > 1:
		for i := range line {
			l.setLine(line[i:i+1], row, staff, above, gap)
		}
	default: // what lies between the staves leaves it no room
		y := l.beyond(line[0].legend, staff, !above, gap)
		for range 100 {
			if l.clearBetween(line, y) {
				break
			}
			y += toward(!above) * markStep
		}
		l.putLine(line, staff, y)
	}
}

func (l *layout) putLine(line []sign, staff int, y float64) {
	for _, s := range line {
		l.put(s.legend, staff, y)
	}
}

// lineBeyond is the y at which all signs of a line stand clear of a staff.
func (l *layout) lineBeyond(line []sign, staff int, above bool, gap float64) float64 {
	y := l.beyond(line[0].legend, staff, above, gap)
	for _, s := range line[1:] {
		y = farther(above, y, l.beyond(s.legend, staff, above, gap))
	}
	return y
}

// midway is the y at which a line of signs stands in the middle between two
// staves, or as far towards it as the room between near and far allows. Where
// signs of its row stand beyond it, that is near.
func (l *layout) midway(line, row []sign, near, far float64, staff int, above bool) float64 {
	box := line[0].box
	for _, s := range line[1:] {
		box = box.around(s.box)
	}
	for _, s := range row {
		if s.box.Left < box.Right && box.Left < s.box.Right && !slices.ContainsFunc(line, s.is) {
			return near
		}
	}
	facing := l.staffEdge(staff+int(toward(above)), !above)
	middle := (l.staffEdge(staff, above)+facing)/2 - (box.Top+box.Bottom)/2
	return farther(above, near, farther(!above, far, middle))
}

// betweenStaves are the roles of what may lie between two staves.
var betweenStaves = map[Role]bool{RoleBeam: true, RoleStem: true, RoleSlur: true, RoleTie: true, RoleArpeggio: true, RoleLine: true}

// freeLine is the y between near and far and next to the one wanted at which
// signs are clear of what lies between the staves; ok is false where there is
// none.
func (l *layout) freeLine(line []sign, near, far, wanted float64) (y float64, ok bool) {
	low, high := min(near, far), max(near, far)
	for away := 0.0; away == 0 || wanted-away >= low || wanted+away <= high; away += markStep {
		for _, y := range [2]float64{wanted - away, wanted + away} {
			if (away == 0 || y >= low && y <= high) && l.clearBetween(line, y) {
				return y, true
			}
		}
	}
	return 0, false
}

// clearBetween reports whether signs on a line at y lie on none of the beams, stems,
// bows and arpeggio signs between two staves, which belong to neither.
func (l *layout) clearBetween(line []sign, y float64) bool {
	const white = 0.25
	for _, it := range l.items {
		if it.Staff != 0 || !betweenStaves[it.Role] {
			continue
		}
		for _, s := range line {
			top, bottom, ok := it.over(s.box.Left, s.box.Right)
			if ok && top < y+s.box.Bottom+white && y+s.box.Top-white < bottom {
				return false
			}
		}
	}
	return true
}
