package sheet

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/annotate/excerpt"
	"hardbars/annotate/practice"
	"hardbars/annotate/remarks"
	"hardbars/detect"
	"hardbars/score"
)

// entry is one thing to practise, in words.
type entry struct {
	number  string // on the strip and in the marked score
	place   string // "Bars 12–15, left hand"
	what    string // "Left hand leaping"
	why     string
	tempo   string   // "♩ = 46 → 66"
	ladder  []string // the tempos to tick off: "♩ = 46", "50", …
	steps   []string // how to practise
	again   string   // "The same again in bars 20 and 44–45."; "" where it comes once
	said    []string // the teacher's remarks
	picture detect.Picture

	first, last int // bars, indices into Score.Bars
	hand        score.Hand
	line, bars  func() excerpt.Excerpt
}

// passageEntry speaks of a passage of the shortlist.
func passageEntry(r *detect.Report, p *detect.Passage, l practice.Lesson) entry {
	e := entry{
		number: fmt.Sprint(p.Order), what: sentence(l.Title), why: signed(l.Why), ladder: ladder(l.Rungs),
		place: sentence(barRange(r, p.First, p.Last)) + ", " + p.Hand.Name(),
		tempo: paceStep(l.Start, l.Target, p.Comfortable > 0),
		again: coversWords(r, p), picture: p.Troubles[0].Hardest.Picture,
		first: p.First, last: p.Last, hand: p.Hand,
		line: func() excerpt.Excerpt { return excerpt.Line(r, p) },
		bars: func() excerpt.Excerpt { return excerpt.Passage(r, p) },
	}
	if p.Habit {
		e.what += ", all through the piece"
	}
	for _, step := range l.Steps {
		e.steps = append(e.steps, signed(step))
	}
	return e
}

// addedEntry speaks of a place that the teacher added.
func addedEntry(r *detect.Report, sp *detect.Spot) entry {
	advice := practice.For(r, sp)
	_, target := r.Paces(sp)
	e := entry{
		number: sp.ID, place: sentence(barRange(r, sp.FirstBar, sp.LastBar)) + ", " + sp.Hand.Name(),
		what: "Added by hand", why: sentence(sp.Label), tempo: paceSign(target), ladder: ladder(advice.Ladder),
		first: sp.FirstBar, last: sp.LastBar, hand: sp.Hand,
		line: func() excerpt.Excerpt { return excerpt.Hardest(r, sp) },
		bars: func() excerpt.Excerpt { return excerpt.Hardest(r, sp) },
	}
	for _, step := range advice.Steps {
		e.steps = append(e.steps, signed(step))
	}
	return e
}

// coversWords says where else the same is asked.
func coversWords(r *detect.Report, p *detect.Passage) string {
	if len(p.Covers) == 0 {
		return ""
	}
	return "The same again in " + barList(r, p.Covers, 12) + "."
}

// barRange names bars as printed: "bar 12" or "bars 12–15".
func barRange(r *detect.Report, first, last int) string {
	if first == last {
		return "bar " + r.Score.Bars[first].Number
	}
	return "bars " + r.Score.Bars[first].Number + "–" + r.Score.Bars[last].Number
}

// barList names bars given one by one, runs of them as such: "bars 3, 7–9 and
// 12". Of more than most runs it says how many more bars there are.
func barList(r *detect.Report, bars []int, most int) string {
	var runs []string
	left := 0
	for i := 0; i < len(bars); {
		j := i
		for j+1 < len(bars) && bars[j+1] == bars[j]+1 {
			j++
		}
		if len(runs) < most {
			runs = append(runs, strings.TrimLeft(barRange(r, bars[i], bars[j]), "bars "))
		} else {
			left += j - i + 1
		}
		i = j + 1
	}
	if left > 0 {
		runs = append(runs, count(left, "bar more", "bars more"))
	}
	return barWord(len(bars) > 1) + " " + detect.Enumerate(runs)
}

// paceStep is the way from the tempo to begin with to the one to reach.
func paceStep(start, target detect.Pace, timed bool) string {
	switch {
	case !timed:
		return "at any tempo"
	case start.PerMinute >= target.PerMinute:
		return paceSign(target)
	}
	return fmt.Sprintf("%s → %d", paceSign(start), target.PerMinute)
}

// thrice is what is ticked where there are no tempos to climb. Common practice.
var thrice = []string{"once clean", "twice running", "three times running"}

// ladder is the tempos to tick off, the first one with its beat.
func ladder(paces []detect.Pace) []string {
	if len(paces) == 0 {
		return thrice
	}
	rungs := []string{paceSign(paces[0])}
	for _, pace := range paces[1:] {
		rungs = append(rungs, fmt.Sprint(pace.PerMinute))
	}
	return rungs
}

// mostSaid is how many remarks one entry has room for.
const mostSaid = 3

// takeRemarks puts each remark at the entry that holds all its bars: the first
// such one of the same hand, or else of any. It returns the remarks for which
// there is none or no room.
func takeRemarks(entries []entry, said *remarks.Remarks) (elsewhere []remarks.Remark) {
	if said == nil {
		return nil
	}
	for _, m := range said.All {
		holds := func(sameHand bool) func(entry) bool {
			return func(e entry) bool {
				return e.first <= m.First && m.Last <= e.last && (!sameHand || e.hand == m.Hand) && len(e.said) < mostSaid
			}
		}
		i := slices.IndexFunc(entries, holds(true))
		if i < 0 {
			i = slices.IndexFunc(entries, holds(false))
		}
		if i < 0 {
			elsewhere = append(elsewhere, m)
			continue
		}
		entries[i].said = append(entries[i].said, sentence(m.String()))
	}
	return elsewhere
}
