package musicxml

import (
	"sort"

	"github.com/beevik/etree"

	"hardbars/score"
)

// octaveLine is an 8va or 8vb line over the notes of one staff.
type octaveLine struct {
	shift    int // octaves from written to sounding
	from, to score.Rat
}

// applyOctaveLines notes at each note how far it sounds from where it is printed.
// Pitches are not touched: the schema says that an octave-shift of type "down"
// prints notes an octave below "the pitch data indicated in the notes".
func (r *reader) applyOctaveLines(end score.Rat) {
	lines := r.octaveLines(end)
	for w := range r.written() {
		staff := lines[w.Staff]
		// The line that began last is the one that counts.
		n := sort.Search(len(staff), func(i int) bool { return w.Onset.Less(staff[i].from) })
		if n > 0 && w.Onset.Less(staff[n-1].to) {
			w.note.OctaveShift = staff[n-1].shift
		}
	}
}

// octaveLines lists the lines of each staff by where they begin.
func (r *reader) octaveLines(end score.Rat) map[int][]octaveLine {
	type label struct {
		staff  int
		number string
	}
	lines, open := map[int][]octaveLine{}, map[label]int{}
	for _, sign := range r.octaveSigns() {
		staff := max(1, sign.staff)
		name := label{staff, sign.elem.SelectAttrValue("number", "1")}
		shift := octaves(sign.elem)
		if shift != 0 {
			open[name] = len(lines[staff])
			lines[staff] = append(lines[staff], octaveLine{shift, sign.at, end})
		} else if i, ok := open[name]; ok && sign.elem.SelectAttrValue("type", "") == "stop" {
			lines[staff][i].to = sign.at
			delete(open, name)
		}
	}
	return lines
}

// octaveSigns lists the <octave-shift> elements by place.
func (r *reader) octaveSigns() []placed {
	var signs []placed
	for _, item := range r.items {
		if item.elem.Tag != "direction" || item.staff < 0 {
			continue
		}
		for kind := range item.elem.SelectElementsSeq("direction-type") {
			for sign := range kind.SelectElementsSeq("octave-shift") {
				item.elem = sign
				signs = append(signs, item)
			}
		}
	}
	sort.SliceStable(signs, func(i, j int) bool { return signs[i].at.Less(signs[j].at) })
	return signs
}

// octaves is how far notes sound from where they are printed under a line that
// begins here; 0 where none begins. Sizes 8, 15 and 22 are one, two and three.
func octaves(sign *etree.Element) int {
	n := int(max(0, min(22, whole(sign.SelectAttrValue("size", "8"))))) / 7
	switch sign.SelectAttrValue("type", "") {
	case "down":
		return n
	case "up":
		return -n
	}
	return 0
}
