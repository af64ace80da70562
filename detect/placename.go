package detect

import "hardbars/score"

// PlaceName is an instant as a player counts it: "bar 12 beat 2½".
func (r *Report) PlaceName(at score.Rat) string { return placeName(r.Score, at) }

// At is the instant that a place names, from the start of the piece.
func (r *Report) At(p Place) score.Rat { return r.Score.Bars[p.Index-1].Start.Add(p.Offset) }
