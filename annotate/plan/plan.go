// Package plan lays out the practice of a piece day by day.
//
// These are its rules:
//
//   - The passages of the shortlist, in their order, and what the teacher added.
//   - A passage is met first with each hand alone, then with both, then with the
//     bars around: on the next day, and every other day while its tempo rises;
//     once it is there, after 4 and 7 days more. What finds no room waits.
//   - Its tempo rises by 7 % from one visit to the next, or from the fastest that
//     was clean so far, with a step back now and then. One that was left for more
//     than a week beyond its day goes back by one visit and to the comfortable tempo.
//   - All of the piece is met each week: its parts, slowly, from the end towards
//     the beginning, have a third of each day until they have had their turn.
//   - On one day what is at the same stage goes from the end of the piece towards
//     the beginning. A new passage comes twice a day, with others in between: no
//     visit is longer than five minutes, so no passage has more than ten a day; and
//     no hand has more than ten a day of hard passages in any one bar.
//   - After at most 30 minutes of playing comes a break, within the day's minutes.
//   - No new passage begins so late that it could not be met again after 3 days.
//   - The last days are for memory, for a run and for playing it to somebody. What
//     is learnt before the plan ends ends it.
//   - What has no room is named, never dropped in silence.
//
// Spreading practice over days and switching between places are well supported
// (distributed practice, Cepeda et al. 2006, and contextual interference; both
// from memory); every figure here is common practice.
//
// What is hard, how a kind of place is practised and what day it is today are
// kept out.
package plan

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"hardbars/detect"
	"hardbars/score"
)

// Options is what the player settles.
type Options struct {
	Minutes int       // a day
	Days    int       // a week; the days of rest are spread over it
	Start   time.Time // the first day of practice; of a time only the date counts
	End     time.Time // the last day that may be one

	Known   map[string]State                                      // by id of a hot spot: what has been practised already
	Remarks func(firstBar, lastBar int, hand score.Hand) []string // the teacher's own about some bars, indices into Score.Bars; nil for none
}

const (
	leastMinutes, mostMinutes = 5, 240
	mostDays                  = 366 // from the first to the last
)

// Check says why the options cannot be planned, nil where they can.
func (o Options) Check() error {
	switch length := daysFrom(o.Start, o.End) + 1; {
	case o.Minutes < leastMinutes || o.Minutes > mostMinutes:
		return fmt.Errorf("%d minutes a day: give %d to %d", o.Minutes, leastMinutes, mostMinutes)
	case o.Days < 1 || o.Days > week:
		return fmt.Errorf("%d days a week: give 1 to 7", o.Days)
	case length < 1:
		return fmt.Errorf("the plan ends on %s, before it starts on %s: give a later end", dayName(o.End), dayName(o.Start))
	case length > mostDays:
		return fmt.Errorf("the plan is %d days long: give at most %d", length, mostDays)
	}
	return nil
}

// Plan is what to practise, day by day.
type Plan struct {
	Report  *detect.Report
	Options Options
	Days    []Day     // the days of practice, by date; none for a score without bars
	LeftOut []LeftOut // what has no room, the hardest first, and what is learnt
	Notes   []string  // what the player should know about the plan, in sentences
}

// Day is one day of practice.
type Day struct {
	Date  time.Time
	Items []Item // in the order of the day
}

// Minutes is how long the day's practice takes, breaks included: at most what
// the player has.
func (d Day) Minutes() int {
	total := 0
	for _, it := range d.Items {
		total += it.Minutes
	}
	return total
}

// Stage is what is done with some bars.
type Stage string

const (
	Alone    Stage = "alone"    // each hand by itself
	Together Stage = "together" // both hands, these bars only
	Context  Stage = "context"  // with the bar before and after
	Section  Stage = "section"  // a part of the piece
	Run      Stage = "run"      // the piece from beginning to end
	Break    Stage = "break"

	Memory      Stage = "memory"      // the piece by heart
	Performance Stage = "performance" // the piece for somebody who listens
)

// Item is one thing to do.
type Item struct {
	Minutes  int
	Stage    Stage
	Spots    []string    // ids of the hot spots that are practised; none in parts, runs and breaks
	Passages []Passage   // in the order to practise them; of hot spots one each; none in a break
	Hands    string      // "right", "left", "apart" for one after the other, "both"; "" in a break
	Pace     detect.Pace // none where tempo does not matter and in a break
	What     string      // a few words
	How      string      // a sentence or two where there is more to tell, "" otherwise
	Remarks  []string    // the teacher's own about these bars
}

// Timed reports whether the item has a tempo.
func (it Item) Timed() bool { return it.Pace.PerMinute > 0 }

// Passage is bars in a row.
type Passage struct {
	First, Last int // indices into Score.Bars, inclusive
}

// LeftOut is what the plan has no room for.
type LeftOut struct {
	Spots    []string // ids; none where it is the rest of the piece
	Passages []Passage
	Why      string // a sentence
}

// Bars names passages as printed, in their order: "33–36, 12".
func (p *Plan) Bars(passages []Passage) string {
	var names []string
	for _, b := range passages {
		first, last := p.Report.Score.Bars[b.First].Number, p.Report.Score.Bars[b.Last].Number
		if b.First == b.Last {
			names = append(names, first)
		} else {
			names = append(names, first+"–"+last)
		}
	}
	return strings.Join(names, ", ")
}

// Make plans the practice of a piece. The same report and options make the
// same plan. It fails on options that cannot be planned.
func Make(r *detect.Report, o Options) (*Plan, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	p := &Plan{Report: r, Options: o}
	if len(r.Score.Bars) == 0 {
		return p, nil
	}
	c := newCalendar(len(r.Score.Bars), o)
	units, learnt := units(r, o)
	rest := newRest(r, o)
	c.schedule(units, rest)
	for _, d := range c.days {
		if items := p.items(c.order(d.tasks)); len(items) > 0 {
			p.Days = append(p.Days, Day{dateAfter(o.Start, d.number), items})
		}
	}
	p.LeftOut = slices.Concat(leftOut(units, c.last), rest.leftOut(o.Minutes), learnt)
	p.Notes = p.notes(units, c.last)
	return p, nil
}

// items puts tasks into words.
func (p *Plan) items(tasks []task) []Item {
	var items []Item
	for _, t := range tasks {
		items = append(items, p.item(t))
	}
	return items
}

func (p *Plan) item(t task) Item {
	it := Item{Minutes: t.minutes, Stage: t.stage, What: p.what(t), How: p.how(t)}
	switch {
	case t.unit != nil:
		it.Spots, it.Hands, it.Pace = []string{t.unit.id}, t.hands(p.Report.Score), t.unit.tempo(t.coming)
		it.Passages = t.passages(len(p.Report.Score.Bars))
	case t.part != nil:
		it.Passages, it.Hands, it.Pace = []Passage{t.part.Passage}, "both", t.part.pace(p.Report, t.step)
	}
	hand := t.hand()
	if it.Hands == score.Both.String() {
		hand = score.Both
	}
	for _, b := range it.Passages {
		if p.Options.Remarks != nil && !t.whole() {
			it.Remarks = append(it.Remarks, p.Options.Remarks(b.First, b.Last, hand)...)
		}
	}
	return it
}

// whole reports whether a task is about all of the piece.
func (t task) whole() bool { return t.part != nil && t.stage != Section }

// count is "1 day" or "3 days".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
