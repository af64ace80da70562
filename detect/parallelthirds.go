package detect

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/score"
)

// ParallelThirds finds runs of thirds in one hand.
var ParallelThirds = &Detector{
	Kind: "parallel-thirds",
	Name: "a run of thirds",
	Doc: `One hand strikes thirds one after the other, and they move. A third is two notes two staff steps apart, whatever
their accidentals; in a fuller chord the top two notes count.
Anything else that the hand strikes ends the run, and so does a silence of a quarter note or more after a third, or a
top line that passes to another voice, as where a melody enters over repeated thirds. A run counts when three thirds in
succession each differ from the one before; repeats at either end are left out. Demand is the fastest rate over three
successive thirds that move, divided by the comfortable rate.`,
	Limits: []Limit{ThirdsRate.Limit()},
	Run:    findParallelThirds,
}

// pairsDetail is the JSON detail of a run of double notes.
type pairsDetail struct {
	Count     int          `json:"count"`             // attacks in the run
	PerSecond float64      `json:"per_second"`        // the fastest rate over three successive pairs that move
	Pitches   [2][2]string `json:"pitches"`           // the first pair and the last, each lower note first
	Highest   string       `json:"highest"`           // the highest note of the run
	Dynamic   string       `json:"dynamic,omitempty"` // in force where the run begins
}

func findParallelThirds(p *Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		events := p.Events[hand]
		for len(events) > 0 {
			n := thirdsRun(p.Score, events)
			if run := pairsOf(p.Score, events[:n]).trim(); run.moves() {
				p.Report(run.occurrence(p, hand))
			}
			events = events[max(n, 1):]
		}
	}
}

// thirdsRun returns how many events from the first on are one run of thirds.
func thirdsRun(s *score.Score, events []Event) int {
	n := 0
	for n < len(events) && topThird(s, events[n]) && (n == 0 || joined(s, events[n-1], events[n])) {
		n++
	}
	return n
}

// topThird tells whether the top two notes struck are a third as it is
// spelled: two staff steps, whatever the accidentals. MusicXML spells every
// pitch, so sound alone never has to decide.
func topThird(s *score.Score, e Event) bool {
	if len(e.Struck) < 2 {
		return false
	}
	low, high := topNotes(e)
	return s.Notes[high].Pitch.Staff()-s.Notes[low].Pitch.Staff() == 2
}

// topNotes are the top two notes struck.
func topNotes(e Event) (low, high int) {
	n := len(e.Struck)
	return e.Struck[n-2], e.Struck[n-1]
}

// joined tells whether two thirds follow one another: in one top voice, and
// with less than a quarter note of silence between.
func joined(s *score.Score, a, b Event) bool {
	low, high := topNotes(a)
	_, next := topNotes(b)
	end := score.Max(s.Notes[low].End(), s.Notes[high].End())
	return s.Notes[high].Voice == s.Notes[next].Voice && b.At.Less(end.Add(score.Int(1)))
}

// pairs is a run of double notes.
type pairs []pair

type pair struct {
	at        score.Rat
	low, high int // indices into Score.Notes
	keys      [2]int
}

func pairsOf(s *score.Score, events []Event) pairs {
	var run pairs
	for _, e := range events {
		low, high := topNotes(e)
		run = append(run, pair{e.At, low, high, [2]int{key(s, low), key(s, high)}})
	}
	return run
}

// trim leaves out the repeats of the first and the last pair.
func (run pairs) trim() pairs {
	for len(run) > 1 && run[0].keys == run[1].keys {
		run = run[1:]
	}
	for len(run) > 1 && run[len(run)-1].keys == run[len(run)-2].keys {
		run = run[:len(run)-1]
	}
	return run
}

// movingAt tells whether the pairs i, i+1 and i+2 each differ from the last.
func (run pairs) movingAt(i int) bool {
	return run[i].keys != run[i+1].keys && run[i+1].keys != run[i+2].keys
}

// moves tells whether three pairs in succession each differ from the last.
func (run pairs) moves() bool {
	for i := 0; i+2 < len(run); i++ {
		if run.movingAt(i) {
			return true
		}
	}
	return false
}

// perSecond is the fastest rate over three successive pairs that move.
func (run pairs) perSecond(c *Clock) float64 {
	fastest := 0.0
	for i := 0; i+2 < len(run); i++ {
		if run.movingAt(i) {
			fastest = max(fastest, 2/c.Seconds(run[i].at, run[i+2].at))
		}
	}
	return fastest
}

func (run pairs) occurrence(p *Pass, hand score.Hand) Occurrence {
	s := p.Score
	first, last := run[0], run[len(run)-1]
	rate, comfortable := run.perSecond(p.Clock), p.Player.Can(ThirdsRate)
	top := run.highest(s)
	dynamic := s.DynamicAt(hand, first.at)
	return Occurrence{
		Hand: hand, From: first.at, To: run.end(s),
		Notes:  run.notes(),
		Demand: rate / comfortable, Timed: true,
		Shape: run.shape(s),
		Label: fmt.Sprintf("%d thirds", len(run)),
		Why: fmt.Sprintf("%d thirds in a row in the %s hand, up to %s%s, at %.1f a second, where %.1f is comfortable.",
			len(run), hand, top.Pretty(), played(dynamic), rate, comfortable),
		Detail: pairsDetail{
			Count: len(run), PerSecond: round3(rate),
			Pitches: [2][2]string{spell(s, first), spell(s, last)},
			Highest: top.String(), Dynamic: dynamic,
		},
		Picture: run.picture(s, rate),
	}
}

// played is a dynamic mark in a sentence, and nothing where there is none.
func played(dynamic string) string {
	if dynamic == "" {
		return ""
	}
	return ", " + dynamic
}

func spell(s *score.Score, p pair) [2]string {
	return [2]string{s.Notes[p.low].Pitch.String(), s.Notes[p.high].Pitch.String()}
}

func (run pairs) highest(s *score.Score) score.Pitch {
	top := run[0]
	for _, p := range run {
		if p.keys[1] > top.keys[1] {
			top = p
		}
	}
	return s.Notes[top.high].Pitch
}

func (run pairs) end(s *score.Score) score.Rat {
	var end score.Rat
	for _, p := range run {
		end = score.Max(end, score.Max(s.Notes[p.low].End(), s.Notes[p.high].End()))
	}
	return end
}

func (run pairs) notes() []int {
	var all []int
	for _, p := range run {
		all = append(all, p.low, p.high)
	}
	slices.Sort(all)
	return all
}

// shape is the staff steps of the top line and the time from each attack to
// the next: the same in every key.
func (run pairs) shape(s *score.Score) string {
	var b strings.Builder
	for i := 1; i < len(run); i++ {
		step := s.Notes[run[i].high].Pitch.Staff() - s.Notes[run[i-1].high].Pitch.Staff()
		fmt.Fprintf(&b, "%+d:%s ", step, run[i].at.Sub(run[i-1].at))
	}
	return strings.TrimSpace(b.String())
}

func (run pairs) picture(s *score.Score, rate float64) PairRun {
	r := PairRun{PerSecond: rate}
	for i, p := range run {
		r.Pairs = append(r.Pairs, [2]score.Pitch{s.Notes[p.low].Pitch, s.Notes[p.high].Pitch})
		if i > 0 {
			r.Lengths = append(r.Lengths, p.at.Sub(run[i-1].at))
		}
	}
	return r
}
