package musicxml

import "hardbars/score"

// clock tells where in a bar the reader stands, in quarters from the bar's start.
//
// Exporters round: eleven eighths in the time of six are written as 130 divisions
// each where 480 make a quarter, and a <forward> of 10 fills up what is missing. So
// the clock has two hands. One adds up the durations of the file, the other the exact
// values of the notes, and they meet again where the rounding has been made good.
type clock struct {
	unit    score.Rat // one division: what the file rounds to
	file    score.Rat
	exact   score.Rat
	drifted map[score.Rat]score.Rat // places of this bar where the two hands differ: exact by file
	last    instant                 // the length of the last note, by both hands

	end   score.Rat // the latest exact place at which something has ended
	slack score.Rat // all rounding of this bar added up
}

// instant is one place, or one length, by both hands of the clock.
type instant struct{ file, exact score.Rat }

// advance moves past a note.
func (c *clock) advance(file, exact score.Rat) {
	c.last = instant{file, exact}
	c.slack = c.slack.Add(distance(file, exact))
	c.moveTo(instant{c.file.Add(file), c.exact.Add(exact)})
}

// pass moves past a rest that lasts the whole bar, however long that will be.
func (c *clock) pass(rest score.Rat) {
	c.moveTo(instant{c.file.Add(rest), c.exact.Add(rest)})
}

// forward moves past a gap. A gap that only fills up what rounding left over
// moves the file's hand and not the exact one: it is no rest.
func (c *clock) forward(gap score.Rat) {
	to := c.file.Add(gap)
	switch {
	case c.file.Less(c.exact) && to.Less(c.exact.Add(c.unit)):
		c.moveTo(instant{to, c.exact})
	case gap == c.last.file: // an unwritten rest as long as the note before it
		c.moveTo(instant{to, c.exact.Add(c.last.exact)})
	default:
		c.moveTo(instant{to, rounder(to, c.exact.Add(gap))})
	}
	c.reach(c.exact)
}

// back moves back. It stops at the bar's start and reports whether it had to.
func (c *clock) back(gap score.Rat) (stopped bool) {
	to := c.file.Sub(gap)
	if to.Sign() < 0 {
		stopped = to.Add(c.slack).Sign() < 0
		to = score.Rat{}
	}
	c.moveTo(instant{to, c.exactly(to, c.exact.Sub(gap))})
	return stopped
}

// exactly finds the exact place for a place of the file that the clock returns
// to: where a note stood before, or else the rounder of the two reckonings.
func (c *clock) exactly(file, reckoned score.Rat) score.Rat {
	if exact, ok := c.drifted[file]; ok && !file.IsZero() {
		return exact
	}
	if reckoned.Sign() < 0 {
		return file
	}
	return rounder(file, reckoned)
}

func (c *clock) moveTo(to instant) {
	c.file, c.exact = to.file, to.exact
	if to.file != to.exact {
		if c.drifted == nil {
			c.drifted = map[score.Rat]score.Rat{}
		}
		c.drifted[to.file] = to.exact
	}
}

// reach notes that something ends at a place.
func (c *clock) reach(place score.Rat) { c.end = score.Max(c.end, place) }

// rounder is the one of two reckonings of the same place that has the smaller
// denominator: rounding leaves large ones.
func rounder(file, reckoned score.Rat) score.Rat {
	if reckoned.Den() < file.Den() {
		return reckoned
	}
	return file
}

func distance(a, b score.Rat) score.Rat {
	if a.Less(b) {
		return b.Sub(a)
	}
	return a.Sub(b)
}
