package plan

import (
	"cmp"
	"math"
	"slices"

	"hardbars/annotate/remarks"
	"hardbars/detect"
	"hardbars/score"
)

// unit is what is practised as one: the place to learn first of a family, or a
// few of its other places that ask for the same tempo.
type unit struct {
	spots    []*detect.Spot // the last of the piece first
	passages []Passage      // of each spot
	leader   *unit          // of the family, nil where this is it or none is to be learnt
	start    detect.Pace
	target   detect.Pace // the zero Pace, as start, where tempo does not matter

	met  int   // how many of its meetings are past
	due  int   // the day before which it is not to be met
	days []int // of the meetings to come, some maybe after the end of the plan; none where there is no room
}

func (u *unit) ids() []string {
	var ids []string
	for _, s := range u.spots {
		ids = append(ids, s.ID)
	}
	return ids
}

func (u *unit) hand() score.Hand { return u.spots[0].Hand }

// units are the places past comfort and those added by hand, the hardest family
// first and in it the place to learn first. What is known to be learnt is kept apart.
func units(r *detect.Report, o Options) (all []*unit, learnt []LeftOut) {
	for _, f := range r.Families {
		var leader *unit
		var others []*unit
		for _, id := range f.Spots {
			s := r.Spot(id)
			if s == nil || s.Demand <= 1 && s.Kind != remarks.Added {
				continue
			}
			u := newUnit(r, o, s)
			switch {
			case o.Known[id].Learnt(u.target.QPM()):
				learnt = append(learnt, LeftOut{u.ids(), u.passages, "Learnt: met five times, and clean at the tempo asked for."})
			case id == f.LearnFirst:
				leader = u
			default:
				others = append(others, u)
			}
		}
		if leader != nil {
			all = append(all, leader)
		}
		all = append(all, together(others, leader)...)
	}
	return all, learnt
}

// mostTogether is how many places of a family make one task. Common practice.
const mostTogether = 3

// together puts places that are alike into one unit, the last of the piece first.
func together(places []*unit, leader *unit) []*unit {
	slices.SortStableFunc(places, func(a, b *unit) int { return b.spots[0].From.Cmp(a.spots[0].From) })
	var all []*unit
	for _, u := range places {
		u.leader = leader
		if n := len(all) - 1; n >= 0 && len(all[n].spots) < mostTogether && all[n].target == u.target && all[n].met == u.met {
			all[n].spots, all[n].passages = append(all[n].spots, u.spots...), append(all[n].passages, u.passages...)
			all[n].start.PerMinute = min(all[n].start.PerMinute, u.start.PerMinute)
			all[n].due = max(all[n].due, u.due)
			continue
		}
		all = append(all, u)
	}
	return all
}

// newUnit is one place, with what is known of its practice.
func newUnit(r *detect.Report, o Options, s *detect.Spot) *unit {
	u := &unit{spots: []*detect.Spot{s}, passages: []Passage{passage(r, s)}}
	known := o.Known[s.ID]
	days, _ := known.Met()
	if known.faded(o.Start) {
		days, known.Best = days-1, 0
	}
	if s.Comfortable > 0 {
		u.start, u.target = r.Paces(s)
		best := int(math.Floor(known.Best/u.target.Beat.Float() + 1e-9))
		u.start.PerMinute = min(max(u.start.PerMinute, best), u.target.PerMinute)
	}
	if days > 0 {
		u.met = min(days, len(gaps)-1)
		u.due = max(0, daysFrom(o.Start, known.Due()))
	}
	return u
}

// A place is practised in as much as can be repeated often: so many bars and
// quarters. Common practice.
const mostBars = 8

var mostQuarters = score.Int(24)

// passage is the bars of a place that are practised: all of them, or of a long
// one as much around the hardest bar as holds the most that is past comfort.
func passage(r *detect.Report, s *detect.Spot) Passage {
	hardest := r.Score.BarAt(s.Occurrences[s.Hardest].From)
	best, most := Passage{hardest, hardest}, -1
	for first := s.FirstBar; first <= hardest; first++ {
		p := Passage{first, first}
		for p.Last < s.LastBar && short(r.Score, Passage{first, p.Last + 1}) {
			p.Last++
		}
		if p.Last < hardest {
			continue
		}
		if n := past(r.Score, s, p); n > most {
			best, most = p, n
		}
	}
	return best
}

