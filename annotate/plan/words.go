package plan

import (
	"fmt"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// what is a task in a few words.
func (p *Plan) what(t task) string {
	switch t.stage {
	case Break:
		return "break: stand up, shake out hands and arms"
	case Run:
		return "the whole piece without a stop"
	case Memory:
		return "the whole piece from memory, with the score closed beside you"
	case Performance:
		return "the whole piece once, for somebody who listens"
	case Section:
		return "part of section " + t.part.name + ", slowly, without stops"
	}
	return t.unit.title + ": " + t.does(p.Report.Score)
}

// does says who plays how much.
func (t task) does(s *score.Score) string {
	switch hands := t.hands(s); {
	case t.stage == Context:
		return t.unit.surroundings(len(s.Bars))
	case hands == "apart":
		return "each hand alone"
	case t.stage == Together && hands == score.Both.String():
		return "hands together"
	case t.stage == Together:
		return hands + " hand, in one go"
	default:
		return hands + " hand alone"
	}
}

// surroundings are the bars that a unit is practised with in context.
func (u *unit) surroundings(bars int) string {
	before, after := u.bars.First > 0, u.bars.Last < bars-1
	switch {
	case before && after:
		return "with the bar before and after"
	case before:
		return "with the bar before"
	case after:
		return "with the bar after"
	}
	return "in one go"
}

// how tells more where there is more to tell: how to begin, how to go on the
// second time and with both hands, and how to know that it is learnt.
func (p *Plan) how(t task) string {
	switch {
	case t.stage == Memory:
		return "Where it fails, begin again from the section before; what fails twice, look up and play hands apart."
	case t.unit == nil || len(t.unit.steps) == 0:
		return ""
	case t.unit.met+t.coming == t.unit.total-1:
		return "Learnt when it goes three times running without a stop."
	case t.stage == Alone && !t.again:
		return t.unit.steps[0]
	case t.stage == Alone && len(t.unit.steps) > 1:
		return t.unit.steps[1]
	case t.stage == Together && t.unit.met+t.coming == 1:
		return t.unit.steps[len(t.unit.steps)-1]
	}
	return ""
}

// BarWords names passages in a sentence: "bar 12", "bars 33–36, 12".
func (p *Plan) BarWords(passages []Passage) string {
	if len(passages) == 1 && passages[0].First == passages[0].Last {
		return "bar " + p.Bars(passages)
	}
	return "bars " + p.Bars(passages)
}

// notes are what the player should know about the plan.
func (p *Plan) notes(units []*unit, last int) []string {
	notes := []string{
		"The tempo goes up a little from visit to visit, as long as the last one was clean; otherwise stay where you are. What comes twice on a day is new: the second time, see whether it goes at the first try.",
		"A part of the piece: once through, slowly and without stops. The whole piece: go on, whatever happens, and note afterwards what did not go.",
	}
	if len(units) == 0 {
		notes = append(notes, "No passage asks for more than is comfortable: the plan goes straight through the piece.")
	}
	notes = append(notes, p.reached(units)...)
	if d := p.easing(); d != nil {
		notes = append(notes, fmt.Sprintf("From %s on there is less to do than half of your time: another piece may begin beside this one.", d.Date.Format("Monday 2 January")))
	}
	if n := shortOf(units); n > 0 {
		notes = append(notes, fmt.Sprintf("The time does not suffice: %s left out. %s", count(n, "passage is", "passages are"), enough(p.Report, p.Options)))
	}
	return notes
}

// mostReached is how many passages the plan names that do not come to their tempo.
const mostReached = 4

// reached says to which tempo passages come that are not at theirs when the
// plan ends.
func (p *Plan) reached(units []*unit) []string {
	var all []string
	more := 0
	for _, u := range units {
		if len(u.days) == 0 || u.atTempo(len(u.days)) {
			continue
		}
		if len(all) == mostReached {
			more++
			continue
		}
		all = append(all, fmt.Sprintf("%s to %s of %d", p.BarWords([]Passage{u.bars}), u.tempo(len(u.days)-1), u.climb[len(u.climb)-1].PerMinute))
	}
	if len(all) == 0 {
		return nil
	}
	if more > 0 {
		all = append(all, count(more, "other passage part of the way", "other passages part of the way"))
	}
	return []string{fmt.Sprintf("By %s this comes: %s.", p.Options.End.Format("2 January"), detect.Enumerate(all))}
}

// fewEasy is how many days with little to do are worth a remark.
const fewEasy = 3

// easing is the first of the last days that are all at most half full, nil
// where there are few of these.
func (p *Plan) easing() *Day {
	n := len(p.Days)
	for n > 0 && 2*p.Days[n-1].Minutes() <= p.Options.Minutes {
		n--
	}
	if len(p.Days)-n < fewEasy {
		return nil
	}
	return &p.Days[n]
}

// shortOf counts the passages that have found no day.
func shortOf(units []*unit) int {
	n := 0
	for _, u := range units {
		if len(u.days) == 0 {
			n++
		}
	}
	return n
}

// enough says how long the plan would have to be for every passage to begin and
// come again after some days.
func enough(r *detect.Report, o Options) string {
	o.End = dateAfter(o.Start, mostDays-1)
	c := newCalendar(len(r.Score.Bars), o)
	units, _ := units(r, o)
	c.schedule(units, newRest(r, o))
	if shortOf(units) > 0 {
		return "No plan of a year with so many minutes a day would take them in: give more."
	}
	last := 0
	for _, u := range units {
		last = max(last, u.days[0]+soonest)
	}
	return fmt.Sprintf("%s of the same practice would take them in.", count(last/week+1, "week", "weeks"))
}

// Line is an item in words: what it is about, "place 4, bar 98, quarter = 61",
// and what to do, to which Said adds. Of a break there is only what it is about.
func (p *Plan) Line(it Item) (about, what string) {
	var parts []string
	if len(it.Spots) > 0 {
		parts = append(parts, placeWords(it.Spots))
	}
	if len(it.Passages) > 0 {
		parts = append(parts, p.BarWords(it.Passages))
	}
	if it.Timed() {
		parts = append(parts, it.Pace.String())
	}
	if len(parts) == 0 {
		return it.What, ""
	}
	return strings.Join(parts, ", "), it.What
}

// Said is how to do an item and the teacher's remarks on its bars, each to
// stand on a line of its own; none where there is no more to tell.
func (it Item) Said() []string {
	var said []string
	if it.How != "" {
		said = append(said, it.How)
	}
	for _, remark := range it.Remarks {
		said = append(said, "Remark on "+remark)
	}
	return said
}

func placeWords(ids []string) string {
	if len(ids) == 1 {
		return "place " + ids[0]
	}
	return "places " + strings.Join(ids, ", ")
}

// LeftOutWords says what is left out, a sentence for each reason.
func (p *Plan) LeftOutWords() []string {
	var order []string
	what := map[string][]string{} // by reason
	for _, l := range p.LeftOut {
		if what[l.Why] == nil {
			order = append(order, l.Why)
		}
		named := p.BarWords(l.Passages)
		if len(l.Spots) > 0 {
			named = fmt.Sprintf("%s (%s)", placeWords(l.Spots), named)
		}
		what[l.Why] = append(what[l.Why], named)
	}
	var all []string
	for _, why := range order {
		all = append(all, fmt.Sprintf("%s: %s.", strings.TrimSuffix(why, "."), strings.Join(what[why], "; ")))
	}
	return all
}

// TimesWords says when there is practice: "30 minutes on 5 days a week from 5
// January to 25 January 2026, rest on Thursday and Sunday".
func (p *Plan) TimesWords() string {
	o := p.Options
	return fmt.Sprintf("%d minutes on %s a week from %s to %s, %s", o.Minutes, count(o.Days, "day", "days"),
		o.Start.Format("2 January 2006"), o.End.Format("2 January 2006"), p.restWords())
}

func (p *Plan) restWords() string {
	var names []string
	for _, d := range p.RestDays() {
		names = append(names, d.String())
	}
	switch n := len(names) - 1; {
	case n < 0:
		return "no day of rest"
	case n == 0:
		return "rest on " + names[0]
	default:
		return "rest on " + strings.Join(names[:n], ", ") + " and " + names[n]
	}
}
