package musicxml

import "strconv"

// voiceNames gives the notes, by ID, the names of their voices. Where one name
// is used on two staves at once, or the file names none, the staff is part of it.
func (w *writer) voiceNames() map[int]string {
	passages := w.passages()
	reused := reusedVoices(passages, w.Staves)
	names := map[int]string{}
	for n := range w.apart {
		names[w.apart[n].ID] = w.apart[n].Voice
	}
	for _, p := range passages {
		for _, n := range p.notes {
			switch {
			case p.name == "" || p.part > 0:
				names[n.ID] = onStaff(p.name, n.Staff)
			case reused[p.voice]:
				names[n.ID] = onStaff(p.name, p.staves.most())
			default:
				names[n.ID] = p.name
			}
		}
	}
	return names
}

func onStaff(voice string, staff int) string { return voice + "/" + strconv.Itoa(staff) }

// voiceLines lists the chords of each voice in the order of time, as indices
// into Chords. Grace notes are in lines of their own.
func (w *writer) voiceLines() [][]int {
	type key struct {
		voice
		grace bool
	}
	index := map[key]int{}
	var lines [][]int
	for i := range w.Chords {
		k := key{w.sources[i].voice, w.Chords[i].Grace > 0}
		at, ok := index[k]
		if !ok {
			at = len(lines)
			index[k] = at
			lines = append(lines, nil)
		}
		lines[at] = append(lines[at], i)
	}
	return lines
}

// barLines is voiceLines cut at the barlines.
func (w *writer) barLines() [][]int {
	var cut [][]int
	for _, line := range w.voiceLines() {
		from := 0
		for to := range line {
			if w.Chords[line[to]].Bar != w.Chords[line[from]].Bar {
				cut = append(cut, line[from:to:to])
				from = to
			}
		}
		cut = append(cut, line[from:])
	}
	return cut
}
