package detect

import (
	"sort"

	"hardbars/score"
	"hardbars/score/perform"
)

// Seam is where play leaves the order of the page: at a repeat sign, between
// endings, at da capo and the like.
type Seam struct {
	Before, After perform.Run
}

// seams lists the places where play leaves the order of the page, each once.
func seams(s *score.Score) []Seam {
	runs, _ := perform.Order(s)
	var all []Seam
	known := map[[2]int]bool{}
	for i := 1; i < len(runs); i++ {
		before, after := runs[i-1], runs[i]
		if at := [2]int{before.Last, after.First}; !known[at] {
			known[at] = true
			all = append(all, Seam{before, after})
		}
	}
	return all
}

// follows reports, for each bar, whether the bar after it on the page ever
// follows it in play.
func follows(s *score.Score) []bool {
	runs, _ := perform.Order(s)
	follow := make([]bool, len(s.Bars))
	for _, p := range runs {
		for i := p.First; i < p.Last; i++ {
			follow[i] = true
		}
	}
	return follow
}

// across returns a hand's last stroke before a seam and its first after it;
// false where one of them is missing.
func (sm Seam) across(s *score.Score, strokes []stroke) (from, to stroke, ok bool) {
	within := func(p perform.Run) []stroke {
		first := sort.Search(len(strokes), func(i int) bool { return !strokes[i].At.Less(s.Bars[p.First].Start) })
		last := sort.Search(len(strokes), func(i int) bool { return !strokes[i].At.Less(s.Bars[p.Last].End()) })
		return strokes[first:max(first, last)]
	}
	before, after := within(sm.Before), within(sm.After)
	if len(before) == 0 || len(after) == 0 {
		return stroke{}, stroke{}, false
	}
	return before[len(before)-1], after[0], true
}
