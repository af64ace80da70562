package detect

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/score"
)

// FastRun finds stretches of quick even notes in one hand.
var FastRun = &Detector{
	Kind: "fast-run",
	Name: "a fast run",
	Doc: `One hand plays note after note without a rest, each an eighth note or shorter and none twice as long as another,
for at least a beat and at least four notes; two attacks in succession are never the same keys. Thirds, octaves, chords,
broken octaves and the tremolos of two keys in turn are kinds of their own. Stretches of like notes with less than a
quarter note between them are one run, up to four bars from where it began. What is fastest in it decides: the notes a
second over eight notes and at least a beat, or over the whole stretch where it is shorter. Demand is that rate over the
comfortable one, times 0.8 and the changes of hand position for each note: five even fingers that stay in place are
easier than a scale, which moves on every five notes and counts as it is, and a hand that moves at every note is harder.
A position is what five fingers take in a comfortable reach. A run is called scales where two thirds of its moves are
steps of at most a whole tone, turning steps where it also turns at two fifths of them, and broken chords where at most
a third are steps.`,
	Limits: []Limit{
		RunRate.Limit(),
		{"longest note", "an eighth", "common practice"},
		{"comfortable position", "the reach of the hand less a whole tone", "Parncutt et al. 1997"},
		{"weight of the hand's position", "0.8 and the changes for each note", "common practice"},
	},
	Run: findFastRuns,
}

// What makes a run. Common practice.
const (
	leastRun   = 4   // notes
	judgedRun  = 8   // notes by which the rate is judged, where there are as many
	joinedBars = 4   // within which stretches are one run
	handStays  = 0.8 // the weight of a run in which the hand never moves on
)

var (
	longestRunNote = score.R(1, 2) // quarters
	longestBreath  = score.Int(1)  // between two stretches of one run, in quarters; shorter than this
)

// attack is what one hand strikes at one instant, and for how long it is the
// last: to the next attack, or to where the hand falls silent before it.
type attack struct {
	Event
	keys []int
	step score.Rat
	rest bool // the hand falls silent before the next attack
}

func (a *attack) end() score.Rat { return a.At.Add(a.step) }

// attacks lays out how a hand's events follow one another.
func (p *Pass) attacks(hand score.Hand) []attack {
	if p.attacksOf[hand] != nil {
		return p.attacksOf[hand]
	}
	events := p.Events[hand]
	all := make([]attack, len(events))
	for i, e := range events {
		sounds := score.Max(p.endOf(e.Struck), p.endOf(e.Held))
		end, rest := sounds, true
		if i+1 < len(events) && !sounds.Less(events[i+1].At) {
			end, rest = events[i+1].At, false
		}
		all[i] = attack{e, p.Keys(e.Struck), end.Sub(e.At), rest}
	}
	p.attacksOf[hand] = all
	return all
}

// line is the key that leads: the highest of the right hand, the lowest of the left.
func (a *attack) line(hand score.Hand) int { return edge(a.keys, hand == score.Right) }

// fastRun is one stretch of like notes, or several with hardly a breath between.
type fastRun struct {
	hand              score.Hand
	first, last       int // attacks of the hand, inclusive
	stretches         []attackRange
	shortest, longest score.Rat
}

// attackRange is attacks of a hand from one to another, inclusive.
type attackRange struct{ first, last int }

func (s attackRange) count() int { return s.last - s.first + 1 }

// RunDetail is the JSON detail of a fast run.
type RunDetail struct {
	Figure      string  `json:"figure"`               // "scales", "turning steps", "broken chords" or "mixed"
	Count       int     `json:"count"`                // attacks in the run
	PerSecond   float64 `json:"per_second"`           // where it is fastest
	FastestAt   Place   `json:"fastest_at"`           // where that begins
	From        string  `json:"from"`                 // the first note
	To          string  `json:"to"`                   // the last note
	Lowest      string  `json:"lowest"`               // the lowest note
	Highest     string  `json:"highest"`              // the highest note
	Turns       int     `json:"turns"`                // changes of direction
	Positions   int     `json:"positions"`            // of the hand, at the fewest
	BlackShare  float64 `json:"black_share"`          // of the keys struck
	Seconds     float64 `json:"seconds"`              // from the first attack to the end of the last
	WithoutRest float64 `json:"seconds_without_rest"` // the longest that the hand goes on without a silence
	Dynamic     string  `json:"dynamic,omitempty"`    // in force where the run begins
}

