package detect

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hardbars/score"
)

// Leap is a hand that must travel over the keyboard from one attack to the next.
var Leap = &Detector{
	Kind: "leap",
	Name: "leap",
	Doc: "A hand must travel from one attack to the next: the keys before and after do not fit in one comfortable " +
		"position of this hand (its reach less a whole tone), and the whole hand moves the same way by more than a whole tone. " +
		"How far is the smaller of the ways from lowest to lowest and from highest to highest key. " +
		"How hard is Fitts's index of difficulty, log2(2 × way ÷ width of the key aimed at), over the seconds from attack to attack, " +
		"against the bits a second that are comfortable at this level. " +
		"Where quick notes before it lie under one hand, four attacks or more within a quarter note and without a rest, " +
		"or the two keys of a broken octave in sixteenths, " +
		"the way and the time are from the nearest key of that position, when it was last struck: " +
		"the finger that leaps has been free since then. A key of that position is no leap. " +
		"A hand that has waited for more than a bar starts anew and does not leap. " +
		"Repeats, endings and jumps are followed: the way from the last bar back to the sign counts, at the end of that bar, " +
		"and what only stands side by side on the page does not. " +
		"The score leaves the time of grace notes open: the way to the first counts up to the beat, " +
		"each way from one on is given an eighth note, or less where there is no room since the attack before.",
	Limits: []Limit{
		LeapRate.Limit(),
		{"comfortable position", "the reach of the hand less a whole tone", "Parncutt et al. 1997"},
		{"least way", "more than 2 semitones", "common practice: a step is no leap"},
		{"longest wait", "one bar", "common practice"},
		{"a position of quick notes", "4 attacks within a quarter note, or 2 of a broken octave within a sixteenth, all within the reach of the hand", "common practice"},
	},
	Run: findLeaps,
}

// leastLeap is the least travel in semitones: a step to the next position is no leap.
const leastLeap = 3

// stroke is one attack of a hand, a grace note included, in playing order.
type stroke struct {
	at    score.Rat // of the event, also for the grace notes before it
	after score.Rat // quarters since the stroke before
	end   score.Rat // of the last note of the event
	notes []int     // low to high
	keys  []int     // of notes
}

// leap is a move from one stroke to the next.
type leap struct {
	hand     score.Hand
	from, to stroke
	over     seam // where play leaves the order of the page between them; zero elsewhere
	top      bool // measured between the highest keys, not the lowest
	mm       float64
	seconds  float64
}

// LeapDetail is the detail of a leap in JSON.
type LeapDetail struct {
	From          string   `json:"from"` // the key that is measured
	To            string   `json:"to"`
	Measured      string   `json:"measured"`  // "bottom" or "top" keys
	Semitones     int      `json:"semitones"` // negative downwards
	MM            float64  `json:"mm"`
	Seconds       float64  `json:"seconds"` // from attack to attack
	Bits          float64  `json:"bits"`
	BitsPerSecond float64  `json:"bits_per_second"`
	Landing       []string `json:"landing"` // every key struck, low to high
	Black         bool     `json:"black"`   // the narrowest key aimed at is black
	Chord         bool     `json:"chord"`
	Dynamic       string   `json:"dynamic"`         // in force at the landing; "" where none is written
	OtherHand     bool     `json:"other_hand"`      // leaps to the same instant
	Lands         *Place   `json:"lands,omitempty"` // where, when a repeat or jump leads there
}

func findLeaps(p *Pass) {
	type landing struct {
		at   score.Rat
		over seam
	}
	var leaps [2][]leap
	var landings [2]map[landing]bool
	for hand := range leaps {
		leaps[hand] = append(p.leaps(score.Hand(hand)), p.leapsOver(score.Hand(hand))...)
		landings[hand] = map[landing]bool{}
		for _, l := range leaps[hand] {
			landings[hand][landing{l.to.at, l.over}] = true
		}
	}
	for hand, own := range leaps {
		for _, l := range own {
			p.Report(p.leapFound(l, landings[1-hand][landing{l.to.at, l.over}]))
		}
	}
}

