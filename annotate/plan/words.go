package plan

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/annotate/practice"
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
	case Section:
		return "part of section " + t.part.name
	}
	return t.unit.spots[0].Label + ": " + t.does(p.Report.Score)
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
	before := slices.ContainsFunc(u.passages, func(p Passage) bool { return p.First > 0 })
	after := slices.ContainsFunc(u.passages, func(p Passage) bool { return p.Last < bars-1 })
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
	if t.unit == nil {
		return ""
	}
	advice := practice.For(p.Report, t.unit.spots[0])
	switch {
	case t.coming == len(t.unit.days)-1:
		return advice.Test
	case t.unit.leader != nil && t.stage == Alone && !t.again:
		return p.likeLeader(t.unit)
	case t.unit.leader != nil:
		return ""
	case t.stage == Alone && !t.again:
		return advice.Steps[0]
	case t.stage == Alone && advice.Alone > 1:
		return advice.Steps[1]
	case t.stage == Together && advice.Alone < len(advice.Steps)-1:
		return advice.Steps[advice.Alone]
	}
	return ""
}

// likeLeader says how the places of a unit are like the one learnt first.
func (p *Plan) likeLeader(u *unit) string {
	first := u.leader.spots[0]
	relations := map[string]string{}
	for _, f := range p.Report.Families {
		for _, rel := range f.Relations {
			relations[rel.Spot] = rel.Text
		}
	}
	var all []string
	for i, s := range u.spots {
		all = append(all, p.BarWords(u.passages[i:i+1])+": "+relations[s.ID])
	}
	return fmt.Sprintf("As in place %s, %s. B%s.", first.ID, p.BarWords(u.leader.passages), strings.TrimPrefix(strings.Join(all, "; "), "b"))
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
		"Go up to the next tempo only after three clean times running; otherwise stay where you are. What comes twice on a day is new: the second time, see whether it goes at the first try.",
		"A part of the piece: once through, then only what made you stop, then through again. The whole piece: go on, whatever happens, and note afterwards what did not go.",
	}
	if len(units) == 0 {
		notes = append(notes, "No place asks for more than is comfortable: the plan goes straight through the piece.")
	}
	if long := p.long(units); long != "" {
		notes = append(notes, "Of the longest places the plan takes the hardest bars, and leaves the rest of them to the parts of the piece: "+long+".")
	}
	if n := unfinished(units, last); n > 0 {
		notes = append(notes, fmt.Sprintf("The plan ends before %s up to the tempo asked for.", count(n, "hot spot is", "hot spots are")))
	}
	if d := p.easing(); d != nil {
		notes = append(notes, fmt.Sprintf("From %s on there is less to do than half of your time: another piece may begin beside this one.", d.Date.Format("Monday 2 January")))
	}
	if n := shortOf(units); n > 0 {
		notes = append(notes, fmt.Sprintf("The time does not suffice: %s left out. %s", count(n, "hot spot is", "hot spots are"), enough(p.Report, p.Options)))
	}
	return notes
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

// long names the places of which only a part is practised as such.
func (p *Plan) long(units []*unit) string {
	var all []string
	for _, u := range units {
		for i, s := range u.spots {
			if whole := (Passage{s.FirstBar, s.LastBar}); len(u.days) > 0 && u.passages[i] != whole {
				all = append(all, fmt.Sprintf("place %s, bars %s of %s", s.ID, p.Bars(u.passages[i:i+1]), p.Report.Bars(s)))
			}
		}
	}
	return strings.Join(all, "; ")
}

// unfinished counts the hot spots whose last meeting comes after the plan.
func unfinished(units []*unit, last int) int {
	n := 0
	for _, u := range units {
		if len(u.days) > 0 && u.days[len(u.days)-1] > last {
			n += len(u.spots)
		}
	}
	return n
}

// shortOf counts the hot spots that have found no day.
func shortOf(units []*unit) int {
	n := 0
	for _, u := range units {
		if len(u.days) == 0 {
			n += len(u.spots)
		}
	}
	return n
}

// enough says how long the plan would have to be for every hot spot to begin
// and come again after some days.
func enough(r *detect.Report, o Options) string {
	o.End = dateAfter(o.Start, mostDays-1)
	c := newCalendar(len(r.Score.Bars), o)
	units, _ := units(r, o)
	c.schedule(units)
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
