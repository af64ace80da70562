package engrave

// closeMarks draws what stands next to the heads: articulations and fingering.
func (l *layout) closeMarks() {}

// farMarks draws what stands beyond slurs: ornaments and fermatas.
func (l *layout) farMarks() {}
