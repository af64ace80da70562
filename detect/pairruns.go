package detect

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/score"
)

// OctavePair picks the outer notes struck where they are an octave.
func OctavePair(s *score.Score, e Event) (low, high int, ok bool) {
	low, high = e.Struck[0], e.Struck[len(e.Struck)-1]
	return low, high, Key(s, high)-Key(s, low) == OctaveKeys
}

// DoubleNotes is an interval that one hand strikes again and again.
type DoubleNotes struct {
	Name string // of more than one: "thirds"
	Rate *Capacity
	Pick pairPicker
}

// pairPicker picks the two notes of an event that make a pair, where any do.
type pairPicker func(s *score.Score, e Event) (low, high int, ok bool)

// PairsDetail is the JSON detail of a run of double notes.
type PairsDetail struct {
	Count     int               `json:"count"`             // attacks in the run
	PerSecond float64           `json:"per_second"`        // the fastest rate over three successive pairs that move
	Keys      float64           `json:"keys"`              // struck at once, pair and others: 2 where the run is pairs alone, the mean over the run
	Pitches   [2][2]score.Pitch `json:"pitches"`           // the first pair and the last, each lower note first
	Highest   score.Pitch       `json:"highest"`           // the highest note of the run
	Dynamic   string            `json:"dynamic,omitempty"` // in force where the run begins
}

func (d DoubleNotes) Find(p *Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, run := range p.PairRuns(hand, d.Pick) {
			if run = run.trim(); run.moves() {
				p.Report(d.occurrence(p, hand, run))
			}
		}
	}
}

// TopPair picks the top two notes struck where they are an interval of so many
// staff steps, whatever the accidentals: MusicXML spells every pitch, so sound
// alone never has to decide. They are all that is struck, or all of one voice: full
// chords that move in parallel, and octaves with a note inside, are no double notes.
func TopPair(steps int) pairPicker {
	return func(s *score.Score, e Event) (low, high int, ok bool) {
		n := len(e.Struck)
		if n < 2 {
			return 0, 0, false
		}
		low, high = e.Struck[n-2], e.Struck[n-1]
		for _, other := range e.Struck[:n-2] {
			if voice := s.Notes[other].Voice; voice == s.Notes[low].Voice || voice == s.Notes[high].Voice {
				return low, high, false
			}
		}
		return low, high, s.Notes[high].Pitch.Staff()-s.Notes[low].Pitch.Staff() == steps
	}
}

func (d DoubleNotes) occurrence(p *Pass, hand score.Hand, run Pairs) Occurrence {
	s := p.Score
	first, last := run[0], run[len(run)-1]
	rate, keys := run.perSecond(p.Clock), run.keys()
	comfortable := p.Player.Can(d.Rate) * 2 / keys
	top := run.highest(s)
	dynamic := s.DynamicAt(hand, first.At)
	return Occurrence{
		Hand: hand, From: first.At, To: run.End(s),
		Notes:  run.Notes(),
		Demand: rate / comfortable, Timed: true,
		Shape: run.Shape(s),
		Label: fmt.Sprintf("%d %s", len(run), d.Name),
		Why: fmt.Sprintf("%d %s in a row in the %s hand, up to %s%s, at %.1f a second, where %.1f is comfortable.",
			len(run), d.Name, hand, top.Pretty(), PlayedWords(dynamic)+fuller(keys), rate, comfortable),
		Detail: PairsDetail{
			Count: len(run), PerSecond: Round3(rate), Keys: Round3(keys),
			Pitches: [2][2]score.Pitch{p.PairPitches(first), p.PairPitches(last)},
			Highest: top, Dynamic: dynamic,
		},
		Picture: run.Picture(s, rate), Exercise: Edges{},
	}
}

// fuller says that a run has more keys to it than its pairs.
func fuller(keys float64) string {
	if keys == 2 {
		return ""
	}
	return fmt.Sprintf(", in chords of %.2g keys", keys)
}

// PlayedWords is a dynamic mark in a sentence, and nothing where there is none.
func PlayedWords(dynamic string) string {
	if dynamic == "" {
		return ""
	}
	return ", " + dynamic
}

// Pairs is a run of double notes.
type Pairs []pair

// pair is two notes of one hand, struck together or, in broken octaves, one
// after the other.
type pair struct {
	At        score.Rat
	low, high int // indices into Score.Notes
	Keys      [2]int
	struck    int // keys that the hand strikes with them, both among them
}

func PairOf(s *score.Score, at score.Rat, low, high int) pair {
	return pair{at, low, high, [2]int{Key(s, low), Key(s, high)}, 2}
}

// PairRuns returns the runs of the pairs that pick finds in what a hand
// strikes, repeats and single pairs among them.
func (p *Pass) PairRuns(hand score.Hand, pick pairPicker) []Pairs {
	var runs []Pairs
	strandOf := p.strands(hand)
	begun := false
	for _, e := range p.Events[hand] {
		low, high, ok := pick(p.Score, e)
		if !ok {
			begun = false
			continue
		}
		next, n := PairOf(p.Score, e.At, low, high), len(runs)-1
		next.struck = len(e.Struck)
		if begun && joined(p.Score, strandOf, runs[n][len(runs[n])-1], next) {
			runs[n] = append(runs[n], next)
			continue
		}
		runs, begun = append(runs, Pairs{next}), true
	}
	return runs
}

// joined reports whether two pairs follow one another: in one top line, and
// with less than a quarter note of silence between.
func joined(s *score.Score, strandOf map[int]*strand, a, b pair) bool {
	end := score.Max(s.Notes[a.low].End(), s.Notes[a.high].End())
	return strandOf[a.high] == strandOf[b.high] && b.At.Less(end.Add(silence))
}

