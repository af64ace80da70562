package engrave

// directions settles which way every stem goes.
func (l *layout) directions() {}

// stems draws stems, beams, flags and tremolos.
func (l *layout) stems() {}
