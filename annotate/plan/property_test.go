package plan

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

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
			for i := range r.Passages {
				if r.Passages[i].Shortlist {
					checkVisits(t, p, r.Passages[i].Troubles[0].Spot)
				}
			}
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

// What is on the shortlist is in the plan or named as left out.
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
	for i := range p.Report.Passages {
		ps := &p.Report.Passages[i]
		id := ps.Troubles[0].Spot
		if in := len(meetings(p, id)) > 0; ps.Shortlist && in == left[id] {
			t.Errorf("passage %s: in the plan %v, left out %v", ps.ID, in, left[id])
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
			case playing < 25 && !slices.Contains([]Stage{Run, Memory, Performance}, d.Items[i+1].Stage):
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
			if (it.Stage == Run || it.Stage == Performance) && i != len(d.Items)-1 {
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

// A passage is never met on two days running but the first two, its tempo never
// rises by more than 8 % or a beat from one visit to the next, and it begins with each
// hand alone.
func checkVisits(t *testing.T, p *Plan, id string) {
	all := meetings(p, id)
	for i, m := range all {
		if i == 0 {
			if m.Stage != Alone {
				t.Errorf("place %s begins %s", id, m.Stage)
			}
			continue
		}
		before := all[i-1]
		if i > 1 && daysFrom(before.date, m.date) < 2 {
			t.Errorf("place %s: met on %s and %s", id, before.date, m.date)
		}
		if was, is := before.Pace.PerMinute, m.Pace.PerMinute; is > was+1 && float64(is) > 1.08*float64(was)+1 && i > 1 && !back(all[:i]) {
			t.Errorf("place %s: from %d to %d on %s", id, was, is, m.date)
		}
	}
}

// back reports whether the last of some visits went back a step.
func back(all []meeting) bool {
	n := len(all)
	return n > 1 && all[n-1].Pace.PerMinute < all[n-2].Pace.PerMinute
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
