// Package crossrhythm finds the hands dividing the same time differently.
package crossrhythm

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// Detector finds the kind cross-rhythm.
var Detector = &detect.Detector{
	Kind: "cross-rhythm",
	Name: "two rhythms at once",
	Doc: `The hands divide the same time into different numbers of parts. Time is cut wherever both hands start
something: a note, a note tied over, or a rest. In one such cell r is the least number of equal parts on which all notes
that the right hand strikes lie, and l the same for the left; grace notes and the second note of a tremolo between two
are left out. It is a cross-rhythm when neither number divides the other; the ratio is r:l in lowest terms, right hand
first. Demand is the comfortable gap between one hand's note and the other's, divided by the smallest such gap in the
cell. In a long run nobody places every note to a hair, so no gap counts as less than a third of the step from note to
note of the faster hand.`,
	Basis: detect.CommonPractice,
	Rests: "common practice. Recorded performances do not bear out that smaller gaps are harder: its notes are " +
		"missed three quarters as often as others, whatever the gap. What goes wrong is time, which no missed " +
		"note shows; until something does, its places are ranked by nine tenths of their demand.",
	Ranked:   0.9,
	Limits:   []detect.Limit{detect.HandsGap.Limit()},
	Telling:  []string{"ratio", "hands_order", "gaps"},
	Run:      findCrossRhythms,
	Speech:   speech,
	Practise: practise,
}

// Detail is the JSON detail of a cross-rhythm.
type Detail struct {
	Ratio      string       `json:"ratio"`            // right:left in lowest terms
	Right      []int        `json:"right"`            // where the right hand strikes, in parts of the cell from 0
	Left       []int        `json:"left"`             // the same for the left
	Grid       int          `json:"grid"`             // parts of the cell: the least number that holds both hands' notes
	Span       score.Rat    `json:"span"`             // the cell in quarters
	HandsOrder []score.Hand `json:"hands_order"`      // who strikes, attack by attack: "both", "right", "left"
	Gaps       []int        `json:"gaps"`             // from each attack to the next, the last to the end of the cell, in grid parts
	Groups     []int        `json:"groups,omitempty"` // notes of the faster hand under each note of the slower, in an uneven run
}

// maxParts bounds the equal parts of a cell: no score writes a finer rhythm.
const maxParts = 1 << 20

// countable is the finest grid that players count through; over finer ones
// they group the faster hand's notes. Common practice.
const countable = 24

func findCrossRhythms(p *detect.Pass) {
	answers := detect.TremoloAnswers(p.Score)
	cuts := meetings(starts(p.Score, score.Right, answers), starts(p.Score, score.Left, answers))
	right, left := leaveOut(p.Events[score.Right], answers), leaveOut(p.Events[score.Left], answers)
	for i := 0; i+1 < len(cuts); i++ {
		from, to := cuts[i], cuts[i+1]
		var inRight, inLeft []detect.Event
		inRight, right = before(right, to)
		inLeft, left = before(left, to)
		if r, ok := newRhythm(from, to, inRight, inLeft); ok {
			p.Report(r.occurrence(p))
		}
	}
}

// before splits events at an instant.
func before(events []detect.Event, at score.Rat) (earlier, rest []detect.Event) {
	n := 0
	for n < len(events) && events[n].At.Less(at) {
		n++
	}
	return events[:n], events[n:]
}

// leaveOut returns the events that strike other notes too.
func leaveOut(events []detect.Event, notes map[int]bool) []detect.Event {
	if len(notes) == 0 {
		return events
	}
	return slices.DeleteFunc(slices.Clone(events), func(e detect.Event) bool {
		return !slices.ContainsFunc(e.Struck, func(n int) bool { return !notes[n] })
	})
}

// starts returns the instants at which a hand starts something, in order,
// and the end of the piece: written notes, tied ones included, and rests, but
// not the answers in a tremolo. A hand for which nothing is written rests there
// all the same: that silence starts where the last note ends, and anew in
// every bar.
func starts(s *score.Score, h score.Hand, answers map[int]bool) []score.Rat {
	var at []score.Rat
	var end score.Rat
	for _, w := range written(s, h, answers) {
		at = append(at, silence(s, end, w.from)...)
		if !w.answer {
			at = append(at, w.from)
		}
		end = score.Max(end, w.to)
	}
	at = append(at, silence(s, end, s.End())...)
	return slices.Compact(append(at, s.End()))
}

type stretch struct {
	from, to score.Rat
	answer   bool // in a tremolo
}