// leaps returns every leap of one hand from a stroke to the next on the page
// that is also next in play.
func (p *Pass) leaps(hand score.Hand) []leap {
	var found []leap
	strokes, follows := p.strokes(hand), follows(p.Score)
	for i := 1; i < len(strokes); i++ {
		l := leap{hand: hand, from: strokes[i-1], to: strokes[i]}
		if p.waited(l) || p.fits(l) || !l.travels() || !p.inPlay(l, follows) {
			continue
		}
		if l, ok := p.offPosition(l, strokes[:i]); ok {
			l.seconds = p.Clock.Seconds(l.to.at.Sub(l.to.after), l.to.at)
			found = append(found, l)
		}
	}
	return found
}

// What makes a position of quick notes. Common practice.
const leastInPosition = 4 // attacks, where they are no broken octave
var (
	longestPosition = score.Int(1)
	brokenOctave    = score.R(1, 4) // the longest from one key to the other
)

// offPosition measures a leap from the key of the hand's position that is
// nearest to the landing, last struck when that one was; before are the strokes
// up to the leap. ok is false where that leaves no leap. A grace note is left as
// soon as it is struck, and a leap from one stays as it is.
func (p *Pass) offPosition(l leap, before []stroke) (off leap, ok bool) {
	if l.from.at == l.to.at {
		return l, true
	}
	up := l.semitones(true) > 0
	position := p.position(l.hand, before)
	nearest, after := l, l.to.after
	for i := len(position) - 2; i >= 0; i-- {
		after = after.Add(position[i+1].after)
		if a, b := edge(position[i].keys, up), edge(nearest.from.keys, up); a != b && a > b == up {
			nearest.from, nearest.to.after = position[i], after
		}
	}
	nearest.top, nearest.mm = up, nearest.distance(up)
	switch way := nearest.semitones(up); {
	case up && way < leastLeap, !up && -way < leastLeap:
		return l, false
	case nearest.mm < l.mm:
		return nearest, true
	}
	return l, true
}

// position returns the last of some strokes of a hand that are one quick figure
// under one hand; none where there is no such figure.
func (p *Pass) position(hand score.Hand, strokes []stroke) []stroke {
	last := len(strokes) - 1
	first, keys := last, strokes[last].keys
	for i := last - 1; i >= 0; i-- {
		keys = join(keys, strokes[i].keys)
		rests := strokes[i].end.Less(strokes[i+1].at)
		if rests || longestPosition.Less(strokes[last].at.Sub(strokes[i].at)) || !p.Player.Covers(hand, keys) {
			break
		}
		first = i
	}
	switch {
	case last-first+1 >= leastInPosition:
		return strokes[first:]
	case first < last && isBrokenOctave(strokes[last-1], strokes[last]):
		return strokes[last-1:]
	}
	return nil
}

// isBrokenOctave tells whether two strokes are the keys of an octave, one
// quickly after the other.
func isBrokenOctave(a, b stroke) bool {
	return len(a.keys) == 1 && len(b.keys) == 1 && abs(a.keys[0]-b.keys[0]) == 12 && b.after.Cmp(brokenOctave) <= 0
}

// inPlay tells whether the bars from one stroke to the other follow each other
// in play as they do on the page.
func (p *Pass) inPlay(l leap, follows []bool) bool {
	for bar := p.Score.BarAt(l.from.at); bar < p.Score.BarAt(l.to.at); bar++ {
		if !follows[bar] {
			return false
		}
	}
	return true
}

// leapsOver returns every leap of one hand where play leaves the order of the page.
func (p *Pass) leapsOver(hand score.Hand) []leap {
	var found []leap
	strokes := p.strokes(hand)
	for _, over := range seams(p.Score) {
		from, to, ok := over.across(p.Score, strokes)
		if !ok {
			continue
		}
		end, start := p.Score.Bars[over.before.Last].End(), p.Score.Bars[over.after.First].Start
		to.after = end.Sub(from.at).Add(to.at.Sub(start))
		l := leap{hand: hand, from: from, to: to, over: over}
		if p.waited(l) || p.fits(l) || !l.travels() {
			continue
		}
		l.seconds = p.Clock.Seconds(from.at, end) + p.Clock.Seconds(start, to.at)
		found = append(found, l)
	}
	return found
}

