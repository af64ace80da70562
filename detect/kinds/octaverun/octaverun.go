// Package octaverun finds runs of octaves in one hand, struck together or
// broken.
package octaverun

import (
	"fmt"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind octave-run.
var Detector = &detect.Detector{
	Kind: "octave-run",
	Name: "a run of octaves",
	Doc: `One hand strikes octaves one after the other, and they move: three or more, with at least two changes of key. The
outer notes count; what lies between them may be struck too. Or the octaves are broken: single notes, no more than a
quarter note from one to the next, of which each two in turn are an octave, always the lower first or always the upper
first, with at least two changes of key; a tremolo on one octave is a rotation. Anything else that the hand strikes ends the run, and so does a
silence of a quarter note or more, a wait of more than a half note from one octave to the next, or a line that passes
to another voice. Demand is the fastest rate over three successive octaves divided by the comfortable rate, times two
factors for what tires: how many octaves come without a rest, 1 for three and growing towards 1½, and how much of this
hand's comfortable reach an octave takes, at least 1.`,
	Limits: []detect.Limit{
		detect.OctavesRate.Limit(),
		{Name: "factor for n octaves", Value: "1 + ½ (n − 3) ÷ (n + 13)", Source: "common practice: a hand that stays open tires"},
		{Name: "factor for the span", Value: "164.5 mm ÷ the comfortable reach, at least 1", Source: "Boyle, Boyle & Booker 2015 for the reach"},
	},
	Basis: detect.Calibrated,
	Rests: "recorded performances: its notes are missed 0.7 times as often as others at the least demand and 1.2 " +
		"times at the greatest. The level is common practice.",
	Telling:  []string{"count", "pitches", "broken"},
	Run:      findOctaveRuns,
	Speech:   speech,
	Practise: practise,
}

const leastOctaves = 3 // in a run

// Detail is the JSON detail of a run of octaves.
type Detail struct {
	Count      int               `json:"count"`        // octaves in the run
	PerSecond  float64           `json:"per_second"`   // octaves, the fastest rate over three in succession
	Pitches    [2][2]score.Pitch `json:"pitches"`      // the first octave and the last, each lower note first
	Broken     bool              `json:"broken"`       // one note after the other
	Seconds    float64           `json:"seconds"`      // from the first attack to the end of the last note, without a rest
	SpanLeftMM float64           `json:"span_left_mm"` // what this hand reaches beyond the octave; less than 0 where it does not reach it
	Dynamic    string            `json:"dynamic,omitempty"`
}

func findOctaveRuns(p *detect.Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, run := range p.PairRuns(hand, detect.OctavePair) {
			for _, run := range atRests(run) {
				if changes(run) >= 2 {
					p.Report(octavesFound(p, hand, run, false))
				}
			}
		}
		for _, run := range brokenOctaves(p, hand) {
			p.Report(octavesFound(p, hand, run, true))
		}
	}
}

// octaveRests is the wait on one octave in which the hand recovers, in quarters.
var octaveRests = score.Int(2)

// atRests cuts a run after the octaves on which the hand rests.
func atRests(run detect.Pairs) []detect.Pairs {
	var parts []detect.Pairs
	first := 0
	for i := range run {
		if i+1 == len(run) || octaveRests.Less(run[i+1].At.Sub(run[i].At)) {
			parts, first = append(parts, run[first:i+1]), i+1
		}
	}
	return parts
}

// changes counts the pairs that differ from the one before.
func changes(run detect.Pairs) int {
	n := 0
	for i := 1; i < len(run); i++ {
		if run[i].Keys != run[i-1].Keys {
			n++
		}
	}
	return n
}

// brokenOctaves returns the runs of octaves that a hand plays one note after
// the other.
func brokenOctaves(p *detect.Pass, hand score.Hand) []detect.Pairs {
	var runs []detect.Pairs
	events := p.Events[hand]
	for len(events) > 1 {
		run := brokenRun(p.Score, events)
		if len(run) < leastOctaves || changes(run) < 2 {
			events = events[1:]
			continue
		}
		runs = append(runs, run)
		events = events[2*len(run):]
	}
	return runs
}