// written returns the written notes and rests of a hand by their start.
func written(s *score.Score, h score.Hand, answers map[int]bool) []stretch {
	var all []stretch
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Hand == h && n.Grace == 0 {
			for _, head := range n.Heads {
				all = append(all, stretch{head.Onset, head.Onset.Add(head.Length), answers[i]})
			}
		}
	}
	for _, r := range s.Rests {
		if r.Hand == h {
			all = append(all, stretch{r.Onset, r.Onset.Add(r.Length), false})
		}
	}
	slices.SortStableFunc(all, func(a, b stretch) int { return a.from.Cmp(b.from) })
	return all
}

// silence returns the start of an unwritten rest and the barlines inside it.
func silence(s *score.Score, from, to score.Rat) []score.Rat {
	if !from.Less(to) {
		return nil
	}
	at := []score.Rat{from}
	for i := s.BarAt(from) + 1; i < len(s.Bars) && s.Bars[i].Start.Less(to); i++ {
		at = append(at, s.Bars[i].Start)
	}
	return at
}

// meetings returns what two ascending lists have in common.
func meetings(a, b []score.Rat) []score.Rat {
	var both []score.Rat
	for len(a) > 0 && len(b) > 0 {
		switch a[0].Cmp(b[0]) {
		case -1:
			a = a[1:]
		case 1:
			b = b[1:]
		default:
			both = append(both, a[0])
			a, b = a[1:], b[1:]
		}
	}
	return both
}

// rhythm is a cross-rhythm in one cell.
type rhythm struct {
	from, to score.Rat
	events   [2][]detect.Event // by hand
	at       [2][]int          // where each hand strikes, in grid parts
	parts    [2]int            // equal parts into which each hand divides the cell
	grid     int
}

// newRhythm reports whether what the hands strike from one cut to the next is a
// cross-rhythm.
func newRhythm(from, to score.Rat, right, left []detect.Event) (rhythm, bool) {
	r := rhythm{from: from, to: to, events: [2][]detect.Event{right, left}}
	for h := range r.events {
		r.parts[h] = r.divide(r.events[h])
		if r.parts[h] > maxParts {
			return r, false
		}
	}
	if r.parts[0]%r.parts[1] == 0 || r.parts[1]%r.parts[0] == 0 {
		return r, false
	}
	r.grid = lcm(r.parts[0], r.parts[1])
	for h := range r.events {
		for _, e := range r.events[h] {
			r.at[h] = append(r.at[h], int(r.share(e.At).Mul(score.Int(int64(r.grid))).Num()))
		}
	}
	return r, true
}

// share is an instant as a share of the cell: 0 at its start, 1 at its end.
func (r *rhythm) share(at score.Rat) score.Rat { return at.Sub(r.from).Div(r.to.Sub(r.from)) }

// divide returns the least number of equal parts of the cell on which events
// lie, or a number over maxParts.
func (r *rhythm) divide(events []detect.Event) int {
	parts := 1
	for _, e := range events {
		den := r.share(e.At).Den()
		if den > maxParts {
			return maxParts + 1
		}
		if parts = lcm(parts, int(den)); parts > maxParts {
			return parts
		}
	}
	return parts
}

// ratio is right to left in lowest terms.
func (r *rhythm) ratio() (right, left int) {
	g := gcd(r.parts[0], r.parts[1])
	return r.parts[0] / g, r.parts[1] / g
}

// composite returns both hands' attacks as one rhythm: who strikes, and the
// gap from each attack to the next, the last one to the end of the cell.
func (r *rhythm) composite() (hands []score.Hand, gaps []int) {
	right, left := r.at[0], r.at[1]
	last := -1
	for len(right) > 0 || len(left) > 0 {
		at, hand := r.grid, score.Both
		if len(right) > 0 {
			at, hand = right[0], score.Right
		}
		if len(left) > 0 && left[0] == at {
			hand = score.Both
		} else if len(left) > 0 && left[0] < at {
			at, hand = left[0], score.Left
		}
		if hand != score.Left {
			right = right[1:]
		}
		if hand != score.Right {
			left = left[1:]
		}
		if last >= 0 {
			gaps = append(gaps, at-last)
		}
		hands, last = append(hands, hand), at
	}
	return hands, append(gaps, r.grid-last)
}

// closest is the smallest gap, in grid parts, between a note of one hand and
// the next of the other, none struck together.
//
// There always is one: after the start of a cell the hands never strike
// together, and in a cross-rhythm each hand strikes after the start.
func (r *rhythm) closest() int {
	hands, gaps := r.composite()
	least := r.grid
	for i := 0; i+1 < len(hands); i++ {
		if hands[i] != score.Both && hands[i+1] != score.Both && hands[i] != hands[i+1] {
			least = min(least, gaps[i])
		}
	}
	return least
}

