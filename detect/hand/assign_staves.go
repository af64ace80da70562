package hand

import (
	"slices"

	"hardbars/score"
)

// chooseStaves says which hand has which staff where two staves are not simply
// the two hands: of two parts the higher music is the right hand's, and three
// staves or more are cut in two from bar to bar.
func (a *assigner) chooseStaves() {
	a.Staves = slices.Clone(a.Staves)
	switch {
	case len(a.Staves) > 2:
		a.cutStaves()
	case len(a.Staves) == 2 && a.Staves[0].Part != a.Staves[1].Part && a.upsideDown():
		a.Staves[0].Hand, a.Staves[1].Hand = score.Left, score.Right
		for n := range a.Notes {
			a.Notes[n].Hand = 1 - a.Notes[n].Hand
		}
		for i := range a.Rests {
			a.Rests[i].Hand = 1 - a.Rests[i].Hand
		}
	}
	a.Sources = score.HandSources(a.Staves)
}

// upsideDown reports whether the music of the second of two staves is the higher
// one nearly wherever both strike: three times as often as not. Common practice.
func (a *assigner) upsideDown() bool {
	first, second := 0, 0
	for _, st := range a.steps {
		var sum, count [2]int
		for _, n := range st.struck {
			staff := a.Notes[n].Staff - 1
			sum[staff] += a.key(n)
			count[staff]++
		}
		switch d := sum[0]*count[1] - sum[1]*count[0]; {
		case count[0] == 0 || count[1] == 0:
		case d > 0:
			first++
		case d < 0:
			second++
		}
	}
	return second > 3*first
}

// What speaks against a cut of the staves, in points. Common practice.
const (
	costImpossible = 8 // at one instant, more than any hand can take
	costWide       = 2 // more than this hand can, with what it holds
	costIdle       = 1 // one hand has notes of two staves, and the other none
	costClef       = 2 // in a bar, a staff in the other hand's clef
	costChange     = 3 // another cut than in the bar before
)

// cutStaves gives the upper staves to the right hand and the lower ones to the
// left, bar by bar, so that the hands can take what they are given, neither has
// all while the other is free, and the cut changes as seldom as may be.
func (a *assigner) cutStaves() {
	staves := len(a.Staves)
	type state struct{ cost, from int }
	table := make([][]state, len(a.Bars)) // by bar and cut: the upper 1 + cut staves are the right hand's
	costs := a.costsOfCuts()
	for bar := range table {
		table[bar] = make([]state, staves-1)
		for cut := range table[bar] {
			best := state{cost: costs[bar][cut], from: cut}
			if bar > 0 {
				best.cost += table[bar-1][cut].cost
				for from, before := range table[bar-1] {
					if c := costs[bar][cut] + before.cost + costChange; c < best.cost {
						best = state{c, from}
					}
				}
			}
			table[bar][cut] = best
		}
	}
	cuts := make([]int, len(a.Bars))
	uses := make([]int, staves-1)
	last := len(a.Bars) - 1
	for cut := range table[last] {
		if table[last][cut].cost < table[last][cuts[last]].cost {
			cuts[last] = cut
		}
	}
	for bar := last; bar >= 0; bar-- {
		uses[cuts[bar]]++
		if bar > 0 {
			cuts[bar-1] = table[bar][cuts[bar]].from
		}
	}
	usual := 0
	for cut, n := range uses {
		if n > uses[usual] {
			usual = cut
		}
	}
	for i := range a.Staves {
		a.Staves[i].Hand = handOfStaff(i+1, usual)
	}
	for n := range a.Notes {
		hand := handOfStaff(a.Notes[n].Staff, cuts[a.Notes[n].Bar])
		a.give([]int{n}, hand, "here its staff is the "+hand.Name()+"'s")
	}
	for i := range a.Rests {
		a.Rests[i].Hand = handOfStaff(a.Rests[i].Staff, cuts[a.BarAt(a.Rests[i].Onset)])
	}
}

// handOfStaff is the hand of a staff where the upper 1 + cut are the right hand's.
func handOfStaff(staff, cut int) score.Hand {
	if staff <= cut+1 {
		return score.Right
	}
	return score.Left
}

// costsOfCuts says by bar and cut what speaks against it.
func (a *assigner) costsOfCuts() [][]int {
	costs := make([][]int, len(a.Bars))
	for bar := range costs {
		costs[bar] = make([]int, len(a.Staves)-1)
	}
	step := 0
	for bar := range a.Bars {
		first := step
		for step < len(a.steps) && a.BarAt(a.steps[step].at) == bar {
			step++
		}
		for cut := range costs[bar] {
			costs[bar][cut] = a.costOfCut(first, step, cut)
		}
	}
	return costs
}

func (a *assigner) costOfCut(first, end, cut int) int {
	cost := 0
	var plays [2]map[int]bool // staves on which each hand has notes
	for hand := range plays {
		plays[hand] = map[int]bool{}
	}
	for i := first; i < end; i++ {
		var struck, down [2][]int
		for _, n := range a.steps[i].struck {
			staff := a.Notes[n].Staff
			hand := handOfStaff(staff, cut)
			plays[hand][staff] = true
			struck[hand] = append(struck[hand], a.key(n))
		}
		if !a.pedalled(a.steps[i].at) {
			for _, n := range a.steps[i].held {
				hand := handOfStaff(a.Notes[n].Staff, cut)
				down[hand] = append(down[hand], a.key(n))
			}
		}
		for hand := range struck {
			side := score.Hand(hand)
			keys := sorted(struck[hand])
			switch {
			case len(keys) == 0:
			case !Largest(side).Covers(keys):
				cost += costImpossible
			case !a.hands[hand].Covers(union(keys, down[hand])):
				cost += costWide
			}
		}
		if len(struck[0]) == 0 && len(plays[1]) > 1 || len(struck[1]) == 0 && len(plays[0]) > 1 {
			cost += costIdle
		}
	}
	if end > first {
		for staff := range a.Staves {
			if sign := a.clefAt(staff+1, a.steps[first].at); sign == 'F' && plays[score.Right][staff+1] || sign == 'G' && plays[score.Left][staff+1] {
				cost += costClef
			}
		}
	}
	return cost
}

// clefAt is the sign of the clef in force on a staff.
func (a *assigner) clefAt(staff int, at score.Rat) (sign byte) {
	for _, c := range a.Clefs {
		if c.Staff == staff && (sign == 0 || !at.Less(c.At)) {
			sign = c.Sign
		}
	}
	return sign
}
