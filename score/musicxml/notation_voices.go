package musicxml

// unique is the voice's name among those of both parts: two one-staff parts both
// have a voice 1.
func (v voice) unique() string {
	if v.part > 0 {
		return v.name + "b"
	}
	return v.name
}

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
