package mark

import (
	"fmt"

	"github.com/beevik/etree"

	"hardbars/annotate/palette"
	"hardbars/detect"
	"hardbars/score"
)

// passages are the marks of the shortlist: of each passage a number and a few
// words at its start and a bracket over its bars. No two brackets overlap on
// one side: a habit whose own side is taken stands on the other.
func (p *page) passages(r *detect.Report, o Options) []mark {
	var marks []mark
	var drawn []*detect.Passage
	for i := range r.Passages {
		ps := &r.Passages[i]
		if !ps.Shortlist {
			continue
		}
		side := placement(ps.Hand)
		if taken(drawn, ps, side) {
			side = otherSide(side)
		}
		marks = append(marks, p.passage(ps, o, side, taken(drawn, ps, side))...)
		drawn = append(drawn, ps)
	}
	return marks
}

// taken reports whether a passage shares a bar with one on the same side.
func taken(drawn []*detect.Passage, ps *detect.Passage, side string) bool {
	for _, other := range drawn {
		if placement(other.Hand) == side && other.First <= ps.Last && ps.First <= other.Last {
			return true
		}
	}
	return false
}

func otherSide(side string) string {
	if side == "above" {
		return "below"
	}
	return "above"
}

// passage are the marks of one passage on one side of its hand's staff; none
// where the part has no notes in its bars, and without a bracket where another
// is there.
func (p *page) passage(ps *detect.Passage, o Options, side string, without bool) []mark {
	hand := score.Right
	if side == "below" {
		hand = score.Left
	}
	home := p.staffs[p.homeStaff(hand)]
	first, last := ps.First, ps.Last
	start, stop := p.noteIn(home, &first, last, 1), p.noteIn(home, &last, first, -1)
	if start == nil || stop == nil {
		return nil
	}
	from := p.barBegin(anchor{p.gapBefore(start), p.score.Bars[first].Start, start})
	to := p.barEnd(anchor{p.gapAfter(stop), p.score.Bars[last].End(), stop})
	d := drawing{placement: side, staff: home.name, strong: ps.Demand > 1}
	if o.Colour {
		d.colour = palette.Of(ps.Troubles[0].Kind)
	}
	o.Brackets = o.Brackets && !without
	over := p.bracket(&d, o, from, to)
	var marks []mark
	if o.Words {
		marks = append(marks, d.words(from, to.place, fmt.Sprintf("%d · %s", ps.Order, ps.Troubles[0].Hardest.Label)))
	}
	return append(marks, over...)
}

// noteIn is the first note or rest on a staff in bars from one to another, up
// or down; it moves from to the bar in which that stands.
func (p *page) noteIn(on staff, from *int, to, step int) *etree.Element {
	measures := p.measures[on.part]
	for ; *from*step <= to*step; *from += step {
		if *from < len(measures) {
			if note := firstNote(measures[*from], on.name); note != nil {
				return note
			}
		}
	}
	return nil
}

// mostColoured is the share of the piece's notes that may be coloured: what is
// everywhere is seen nowhere. Common practice.
const mostColoured = 0.2

// colourPassages colours what makes the passages of the shortlist hard: of each
// first its hardest trouble, then of each the next, as far as there is room.
func (p *page) colourPassages(r *detect.Report) {
	room := int(mostColoured * float64(len(p.notes)))
	coloured := map[int]bool{}
	for rank, more := 0, true; more; rank++ {
		more = false
		for i := range r.Passages {
			ps := &r.Passages[i]
			if !ps.Shortlist || rank >= len(ps.Troubles) {
				continue
			}
			more = true
			t := ps.Troubles[rank]
			if t.Hardest.Demand > 1 || rank == 0 {
				p.colourSome(r.Spot(t.Spot), ps, coloured, room)
			}
		}
	}
}

// colourSome colours what is hard in a spot within the bars of a passage,
// occurrence by occurrence, while there is room.
func (p *page) colourSome(sp *detect.Spot, ps *detect.Passage, coloured map[int]bool, room int) {
	if sp == nil {
		return
	}
	for _, occ := range sp.Hard() {
		if !occ.From.Less(ps.To) || !ps.From.Less(occ.To) {
			continue
		}
		var fresh []int
		for _, n := range occ.Notes {
			for _, h := range p.score.Notes[n].Heads {
				if !coloured[h.ID] {
					fresh = append(fresh, h.ID)
				}
			}
		}
		if len(coloured)+len(fresh) > room {
			continue
		}
		for _, id := range fresh {
			coloured[id] = true
			colourNote(p.notes[id], palette.Of(sp.Kind))
		}
	}
}