// graceLength is the most time that a grace note is given, in quarters. Common practice.
var graceLength = score.R(1, 2)

// strokes lays out a hand's attacks, grace notes among them. The score leaves
// the time of grace notes open, so the reading is the kinder one: the hand has
// until the beat to reach the first, and an eighth note from each to what
// follows it, where there is as much room since the attack before.
func (p *Pass) strokes(hand score.Hand) []stroke {
	if p.strokesOf[hand] != nil {
		return p.strokesOf[hand]
	}
	all := make([]stroke, 0, len(p.Events[hand]))
	last := score.Rat{} // the event before
	for _, e := range p.Events[hand] {
		after, end := e.At.Sub(last), e.At
		for _, n := range e.Struck {
			end = score.Max(end, p.Score.Notes[n].End())
		}
		groups := p.graceGroups(e.Grace)
		each := graceLength
		if len(all) > 0 && len(groups) > 0 {
			each = score.Min(each, after.Div(score.Int(int64(len(groups)))))
		}
		for _, notes := range append(groups, e.Struck) {
			all = append(all, stroke{e.At, after, end, notes, p.Keys(notes)})
			after = each
		}
		last = e.At
	}
	p.strokesOf[hand] = all
	return all
}

// graceGroups puts grace notes that are struck together into one group.
func (p *Pass) graceGroups(grace []int) [][]int {
	var groups [][]int
	for i, n := range grace {
		if i > 0 && p.Score.Notes[n].Grace == p.Score.Notes[grace[i-1]].Grace {
			groups[len(groups)-1] = append(groups[len(groups)-1], n)
			continue
		}
		groups = append(groups, []int{n})
	}
	return groups
}

// waited tells whether the hand has more than a bar of time.
func (p *Pass) waited(l leap) bool {
	bar := p.Score.Bars[p.Score.BarAt(l.to.at)]
	return score.Max(bar.Time.Length, bar.Length).Less(l.to.after)
}

// fits tells whether all keys before and after lie in one comfortable position.
func (p *Pass) fits(l leap) bool {
	low := min(edge(l.from.keys, false), edge(l.to.keys, false))
	high := max(edge(l.from.keys, true), edge(l.to.keys, true))
	return Distance(low, high) <= p.Player.ComfortableReach(l.hand)
}

// travels measures the way and tells whether it is one: both edges of the hand
// move the same way, and the nearer of the two by more than a step.
func (l *leap) travels() bool {
	low, high := l.semitones(false), l.semitones(true)
	if low > 0 != (high > 0) || low == 0 || high == 0 {
		return false
	}
	bottom, top := l.distance(false), l.distance(true)
	l.top = top < bottom || top == bottom && l.hand == score.Right
	l.mm = math.Min(bottom, top)
	way := l.semitones(l.top)
	return way >= leastLeap || way <= -leastLeap
}

func (l *leap) semitones(top bool) int {
	return edge(l.to.keys, top) - edge(l.from.keys, top)
}

func (l *leap) distance(top bool) float64 {
	return Distance(edge(l.from.keys, top), edge(l.to.keys, top))
}

// edge is the highest or lowest of a stroke's notes or keys.
func edge(sorted []int, top bool) int {
	if top {
		return sorted[len(sorted)-1]
	}
	return sorted[0]
}

// target is the narrowest key of the landing.
func (l *leap) target() (width float64) {
	width = KeyWidth(l.to.keys[0])
	for _, k := range l.to.keys {
		width = math.Min(width, KeyWidth(k))
	}
	return width
}

