package musicxml

// beginWavyLines reads a wavy line that ends where none began as one over the
// note it ends at: some writers lose the beginning of a trill's line.
func (r *reader) beginWavyLines() {
	type line struct {
		part   int
		number string
	}
	open := map[line]bool{}
	for i := range r.notes {
		w := &r.notes[i]
		at := line{w.part, w.wavyNumber}
		if w.wavyStop && !w.wavyStart && !open[at] && !w.rest {
			r.warner.add(w.Bar, "a wavy line ends at %s and none began; read as a trill there", w.note.Pitch)
			w.note.Ornaments = append(w.note.Ornaments, "wavy-line")
		}
		open[at] = w.wavyStart && !w.wavyStop || open[at] && !w.wavyStop
	}
}
