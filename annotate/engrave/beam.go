package engrave

// stems draws stems, beams, flags and tremolos.
func (l *layout) stems() {}
