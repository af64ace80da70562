package mark

import (
	"slices"
	"strconv"
	"strings"

	"github.com/beevik/etree"
)

// brackets keeps the numbers by which a part's brackets are told apart.
// Brackets that overlap in document order need different numbers.
type brackets struct {
	limit int
	lines map[string][][]line // by part, then number − 1
	ours  map[int][]end       // the ends that are to be written, by place.bar
}

// end is one end of a bracket.
type end struct {
	anchor
	stop bool
}

// line is a bracket from one place to another.
type line struct {
	from, to place
	endless  bool // to is the last that was seen of it
}

// newBrackets knows the number-level of a version of MusicXML: 1 to 6, and 1
// to 16 from version 4.0 on (type number-level in the schemas of 3.0 and 4.0).
func newBrackets(version string) brackets {
	major, _, _ := strings.Cut(version, ".")
	limit := 6
	if n, err := strconv.Atoi(major); err == nil && n >= 4 {
		limit = 16
	}
	return brackets{limit, map[string][][]line{}, map[int][]end{}}
}

// read takes note of the brackets that a bar of the score has already. Dashes
// count as brackets, since some programs read both as one kind of line. A
// bracket that never ends reaches to the end of the part.
func (b brackets) read(bar *etree.Element, at place) {
	at.order = isToken
	for dir := range bar.SelectElementsSeq("direction") {
		at.token = dir.Index()
		for kind := range dir.SelectElementsSeq("direction-type") {
			for symbol := range kind.ChildElementsSeq() {
				if symbol.Tag == "bracket" || symbol.Tag == "dashes" {
					b.meet(symbol, at)
				}
			}
		}
	}
}

// meet reads one end, or a point between, of a bracket of the score.
func (b brackets) meet(symbol *etree.Element, at place) {
	number, err := strconv.Atoi(symbol.SelectAttrValue("number", "1"))
	if err != nil || number < 1 || number > b.limit {
		return
	}
	lines := &b.part(at.part)[number-1]
	if last := len(*lines) - 1; last < 0 || !(*lines)[last].endless {
		*lines = append(*lines, line{from: at})
	}
	last := &(*lines)[len(*lines)-1]
	last.to, last.endless = at, symbol.SelectAttrValue("type", "") != "stop"
}

// take finds the lowest number that is free from one place to another, and
// takes it; false when every number is taken.
func (b brackets) take(from, to anchor) (number int, free bool) {
	part := b.part(from.part)
	for i, lines := range part {
		overlaps := func(l line) bool {
			return l.from.compare(to.place) < 0 && (l.endless || from.compare(l.to) < 0)
		}
		if !slices.ContainsFunc(lines, overlaps) {
			part[i] = append(lines, line{from: from.place, to: to.place})
			b.ours[from.bar] = append(b.ours[from.bar], end{from, false})
			b.ours[to.bar] = append(b.ours[to.bar], end{to, true})
			return i + 1, true
		}
	}
	return 0, false
}

// backward reports whether a bracket's end would stand in its bar so that, in
// document order, one bracket starts and another stops after it at an earlier
// moment, as when the one starts late in the upper staff's notes and the other
// stops early in the lower staff's. Programs that pair starts and stops as
// they come, whatever their numbers, would draw a bracket backwards there.
func (b brackets) backward(e end) bool {
	return slices.ContainsFunc(b.ours[e.bar], func(other end) bool {
		start, stop := e, other
		if e.stop {
			start, stop = other, e
		}
		return start.stop != stop.stop && start.compare(stop.place) < 0 && stop.at.Cmp(start.at) <= 0
	})
}

func (b brackets) part(id string) [][]line {
	if b.lines[id] == nil {
		b.lines[id] = make([][]line, b.limit)
	}
	return b.lines[id]
}