func findFastRuns(p *Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		attacks := p.attacks(hand)
		for _, r := range p.runs(hand, attacks) {
			p.Report(p.runFound(r, attacks))
		}
	}
}

// runs joins stretches of like notes that follow with hardly a breath.
func (p *Pass) runs(hand score.Hand, attacks []attack) []fastRun {
	var found []fastRun
	for _, s := range p.stretches(hand, attacks) {
		r := fastRun{hand, s.first, s.last, []attackRange{s}, score.Rat{}, score.Rat{}}
		r.shortest, r.longest = steps(attacks[s.first : s.last+1])
		if n := len(found) - 1; n >= 0 && p.goOn(&found[n], &r, attacks) {
			found[n].join(&r)
			continue
		}
		found = append(found, r)
	}
	return found
}

// goOn tells whether a stretch of like notes goes on from the run before it.
func (p *Pass) goOn(r, next *fastRun, attacks []attack) bool {
	breath := attacks[next.first].At.Sub(attacks[r.last].end())
	bars := p.Score.BarAt(attacks[next.first].At) - p.Score.BarAt(attacks[r.first].At)
	return breath.Less(longestBreath) && bars < joinedBars &&
		alike(score.Min(r.shortest, next.shortest), score.Max(r.longest, next.longest))
}

func (r *fastRun) join(next *fastRun) {
	r.last = next.last
	r.stretches = append(r.stretches, next.stretches...)
	r.shortest, r.longest = score.Min(r.shortest, next.shortest), score.Max(r.longest, next.longest)
}

// alike tells whether notes of these lengths make one run.
func alike(shortest, longest score.Rat) bool { return longest.Less(shortest.Add(shortest)) }

// steps are the shortest and the longest of some attacks.
func steps(attacks []attack) (shortest, longest score.Rat) {
	shortest, longest = attacks[0].step, attacks[0].step
	for _, a := range attacks {
		shortest, longest = score.Min(shortest, a.step), score.Max(longest, a.step)
	}
	return shortest, longest
}

// stretches cuts a hand's attacks into stretches of like notes and keeps those
// that are a run.
func (p *Pass) stretches(hand score.Hand, attacks []attack) []attackRange {
	shaken := make([]bool, len(attacks)) // is in a tremolo
	for _, s := range alternations(attacks) {
		for i := s.first; i <= s.last; i++ {
			shaken[i] = true
		}
	}
	var found []attackRange
	for i := 0; i < len(attacks); {
		s := attackRange{i, i}
		shortest, longest := attacks[i].step, attacks[i].step
		for !longestRunNote.Less(longest) && s.last+1 < len(attacks) && !shaken[s.last+1] {
			a, next := &attacks[s.last], &attacks[s.last+1]
			shortest, longest = score.Min(shortest, next.step), score.Max(longest, next.step)
			if a.rest || longestRunNote.Less(next.step) || slices.Equal(a.keys, next.keys) || !alike(shortest, longest) {
				break
			}
			s.last++
		}
		if !shaken[i] && p.isRun(hand, attacks[s.first:s.last+1]) {
			found = append(found, s)
		}
		i = s.last + 1
	}
	return found
}

// isRun tells whether like notes are enough for a run, and single notes on the
// whole: half of them may be double notes or chords, and half of the moves octaves.
func (p *Pass) isRun(hand score.Hand, attacks []attack) bool {
	n := len(attacks)
	beat := p.Score.Bars[p.Score.BarAt(attacks[0].At)].Time.Beat()
	if n < leastRun || attacks[n-1].end().Sub(attacks[0].At).Less(beat) {
		return false
	}
	chords, octaves := 0, 0
	for i := range attacks {
		if len(attacks[i].keys) > 1 {
			chords++
		}
		if i > 0 && abs(attacks[i].line(hand)-attacks[i-1].line(hand)) == octaveKeys {
			octaves++
		}
	}
	return 2*chords <= n && 2*octaves < n
}

