package plan

import (
	"cmp"
	"slices"
	"time"

	"hardbars/score"
)

const week = 7

// gaps are the days after the first on which a place is met again.
var gaps = []int{0, 1, 3, 7, 14}

// Minutes: a stretch of playing goes on for so long at most, then comes a break.
const (
	mostPlaying  = 30
	breakMinutes = 5
)

// calendar is the days of practice and what is done on each. Days are numbered
// from 0, the first.
type calendar struct {
	options Options
	bars    int    // of the piece
	last    int    // the number of the last day
	days    []*day // the days of practice, by number
}

type day struct {
	number int
	tasks  []task
}

func newCalendar(bars int, o Options) *calendar {
	c := &calendar{options: o, bars: bars, last: daysFrom(o.Start, o.End)}
	for n := 0; n <= c.last; n++ {
		if o.practised(n) {
			c.days = append(c.days, &day{number: n})
		}
	}
	return c
}

// practised reports whether there is practice on a day: the days of rest are
// spread evenly over each week from the first day, which is none of them.
func (o Options) practised(n int) bool {
	rest := week - o.Days
	return (n%week+1)*rest%week >= rest
}

// nextPractised is the first day of practice from a day on.
func (o Options) nextPractised(n int) int {
	for !o.practised(n) {
		n++
	}
	return n
}

// RestDays are the weekdays without practice, Monday first.
func (p *Plan) RestDays() []time.Weekday {
	var rest []time.Weekday
	for n := range week {
		if !p.Options.practised(n) {
			rest = append(rest, dateAfter(p.Options.Start, n).Weekday())
		}
	}
	slices.SortFunc(rest, func(a, b time.Weekday) int { return cmp.Compare((a+6)%week, (b+6)%week) })
	return rest
}

// midnight takes the time off a date.
func midnight(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// daysFrom counts the days from one date to another.
func daysFrom(a, b time.Time) int { return int(midnight(b).Sub(midnight(a)) / (24 * time.Hour)) }

func dateAfter(t time.Time, days int) time.Time { return midnight(t).AddDate(0, 0, days) }

// dayName is a date as in "2026-01-05".
func dayName(t time.Time) string { return t.Format(time.DateOnly) }

// fits reports whether a day has room for some tasks more, breaks included.
func (c *calendar) fits(d *day, more ...task) bool {
	total := 0
	for _, t := range c.order(slices.Concat(d.tasks, more)) {
		total += t.minutes
	}
	return total <= c.options.Minutes
}

// mostOnBar is how many minutes a day the hard places of a hand may take in one
// bar, whichever places they are.
const mostOnBar = 10

// spares reports whether no hand would play too long in any bar of a unit, with
// one meeting more on a day.
func (c *calendar) spares(d *day, u *unit, more ...task) bool {
	for _, p := range []Passage{u.bars} {
		for bar := max(p.First-1, 0); bar <= min(p.Last+1, c.bars-1); bar++ {
			for hand := score.Right; hand <= score.Left; hand++ {
				minutes := 0
				for _, t := range slices.Concat(d.tasks, more) {
					if t.tires(bar, hand, c.bars) {
						minutes += t.minutes
					}
				}
				if minutes > mostOnBar {
					return false
				}
			}
		}
	}
	return true
}

// tires reports whether a task is about a hand in a bar.
func (t task) tires(bar int, hand score.Hand, bars int) bool {
	return t.unit != nil && t.hand() != 1-hand && slices.ContainsFunc(t.passages(bars), func(p Passage) bool { return p.First <= bar && bar <= p.Last })
}

// order is the order of the day. New places come first, while one is fresh, and
// a second time after the others; then parts of the piece, then a run.
func (c *calendar) order(tasks []task) []task {
	var first, second, rest []task
	for _, t := range tasks {
		switch {
		case t.unit == nil:
			rest = append(rest, t)
		case t.again:
			second = append(second, t)
		default:
			first = append(first, t)
		}
	}
	slices.SortStableFunc(first, byStage)
	slices.SortStableFunc(second, byStage)
	slices.SortStableFunc(rest, byStage)
	if len(first) == 1 && len(second) == 1 && len(rest) > 0 && rest[0].stage == Section {
		first, rest = append(first, rest[0]), rest[1:]
	}
	return withBreaks(slices.Concat(first, second, rest))
}

// byStage orders tasks: at one stage hard places go from the end of the piece
// towards the beginning, parts from the beginning. What comes twice goes before
// what comes once, so that there is something in between.
func byStage(a, b task) int {
	byStage := cmp.Compare(rank(a.stage), rank(b.stage))
	switch {
	case a.unit == nil:
		return cmp.Or(byStage, cmp.Compare(a.part.First, b.part.First))
	case a.twice != b.twice && a.twice:
		return -1
	case a.twice != b.twice:
		return 1
	}
	return cmp.Or(byStage, byPlace(a.unit, b.unit))
}

func rank(s Stage) int {
	return slices.Index([]Stage{Alone, Together, Context, Section, Memory, Run, Performance}, s)
}

// withBreaks puts a break before what would make the playing too long.
func withBreaks(tasks []task) []task {
	var all []task
	playing := 0
	for _, t := range tasks {
		if playing > 0 && playing+t.minutes > mostPlaying {
			all = append(all, task{stage: Break, minutes: breakMinutes})
			playing = 0
		}
		all = append(all, t)
		playing += t.minutes
	}
	return all
}
