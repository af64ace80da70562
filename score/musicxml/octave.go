package musicxml

import (
	"github.com/beevik/etree"

	"hardbars/score"
)

// octaveLine is an 8va or 8vb line over the notes of one staff.
type octaveLine struct {
	staff    int
	number   string
	shift    int // octaves from written to sounding
	from, to score.Rat
}

// applyOctaveLines notes at each note how far it sounds from where it is printed.
// Pitches are not touched: the schema says that an octave-shift type of "down"
// prints the notes an octave below "the pitch data indicated in the notes".
func (r *reader) applyOctaveLines(end score.Rat) {
	lines := r.octaveLines(end)
	if len(lines) == 0 {
		return
	}
	for i := range r.notes {
		w := &r.notes[i]
		for _, line := range lines {
			if line.staff == w.Staff && line.from.Cmp(w.Onset) <= 0 && w.Onset.Less(line.to) {
				w.note.OctaveShift = line.shift
			}
		}
	}
}

func (r *reader) octaveLines(end score.Rat) []octaveLine {
	var lines []octaveLine
	for _, item := range r.items {
		if item.elem.Tag != "direction" || item.staff < 0 {
			continue
		}
		for kind := range item.elem.SelectElementsSeq("direction-type") {
			for sign := range kind.SelectElementsSeq("octave-shift") {
				lines = addOctaveSign(lines, sign, item, end)
			}
		}
	}
	return lines
}

// addOctaveSign begins a line, or ends the one that is open.
func addOctaveSign(lines []octaveLine, sign *etree.Element, item placed, end score.Rat) []octaveLine {
	octaves := int(whole(sign.SelectAttrValue("size", "8"))+6) / 7 // 8, 15 and 22 are 1, 2 and 3
	line := octaveLine{staff: max(1, item.staff), number: sign.SelectAttrValue("number", "1"), from: item.at, to: end}
	switch sign.SelectAttrValue("type", "") {
	case "down":
		line.shift = octaves
	case "up":
		line.shift = -octaves
	case "stop":
		for i := range lines {
			if open := &lines[i]; open.staff == line.staff && open.number == line.number && open.to == end {
				open.to = item.at
			}
		}
		return lines
	default:
		return lines
	}
	return append(lines, line)
}