func abs(n int) int { return max(n, -n) }

// peak is where a run is hardest.
type peak struct {
	attackRange
	rate      float64 // notes a second
	positions int
	weight    float64 // of the rate, by the hand's positions
}

// hardest looks through the run's stretches for what is hardest in it.
func (p *Pass) hardest(r fastRun, attacks []attack) peak {
	var most peak
	for _, s := range r.stretches {
		beat := p.Score.Bars[p.Score.BarAt(attacks[s.first].At)].Time.Beat()
		last := s.first
		for first := s.first; first <= s.last; first++ {
			for last < s.last && (last-first+1 < judgedRun || attacks[last].end().Sub(attacks[first].At).Less(beat)) {
				last++
			}
			if first > s.first && (last-first+1 < judgedRun || attacks[last].end().Sub(attacks[first].At).Less(beat)) {
				break
			}
			if w := p.peak(r.hand, attackRange{first, last}, attacks); w.rate*w.weight > most.rate*most.weight {
				most = w
			}
		}
	}
	return most
}

func (p *Pass) peak(hand score.Hand, s attackRange, attacks []attack) peak {
	w := peak{attackRange: s}
	n := float64(s.count())
	w.rate = n / p.Clock.Seconds(attacks[s.first].At, attacks[s.last].end())
	w.positions = p.positions(hand, attacks[s.first:s.last+1])
	w.weight = handStays + float64(w.positions-1)/n
	return w
}

// positions is the least number of positions in which a hand can play: in each
// it covers all keys in comfort, with a finger for each.
func (p *Pass) positions(hand score.Hand, attacks []attack) int {
	count := 0
	var covered []int
	for i := range attacks {
		all := slices.Concat(covered, attacks[i].keys)
		slices.Sort(all)
		all = slices.Compact(all)
		if count == 0 || len(all) > 5 || Extent(all) > p.Player.ComfortableReach(hand) {
			count++
			all = attacks[i].keys
		}
		covered = all
	}
	return count
}

func (p *Pass) runFound(r fastRun, attacks []attack) Occurrence {
	w := p.hardest(r, attacks)
	played := attacks[r.first : r.last+1]
	d := p.runDetails(r, w, attacks)
	comfortable := p.Player.Can(RunRate)
	return Occurrence{
		Hand: r.hand, From: played[0].At, To: played[len(played)-1].end(),
		Notes:  struck(played),
		Demand: w.rate * w.weight / comfortable, Timed: true,
		Shape:   lineShape(p.Score, r.hand, played),
		Label:   fmt.Sprintf("%s, %d notes", figureLabel[d.Figure], d.Count),
		Why:     p.runWhy(r, played[0].At, w, d),
		Detail:  d,
		Picture: p.roll(attacks[w.first].At, attacks[w.last].end(), struck(attacks[w.first:w.last+1])),
	}
}

// struck are the notes of attacks, in the score's order.
func struck(attacks []attack) []int {
	var notes []int
	for i := range attacks {
		notes = append(notes, attacks[i].Struck...)
	}
	slices.Sort(notes)
	return notes
}

// lineShape is the staff steps of the leading notes and the time from each
// attack to the next: the same in every key.
func lineShape(s *score.Score, hand score.Hand, attacks []attack) string {
	staff := func(i int) int { return s.Notes[edge(attacks[i].Struck, hand == score.Right)].Pitch.Staff() }
	var b strings.Builder
	for i := 1; i < len(attacks); i++ {
		fmt.Fprintf(&b, "%+d:%s ", staff(i)-staff(i-1), attacks[i].At.Sub(attacks[i-1].At))
	}
	return strings.TrimSpace(b.String())
}

