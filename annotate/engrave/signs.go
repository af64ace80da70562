package engrave

// signs draws dynamics and hairpins, and words.
func (l *layout) signs() {}

// headings draws what stands above all else: tempo, rehearsal marks, segno and
// coda.
func (l *layout) headings() {}