// trim leaves out the repeats of the first and the last pair.
func (run Pairs) trim() Pairs {
	for len(run) > 1 && run[0].Keys == run[1].Keys {
		run = run[1:]
	}
	for len(run) > 1 && run[len(run)-1].Keys == run[len(run)-2].Keys {
		run = run[:len(run)-1]
	}
	return run
}

// movingAt reports whether the pairs i, i+1 and i+2 each differ from the last.
func (run Pairs) movingAt(i int) bool {
	return run[i].Keys != run[i+1].Keys && run[i+1].Keys != run[i+2].Keys
}

// moves reports whether three pairs in succession each differ from the last.
func (run Pairs) moves() bool {
	for i := 0; i+2 < len(run); i++ {
		if run.movingAt(i) {
			return true
		}
	}
	return false
}

// perSecond is the fastest rate over three successive pairs that move.
func (run Pairs) perSecond(c *Clock) float64 {
	fastest := 0.0
	for i := 0; i+2 < len(run); i++ {
		if run.movingAt(i) {
			fastest = max(fastest, run.RateAt(c, i))
		}
	}
	return fastest
}

// keys is how many keys the hand strikes at once, the mean over the run.
func (run Pairs) keys() float64 {
	all := 0
	for _, p := range run {
		all += p.struck
	}
	return float64(all) / float64(len(run))
}

// RateAt is the rate of the pairs i, i+1 and i+2.
func (run Pairs) RateAt(c *Clock, i int) float64 { return 2 / c.Seconds(run[i].At, run[i+2].At) }

func (p *Pass) PairPitches(pr pair) [2]score.Pitch {
	return [2]score.Pitch{p.Pitch(pr.low), p.Pitch(pr.high)}
}

func (run Pairs) highest(s *score.Score) score.Pitch {
	top := run[0]
	for _, p := range run {
		if p.Keys[1] > top.Keys[1] {
			top = p
		}
	}
	return s.Notes[top.high].Pitch
}

func (run Pairs) End(s *score.Score) score.Rat {
	var end score.Rat
	for _, p := range run {
		end = score.Max(end, score.Max(s.Notes[p.low].End(), s.Notes[p.high].End()))
	}
	return end
}

func (run Pairs) Notes() []int {
	var all []int
	for _, p := range run {
		all = append(all, p.low, p.high)
	}
	slices.Sort(all)
	return all
}

// Shape is the staff steps of the top line and the time from each attack to
// the next: the same in every key.
func (run Pairs) Shape(s *score.Score) string {
	var b strings.Builder
	for i := 1; i < len(run); i++ {
		step := s.Notes[run[i].high].Pitch.Staff() - s.Notes[run[i-1].high].Pitch.Staff()
		fmt.Fprintf(&b, "%+d:%s ", step, run[i].At.Sub(run[i-1].At))
	}
	return strings.TrimSpace(b.String())
}

func (run Pairs) Picture(s *score.Score, rate float64) PairRun {
	r := PairRun{PerSecond: rate}
	for i, p := range run {
		r.Pairs = append(r.Pairs, [2]score.Pitch{s.Notes[p.low].Pitch, s.Notes[p.high].Pitch})
		if i > 0 {
			r.Lengths = append(r.Lengths, p.At.Sub(run[i-1].At))
		}
	}
	return r
}

// PractisePairs is for runs of thirds and sixths.
func PractisePairs(p *Practice) Lesson {
	d := p.Hardest.Detail.(PairsDetail)
	first, last := d.Pitches[0], d.Pitches[1]
	l := Lesson{Proof: "both notes of each pair at once and the top line singing"}
	l.Steps = []string{
		fmt.Sprintf("Top line alone, %s to %s%s, %s; then the lower line, %s to %s.",
			first[1].Pretty(), last[1].Pretty(), byWayOf(d), topFingers(p), first[0].Pretty(), last[0].Pretty()),
		"Together, top over lower: top loud, lower soft; then top legato, lower short.",
		"Apart: each pair broken, lower note first, then upper first; then struck together.",
	}
	if d.Count > PractisedTogether {
		l.Steps = append(l.Steps, fmt.Sprintf("Groups of %s and one over, at %s; then all %s.", NumberWords(PractisedTogether), p.Target, NumberWords(d.Count)))
	}
	if d.Dynamic != "" {
		l.Proof += ", " + d.Dynamic
	}
	return l
}

// topFingers are the fingers of the first top notes: "legato, with 3–4–5–4";
// a finger that comes twice running cannot bind them.
func topFingers(p *Practice) string {
	const most = 8
	var fingers []string
	fingering := p.Fingering()
	notes := p.Hardest.Notes
	for _, n := range notes {
		top := !slices.ContainsFunc(notes, func(m int) bool {
			return p.Score.Notes[m].Onset == p.Score.Notes[n].Onset && Key(p.Score, m) > Key(p.Score, n)
		})
		if finger := fingering.Notes[n].Finger; top && finger > 0 {
			if len(fingers) == most {
				break
			}
			fingers = append(fingers, fmt.Sprint(finger))
		} else if top {
			return "legato, with the fingers that it has in the run"
		}
	}
	if len(slices.Compact(slices.Clone(fingers))) < len(fingers) {
		return "as bound as it goes with " + strings.Join(fingers, "–")
	}
	return "legato, with " + strings.Join(fingers, "–")
}

// byWayOf names the highest note where the run neither begins nor ends on it.
func byWayOf(d PairsDetail) string {
	if d.Highest == d.Pitches[0][1] || d.Highest == d.Pitches[1][1] {
		return ""
	}
	return " by way of " + d.Highest.Pretty()
}
