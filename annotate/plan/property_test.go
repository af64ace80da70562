package plan

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"hardbars/detect"
	"hardbars/score"
)

// TestRules holds the rules of the package comment on random pieces and settings.
func TestRules(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 1))
		r, o := random(rng), randomOptions(rng)
		p := makePlan(t, r, o)
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			checkDays(t, p)
			checkEverySpot(t, p)
			checkBreaks(t, p)
			checkOrder(t, p)
			for i := range r.Spots {
				checkMeetings(t, p, r.Spots[i].ID)
			}
			checkFamilies(t, p)
			checkRest(t, p)
		})
	}
}

// Practice is on the days named, within the plan, and never longer than there
// is time for; a hot spot has ten minutes a day at most, and comes after
// something else where there is something else.
func checkDays(t *testing.T, p *Plan) {
	for _, d := range p.Days {
		n := daysFrom(p.Options.Start, d.Date)
		if n < 0 || d.Date.After(p.Options.End) || slices.Contains(p.RestDays(), d.Date.Weekday()) {
			t.Errorf("practice on %s, %v", d.Date, d.Date.Weekday())
		}
		if d.Minutes() > p.Options.Minutes || len(d.Items) == 0 {
			t.Errorf("%s: %d minutes in %d items, where there are %d", d.Date, d.Minutes(), len(d.Items), p.Options.Minutes)
		}
		minutes := map[string]int{}
		inBar := map[[2]int]int{} // by bar and hand
		for i, it := range d.Items {
			for at := range strained(p, it) {
				if inBar[at] += it.Minutes; inBar[at] > 10 {
					t.Errorf("%s: %d minutes of one hand in bar %d", d.Date, inBar[at], at[0]+1)
				}
			}
			if it.Minutes < 1 {
				t.Errorf("%s: %d minutes for %v", d.Date, it.Minutes, it)
			}
			for _, id := range it.Spots {
				if minutes[id] += it.Minutes; minutes[id] > 10 {
					t.Errorf("%s: %d minutes on place %s", d.Date, minutes[id], id)
				}
			}
			if i > 0 && len(it.Spots) > 0 && slices.Equal(it.Spots, d.Items[i-1].Spots) && somethingElse(d, it) {
				t.Errorf("%s: place %v twice running", d.Date, it.Spots)
			}
		}
	}
	if rest := len(p.RestDays()); rest != week-p.Options.Days {
		t.Errorf("%d days of rest with %d of practice", rest, p.Options.Days)
	}
}

// somethingElse reports whether a day has other places or parts than an item.
func somethingElse(d Day, it Item) bool {
	return slices.ContainsFunc(d.Items, func(other Item) bool {
		return other.Stage == Section || len(other.Spots) > 0 && !slices.Equal(other.Spots, it.Spots)
	})
}

// strained are the bars that an item is about, by the hands that have the trouble.
func strained(p *Plan, it Item) map[[2]int]bool {
	at := map[[2]int]bool{}
	for _, id := range it.Spots {
		for _, b := range it.Passages {
			for bar := b.First; bar <= b.Last; bar++ {
				for hand := range 2 {
					if h := p.Report.Spot(id).Hand; h == score.Both || int(h) == hand {
						at[[2]int{bar, hand}] = true
					}
				}
			}
		}
	}
	return at
}

// What is past comfort is in the plan or named as left out; what is not is in neither.
func checkEverySpot(t *testing.T, p *Plan) {
	left := map[string]bool{}
	for _, l := range p.LeftOut {
		if l.Why == "" || len(l.Passages) == 0 {
			t.Errorf("left out without bars or a reason: %v", l)
		}
		for _, id := range l.Spots {
			left[id] = true
		}
	}
	for _, s := range p.Report.Spots {
		in := len(meetings(p, s.ID)) > 0
		switch hard := s.Demand > 1; {
		case hard && in == left[s.ID]:
			t.Errorf("place %s: in the plan %v, left out %v", s.ID, in, left[s.ID])
		case !hard && (in || left[s.ID]):
			t.Errorf("place %s is comfortable and in the plan %v, left out %v", s.ID, in, left[s.ID])
		}
	}
}

