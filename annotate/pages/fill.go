package pages

import (
	"math"

	"hardbars/annotate/engrave"
	"hardbars/score"
)

// block is what stands across a page and is not divided: a system with its
// marks, or words.
type block struct {
	height float64
	draw   func(c engrave.Canvas, x, y float64)
	to     score.Rat // where its music ends

	y float64 // its top on the page, once it stands
}

// Distances in millimetres from one block's ink to the next: the least, and the
// most to which a page is spread. Common practice.
const (
	leastGap = 4.5
	mostGap  = 14.0
	lastGap  = 9.0 // on the last page
)

// What a page costs; see fill. Our own measure.
const (
	perPage     = 0.05
	badTurn     = 0.12 // a turn where no hand is free
	turnSeconds = 2.0  // in which a page is turned at ease
)

// fill breaks blocks into pages so that the sum of what is bad about them is
// least: white left over, and turns at which no hand is free. It is the idea by
// which Knuth and Plass (Breaking Paragraphs into Lines, 1981) fill the lines of
// a paragraph. The first page is a right-hand one: pages of odd number are
// turned. Free is how long a hand is free after a block, in seconds.
func fill(head block, blocks []block, room float64, free func(block) float64) [][]block {
	type state struct {
		cost float64
		prev int
	}
	best := make([][2]state, len(blocks)+1) // by blocks placed, and pages used, even or odd
	for i := range best {
		best[i] = [2]state{{cost: math.Inf(1)}, {cost: math.Inf(1)}}
	}
	best[0][0].cost = 0
	for end := 1; end <= len(blocks); end++ {
		turn := badTurn * (1 - min(free(blocks[end-1])/turnSeconds, 1))
		used := 0.0
		for start := end - 1; start >= 0; start-- {
			used += blocks[start].height
			if start < end-1 {
				used += leastGap
			}
			here := room
			if start == 0 {
				here -= head.height + leastGap
			}
			if used > here && start < end-1 {
				break
			}
			for pages := range 2 {
				c := best[start][pages].cost + perPage
				if end < len(blocks) {
					c += math.Pow(max(0, here-used)/room, 2)
					if pages == 0 {
						c += turn
					}
				}
				if c < best[end][1-pages].cost {
					best[end][1-pages] = state{c, start}
				}
			}
		}
	}
	end, pages := len(blocks), 0
	if best[end][1].cost < best[end][0].cost {
		pages = 1
	}
	var all [][]block
	for end > 0 {
		start := best[end][pages].prev
		page := spread(blocks[start:end], head, start == 0, end == len(blocks), room)
		all = append([][]block{page}, all...)
		end, pages = start, 1-pages
	}
	if len(all) == 0 {
		head.y = margin
		all = [][]block{{head}}
	}
	return all
}

// spread puts the blocks of a page one under the other, with what is left over
// between them.
func spread(blocks []block, head block, first, last bool, room float64) (page []block) {
	y := margin
	if first {
		head.y = y
		page = append(page, head)
		y += head.height + leastGap
	}
	used := y - margin
	for _, b := range blocks {
		used += b.height
	}
	gap := leastGap
	if n := len(blocks) - 1; n > 0 {
		gap = max(leastGap, min((room-used)/float64(n), mostGap))
		if last {
			gap = min(gap, lastGap)
		}
	}
	for _, b := range blocks {
		b.y = y
		page = append(page, b)
		y += b.height + gap
	}
	return page
}

// freeHand is for how long around an instant the hand that is freer rests, in
// seconds.
func freeHand(s *score.Score, at score.Rat) float64 {
	from := [2]score.Rat{}
	to := [2]score.Rat{s.End(), s.End()}
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.Hand > score.Left {
			continue
		}
		if n.Onset.Less(at) {
			from[n.Hand] = score.Max(from[n.Hand], score.Min(n.End(), at))
			if at.Less(n.End()) {
				to[n.Hand] = at
			}
		} else {
			to[n.Hand] = score.Min(to[n.Hand], n.Onset)
		}
	}
	rest := score.Max(to[0].Sub(from[0]), to[1].Sub(from[1]))
	return rest.Float() * 60 / s.TempoAt(at).QPM
}
