package notation

import "hardbars/score"

// HairpinSign begins or ends a hairpin.
type HairpinSign struct {
	At     score.Rat
	Staff  int    // 0 where none is named
	Number string // tells those apart that are open together
	Ends   bool
}

// HairpinEnd is where a hairpin ends.
type HairpinEnd struct {
	At score.Rat
	By int // index of the sign that ends it; −1 where none does
}

// HairpinEnds finds where each hairpin ends, by the index of the sign that begins
// it. Signs are by place. At one place those that end come before those that begin,
// and one that ends is the end of the last begun of its number, on its staff before
// others. Where one begins, an open one of its number on its staff has ended; and
// one that nothing ends goes to the end of its bar (common practice). Loose are the signs
// that end nothing.
func HairpinEnds(signs []HairpinSign, barEnd func(at score.Rat) score.Rat) (ends map[int]HairpinEnd, loose []int) {
	type line struct {
		staff  int
		number string
	}
	ends = map[int]HairpinEnd{}
	open := map[line][]int{}
	end := func(hairpin int, at score.Rat, by int) {
		if e, ended := ends[hairpin]; !ended || e.By < 0 && by >= 0 && e.At == at {
			ends[hairpin] = HairpinEnd{at, by}
		}
	}
	highest := 0
	for _, s := range signs {
		highest = max(highest, s.Staff)
	}
	for from := 0; from < len(signs); {
		to := from
		for ; to < len(signs) && signs[to].At == signs[from].At; to++ {
			s := signs[to]
			if !s.Ends {
				continue
			}
			at := line{s.Staff, s.Number}
			for staff := 0; len(open[at]) == 0 && staff <= highest; staff++ {
				at.staff = staff
			}
			if n := len(open[at]); n > 0 {
				end(open[at][n-1], s.At, to)
				open[at] = open[at][:n-1]
			} else {
				loose = append(loose, to)
			}
		}
		for i := from; i < to; i++ {
			s := signs[i]
			if s.Ends {
				continue
			}
			at := line{s.Staff, s.Number}
			if n := len(open[at]); n > 0 && signs[open[at][n-1]].At != s.At {
				end(open[at][n-1], s.At, -1)
			}
			open[at] = append(open[at], i)
		}
		from = to
	}
	for i, s := range signs {
		if !s.Ends {
			end(i, barEnd(s.At), -1)
		}
	}
	return ends, loose
}
