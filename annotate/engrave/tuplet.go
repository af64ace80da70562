package engrave

// tuplets draws the numbers and brackets of tuplets.
func (l *layout) tuplets() {}
