package detect

import (
	"hardbars/score"
	"hardbars/score/form"
)

// The signs that music breathes at a barline, and those that it does not,
// weighed against each other. A barline of breathFull or more is a clean cut.
// Common practice.
const (
	breathFull    = 3.0
	breathSection = 3.0  // a section, strain or new signature begins
	breathSilence = 2.0  // both hands are silent up to the barline
	breathRest    = 1.0  // one hand is
	breathSlur    = 1.0  // a slur ends in the bar before and none goes over
	breathPattern = 1.0  // a hand goes over to another rhythm
	breathTied    = -1.0 // a note sounds over the barline
	breathBound   = -1.5 // a slur goes over it
)

// breaths returns, for the barline before each bar and for the end of the
// piece, what it costs to cut the music there: from 0, where it breathes, to 1,
// in the middle of a phrase.
func breaths(s *score.Score) []float64 {
	n := len(s.Bars)
	strength := make([]float64, n+1)
	signedBreaths(s, strength)
	silentBreaths(s, strength)
	slurredBreaths(s, strength)
	for _, hand := range []score.Hand{score.Right, score.Left} {
		bars := form.NewBars(s, hand)
		for i := 1; i < n; i++ {
			if !bars.SameRhythm(i-1, i) {
				strength[i] += breathPattern / 2
			}
		}
	}
	cost := make([]float64, n+1)
	for i := 1; i < n; i++ {
		cost[i] = min(max(0, breathFull-strength[i])/breathFull, 1)
	}
	return cost
}

// signedBreaths counts what the page says: sections, repeats, new signatures.
func signedBreaths(s *score.Score, strength []float64) {
	for _, sec := range form.Find(s).Sections {
		strength[sec.First] += breathSection
	}
	for i := 1; i < len(s.Bars); i++ {
		before, bar := s.Bars[i-1], s.Bars[i]
		if bar.RepeatStart || before.RepeatEnd > 0 || bar.Key != before.Key || bar.Time != before.Time || bar.Ending != before.Ending {
			strength[i] += breathSection
		}
	}
}

// silentBreaths counts hands that are silent up to a barline, and notes that
// sound over it.
func silentBreaths(s *score.Score, strength []float64) {
	n := len(s.Bars)
	ends := make([][2]score.Rat, n) // of each bar, where each hand's last note in it or before ends
	tied := make([]bool, n+1)
	for i := range s.Notes {
		note := &s.Notes[i]
		last := max(s.BarEnding(note.End()), note.Bar)
		for bar := note.Bar + 1; bar <= last; bar++ {
			tied[bar] = true
		}
		for bar := note.Bar; bar <= last; bar++ {
			ends[bar][note.Hand] = score.Max(ends[bar][note.Hand], note.End())
		}
	}
	for i := 1; i < n; i++ {
		silent := 0
		for _, end := range ends[i-1] {
			if end.Less(s.Bars[i].Start) {
				silent++
			}
		}
		switch silent {
		case 2:
			strength[i] += breathSilence
		case 1:
			strength[i] += breathRest
		}
		if tied[i] {
			strength[i] += breathTied
		}
	}
}

// slurredBreaths counts slurs that end before a barline or go over it.
func slurredBreaths(s *score.Score, strength []float64) {
	type slurs struct{ open, ended int }
	bars := make([]slurs, len(s.Bars))
	open := map[string]int{} // by voice
	byBar := make([][]*score.Note, len(s.Bars))
	for i := range s.Notes {
		byBar[s.Notes[i].Bar] = append(byBar[s.Notes[i].Bar], &s.Notes[i])
	}
	for i, notes := range byBar {
		for _, n := range notes {
			open[n.Voice] = max(0, open[n.Voice]-n.SlurEnd) + n.SlurStart
			bars[i].ended += n.SlurEnd
		}
		for _, count := range open {
			bars[i].open += count
		}
	}
	for i := 1; i < len(s.Bars); i++ {
		switch before := bars[i-1]; {
		case before.open > 0:
			strength[i] += breathBound
		case before.ended > 0:
			strength[i] += breathSlur
		}
	}
}
