package detect

import (
	"hardbars/score"
)

// PositionName is an instant as a player counts it: "bar 12 beat 2½".
func (r *Report) PositionName(at score.Rat) string { return PositionName(r.Score, at) }

// EndPositionName is an instant where something ends, as a player counts it: "the end
// of bar 12", or "bar 12 beat 2½".
func (r *Report) EndPositionName(at score.Rat) string { return EndPositionName(r.Score, at) }

// At is the instant that a place names, from the start of the piece.
func (r *Report) At(p Position) score.Rat { return r.Score.Bars[p.Index-1].Start.Add(p.Offset) }

// PositionName is an instant as a player counts it: "bar 12 beat 2½". The beats
// of a pickup are those at the end of a full bar.
func PositionName(s *score.Score, at score.Rat) string {
	bar := s.Bars[s.BarAt(at)]
	into := at.Sub(bar.Start)
	if bar.Implicit && bar.Index == 1 {
		into = into.Add(score.Max(bar.Time.Length.Sub(bar.Length), score.Rat{}))
	}
	beat := into.Div(bar.Time.Beat()).Add(score.Int(1))
	return "bar " + bar.Number + " beat " + beat.Pretty()
}

// EndPositionName is an instant where something ends, as a player counts it: "the end
// of bar 12", or "bar 12 beat 2½".
func EndPositionName(s *score.Score, at score.Rat) string {
	if bar := s.Bars[s.BarEnding(at)]; bar.End() == at {
		return "the end of bar " + bar.Number
	}
	return PositionName(s, at)
}

// Position is an instant as JSON names it.
func (p *Pass) Position(at score.Rat) Position { return PositionIn(p.Score, p.Score.BarAt(at), at) }

// EndPosition is an instant where something ends, as JSON names it.
func (p *Pass) EndPosition(at score.Rat) Position {
	return PositionIn(p.Score, p.Score.BarEnding(at), at)
}