// No more than 30 minutes go without a break, and none comes before 25 but
// ahead of a whole run; none begins or ends a day.
func checkBreaks(t *testing.T, p *Plan) {
	for _, d := range p.Days {
		playing := 0
		for i, it := range d.Items {
			switch last := i == len(d.Items)-1; {
			case it.Stage != Break:
				if playing += it.Minutes; playing > 30 {
					t.Errorf("%s: %d minutes without a break", d.Date, playing)
				}
			case playing == 0 || last:
				t.Errorf("%s: a break that parts nothing", d.Date)
			case playing < 25 && d.Items[i+1].Stage != Run:
				t.Errorf("%s: a break after %d minutes", d.Date, playing)
			default:
				playing = 0
			}
		}
	}
}

// At one stage hard places go from the end of the piece towards the beginning,
// those that come twice apart from the others; parts go from the beginning, and
// a run is last.
func checkOrder(t *testing.T, p *Plan) {
	for _, d := range p.Days {
		visits := map[string]int{}
		for _, it := range d.Items {
			visits[fmt.Sprint(it.Spots)]++
		}
		seen := map[string]bool{}
		last := map[string]Item{}
		for i, it := range d.Items {
			if it.Stage == Break {
				continue
			}
			spots := fmt.Sprint(it.Spots)
			round := fmt.Sprint(it.Stage, len(it.Spots) > 0 && visits[spots] > 1, len(it.Spots) > 0 && seen[spots])
			seen[spots] = true
			if before, ok := last[round]; ok {
				down := it.Passages[0].First <= before.Passages[0].First
				if it.Stage == Section && down || len(it.Spots) > 0 && !down {
					t.Errorf("%s: bars %s after %s at stage %s", d.Date, p.Bars(it.Passages), p.Bars(before.Passages), it.Stage)
				}
			}
			last[round] = it
			if it.Stage == Run && i != len(d.Items)-1 {
				t.Errorf("%s: something after the run", d.Date)
			}
		}
	}
}

// meeting is what is done with a hot spot on one day.
type meeting struct {
	date time.Time
	Item
}

// meetings are those of a hot spot, one a day.
func meetings(p *Plan, id string) []meeting {
	var all []meeting
	for _, d := range p.Days {
		for _, it := range d.Items {
			if n := len(all) - 1; slices.Contains(it.Spots, id) && (n < 0 || !all[n].date.Equal(d.Date)) {
				all = append(all, meeting{d.Date, it})
			}
		}
	}
	return all
}

// A place is met again after 1, 3, 7 and 14 days, or on the next day of
// practice: alone, together, in context, each time a step faster.
func checkMeetings(t *testing.T, p *Plan, id string) {
	all := meetings(p, id)
	if len(all) == 0 {
		return
	}
	due := []time.Time{all[0].date}
	for _, gap := range []int{1, 3, 7, 14} {
		date := all[0].date.AddDate(0, 0, gap)
		for slices.Contains(p.RestDays(), date.Weekday()) {
			date = date.AddDate(0, 0, 1)
		}
		if !date.Equal(due[len(due)-1]) {
			due = append(due, date)
		}
	}
	inPlan := slices.DeleteFunc(slices.Clone(due), func(d time.Time) bool { return d.After(p.Options.End) })
	if len(all) != len(inPlan) {
		t.Errorf("place %s: met on %d days, should be on %d", id, len(all), len(inPlan))
		return
	}
	spot := p.Report.Spot(id)
	start, target := p.Report.Paces(spot)
	for i, m := range all {
		if !m.date.Equal(inPlan[i]) {
			t.Errorf("place %s: met on %s, should be on %s", id, m.date, inPlan[i])
		}
		if want := []Stage{Alone, Together, Context}[min(i, 2)]; m.Stage != want {
			t.Errorf("place %s: %s at meeting %d", id, m.Stage, i)
		}
		switch exact := float64(start.PerMinute) + float64((target.PerMinute-start.PerMinute)*i)/float64(len(due)-1); {
		case spot.Comfortable == 0 && m.Timed():
			t.Errorf("place %s: a tempo where none matters", id)
		case spot.Comfortable > 0 && (m.Pace.PerMinute > target.PerMinute || len(m.Spots) == 1 && m.Pace.PerMinute != int(exact+1e-9)):
			t.Errorf("place %s, meeting %d of %d: %v, where it is to rise from %v to %v", id, i, len(due), m.Pace, start, target)
		}
	}
}

