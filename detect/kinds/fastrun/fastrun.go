// Package fastrun finds stretches of quick even notes in one hand.
package fastrun

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind fast-run.
var Detector = &detect.Detector{
	Kind: "fast-run",
	Name: "a fast run",
	Doc: `One hand plays note after note without a rest, each two fifths of a second or shorter at the written tempo and none twice as
long as another, for at least a beat and at least four notes, or six notes however short they are; two attacks in succession are never the same keys. Thirds, octaves, chords,
broken octaves, the tremolos of two keys in turn and a hand that goes to and fro are kinds of their own. Stretches of like notes with less than a
quarter note between them are one run, up to four bars from where it began. What is fastest in it decides: the notes a
second over eight notes and at least a beat, or over the whole stretch where it is shorter. Demand is that rate over the
comfortable one, times 0.8 and, for each note, the changes of hand position or the passages of the thumb, whichever are
more, half of the thumb's strokes on black keys and a quarter of the moves between the fourth and the fifth finger: five even fingers that stay in place are
easier than a scale, which moves on every five notes and counts as it is, and a hand that moves at every note is harder.
A position is what five fingers take in a comfortable reach. A run is called scales where two thirds of its moves are
steps of at most a whole tone, turning steps where it also turns at two fifths of them, and broken chords where at most
a third are steps.`,
	Limits: []detect.Limit{
		detect.RunRate.Limit(),
		{Name: "longest note", Value: "0.4 s at the written tempo", Source: "common practice"},
		{Name: "comfortable position", Value: "the reach of the hand less a whole tone", Source: "Parncutt et al. 1997"},
		{Name: "weight of the hand's position", Value: "0.8 and the changes or passages for each note, thumb on black ½, 4 to 5 ¼", Source: "common practice"},
	},
	Basis: detect.Calibrated,
	Rests: "recorded performances: its notes are missed 0.4 times as often as others at the least demand and as " +
		"often at the greatest. The level is common practice.",
	Telling:  []string{"figure", "count", "from", "to", "turns"},
	Run:      findFastRuns,
	Speech:   speech,
	Practise: practise,
}

// What makes a run. Common practice.
const (
	leastRun   = 4   // notes
	burst      = 6   // notes that are a run also within less than a beat
	judgedRun  = 8   // notes by which the rate is judged, where there are as many
	joinedBars = 4   // within which stretches are one run
	handStays  = 0.8 // the weight of a run in which the hand never moves on
)

const longestRunNote = 0.4 // seconds at the written tempo

// tooLong reports whether an attack is too long for a note of a run.
func tooLong(p *detect.Pass, a *detect.Attack) bool {
	return p.Clock.Written(a.At, a.End()) > longestRunNote
}

// fastRun is one stretch of like notes, or several with hardly a breath between.
type fastRun struct {
	hand              score.Hand
	first, last       int // attacks of the hand, inclusive
	stretches         []detect.AttackRange
	shortest, longest score.Rat
}

// Detail is the JSON detail of a fast run.
type Detail struct {
	Figure      string          `json:"figure"`               // "scales", "turning steps", "broken chords" or "mixed"
	Count       int             `json:"count"`                // attacks in the run
	PerSecond   float64         `json:"per_second"`           // where it is fastest
	FastestAt   detect.Position `json:"fastest_at"`           // where that begins
	From        score.Pitch     `json:"from"`                 // the first note
	To          score.Pitch     `json:"to"`                   // the last note
	Lowest      score.Pitch     `json:"lowest"`               // the lowest note
	Highest     score.Pitch     `json:"highest"`              // the highest note
	Turns       int             `json:"turns"`                // changes of direction
	Positions   int             `json:"positions"`            // of the hand, at the fewest
	Passages    int             `json:"passages"`             // of the thumb under the hand and of fingers over it
	ThumbBlack  int             `json:"thumb_on_black"`       // strokes
	Weak        int             `json:"weak_moves"`           // between the fourth and the fifth finger
	BlackShare  float64         `json:"black_share"`          // of the keys struck
	Seconds     float64         `json:"seconds"`              // from the first attack to the end of the last
	WithoutRest float64         `json:"seconds_without_rest"` // the longest that the hand goes on without a silence
	Dynamic     string          `json:"dynamic,omitempty"`    // in force where the run begins
}

func findFastRuns(p *detect.Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		attacks := p.Attacks(hand)
		for _, r := range runs(p, hand, attacks) {
			p.Report(runFound(p, r, attacks))
		}
	}
}