// brokenRun is the run of broken octaves that begins with the first event.
func brokenRun(s *score.Score, events []detect.Event) detect.Pairs {
	var run detect.Pairs
	way := 0 // semitones from the first note of each octave to the second
	for i := 0; i+1 < len(events); i += 2 {
		a, b := events[i], events[i+1]
		if !singly(a, b) || i > 0 && !singly(events[i-1], a) {
			break
		}
		low, high := a.Struck[0], b.Struck[0]
		step := detect.Key(s, high) - detect.Key(s, low)
		if step != detect.OctaveKeys && step != -detect.OctaveKeys || i > 0 && step != way {
			break
		}
		if way = step; way < 0 {
			low, high = high, low
		}
		run = append(run, detect.PairOf(s, a.At, low, high))
	}
	return run
}

// singly reports whether two single notes come no more than a quarter note apart.
func singly(a, b detect.Event) bool {
	return len(a.Struck) == 1 && len(b.Struck) == 1 && b.At.Sub(a.At).Cmp(score.Int(1)) <= 0
}

func octavesFound(p *detect.Pass, side score.Hand, run detect.Pairs, broken bool) detect.Occurrence {
	s := p.Score
	first, last := run[0], run[len(run)-1]
	rate, comfortable := octavesPerSecond(run, p.Clock), p.Player.Can(detect.OctavesRate)
	d := Detail{
		Count: len(run), PerSecond: detect.Round3(rate), Broken: broken,
		Pitches:    [2][2]score.Pitch{p.PairPitches(first), p.PairPitches(last)},
		Seconds:    detect.Round3(p.Clock.Seconds(first.At, run.End(s))),
		SpanLeftMM: detect.Round1(p.Player.Hand(side).Reach() - hand.OctaveMM),
		Dynamic:    s.DynamicAt(side, first.At),
	}
	name := "octaves"
	if broken {
		name = "broken octaves"
	}
	return detect.Occurrence{
		Hand: side, From: first.At, To: run.End(s), Notes: run.Notes(),
		Demand: rate / comfortable * tiring(len(run)) * octaveStretch(p, side), Timed: true,
		Shape: name + " " + run.Shape(s),
		Label: fmt.Sprintf("%d %s", len(run), name),
		Why: fmt.Sprintf("%d %s in a row in the %s hand%s, %.1f s without a rest, at up to %.1f a second, where %.1f is comfortable for a few; %s.",
			len(run), name, side, detect.PlayedWords(d.Dynamic), d.Seconds, rate, comfortable, spanLeft(p, side)),
		Detail:  d,
		Picture: run.Picture(s, rate), Exercise: detect.Edges{},
	}
}

// octavesPerSecond is the fastest rate over three successive octaves.
func octavesPerSecond(run detect.Pairs, c *detect.Clock) float64 {
	fastest := 0.0
	for i := 0; i+2 < len(run); i++ {
		fastest = max(fastest, run.RateAt(c, i))
	}
	return fastest
}

// tiring is what n octaves without a rest make of each. It goes by their
// number, not by seconds, so that demand stays in proportion to the tempo.
func tiring(n int) float64 { return 1 + 0.5*float64(n-leastOctaves)/float64(n+13) }

// octaveStretch is how much of the hand's comfortable reach an octave takes;
// 1 where it lies within.
func octaveStretch(p *detect.Pass, side score.Hand) float64 {
	return max(1, hand.OctaveMM/p.Player.Hand(side).ComfortableReach())
}

// spanLeft says what an octave leaves of the hand's reach.
func spanLeft(p *detect.Pass, side score.Hand) string {
	left := p.Player.Hand(side).Reach() - hand.OctaveMM
	switch {
	case left < 0:
		return fmt.Sprintf("an octave is %.0f mm more than this hand reaches: leave one of the notes out", -left)
	case left < hand.ComfortLess:
		return fmt.Sprintf("an octave leaves %.0f mm of this hand's reach, so each one is a stretch", left)
	}
	return fmt.Sprintf("an octave leaves %.0f mm of this hand's reach", left)
}
