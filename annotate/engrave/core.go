package engrave

import (
	"hardbars/score"
	"hardbars/score/notation"
)

func set(n *notation.Score, o Options) *Drawing { return &Drawing{Width: o.Width} }

func columnX(xs []instant, bars []barPlace, at score.Rat) float64 { return 0 }

func (l *layout) leaveOut(at score.Rat, staff int, what string) {}
