package plan

import (
	"cmp"
	"math"
	"slices"

	"hardbars/annotate/practice"
	"hardbars/annotate/remarks"
	"hardbars/detect"
	"hardbars/score"
)

// unit is what is practised as one: a passage of the shortlist, or a place that
// the teacher added.
type unit struct {
	id    string // of the hot spot that the passage is about
	title string // "right hand in thirds"
	steps []string
	hand  score.Hand
	bars  Passage

	climb []detect.Pace // the tempo of each visit to come until it is at its tempo; none where tempo does not matter
	met   int           // visits that are past
	due   int           // the day before which it is not to be visited
	days  []int         // of the visits to come that have found a day
	total int           // visits in all
}

// units are the passages of the shortlist in their order and what the teacher
// added. What is known to be learnt is kept apart.
func units(r *detect.Report, o Options) (all []*unit, learnt []LeftOut) {
	for i := range r.Passages {
		p := &r.Passages[i]
		if !p.Shortlist || r.Spot(p.Troubles[0].Spot) == nil {
			continue
		}
		l := practice.ForPassage(r, p)
		u := &unit{id: p.Troubles[0].Spot, title: l.Title, steps: l.Steps, hand: p.Hand, bars: Passage{p.First, p.Last}}
		if p.Comfortable == 0 {
			l.Start, l.Target = detect.Pace{}, detect.Pace{}
		}
		all, learnt = u.known(o, l.Start, l.Target, all, learnt)
	}
	for i := range r.Spots {
		sp := &r.Spots[i]
		if sp.Kind != remarks.Added {
			continue
		}
		u := &unit{id: sp.ID, title: sp.Label, steps: practice.For(r, sp).Steps, hand: sp.Hand, bars: Passage{sp.FirstBar, sp.LastBar}}
		all, learnt = u.known(o, detect.Pace{}, detect.Pace{}, all, learnt)
	}
	return all, learnt
}

// known takes in what is known of a unit's practice, and puts it where it
// belongs.
func (u *unit) known(o Options, start, target detect.Pace, all []*unit, learnt []LeftOut) ([]*unit, []LeftOut) {
	known := o.Known[u.id]
	if known.Learnt(target.QPM()) {
		return all, append(learnt, LeftOut{[]string{u.id}, []Passage{u.bars}, "Learnt: met five times, and clean at the tempo asked for."})
	}
	days, _ := known.Met()
	if known.faded(o.Start) {
		days, known.Best = days-1, 0
	}
	if best := int(math.Floor(known.Best/max(target.Beat.Float(), 1e-9) + 1e-9)); target.PerMinute > 0 && best > start.PerMinute {
		start.PerMinute = min(best, target.PerMinute)
	}
	u.met = max(days, 0)
	if u.met > 0 {
		u.due = max(0, daysFrom(o.Start, known.Due()))
	}
	u.climb = climb(start, target, u.met)
	u.total = u.met + max(len(u.climb)+keeping, fewestVisits-u.met, 1)
	return append(all, u), learnt
}

// A passage rises by rise from one visit to the next, in whole beats; after so
// many rises one visit goes back a step, so that it settles. Its first visits,
// each hand alone and then both, stay at the tempo to begin with. Once it is at
// its tempo it is met so often again. Common practice.
const (
	settleAfter  = 3
	keeping      = 2
	fewestVisits = 5
)

// climb is the tempo of each visit from the one to begin with to the one to
// reach; none where tempo does not matter.
func climb(start, target detect.Pace, met int) []detect.Pace {
	if target.PerMinute == 0 {
		return nil
	}
	var all []detect.Pace
	at, rises := float64(start.PerMinute), 0
	add := func(tempo float64) {
		all = append(all, detect.Pace{Beat: target.Beat, PerMinute: min(int(tempo+1e-9), target.PerMinute)})
	}
	for visit := met; visit < 2; visit++ {
		add(at)
	}
	for int(at+1e-9) < target.PerMinute {
		if rises++; rises%(settleAfter+1) == 0 {
			add(at / (1 + rise))
			continue
		}
		at = max(at*(1+rise), math.Floor(at)+1)
		add(at)
	}
	return all
}