// runs joins stretches of like notes that follow with hardly a breath.
func runs(p *detect.Pass, hand score.Hand, attacks []detect.Attack) []fastRun {
	var found []fastRun
	for _, s := range stretches(p, hand, attacks) {
		r := fastRun{hand, s.First, s.Last, []detect.AttackRange{s}, score.Rat{}, score.Rat{}}
		r.shortest, r.longest = steps(attacks[s.First : s.Last+1])
		if n := len(found) - 1; n >= 0 && goOn(p, &found[n], &r, attacks) {
			found[n].join(&r)
			continue
		}
		found = append(found, r)
	}
	return found
}

// goOn reports whether a stretch of like notes goes on from the run before it.
func goOn(p *detect.Pass, r, next *fastRun, attacks []detect.Attack) bool {
	breath := attacks[next.first].At.Sub(attacks[r.last].End())
	bars := p.Score.BarAt(attacks[next.first].At) - p.Score.BarAt(attacks[r.first].At)
	return breath.Less(detect.LongestBreath) && bars < joinedBars &&
		detect.Alike(score.Min(r.shortest, next.shortest), score.Max(r.longest, next.longest))
}

func (r *fastRun) join(next *fastRun) {
	r.last = next.last
	r.stretches = append(r.stretches, next.stretches...)
	r.shortest, r.longest = score.Min(r.shortest, next.shortest), score.Max(r.longest, next.longest)
}

// steps are the shortest and the longest of some attacks.
func steps(attacks []detect.Attack) (shortest, longest score.Rat) {
	shortest, longest = attacks[0].Step, attacks[0].Step
	for _, a := range attacks {
		shortest, longest = score.Min(shortest, a.Step), score.Max(longest, a.Step)
	}
	return shortest, longest
}

// stretches cuts a hand's attacks into stretches of like notes and keeps those
// that are a run.
func stretches(p *detect.Pass, hand score.Hand, attacks []detect.Attack) []detect.AttackRange {
	shaken := make([]bool, len(attacks)) // is in a tremolo
	for _, s := range slices.Concat(detect.Alternations(attacks), p.Rotations(hand)) {
		for i := s.First; i <= s.Last; i++ {
			shaken[i] = true
		}
	}
	var found []detect.AttackRange
	for i := 0; i < len(attacks); {
		s := detect.AttackRange{First: i, Last: i}
		shortest, longest := attacks[i].Step, attacks[i].Step
		for !tooLong(p, &attacks[i]) && s.Last+1 < len(attacks) && !shaken[s.Last+1] {
			a, next := &attacks[s.Last], &attacks[s.Last+1]
			shortest, longest = score.Min(shortest, next.Step), score.Max(longest, next.Step)
			if a.Rest || tooLong(p, next) || slices.Equal(a.Keys, next.Keys) || !detect.Alike(shortest, longest) {
				break
			}
			s.Last++
		}
		if !shaken[i] && isRun(p, hand, attacks[s.First:s.Last+1]) {
			found = append(found, s)
		}
		i = s.Last + 1
	}
	return found
}

// isRun reports whether like notes are enough for a run, and single notes on the
// whole: half of them may be double notes or chords, and half of the moves octaves.
func isRun(p *detect.Pass, hand score.Hand, attacks []detect.Attack) bool {
	n := len(attacks)
	beat := p.Score.Bars[p.Score.BarAt(attacks[0].At)].Time.Beat()
	if n < leastRun || n < burst && attacks[n-1].End().Sub(attacks[0].At).Less(beat) {
		return false
	}
	chords, octaves := 0, 0
	for i := range attacks {
		if len(attacks[i].Keys) > 1 {
			chords++
		}
		if i > 0 && detect.Abs(attacks[i].Line(hand)-attacks[i-1].Line(hand)) == detect.OctaveKeys {
			octaves++
		}
	}
	return 2*chords <= n && 2*octaves < n
}

// peak is where a run is hardest.
type peak struct {
	detect.AttackRange
	rate      float64 // notes a second
	positions int
	weight    float64 // of the rate, by the hand's positions
}

// hardest looks through the run's stretches for what is hardest in it.
func hardest(p *detect.Pass, r fastRun, attacks []detect.Attack) peak {
	var most peak
	for _, s := range r.stretches {
		beat := p.Score.Bars[p.Score.BarAt(attacks[s.First].At)].Time.Beat()
		last := s.First
		for first := s.First; first <= s.Last; first++ {
			for last < s.Last && (last-first+1 < judgedRun || attacks[last].End().Sub(attacks[first].At).Less(beat)) {
				last++
			}
			if first > s.First && (last-first+1 < judgedRun || attacks[last].End().Sub(attacks[first].At).Less(beat)) {
				break
			}
			if w := peakOf(p, r.hand, detect.AttackRange{First: first, Last: last}, attacks); w.rate*w.weight > most.rate*most.weight {
				most = w
			}
		}
	}
	return most
}