// step is the smallest gap, in grid parts, between two notes of one hand.
func (r *rhythm) step() int {
	least := r.grid
	for _, at := range r.at {
		for i := range at {
			next := r.grid
			if i+1 < len(at) {
				next = at[i+1]
			}
			least = min(least, next-at[i])
		}
	}
	return least
}

// groups returns how many notes of the faster hand fall under each note of the
// slower, where the run is too fine to count through; nil elsewhere. What the
// slower hand holds over from before counts as its first note. For an even run
// over even notes this is the most even grouping: sizes differ by one at most.
func (r *rhythm) groups() []int {
	right, left := r.ratio()
	if right*left <= countable {
		return nil
	}
	fast, slow := r.at[0], r.at[1]
	if right < left {
		fast, slow = slow, fast
	}
	if slow[0] > 0 {
		slow = append([]int{0}, slow...)
	}
	sizes := make([]int, len(slow))
	under := 0
	for _, at := range fast {
		for under+1 < len(slow) && slow[under+1] <= at {
			under++
		}
		sizes[under]++
	}
	return sizes
}

// counted is the gap, in grid parts, that demand is measured by.
func (r *rhythm) counted() score.Rat {
	return score.Max(score.Int(int64(r.closest())), score.R(int64(r.step()), 3))
}

func (r *rhythm) occurrence(p *detect.Pass) detect.Occurrence {
	right, left := r.ratio()
	hands, gaps := r.composite()
	groups := r.groups()
	span := r.to.Sub(r.from)
	label := fmt.Sprintf("%d over %d", right, left)
	grid := detect.RhythmGrid{
		Right: r.at[0], Left: r.at[1], Grid: r.grid, Span: span,
		PerRight: r.parts[0], PerLeft: r.parts[1], Groups: groups,
	}
	return detect.Occurrence{
		Hand: score.Both, From: r.from, To: r.end(p.Score),
		Notes:  r.notes(),
		Demand: p.Player.Can(detect.HandsGap) / r.seconds(p, r.counted()), Timed: true,
		Shape: fmt.Sprintf("%s %v %v", label, hands, gaps),
		Label: label,
		Why:   r.why(p),
		Detail: Detail{
			Ratio: fmt.Sprintf("%d:%d", right, left), Right: r.at[0], Left: r.at[1], Grid: r.grid, Span: span,
			HandsOrder: hands, Gaps: gaps, Groups: groups,
		},
		Picture: grid, Exercise: grid,
	}
}

// seconds is the real time of a number of grid parts.
func (r *rhythm) seconds(p *detect.Pass, parts score.Rat) float64 {
	return p.Clock.Seconds(r.from, r.to) * parts.Float() / float64(r.grid)
}

// notes returns the notes struck in the cell, in the score's order.
func (r *rhythm) notes() []int {
	var all []int
	for _, events := range r.events {
		for _, e := range events {
			all = append(all, e.Struck...)
		}
	}
	slices.Sort(all)
	return all
}

// end is where the last note ends, or the cell if the note is held beyond it.
func (r *rhythm) end(s *score.Score) score.Rat {
	last := r.from
	for _, i := range r.notes() {
		last = score.Max(last, s.Notes[i].End())
	}
	return score.Min(last, r.to)
}

// why says it as a teacher would.
func (r *rhythm) why(p *detect.Pass) string {
	hands, _ := r.composite()
	together := "they strike together only at its start"
	if hands[0] != score.Both {
		together = "they never strike together"
	}
	var b strings.Builder
	apart, counted := score.Int(int64(r.closest())), r.counted()
	fmt.Fprintf(&b, "The right hand divides %s into %d and the left into %d; %s and come as close as %.0f ms",
		score.LengthName(r.to.Sub(r.from)), r.parts[0], r.parts[1], together, 1000*r.seconds(p, apart))
	if apart.Less(counted) {
		fmt.Fprintf(&b, " (%.0f ms counts, a third of the run's step)", 1000*r.seconds(p, counted))
	}
	fmt.Fprintf(&b, ", where %.0f ms is comfortable", 1000*p.Player.Can(detect.HandsGap))
	if groups := r.groups(); groups != nil {
		fast, slow := score.Right, score.Left
		if r.parts[0] < r.parts[1] {
			fast, slow = slow, fast
		}
		fmt.Fprintf(&b, "; group the %s hand's run as %s under the %s hand's notes", fast, detect.SumOf(groups), slow)
	}
	return b.String() + "."
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func lcm(a, b int) int { return a / gcd(a, b) * b }
