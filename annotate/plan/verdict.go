package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hardbars/annotate/practice"
	"hardbars/detect"
	"hardbars/score/form"
)

// Verdict is how a piece stands to a player: honest, neither flattering nor
// discouraging.
type Verdict struct {
	Reach Reach
	Weeks int    // of practice that it takes; 0 where it is not within reach yet
	Words string // a few sentences
}

// Reach is how far away a piece is.
type Reach uint8

const (
	Within  Reach = iota // nothing asks for much more than is comfortable
	Stretch              // it can be learnt, in some weeks
	NotYet               // some of it asks for far more than is comfortable
)

// Figures of the verdict. Common practice.
const (
	littleMore   = 1.12 // times what is comfortable: what is learnt with the piece itself
	farMore      = 1.9  // times what is comfortable: what takes other pieces first
	farAtAnySpan = 1.35 // the same of what no slower tempo makes easier
	perVisit     = 5.0  // minutes
	firstVisits  = 3    // hand alone, hands together, with the bars around
	perBar       = 8.0  // minutes that a bar takes which differs from those before, until it is secure
	mostWeeks    = 26   // of a plan that anybody keeps
)

// deciding is what the hardest passage, the second and the third count: one odd
// place does not decide. Common practice.
var deciding = [...]float64{0.7, 0.85, 1}

// Judge says how a piece stands to the player of a report who practises so many
// minutes on so many days a week.
func Judge(r *detect.Report, minutes, days int) Verdict {
	hard := hardest(r)
	total := perBar * float64(form.Find(r.Score).Bars.Distinct())
	most := 0.0
	for i, p := range hard {
		total += perVisit * float64(visits(r, p))
		if i < len(deciding) {
			most = max(most, deciding[i]*excess(p))
		}
	}
	weeks := max(1, int(math.Ceil(total/float64(minutes*days))))
	v := Verdict{Reach: Stretch, Weeks: weeks}
	switch {
	case most > 1:
		v.Reach, v.Weeks = NotYet, 0
		v.Words = notYet(r, hard)
	case len(hard) == 0:
		v.Reach = Within
		v.Words = fmt.Sprintf("Within reach now: nothing asks for much more than is comfortable, and %s of %d minutes on %s a week will do.",
			about(weeks), minutes, count(days, "day", "days"))
	case weeks > mostWeeks:
		v.Words = fmt.Sprintf("A long stretch: more than half a year at %d minutes on %s a week. A part of it is a piece of its own.", minutes, count(days, "day", "days"))
	default:
		v.Words = fmt.Sprintf("A stretch: %s at %d minutes on %s a week. %s first.", about(weeks), minutes, count(days, "day", "days"), theFirst(len(hard)))
	}
	return v
}

// about says a number of weeks.
func about(weeks int) string {
	if weeks == 1 {
		return "about a week"
	}
	return fmt.Sprintf("about %d weeks", weeks)
}

func theFirst(n int) string {
	if n == 1 {
		return "One passage comes"
	}
	return fmt.Sprintf("%d passages come", n)
}

// hardest are the passages of the shortlist that ask for clearly more than is
// comfortable, those that ask for most first.
func hardest(r *detect.Report) []*detect.Passage {
	var hard []*detect.Passage
	for i := range r.Passages {
		if p := &r.Passages[i]; p.Shortlist && p.Demand > littleMore {
			hard = append(hard, p)
		}
	}
	slices.SortStableFunc(hard, func(a, b *detect.Passage) int {
		switch d := excess(b) - excess(a); {
		case d > 1e-9:
			return 1
		case d < -1e-9:
			return -1
		}
		return 0
	})
	return hard
}

// excess is how much a passage asks for as a share of what is far more than
// comfortable: over 1 it is out of reach for now.
func excess(p *detect.Passage) float64 {
	most := 0.0
	for _, t := range p.Troubles {
		far := farMore
		if !t.Hardest.Timed {
			far = farAtAnySpan
		}
		most = max(most, t.Hardest.Demand/far)
	}
	return most
}

// visits is how often a passage is to be practised until it is at its tempo.
func visits(r *detect.Report, p *detect.Passage) int {
	l := practice.ForPassage(r, p)
	if l.Start.PerMinute >= l.Target.PerMinute {
		return firstVisits + 1
	}
	ratio := float64(l.Target.PerMinute) / float64(l.Start.PerMinute)
	return firstVisits + int(math.Ceil(math.Log(ratio)/math.Log(1+rise)))
}

// rise is by how much the tempo of a passage goes up from one visit to the
// next: between 5 and 8 % (common practice).
const rise = 0.07

// notYet names what stands in the way, the tempo at which it no longer does,
// and what brings the piece nearer.
func notYet(r *detect.Report, hard []*detect.Passage) string {
	var places, kinds []string
	for i, p := range hard {
		l := practice.ForPassage(r, p)
		if i < 3 {
			places = append(places, fmt.Sprintf("%s (%s)", barsNamed(r, p.First, p.Last), l.Title))
		}
		if words := r.Speech(p.Troubles[0].Kind).Trains(); !slices.Contains(kinds, words) && len(kinds) < 2 {
			kinds = append(kinds, words)
		}
	}
	words := "Not yet: " + detect.Enumerate(places) + " " + verb(len(places)) + " for far more than is comfortable now."
	if pace, ok := withinReach(r, hard); ok {
		words += fmt.Sprintf(" At %s the piece is within reach.", pace)
	}
	return words + fmt.Sprintf(" Easier pieces with %s bring it nearer.", strings.Join(kinds, " or with "))
}

func verb(n int) string {
	if n == 1 {
		return "asks"
	}
	return "ask"
}

// withinReach is the tempo at which the third hardest passage is only a stretch,
// in the beat of the first bar; false where tempo alone does not help or it would
// be under two fifths of the one asked for, which is another piece.
func withinReach(r *detect.Report, hard []*detect.Passage) (detect.Pace, bool) {
	share := 1.0
	for i, p := range hard {
		for _, t := range p.Troubles {
			if !t.Hardest.Timed && t.Hardest.Demand > farAtAnySpan {
				return detect.Pace{}, false
			}
			if t.Hardest.Timed && i >= min(2, len(hard)-1) {
				share = min(share, 1.4/t.Hardest.Demand)
			}
		}
	}
	if share < 0.4 || share >= 1 {
		return detect.Pace{}, false
	}
	pace := r.MainPace()
	pace.PerMinute = int(float64(pace.PerMinute) * share)
	return pace, pace.PerMinute > 0
}

func barsNamed(r *detect.Report, first, last int) string {
	if first == last {
		return "bar " + r.Score.Bars[first].Number
	}
	return "bars " + r.Score.Bars[first].Number + "–" + r.Score.Bars[last].Number
}
