package detect

import "hardbars/score"

// Clock turns exact positions into seconds at the tempo the player wants.
type Clock struct {
	score *score.Score
	scale float64
	from  score.TempoSource
}

// QPM is the tempo in force, in quarter notes a minute.
func (c *Clock) QPM(at score.Rat) float64 { return c.score.TempoAt(at).QPM * c.scale }

// Opening is the tempo at the start and where it came from.
func (c *Clock) Opening() (qpm float64, from score.TempoSource) { return c.QPM(score.Rat{}), c.from }

// Seconds from one position to a later one, across changes of tempo.
func (c *Clock) Seconds(from, to score.Rat) float64 { panic("being written") }