var figureLabel = map[string]string{"scales": "scale run", "turning steps": "turning steps", "broken chords": "broken chords", "mixed": "quick notes"}

func (p *Pass) runDetails(r fastRun, w peak, attacks []attack) RunDetail {
	played := attacks[r.first : r.last+1]
	first, last := played[0], played[len(played)-1]
	lowest, highest := p.outer(played)
	d := RunDetail{
		Figure: figureOf(r.hand, played), Count: len(played), PerSecond: round3(w.rate), FastestAt: p.place(attacks[w.first].At),
		From:   p.pitch(edge(first.Struck, r.hand == score.Right)).String(),
		To:     p.pitch(edge(last.Struck, r.hand == score.Right)).String(),
		Lowest: p.pitch(lowest).String(), Highest: p.pitch(highest).String(),
		Turns: turns(r.hand, played), Positions: p.positions(r.hand, played), BlackShare: round3(blackShare(played)),
		Seconds: round3(p.Clock.Seconds(first.At, last.end())), WithoutRest: round3(p.withoutRest(played)),
		Dynamic: p.Score.DynamicAt(r.hand, first.At),
	}
	return d
}

// outer are the lowest and the highest note struck.
func (p *Pass) outer(attacks []attack) (lowest, highest int) {
	lowest, highest = attacks[0].Struck[0], attacks[0].Struck[0]
	for _, n := range struck(attacks) {
		if key(p.Score, n) < key(p.Score, lowest) {
			lowest = n
		}
		if key(p.Score, n) > key(p.Score, highest) {
			highest = n
		}
	}
	return lowest, highest
}

// figureOf tells scales from broken chords by the share of steps among the
// moves, and scales from figures that keep turning.
func figureOf(hand score.Hand, attacks []attack) string {
	steps, moves := 0, len(attacks)-1
	for i := 1; i < len(attacks); i++ {
		if abs(attacks[i].line(hand)-attacks[i-1].line(hand)) <= 2 {
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
func turns(hand score.Hand, attacks []attack) int {
	count, direction := 0, 0
	for i := 1; i < len(attacks); i++ {
		move := attacks[i].line(hand) - attacks[i-1].line(hand)
		if move*direction < 0 {
			count++
		}
		if move != 0 {
			direction = move
		}
	}
	return count
}

func blackShare(attacks []attack) float64 {
	black, all := 0, 0
	for i := range attacks {
		for _, k := range attacks[i].keys {
			all++
			if IsBlack(k) {
				black++
			}
		}
	}
	return float64(black) / float64(all)
}

// withoutRest is the longest time, in seconds, that the hand goes on without a silence.
func (p *Pass) withoutRest(attacks []attack) float64 {
	longest, from := 0.0, attacks[0].At
	for i := range attacks {
		if a := &attacks[i]; a.rest || i == len(attacks)-1 {
			longest = max(longest, p.Clock.Seconds(from, a.end()))
			if i+1 < len(attacks) {
				from = attacks[i+1].At
			}
		}
	}
	return longest
}

// runWhy says it as a teacher would.
func (p *Pass) runWhy(r fastRun, from score.Rat, w peak, d RunDetail) string {
	var b strings.Builder
	figure := d.Figure
	if figure == "mixed" {
		figure = "steps and leaps"
	}
	fmt.Fprintf(&b, "%d notes in %s in the %s hand, at %.1f a second", d.Count, figure, r.hand, w.rate)
	if bar := d.FastestAt.Bar; bar != p.place(from).Bar {
		fmt.Fprintf(&b, " where it is hardest, from bar %s on", bar)
	}
	fmt.Fprintf(&b, "; with %s of the hand in %d notes that counts as %.1f, where %.1f is comfortable",
		counted(w.positions, "position", "positions"), w.count(), w.rate*w.weight, p.Player.Can(RunRate))
	fmt.Fprintf(&b, ". In all %s, %.0f %% black keys, and %.1f s without a rest.",
		counted(d.Turns, "turn", "turns"), 100*d.BlackShare, d.WithoutRest)
	return b.String()
}

// counted is a number with its noun.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
