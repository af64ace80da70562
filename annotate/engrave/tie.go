package engrave

// ties draws the bows between heads of one pitch.
func (l *layout) ties() {}
