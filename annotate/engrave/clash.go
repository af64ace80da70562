package engrave

// Voices that strike together on one staff with stems on one side cannot be
// told apart. Some files say so all the same: of a voice that comes from the
// other staff, mostly. Here the upper of the two turns up, or the lower one
// down, with all of its beam, wherever that does not clash with a third.

// unclash turns the stems of voices that clash.
func (l *layout) unclash() {
	for i, c := range l.chords {
		for _, d := range l.chords[i+1:] {
			if d.At != c.At {
				break
			}
			if !clash(c, d) {
				continue
			}
			upper, lower := c, d
			if meanPos(d) < meanPos(c) {
				upper, lower = d, c
			}
			if c.up {
				l.turn(lower)
			} else {
				l.turn(upper)
			}
		}
	}
}

// clash reports whether two chords strike together on one staff, in two voices,
// with stems on one side.
func clash(c, d *chord) bool {
	return c != d && c.At == d.At && c.Staff == d.Staff && c.Voice != d.Voice && c.Grace == 0 && d.Grace == 0 &&
		c.stemmed() && d.stemmed() && c.up == d.up
}

// meanPos is where the heads of a chord stand, taken together.
func meanPos(c *chord) float64 {
	sum := 0
	for _, h := range c.heads {
		sum += h.pos
	}
	return float64(sum) / float64(len(c.heads))
}

// turn gives a chord, with its beam, stems to the other side, unless they go to
// both sides already or would clash there.
func (l *layout) turn(c *chord) {
	chords := []*chord{c}
	if c.beam != nil {
		if c.beam.kneed() || c.beam.crosses() {
			return
		}
		chords = c.beam.chords
	}
	up := !c.up
	for _, c := range chords {
		for _, d := range l.chords {
			if d.At == c.At && d.up == up && d.Staff == c.Staff && d.Voice != c.Voice && d.stemmed() && d.Grace == 0 {
				return
			}
		}
	}
	for _, c := range chords {
		c.up = up
	}
	if c.beam != nil {
		c.beam.up = up
	}
}
