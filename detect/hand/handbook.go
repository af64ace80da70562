package hand

import "hardbars/score"

func handbookRuns(moments []moment, side score.Hand) {}

// handbookCost is the effort of leaving the handbook's fingers.
func handbookCost(m *moment, g grip) int {
	return handbook * bit(m.handbk != 0 && int(g[0]) != m.handbk)
}
