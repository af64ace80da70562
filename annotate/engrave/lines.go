package engrave

// lines draws octave lines, pedal signs and pedal lines, the lines of trills,
// and brackets.
func (l *layout) lines() {}

// endings draws the brackets of first and second endings.
func (l *layout) endings() {}
