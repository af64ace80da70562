package hand

import "math"

// piece is what one hand plays.
type piece struct {
	moments []moment
	economy *economy
}

// search finds the grip of each moment in the fingering of least effort, by
// dynamic programming over the grips of two moments together, from the end.
func (p *piece) search() []int {
	n := len(p.moments)
	chosen := make([]int, n)
	if n == 0 {
		return chosen
	}
	alone := make([][]int64, n)
	for i := range n {
		alone[i] = p.alone(i)
	}
	best := make([][]int8, n)
	var later []int64 // of the pairs of moments i+1 and i+2
	for i := n - 2; i >= 0; i-- {
		later, best[i] = p.back(i, alone, later)
	}
	return p.forward(alone[0], later, best, chosen)
}

// alone is the effort of each grip of a moment by itself.
func (p *piece) alone(i int) []int64 {
	m := &p.moments[i]
	var next *moment
	if i+1 < len(p.moments) {
		next = &p.moments[i+1]
	}
	costs := make([]int64, len(m.grips))
	for g, grip := range m.grips {
		var t tally
		if grip[0] != 0 {
			p.economy.grasp(&t, m, next, grip)
		}
		t.cost += handbookCost(m, grip)
		costs[g] = int64(t.cost)
	}
	return costs
}

// back is the effort from moment i+1 on for each pair of grips of i and i+1,
// and which grip of i+2 it is reached with.
func (p *piece) back(i int, alone [][]int64, later []int64) (costs []int64, next []int8) {
	a, b := &p.moments[i], &p.moments[i+1]
	costs, next = make([]int64, len(a.grips)*len(b.grips)), make([]int8, len(a.grips)*len(b.grips))
	for y, gb := range b.grips {
		for x, ga := range a.grips {
			var t tally
			if ga[0] != 0 && gb[0] != 0 {
				p.economy.step(&t, a, ga, b, gb)
			}
			at := x*len(b.grips) + y
			costs[at] = int64(t.cost) + alone[i+1][y]
			if i+2 == len(p.moments) {
				continue
			}
			c := &p.moments[i+2]
			least := int64(math.MaxInt64)
			for z, gc := range c.grips {
				var t tally
				if ga[0] != 0 && gb[0] != 0 && gc[0] != 0 {
					p.economy.turn(&t, a, ga, b, gb, c, gc)
				}
				if cost := int64(t.cost) + later[y*len(c.grips)+z]; cost < least {
					least, next[at] = cost, int8(z)
				}
			}
			costs[at] += least
		}
	}
	return costs, next
}

// forward reads the chosen grips off.
func (p *piece) forward(alone, first []int64, best [][]int8, chosen []int) []int {
	n := len(p.moments)
	least := int64(math.MaxInt64)
	for x := range alone {
		if n == 1 {
			if alone[x] < least {
				least, chosen[0] = alone[x], x
			}
			continue
		}
		width := len(p.moments[1].grips)
		for y := range width {
			if cost := alone[x] + first[x*width+y]; cost < least {
				least, chosen[0], chosen[1] = cost, x, y
			}
		}
	}
	for i := 0; i+2 < n; i++ {
		chosen[i+2] = int(best[i][chosen[i]*len(p.moments[i+1].grips)+chosen[i+1]])
	}
	return chosen
}
