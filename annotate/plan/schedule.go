package plan

import (
	"cmp"
	"slices"
)

// soonest is after how many days a new passage must be able to come again.
const soonest = 3

// schedule goes through the days. Each has first the parts of the piece whose
// turn it is, so that all of it is met each week; then the passages that are
// due, the longest due first; then new ones, in the order of the shortlist.
// What finds no room waits for the next day. The last days are for memory and
// for playing it to somebody; where all is done before the plan ends, so is the
// plan.
func (c *calendar) schedule(units []*unit, rest *rest) {
	perDay := rest.perDay(c.options.Days)
	closing := c.closing(rest)
	for i, d := range c.days {
		if left := len(c.days) - i; left <= len(closing) {
			c.visitDue(d, units)
			c.add(d, rest.run, closing[len(closing)-left])
			continue
		}
		for range perDay {
			rest.meet(c, d, c.options.Minutes/partShare)
		}
		c.visitDue(d, units)
		c.begin(d, units, i)
		c.fill(d, units, rest)
		if done(units) && rest.rounds > shareSteps && len(closing) > 0 {
			c.finish(i, rest, closing)
			return
		}
	}
}

// partShare is what part of a day the parts of the piece may take before the
// passages: one third. Common practice.
const partShare = 3

// visitDue visits the passages that are due.
func (c *calendar) visitDue(d *day, units []*unit) {
	var due []*unit
	for _, u := range units {
		if u.met+len(u.days) > 0 && u.met+len(u.days) < u.total && u.due <= d.number {
			due = append(due, u)
		}
	}
	slices.SortStableFunc(due, func(a, b *unit) int { return cmp.Compare(a.due, b.due) })
	for _, u := range due {
		c.visit(u, d)
	}
}

// begin visits passages for the first time, in their order, as long as they can
// come again.
func (c *calendar) begin(d *day, units []*unit, index int) {
	again := c.options.nextPractised(d.number+soonest) <= c.last
	if !again && index > 0 {
		return
	}
	for _, u := range units {
		if u.met+len(u.days) == 0 && !c.visit(u, d) {
			return
		}
	}
}

// visit has the unit's next visit on a day; false where there is no room.
func (c *calendar) visit(u *unit, d *day) bool {
	tasks := u.tasks(c.options.Minutes)
	if !c.fits(d, tasks...) || !c.spares(d, u, tasks...) {
		return false
	}
	d.tasks = append(d.tasks, tasks...)
	u.days = append(u.days, d.number)
	u.due = c.options.nextPractised(d.number + u.gap(u.met+len(u.days)))
	return true
}

// fill gives the time that is left to more of the piece, and then to longer
// visits.
func (c *calendar) fill(d *day, units []*unit, rest *rest) {
	if rest.rounds > 0 && begun(units) {
		c.add(d, rest.run, Run)
	}
	for range rest.parts {
		if !rest.meet(c, d, c.options.Minutes) {
			break
		}
	}
	c.lengthen(d)
}

// begun reports whether every unit has been visited.
func begun(units []*unit) bool {
	return !slices.ContainsFunc(units, func(u *unit) bool { return u.met+len(u.days) == 0 })
}

// done reports whether every unit has had all its visits.
func done(units []*unit) bool {
	return !slices.ContainsFunc(units, func(u *unit) bool { return u.met+len(u.days) < u.total })
}

// closing are the stages of the last days, in order; none where the plan is too
// short for them or the piece too long for a run.
func (c *calendar) closing(rest *rest) []Stage {
	if len(c.days) < fewestToClose || rest.run.minutes > min(mostPlaying, c.options.Minutes) {
		return nil
	}
	return []Stage{Memory, Run, Performance}
}

// fewestToClose is how many days of practice a plan has that ends with a
// performance. Common practice.
const fewestToClose = 8

// finish ends the plan with its last days after day i.
func (c *calendar) finish(i int, rest *rest, closing []Stage) {
	for _, stage := range closing {
		if i++; i < len(c.days) {
			c.add(c.days[i], rest.run, stage)
		}
	}
	if i+1 < len(c.days) {
		c.days = c.days[:i+1]
	}
}

// leftOut is what has found no day.
func leftOut(units []*unit, last int) []LeftOut {
	var all []LeftOut
	for _, u := range units {
		if len(u.days) > 0 {
			continue
		}
		why := "No day has room for these and for meeting them again."
		if u.due > last {
			why = "Not due again before the plan ends."
		}
		all = append(all, LeftOut{[]string{u.id}, []Passage{u.bars}, why})
	}
	return all
}