func peakOf(p *detect.Pass, hand score.Hand, s detect.AttackRange, attacks []detect.Attack) peak {
	w := peak{AttackRange: s}
	n := float64(s.Count())
	w.rate = n / p.Clock.Seconds(attacks[s.First].At, attacks[s.Last].End())
	w.positions = positions(p, hand, attacks[s.First:s.Last+1])
	f := fingersOf(p, p.ModelFingering(), hand, attacks[s.First:s.Last+1])
	w.weight = handStays + (max(float64(w.positions-1), float64(f.passages))+onBlack*float64(f.thumbBlack)+weakMove*float64(f.weak))/n
	return w
}

// What a stroke of the thumb on a black key and a move between the fourth and the
// fifth finger weigh beside a change of position. Common practice.
const (
	onBlack  = 0.5
	weakMove = 0.25
)

// fingers is what the fingers of a hand do in a run.
type fingers struct{ passages, thumbBlack, weak int }

func fingersOf(p *detect.Pass, all *hand.Fingering, side score.Hand, attacks []detect.Attack) (f fingers) {
	first, last := attacks[0].At, attacks[len(attacks)-1].At
	places := all.Places[side]
	from, _ := slices.BinarySearchFunc(places, first, func(pl hand.Place, at score.Rat) int { return pl.At.Cmp(at) })
	before := 0
	for i := from; i < len(places) && places[i].At.Cmp(last) <= 0; i++ {
		pl := &places[i]
		if i > from && (pl.Come == hand.Under || pl.Come == hand.Over) {
			f.passages++
		}
		finger := 0
		for _, n := range pl.Notes {
			finger = all.Notes[n].Finger
			if finger == 1 && hand.IsBlack(detect.Key(p.Score, n)) {
				f.thumbBlack++
			}
		}
		if before+finger == 9 && before != finger {
			f.weak++
		}
		before = finger
	}
	return f
}

// positions is the least number of positions in which a hand can play: in each
// it covers all keys in comfort, with a finger for each.
func positions(p *detect.Pass, side score.Hand, attacks []detect.Attack) int {
	count := 0
	var covered []int
	for i := range attacks {
		all := slices.Concat(covered, attacks[i].Keys)
		slices.Sort(all)
		all = slices.Compact(all)
		if count == 0 || len(all) > 5 || hand.Extent(all) > p.Player.Hand(side).ComfortableReach() {
			count++
			all = attacks[i].Keys
		}
		covered = all
	}
	return count
}

func runFound(p *detect.Pass, r fastRun, attacks []detect.Attack) detect.Occurrence {
	w := hardest(p, r, attacks)
	played := attacks[r.first : r.last+1]
	d := runDetails(p, r, w, attacks)
	comfortable := p.Player.Can(detect.RunRate)
	return detect.Occurrence{
		Hand: r.hand, From: played[0].At, To: played[len(played)-1].End(),
		Notes:  detect.Struck(played),
		Demand: w.rate * w.weight / comfortable, Timed: true,
		Shape:    detect.LineShape(p.Score, r.hand, played),
		Label:    fmt.Sprintf("%s, %d notes", figureLabel[d.Figure], d.Count),
		Why:      runWhy(p, r, played[0].At, w, d),
		Detail:   d,
		Picture:  p.PianoRoll(attacks[w.First].At, attacks[w.Last].End(), detect.Struck(attacks[w.First:w.Last+1])),
		Exercise: detect.Rhythms{Hardest: attacks[w.First].At},
	}
}

var figureLabel = map[string]string{"scales": "scale run", "turning steps": "turning steps", "broken chords": "broken chords", "mixed": "quick notes"}

