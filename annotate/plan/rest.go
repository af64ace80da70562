package plan

import (
	"fmt"
	"math"
	"slices"

	"hardbars/detect"
	"hardbars/score/form"
	"hardbars/score/perform"
)

// part is bars that are practised as part of the piece, or all of it.
type part struct {
	Passage
	name    string  // of the sections it lies in: "A′"; "" of the whole
	share   float64 // of the tempo asked for, with which it begins
	minutes int
	played  int // how often it is in the plan
}

// rest is the piece beyond its hard places.
type rest struct {
	parts  []*part // from the end
	run    *part
	next   int // index into parts
	rounds int // how often all parts have been practised
}

// Parts hold what can be taken in at once: so many bars, so many seconds. They
// and the runs begin between these shares of the tempo asked for, since what is
// slower does not hang together and what is new is not played at tempo, and
// reach it in so many even steps. Then parts have had their turn. Common practice.
const (
	mostPartBars          = 16
	mostPartSeconds       = 60
	leastShare, mostShare = 0.5, 0.75
	shareSteps            = 3
)

// newRest cuts the piece into parts, short sections together, the last one first,
// since what is joined from the end always leads to what is known. A section
// that is the same in every note as one before is left to the runs.
func newRest(r *detect.Report, o Options) *rest {
	all := &rest{run: newRun(r, o)}
	for _, sec := range form.Find(r.Score).Sections {
		if sec.Like != nil && sec.Like.Relation() == form.Exact {
			continue
		}
		if n := len(all.parts) - 1; n >= 0 && all.parts[n].Last+1 == sec.First && pieces(r, Passage{all.parts[n].First, sec.Last}) == 1 {
			all.parts[n].Last = sec.Last
			all.parts[n].name += " " + sec.Name
			continue
		}
		for _, p := range cut(r, Passage{sec.First, sec.Last}) {
			all.parts = append(all.parts, &part{Passage: p, name: sec.Name})
		}
	}
	slices.Reverse(all.parts)
	for _, p := range all.parts {
		p.share = share(r, o, p.Passage)
		p.minutes = max(leastVisit, min(mostVisit, o.Minutes/2))
	}
	if len(all.parts) == 0 {
		all.rounds = 1
	}
	return all
}

// pieces is into how many parts bars are to be cut.
func pieces(r *detect.Report, p Passage) int {
	bars := r.Score.Bars
	seconds := r.Clock.Seconds(bars[p.First].Start, bars[p.Last].End())
	n := max(math.Ceil(float64(p.Last-p.First+1)/mostPartBars), math.Ceil(seconds/mostPartSeconds))
	return min(int(n), p.Last-p.First+1)
}

// cut makes parts of much the same number of bars.
func cut(r *detect.Report, p Passage) []Passage {
	var all []Passage
	n, bars := pieces(r, p), p.Last-p.First+1
	for i := range n {
		all = append(all, Passage{p.First + i*bars/n, p.First + (i+1)*bars/n - 1})
	}
	return all
}

// newRun is the whole piece, with its repeats.
func newRun(r *detect.Report, o Options) *part {
	bars := r.Score.Bars
	whole := Passage{0, len(bars) - 1}
	seconds := 0.0
	passages, _ := perform.Order(r.Score)
	for _, p := range passages {
		seconds += r.Clock.Seconds(bars[p.First].Start, bars[p.Last].End())
	}
	run := &part{Passage: whole, share: share(r, o, whole)}
	run.minutes = int(math.Ceil(min(seconds/run.share/60, mostMinutes))) + 1
	return run
}

// share is the tempo that is comfortable in some bars, or known to be clean,
// as a share of the one asked for.
func share(r *detect.Report, o Options, p Passage) float64 {
	least := mostShare
	for i := range r.Spots {
		s := &r.Spots[i]
		if s.Comfortable > 0 && s.Within(p.First, p.Last) {
			least = min(least, max(s.Comfortable, o.Known[s.ID].Best)/s.Target)
		}
	}
	return max(least, leastShare)
}

// pace of a part the nth time, counted from 0, where it begins; rounded down.
func (p *part) pace(r *detect.Report, n int) detect.Pace {
	at := r.Score.Bars[p.First].Start
	share := p.share + (1-p.share)*float64(min(n, shareSteps))/shareSteps
	pace := r.PaceAt(at, r.Clock.QPM(at))
	pace.PerMinute = max(1, int(float64(pace.PerMinute)*share+1e-9))
	return pace
}

// perDay is how many parts have their turn on a day, for all to be met in a week
// of so many days.
func (rest *rest) perDay(days int) int { return (len(rest.parts) + days - 1) / days }

// meet adds the next part to a day where the day has room and its parts do not
// take more than so many minutes, and no part twice.
func (rest *rest) meet(c *calendar, d *day, most int) bool {
	if len(rest.parts) == 0 || rest.rounds > mostRounds {
		return false
	}
	next := rest.parts[rest.next]
	minutes := next.minutes
	for _, t := range d.tasks {
		if t.part == next {
			return false
		}
		if t.stage == Section {
			minutes += t.minutes
		}
	}
	if minutes > max(most, next.minutes) || !c.add(d, next, Section) {
		return false
	}
	if rest.next++; rest.next == len(rest.parts) {
		rest.next = 0
		rest.rounds++
	}
	return true
}

// mostRounds is how often all parts have their turn: then they are known, and
// runs take their place. Common practice.
const mostRounds = 12

// add adds a part to a day where there is room.
func (c *calendar) add(d *day, p *part, stage Stage) bool {
	t := task{minutes: p.minutes, stage: stage, part: p, step: p.played}
	if p.minutes > mostPlaying || !c.fits(d, t) {
		return false
	}
	d.tasks = append(d.tasks, t)
	p.played++
	return true
}

// lengthen makes the visits of a day longer, the shortest first, while there is room.
func (c *calendar) lengthen(d *day) {
	full := make([]bool, len(d.tasks)) // the visits that are as long as they may be
	for {
		shortest := -1
		for i, t := range d.tasks {
			if t.unit != nil && !full[i] && !t.brief() && t.minutes < mostVisit && (shortest < 0 || t.minutes < d.tasks[shortest].minutes) {
				shortest = i
			}
		}
		if shortest < 0 {
			return
		}
		t := &d.tasks[shortest]
		t.minutes++
		if !c.fits(d) {
			t.minutes--
			return
		}
		if !c.spares(d, t.unit) {
			t.minutes--
			full[shortest] = true
		}
	}
}

// leftOut is what the plan did not come to.
func (rest *rest) leftOut(minutes int) []LeftOut {
	var all []LeftOut
	var parts []Passage
	for _, p := range rest.parts {
		if p.played == 0 {
			parts = append(parts, p.Passage)
		}
	}
	if parts != nil {
		all = append(all, LeftOut{nil, parts, "The hard places leave no time for these parts of the piece."})
	}
	switch run := rest.run; {
	case run.played > 0:
	case run.minutes > mostPlaying:
		all = append(all, LeftOut{nil, []Passage{run.Passage}, fmt.Sprintf("A whole run takes %d minutes at first, and after %d a break is due.", run.minutes, mostPlaying)})
	case run.minutes > minutes:
		all = append(all, LeftOut{nil, []Passage{run.Passage}, fmt.Sprintf("A whole run takes %d minutes at first, and a day has %d.", run.minutes, minutes)})
	default:
		all = append(all, LeftOut{nil, []Passage{run.Passage}, "No time is left for whole runs."})
	}
	return all
}
