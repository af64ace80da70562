package engrave

// slurs draws the bows over chords.
func (l *layout) slurs() {}