func runDetails(p *detect.Pass, r fastRun, w peak, attacks []detect.Attack) Detail {
	played := attacks[r.first : r.last+1]
	first, last := played[0], played[len(played)-1]
	lowest, highest := outer(p, played)
	f := fingersOf(p, p.Fingering(), r.hand, played)
	d := Detail{
		Passages: f.passages, ThumbBlack: f.thumbBlack, Weak: f.weak,
		Figure: figureOf(r.hand, played), Count: len(played), PerSecond: detect.Round3(w.rate), FastestAt: p.Position(attacks[w.First].At),
		From:   p.Pitch(detect.Edge(first.Struck, r.hand == score.Right)),
		To:     p.Pitch(detect.Edge(last.Struck, r.hand == score.Right)),
		Lowest: p.Pitch(lowest), Highest: p.Pitch(highest),
		Turns: turns(r.hand, played), Positions: positions(p, r.hand, played), BlackShare: detect.Round3(blackShare(played)),
		Seconds: detect.Round3(p.Clock.Seconds(first.At, last.End())), WithoutRest: detect.Round3(withoutRest(p, played)),
		Dynamic: p.Score.DynamicAt(r.hand, first.At),
	}
	return d
}

// outer are the lowest and the highest note struck.
func outer(p *detect.Pass, attacks []detect.Attack) (lowest, highest int) {
	lowest, highest = attacks[0].Struck[0], attacks[0].Struck[0]
	for _, n := range detect.Struck(attacks) {
		if detect.Key(p.Score, n) < detect.Key(p.Score, lowest) {
			lowest = n
		}
		if detect.Key(p.Score, n) > detect.Key(p.Score, highest) {
			highest = n
		}
	}
	return lowest, highest
}

// figureOf tells scales from broken chords by the share of steps among the
// moves, and scales from figures that keep turning.
func figureOf(hand score.Hand, attacks []detect.Attack) string {
	steps, moves := 0, len(attacks)-1
	for i := 1; i < len(attacks); i++ {
		if detect.Abs(attacks[i].Line(hand)-attacks[i-1].Line(hand)) <= 2 {
			steps++
		}
	}
	switch {
	case 3*steps >= 2*moves && 5*turns(hand, attacks) >= 2*moves:
		return "turning steps"
	case 3*steps >= 2*moves:
		return "scales"
	case 3*steps <= moves:
		return "broken chords"
	}
	return "mixed"
}

// turns counts the changes of direction.
func turns(hand score.Hand, attacks []detect.Attack) int {
	count, direction := 0, 0
	for i := 1; i < len(attacks); i++ {
		move := attacks[i].Line(hand) - attacks[i-1].Line(hand)
		if move*direction < 0 {
			count++
		}
		if move != 0 {
			direction = move
		}
	}
	return count
}

func blackShare(attacks []detect.Attack) float64 {
	black, all := 0, 0
	for i := range attacks {
		for _, k := range attacks[i].Keys {
			all++
			if hand.IsBlack(k) {
				black++
			}
		}
	}
	return float64(black) / float64(all)
}

// withoutRest is the longest time, in seconds, that the hand goes on without a silence.
func withoutRest(p *detect.Pass, attacks []detect.Attack) float64 {
	longest, from := 0.0, attacks[0].At
	for i := range attacks {
		if a := &attacks[i]; a.Rest || i == len(attacks)-1 {
			longest = max(longest, p.Clock.Seconds(from, a.End()))
			if i+1 < len(attacks) {
				from = attacks[i+1].At
			}
		}
	}
	return longest
}

// runWhy says it as a teacher would.
func runWhy(p *detect.Pass, r fastRun, from score.Rat, w peak, d Detail) string {
	var b strings.Builder
	figure := d.Figure
	if figure == "mixed" {
		figure = "steps and leaps"
	}
	fmt.Fprintf(&b, "%d notes in %s in the %s hand, at %.1f a second", d.Count, figure, r.hand, w.rate)
	if bar := d.FastestAt.Bar; bar != p.Position(from).Bar {
		fmt.Fprintf(&b, " where it is hardest, from bar %s on", bar)
	}
	fmt.Fprintf(&b, "; with %s of the hand in %d notes that counts as %.1f, where %.1f is comfortable",
		detect.Counted(w.positions, "position", "positions"), w.Count(), w.rate*w.weight, p.Player.Can(detect.RunRate))
	switch {
	case d.Passages > 0 && d.ThumbBlack > 0:
		fmt.Fprintf(&b, ". The thumb passes %s and falls on a black key %s", detect.Times(d.Passages), detect.Times(d.ThumbBlack))
	case d.Passages > 0:
		fmt.Fprintf(&b, ". The thumb passes %s", detect.Times(d.Passages))
	case d.ThumbBlack > 0:
		fmt.Fprintf(&b, ". The thumb falls on a black key %s", detect.Times(d.ThumbBlack))
	}
	fmt.Fprintf(&b, ". In all %s, %.0f %% black keys, and %.1f s without a rest.",
		detect.Counted(d.Turns, "turn", "turns"), 100*d.BlackShare, d.WithoutRest)
	return b.String()
}
