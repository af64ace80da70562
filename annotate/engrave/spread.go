package engrave

// spreads draws arpeggio signs and the lines of glissandi.
func (l *layout) spreads() {}
