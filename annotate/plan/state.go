package plan

import (
	"slices"
	"time"
)

// State is what is known of the practice of a place.
type State struct {
	Best  float64     // the fastest clean tempo, in quarter notes a minute; 0 for none
	Dates []time.Time // the days on which it was practised, in any order
}

// Met is on how many days a place was practised, and the last of them.
func (s State) Met() (days int, last time.Time) {
	var dates []time.Time
	for _, d := range s.Dates {
		dates = append(dates, midnight(d))
	}
	slices.SortFunc(dates, time.Time.Compare)
	dates = slices.CompactFunc(dates, time.Time.Equal)
	if len(dates) == 0 {
		return 0, time.Time{}
	}
	return len(dates), dates[len(dates)-1]
}

// Due is the day on which a place that was practised is to be met again. Once
// all its meetings are past it comes again in the step of the last.
func (s State) Due() time.Time {
	days, last := s.Met()
	met := min(days, len(gaps)-1)
	if met == 0 {
		return last
	}
	return dateAfter(last, gaps[met]-gaps[met-1])
}

// faded reports whether a place was left for so long after its day that on a
// later one it goes back by one meeting, and to the comfortable tempo: for
// longer than the longest step between two meetings. Common practice.
func (s State) faded(date time.Time) bool {
	return len(s.Dates) > 0 && daysFrom(s.Due(), date) > gaps[len(gaps)-1]-gaps[len(gaps)-2]
}

// Learnt reports whether a place has been met as often as the plan would have it
// and is clean at its target, in quarter notes a minute; 0 where tempo does not
// matter.
func (s State) Learnt(target float64) bool {
	days, _ := s.Met()
	return days >= len(gaps) && s.Best+1e-9 >= target
}
