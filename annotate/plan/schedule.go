package plan

import "slices"

// soonest is after how many days a new place must be able to come again.
const soonest = 3

// schedule goes through the days and begins on each what there is room for: on
// this day and on all days of its later meetings. What is under way goes before
// what is new. No family begins before a harder one that there are minutes for.
func (c *calendar) schedule(units []*unit) {
	last := c.lastToBegin()
	for _, d := range c.days {
		for _, u := range units {
			if u.met > 0 && u.due <= d.number {
				c.begin(u, d)
			}
		}
		full := d.number > last
		for _, u := range units {
			switch {
			case u.met > 0 || len(u.days) > 0:
			case u.leader == nil && !full:
				full = c.begin(u, d) == noMinutes
			case u.leader != nil && d.number <= last && u.ready(d.number):
				c.begin(u, d)
			}
		}
	}
}

// ready reports whether the place to learn first is in context by a day.
func (u *unit) ready(day int) bool {
	l := u.leader
	return len(l.days) > 0 && day >= l.days[max(0, min(2-l.met, len(l.days)-1))]
}

// lastToBegin is the last day for a new place: one that can come again within
// the plan, unless the plan is too short for any.
func (c *calendar) lastToBegin() int {
	for i := len(c.days) - 1; i >= 0; i-- {
		if n := c.days[i].number; c.options.nextPractised(n+soonest) <= c.last {
			return n
		}
	}
	return c.last
}

// obstacle is why a unit does not begin on a day.
type obstacle uint8

const (
	nothing   obstacle = iota
	noMinutes          // on this day or that of a later meeting
	worn               // others have taken what a hand may play in its bars
)

// begin has the unit's next meeting on a day, if it has not begun and there is
// room for it and its later ones.
func (c *calendar) begin(u *unit, first *day) obstacle {
	if len(u.days) > 0 {
		return nothing
	}
	u.days = c.meetings(u, first.number)
	if o := c.obstacle(u); o != nothing {
		u.days = nil
		return o
	}
	for i, n := range u.days {
		if d := c.at(n); d != nil {
			d.tasks = append(d.tasks, u.tasks(i, c.options.Minutes)...)
		}
	}
	return nothing
}

// meetings are the days of a unit's meetings to come where the first is on a
// certain day. Of two on one day there is one.
func (c *calendar) meetings(u *unit, first int) []int {
	var days []int
	for _, gap := range gaps[u.met:] {
		days = append(days, c.options.nextPractised(first+gap-gaps[u.met]))
	}
	return slices.Compact(days)
}

// obstacle is what is in the way of a unit's meetings, as far as the plan goes.
func (c *calendar) obstacle(u *unit) obstacle {
	found := nothing
	for i, n := range u.days {
		d, tasks := c.at(n), u.tasks(i, c.options.Minutes)
		switch {
		case d == nil:
		case !c.fits(d, tasks...):
			return noMinutes
		case !c.spares(d, u, tasks...):
			found = worn
		}
	}
	return found
}

// lastBegun is the day on which the last family begins.
func lastBegun(units []*unit) int {
	last := 0
	for _, u := range units {
		if u.leader == nil && u.met == 0 && len(u.days) > 0 {
			last = max(last, u.days[0])
		}
	}
	return last
}

// leftOut is what has found no day.
func leftOut(units []*unit, last int) []LeftOut {
	var all []LeftOut
	for _, u := range units {
		why := "No day has room for these and for meeting them again."
		switch {
		case len(u.days) > 0:
			continue
		case u.due > last:
			why = "Not due again before the plan ends."
		case u.leader != nil && len(u.leader.days) == 0:
			why = "The place of the family to learn first has no room."
		}
		all = append(all, LeftOut{u.ids(), u.passages, why})
	}
	return all
}