// A family begins with the place to learn first, and none before a harder one
// that has its bars to itself.
func checkFamilies(t *testing.T, p *Plan) {
	var last time.Time
	for i := len(p.Report.Families) - 1; i >= 0; i-- { // from the easiest
		f := p.Report.Families[i]
		leader := meetings(p, f.LearnFirst)
		if len(leader) > 0 && alone(p, f.LearnFirst) && !last.IsZero() && leader[0].date.After(last) {
			t.Errorf("family %s begins on %s, after an easier one began on %s", f.ID, leader[0].date, last)
		}
		if len(leader) > 0 && (last.IsZero() || leader[0].date.Before(last)) {
			last = leader[0].date
		}
		for _, id := range f.Spots {
			m := meetings(p, id)
			switch {
			case id == f.LearnFirst || len(m) == 0:
			case len(leader) < 3 || m[0].date.Before(leader[2].date):
				t.Errorf("place %s of family %s comes before place %s is in context", id, f.ID, f.LearnFirst)
			}
		}
	}
}

// alone reports whether no other place is near a hot spot.
func alone(p *Plan, id string) bool {
	s := p.Report.Spot(id)
	return !slices.ContainsFunc(p.Report.Spots, func(other detect.Spot) bool {
		return other.ID != id && other.Within(s.FirstBar-2, s.LastBar+2)
	})
}

// Parts come when all families have begun, from the beginning, and runs when
// all parts have been played.
func checkRest(t *testing.T, p *Plan) {
	var begun time.Time
	for _, f := range p.Report.Families {
		if m := meetings(p, f.LearnFirst); len(m) > 0 {
			begun = m[0].date
		}
	}
	played := map[Passage]bool{}
	first := true // the first round
	before, runs := -1, 0
	for _, d := range p.Days {
		for _, it := range d.Items {
			switch it.Stage {
			case Section:
				if d.Date.Before(begun) {
					t.Errorf("%s: a part of the piece before the last family has begun", d.Date)
				}
				bars := it.Passages[0]
				if first = first && !played[bars]; first && bars.First <= before {
					t.Errorf("%s: bars %s after a later part", d.Date, p.Bars(it.Passages))
				}
				played[bars], before = true, bars.First
			case Run:
				runs++
			}
		}
	}
	for _, l := range p.LeftOut {
		if len(l.Spots) == 0 && len(l.Passages) > 1 && runs > 0 {
			t.Errorf("runs while parts are left out")
		}
	}
}

// Time enough takes in everything.
func TestTimeEnough(t *testing.T) {
	for seed := range uint64(60) {
		r := random(rand.New(rand.NewPCG(seed, 2)))
		p := makePlan(t, r, Options{Minutes: 120, Days: 7, Start: monday, End: monday.AddDate(1, 0, 0)})
		if len(p.LeftOut) > 0 {
			t.Errorf("seed %d: with two hours a day for a year this is left out: %v", seed, p.LeftOutWords())
		}
	}
}

// The same report and options give the same bytes.
func TestSameBytes(t *testing.T) {
	for seed := range uint64(20) {
		var all [][]byte
		for range 2 {
			rng := rand.New(rand.NewPCG(seed, 3))
			p := makePlan(t, random(rng), randomOptions(rng))
			var b bytes.Buffer
			data, err := p.JSON()
			if err == nil {
				err = p.WriteICalendar(&b)
			}
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, append(b.Bytes(), data...))
		}
		if !bytes.Equal(all[0], all[1]) {
			t.Errorf("seed %d: the bytes differ", seed)
		}
	}
}
