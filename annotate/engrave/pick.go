package engrave

// pickOut draws what is picked out.
func (l *layout) pickOut() {}
