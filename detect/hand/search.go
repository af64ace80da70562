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
	skip := p.skips(i)
	for y, gb := range b.grips {
		for x, ga := range a.grips {
			var t tally
			if ga[0] != 0 && gb[0] != 0 {
				p.economy.step(&t, a, ga, b, gb)
			}
			at := x*len(b.grips) + y
			costs[at] = int64(t.cost) + alone[i+1][y]
			if i+2 < len(p.moments) {
				n := len(later) / len(b.grips)
				least, z := p.onward(i, ga, gb, skip[x*n:(x+1)*n], later[y*n:(y+1)*n])
				costs[at], next[at] = costs[at]+least, int8(z)
			}
		}
	}
	return costs, next
}

// onward is the least effort from two grips on, and the grip after them.
func (p *piece) onward(i int, ga, gb grip, skip, later []int64) (least int64, next int) {
	least = math.MaxInt64
	a, b, c := &p.moments[i], &p.moments[i+1], &p.moments[i+2]
	single := len(ga) == 1 && len(gb) == 1 && len(c.keys) == 1 && ga[0] != 0 && gb[0] != 0
	for z, gc := range c.grips {
		cost := skip[z] + later[z]
		if single {
			var t tally
			p.economy.tripleRules(&t, a, b, c, int(ga[0]), int(gb[0]), int(gc[0]))
			cost += int64(t.cost)
		}
		if cost < least {
			least, next = cost, z
		}
	}
	return least, next
}

// skips is the effort from each grip of a moment to each of the next but one.
func (p *piece) skips(i int) []int64 {
	if i+2 >= len(p.moments) {
		return nil
	}
	a, b, c := &p.moments[i], &p.moments[i+1], &p.moments[i+2]
	costs := make([]int64, 0, len(a.grips)*len(c.grips))
	for _, ga := range a.grips {
		for _, gc := range c.grips {
			var t tally
			if ga[0] != 0 && gc[0] != 0 {
				p.economy.skip(&t, a, ga, b, c, gc)
			}
			costs = append(costs, int64(t.cost))
		}
	}
	return costs
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

// nearly is by how much more effort another finger may cost to be told.
const nearly = 400

// other is the grip of a moment that comes nearest to the chosen one while all
// others stay, -1 where none comes near.
func (p *piece) other(i int, chosen []int) int {
	best, least := -1, p.around(i, chosen, chosen[i])+nearly
	for g := range p.moments[i].grips {
		if g == chosen[i] {
			continue
		}
		if cost := p.around(i, chosen, g); cost <= least {
			best, least = g, cost
		}
	}
	return best
}

// around is the effort of all that a moment has part in, if it is taken with a
// grip.
func (p *piece) around(i int, chosen []int, g int) int {
	var t tally
	grip := func(j int) grip {
		if j == i {
			return p.moments[j].grips[g]
		}
		return p.moments[j].grips[chosen[j]]
	}
	known := func(from, to int) bool {
		for j := from; j <= to; j++ {
			if j < 0 || j >= len(p.moments) || grip(j)[0] == 0 {
				return false
			}
		}
		return true
	}
	m := p.moments
	if known(i, i) {
		var next *moment
		if i+1 < len(m) {
			next = &m[i+1]
		}
		p.economy.grasp(&t, &m[i], next, grip(i))
		t.cost += handbookCost(&m[i], grip(i))
	}
	for j := i - 1; j <= i; j++ {
		if known(j, j+1) {
			p.economy.step(&t, &m[j], grip(j), &m[j+1], grip(j+1))
		}
	}
	for j := i - 2; j <= i; j++ {
		if known(j, j+2) {
			p.economy.turn(&t, &m[j], grip(j), &m[j+1], grip(j+1), &m[j+2], grip(j+2))
		}
	}
	return t.cost
}