// IndexOfDifficulty is Fitts's log2(2A/W) in bits, for a move of length a to a
// target of width w along it (Fitts 1954).
func IndexOfDifficulty(a, w float64) float64 { return math.Log2(2 * a / w) }

func (p *Pass) leapFound(l leap, otherHand bool) Occurrence {
	bits := IndexOfDifficulty(l.mm, l.target())
	from, to := p.pitch(edge(l.from.notes, l.top)), p.pitch(edge(l.to.notes, l.top))
	d := LeapDetail{
		From: from.String(), To: to.String(), Measured: "bottom",
		Semitones: l.semitones(l.top), MM: round1(l.mm), Seconds: round3(l.seconds),
		Bits: round3(bits), BitsPerSecond: round3(bits / l.seconds),
		Landing: p.names(l.to.notes), Black: l.target() == blackWidth, Chord: len(l.to.keys) > 1,
		Dynamic: p.Score.DynamicAt(l.hand, l.to.at), OtherHand: otherHand,
	}
	if l.top {
		d.Measured = "top"
	}
	o := Occurrence{
		Hand: l.hand, From: l.from.at, To: l.to.end,
		Notes:  slices.Concat(l.from.notes, l.to.notes),
		Demand: bits / l.seconds / p.Player.Can(LeapRate), Timed: true,
		Shape:   fmt.Sprintf("%+d %t>%t in %s", to.Staff()-from.Staff(), len(l.from.keys) > 1, d.Chord, l.to.after),
		Label:   "leap " + upDown(d.Semitones) + " to " + to.Pretty(),
		Why:     p.leapWhy(l, d, from, to),
		Detail:  d,
		Picture: KeyMove{From: l.from.keys, To: l.to.keys, Top: l.top, MM: l.mm, Seconds: l.seconds, Hand: l.hand},
	}
	if l.over != (seam{}) {
		p.elsewhere(&o, l, d)
	}
	return o
}

// elsewhere makes a leap to another part of the page end with the bar it
// leaves: that is where the player must know of it.
func (p *Pass) elsewhere(o *Occurrence, l leap, d LeapDetail) {
	bars := p.Score.Bars
	last, next := bars[l.over.before.Last], bars[l.over.after.First]
	lands := place(p.Score, p.Score.BarAt(l.to.at), l.to.at)
	d.Lands = &lands
	o.To, o.Notes, o.Detail = last.End(), l.from.notes, d
	o.Shape += " over a sign"
	o.Label += " in bar " + lands.Bar
	o.Why = fmt.Sprintf("Where play goes from bar %s to bar %s, t%s", last.Number, next.Number, strings.TrimPrefix(o.Why, "T"))
}

// leapWhy says it as a teacher would.
func (p *Pass) leapWhy(l leap, d LeapDetail, from, to score.Pitch) string {
	var b strings.Builder
	fmt.Fprintf(&b, "The %s hand leaps %s %d semitones (%.0f mm) from %s to %s", l.hand, upDown(d.Semitones),
		max(d.Semitones, -d.Semitones), l.mm, from.Pretty(), to.Pretty())
	switch {
	case d.Chord:
		fmt.Fprintf(&b, ", %s of a chord,", d.Measured)
	case d.Black:
		b.WriteString(", a black key,")
	}
	fmt.Fprintf(&b, " in %.2f s: %.1f bits a second, where %.3g are comfortable", l.seconds, d.BitsPerSecond, p.Player.Can(LeapRate))
	if d.OtherHand {
		b.WriteString("; the other hand leaps at the same instant")
	}
	return b.String() + "."
}

func upDown(semitones int) string {
	if semitones < 0 {
		return "down"
	}
	return "up"
}

func (p *Pass) pitch(note int) score.Pitch { return p.Score.Notes[note].Pitch }

// names are the pitches of notes as JSON names them.
func (p *Pass) names(notes []int) []string {
	names := make([]string, len(notes))
	for i, n := range notes {
		names[i] = p.pitch(n).String()
	}
	return names
}

func round1(x float64) float64 { return math.Round(x*10) / 10 }
