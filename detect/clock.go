package detect

import (
	"sort"

	"hardbars/score"
)

// Clock turns exact positions into seconds at the tempo the player wants.
type Clock struct {
	score *score.Score
	scale float64 // of the written tempo
	from  score.TempoSource
}

func newClock(s *score.Score, choice TempoChoice) *Clock {
	c := &Clock{score: s, scale: 1, from: s.TempoAt(score.Rat{}).From}
	switch {
	case choice.QPM > 0:
		c.scale, c.from = choice.QPM/s.TempoAt(score.Rat{}).QPM, score.FromPlayer
	case choice.Share > 0:
		c.scale, c.from = choice.Share, score.FromPlayer
	}
	return c
}

// QPM is the tempo in force, in quarter notes a minute.
func (c *Clock) QPM(at score.Rat) float64 { return c.score.TempoAt(at).QPM * c.scale }

// Main is the tempo of the most bars, as the player wants it.
func (c *Clock) Main() score.Tempo {
	t := c.score.MainTempo()
	t.QPM *= c.scale
	if c.from == score.FromPlayer {
		t.From = c.from
	}
	return t
}

// Written is the seconds from one position to a later one at the written tempo:
// what is decided by time is decided by this, so that a place is the same place
// however slowly one practises it.
func (c *Clock) Written(from, to score.Rat) float64 {
	w := Clock{score: c.score, scale: 1}
	return w.Seconds(from, to)
}

// Seconds from one position to a later one, across changes of tempo. It is
// for reports and demand: nothing is found or left out by it.
func (c *Clock) Seconds(from, to score.Rat) float64 {
	marks := c.score.Tempos
	next := sort.Search(len(marks), func(i int) bool { return from.Less(marks[i].At) })
	total := 0.0
	for ; next < len(marks) && marks[next].At.Less(to); next++ {
		total += marks[next].At.Sub(from).Float() * 60 / c.QPM(from)
		from = marks[next].At
	}
	return total + to.Sub(from).Float()*60/c.QPM(from)
}
