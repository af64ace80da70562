package detect

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/score"
)

// doubleNotes is an interval that one hand strikes again and again.
type doubleNotes struct {
	name string // of more than one: "thirds"
	rate *Capacity
	pick pairPicker
}

// pairPicker picks the two notes of an event that make a pair, where any do.
type pairPicker func(s *score.Score, e Event) (low, high int, ok bool)

// PairsDetail is the JSON detail of a run of double notes.
type PairsDetail struct {
	Count     int          `json:"count"`             // attacks in the run
	PerSecond float64      `json:"per_second"`        // the fastest rate over three successive pairs that move
	Pitches   [2][2]string `json:"pitches"`           // the first pair and the last, each lower note first
	Highest   string       `json:"highest"`           // the highest note of the run
	Dynamic   string       `json:"dynamic,omitempty"` // in force where the run begins
}

func (d doubleNotes) find(p *Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, run := range p.pairRuns(hand, d.pick) {
			if run = run.trim(); run.moves() {
				p.Report(d.occurrence(p, hand, run))
			}
		}
	}
}

// top picks the top two notes struck where they are an interval of so many
// staff steps, whatever the accidentals: MusicXML spells every pitch, so sound
// alone never has to decide.
func top(steps int) pairPicker {
	return func(s *score.Score, e Event) (low, high int, ok bool) {
		n := len(e.Struck)
		if n < 2 {
			return 0, 0, false
		}
		low, high = e.Struck[n-2], e.Struck[n-1]
		return low, high, s.Notes[high].Pitch.Staff()-s.Notes[low].Pitch.Staff() == steps
	}
}

func (d doubleNotes) occurrence(p *Pass, hand score.Hand, run pairs) Occurrence {
	s := p.Score
	first, last := run[0], run[len(run)-1]
	rate, comfortable := run.perSecond(p.Clock), p.Player.Can(d.rate)
	top := run.highest(s)
	dynamic := s.DynamicAt(hand, first.at)
	return Occurrence{
		Hand: hand, From: first.at, To: run.end(s),
		Notes:  run.notes(),
		Demand: rate / comfortable, Timed: true,
		Shape: run.shape(s),
		Label: fmt.Sprintf("%d %s", len(run), d.name),
		Why: fmt.Sprintf("%d %s in a row in the %s hand, up to %s%s, at %.1f a second, where %.1f is comfortable.",
			len(run), d.name, hand, top.Pretty(), played(dynamic), rate, comfortable),
		Detail: PairsDetail{
			Count: len(run), PerSecond: round3(rate),
			Pitches: [2][2]string{p.pairNames(first), p.pairNames(last)},
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

// pairs is a run of double notes.
type pairs []pair

// pair is two notes of one hand, struck together or, in broken octaves, one
// after the other.
type pair struct {
	at        score.Rat
	low, high int // indices into Score.Notes
	keys      [2]int
}

func pairOf(s *score.Score, at score.Rat, low, high int) pair {
	return pair{at, low, high, [2]int{key(s, low), key(s, high)}}
}

// pairRuns returns the runs of the pairs that pick finds in what a hand
// strikes, repeats and single pairs among them.
func (p *Pass) pairRuns(hand score.Hand, pick pairPicker) []pairs {
	var runs []pairs
	begun := false
	for _, e := range p.Events[hand] {
		low, high, ok := pick(p.Score, e)
		if !ok {
			begun = false
			continue
		}
		next, n := pairOf(p.Score, e.At, low, high), len(runs)-1
		if begun && joined(p.Score, runs[n][len(runs[n])-1], next) {
			runs[n] = append(runs[n], next)
			continue
		}
		runs, begun = append(runs, pairs{next}), true
	}
	return runs
}

// joined tells whether two pairs follow one another: in one top voice, and
// with less than a quarter note of silence between.
func joined(s *score.Score, a, b pair) bool {
	end := score.Max(s.Notes[a.low].End(), s.Notes[a.high].End())
	return s.Notes[a.high].Voice == s.Notes[b.high].Voice && b.at.Less(end.Add(score.Int(1)))
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
			fastest = max(fastest, run.rateAt(c, i))
		}
	}
	return fastest
}

// rateAt is the rate of the pairs i, i+1 and i+2.
func (run pairs) rateAt(c *Clock, i int) float64 { return 2 / c.Seconds(run[i].at, run[i+2].at) }

func (p *Pass) pairNames(pr pair) [2]string {
	return [2]string{p.pitch(pr.low).String(), p.pitch(pr.high).String()}
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