// tempo of a visit to come, counted from 0; the zero Pace where tempo does not
// matter.
func (u *unit) tempo(coming int) detect.Pace {
	if len(u.climb) == 0 {
		return detect.Pace{}
	}
	return u.climb[min(coming, len(u.climb)-1)]
}

// ready reports whether the unit is at its tempo after so many visits to come.
func (u *unit) atTempo(coming int) bool { return coming >= len(u.climb) }

// gap is how many days pass before the visit after the nth, counted from 1 and
// from the first of all: soon at first, every other day while the tempo rises,
// and longer once it is there.
func (u *unit) gap(nth int) int {
	switch beyond := nth - u.met - len(u.climb); {
	case nth == 1:
		return 1
	case nth == 2 && len(u.climb) == 0:
		return 2
	case beyond <= 0 && len(u.climb) > 0:
		return 2
	case beyond == 1:
		return 4
	}
	return week
}

// stage is what the nth visit is for, counted from 0: each hand alone and then
// both until the tempo is half way up, then with the bars around.
func (u *unit) stage(nth int) Stage {
	switch {
	case nth == 0:
		return Alone
	case nth < max(2, (u.total-keeping)/2):
		return Together
	}
	return Context
}

// task is one thing to do on one day, of a unit or a part of the piece.
type task struct {
	minutes int
	stage   Stage
	unit    *unit
	coming  int  // the visit to the unit, counted from 0 from the start of the plan
	twice   bool // there are two visits on this day
	again   bool // this is the second
	part    *part
	step    int // of the part's tempo, counted from 0
}

// Minutes of a visit to a passage. To a new one there are two visits a day where
// there are minutes enough, but to one where tempo does not matter, a stretch
// above all, only ever a short one.
const (
	leastVisit  = 2
	returnVisit = 3
	newVisit    = 4
	mostVisit   = 5
)

// tasks are those of the next visit, for a day of so many minutes.
func (u *unit) tasks(minutes int) []task {
	coming := len(u.days)
	t := task{stage: u.stage(u.met + coming), unit: u, coming: coming, minutes: returnVisit}
	if t.stage == Alone && !t.brief() {
		if minutes >= 4*newVisit {
			t.minutes, t.twice = newVisit, true
			second := t
			second.again = true
			return []task{t, second}
		}
		t.minutes = mostVisit
	}
	t.minutes = max(leastVisit, min(t.minutes, minutes/2))
	return []task{t}
}

// brief reports whether a visit is not to grow.
func (t task) brief() bool { return t.unit != nil && len(t.unit.climb) == 0 }

// hand is whose the task is.
func (t task) hand() score.Hand {
	if t.unit == nil {
		return score.Both
	}
	return t.unit.hand
}

// hands says which hands play: "both" only where both have something to play.
func (t task) hands(s *score.Score) string {
	switch hand := t.unit.hand; {
	case t.stage == Alone && hand == score.Both:
		return "apart"
	case t.stage == Alone, hand != score.Both && !t.unit.plays(s, 1-hand):
		return hand.String()
	}
	return score.Both.String()
}

// plays reports whether a hand strikes anything in the unit's bars.
func (u *unit) plays(s *score.Score, hand score.Hand) bool {
	return slices.ContainsFunc(s.Notes, func(n score.Note) bool {
		return n.Hand == hand && n.Bar >= u.bars.First && n.Bar <= u.bars.Last
	})
}

// passages of a unit in context have the bar before and the bar after.
func (t task) passages(bars int) []Passage {
	p := t.unit.bars
	if t.stage == Context {
		p = Passage{max(p.First-1, 0), min(p.Last+1, bars-1)}
	}
	return []Passage{p}
}

// byPlace orders units from the end of the piece towards the beginning.
func byPlace(a, b *unit) int { return cmp.Or(b.bars.First-a.bars.First, cmp.Compare(a.id, b.id)) }
