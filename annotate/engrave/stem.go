package engrave

// directions settles which way every stem goes, and which chords share beams.
// It is called when the heads know their staff and pos; where they stand is
// not asked for.
func (l *layout) directions() {}
