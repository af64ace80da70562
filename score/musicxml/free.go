package musicxml

import (
	"slices"

	"hardbars/score"
)

// A cadenza within one bar is written in small values and played in its own time.
// No hand plays a run of freeRun notes at fastestRun a second, and nobody means it:
// such a bar is taken at freeRate. The fastest scales and trills of concert pianists
// are at 13 to 15 a second (from memory).
const (
	freeRun    = 8
	fastestRun = 16.0
	freeRate   = 12.0
)

// freeBars gives bars that no hand plays in time a tempo of their own.
func freeBars(s *score.Score, w *warner) {
	quickest := make([]float64, len(s.Bars)) // notes a quarter in the quickest run of one hand, by bar
	var last [2][]score.Rat                  // the latest instants at which each hand strikes
	for i := range s.Notes {
		n := &s.Notes[i]
		at := last[n.Hand]
		if n.Grace > 0 || len(at) > 0 && at[len(at)-1] == n.Onset {
			continue
		}
		if at = append(at, n.Onset); len(at) > freeRun {
			at = at[1:]
		}
		last[n.Hand] = at
		if first := at[0]; len(at) == freeRun && s.BarAt(first) == n.Bar {
			quickest[n.Bar] = max(quickest[n.Bar], (freeRun-1)/n.Onset.Sub(first).Float())
		}
	}
	for i, run := range quickest {
		bar := &s.Bars[i]
		t := s.TempoAt(bar.Start)
		if rate := run * t.QPM / 60; rate > fastestRun {
			w.add(i, "%d notes on end would be %.0f a second: the bar is taken in free time", freeRun, rate)
			playFreely(s, bar, 60*freeRate/run)
		}
	}
}

// playFreely gives one bar a tempo of its own.
func playFreely(s *score.Score, bar *score.Bar, qpm float64) {
	free := s.TempoAt(bar.Start)
	free.At, free.QPM, free.From, free.Text = bar.Start, qpm, score.Free, ""
	free.Beat = bar.Time.BeatFor(qpm)
	after := s.TempoAt(bar.End())
	inside := func(t score.Tempo) bool { return t.At.Cmp(bar.Start) >= 0 && t.At.Less(bar.End()) }
	first := slices.IndexFunc(s.Tempos, func(t score.Tempo) bool { return t.At.Cmp(bar.Start) >= 0 })
	if first < 0 {
		first = len(s.Tempos)
	}
	s.Tempos = slices.DeleteFunc(s.Tempos, inside)
	s.Tempos = slices.Insert(s.Tempos, first, free)
	if next := first + 1; bar.End().Less(s.End()) && (next == len(s.Tempos) || s.Tempos[next].At != bar.End()) {
		after.At, after.Text = bar.End(), ""
		s.Tempos = slices.Insert(s.Tempos, next, after)
	}
}