func short(s *score.Score, p Passage) bool {
	return p.Last-p.First < mostBars && s.Bars[p.Last].End().Sub(s.Bars[p.First].Start).Cmp(mostQuarters) <= 0
}

// past counts what begins past comfort in some bars of a place.
func past(s *score.Score, sp *detect.Spot, p Passage) int {
	n := 0
	for _, o := range sp.Occurrences {
		if bar := s.BarAt(o.From); o.Demand > 1 && bar >= p.First && bar <= p.Last {
			n++
		}
	}
	return n
}

// stage is what a meeting is for, counted from 0.
func stage(meeting int) Stage {
	return []Stage{Alone, Together, Context}[min(meeting, 2)]
}

// pace of a meeting to come, counted from 0: in even steps, rounded down.
func (u *unit) pace(coming int) detect.Pace {
	steps := len(u.days) - 1
	if steps == 0 {
		return u.target
	}
	p := u.start
	p.PerMinute += (u.target.PerMinute - u.start.PerMinute) * coming / steps
	return p
}

// task is one thing to do on one day, of a unit or a part of the piece.
type task struct {
	minutes int
	stage   Stage
	unit    *unit
	coming  int  // the meeting of the unit, counted from 0 from the start of the plan
	twice   bool // there are two visits on this day
	again   bool // this is the second
	part    *part
	step    int // of the part's tempo, counted from 0
}

// Minutes of a visit to a place. To a new one there are two visits a day where
// there are minutes enough, but to one where tempo does not matter, a stretch
// above all, only ever a short one.
const (
	leastVisit  = 2
	returnVisit = 3
	newVisit    = 4
	mostVisit   = 5
)

// tasks are those of a meeting to come, for a day of so many minutes.
func (u *unit) tasks(coming, minutes int) []task {
	t := task{stage: stage(u.met + coming), unit: u, coming: coming, minutes: returnVisit}
	switch {
	case len(u.spots) == mostTogether:
		t.minutes = newVisit
	case t.brief():
	case t.stage == Alone && minutes >= 4*newVisit:
		t.minutes, t.twice = newVisit, true
		second := t
		second.again = true
		return []task{t, second}
	}
	if t.stage == Alone && !t.brief() {
		t.minutes = mostVisit
	}
	t.minutes = max(leastVisit, min(t.minutes, minutes/2))
	return []task{t}
}

// brief reports whether a visit is not to grow.
func (t task) brief() bool { return t.unit != nil && t.unit.target.PerMinute == 0 }

// hand is whose the task is.
func (t task) hand() score.Hand {
	if t.unit == nil {
		return score.Both
	}
	return t.unit.hand()
}

// hands says which hands play: "both" only where both have something to play.
func (t task) hands(s *score.Score) string {
	switch hand := t.unit.hand(); {
	case t.stage == Alone && hand == score.Both:
		return "apart"
	case t.stage == Alone, hand != score.Both && !t.unit.plays(s, 1-hand):
		return hand.String()
	}
	return score.Both.String()
}

// plays reports whether a hand strikes anything in the unit's passages.
func (u *unit) plays(s *score.Score, hand score.Hand) bool {
	return slices.ContainsFunc(s.Notes, func(n score.Note) bool {
		return n.Hand == hand && slices.ContainsFunc(u.passages, func(p Passage) bool { return n.Bar >= p.First && n.Bar <= p.Last })
	})
}

// passages of a place in context have the bar before and the bar after.
func (t task) passages(bars int) []Passage {
	if t.stage != Context {
		return t.unit.passages
	}
	var wider []Passage
	for _, p := range t.unit.passages {
		wider = append(wider, Passage{max(p.First-1, 0), min(p.Last+1, bars-1)})
	}
	return wider
}

// byPlace orders units from the end of the piece towards the beginning.
func byPlace(a, b *unit) int {
	return cmp.Or(cmp.Compare(b.passages[0].First, a.passages[0].First), cmp.Compare(a.spots[0].Rank, b.spots[0].Rank))
}
