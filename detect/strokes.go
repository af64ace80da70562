package detect

import (
	"math"
	"slices"

	"hardbars/detect/hand"
	"hardbars/score"
)

// leastLeap is the least way of a hand in semitones: a step is no leap.
const leastLeap = 3

// stroke is one attack of a hand, a grace note included, in playing order.
type stroke struct {
	At    score.Rat // of the event, also for the grace notes before it
	After score.Rat // quarters since the stroke before
	End   score.Rat // of the last note of the event
	Notes []int     // low to high
	Keys  []int     // of notes
}

// Leap is a move of a hand from one stroke to the next that it does not cover
// from where it lies.
type Leap struct {
	Hand     score.Hand
	From, To stroke
	Over     Seam    // where play leaves the order of the page between them; zero elsewhere
	Top      bool    // told by the highest keys, not the lowest
	Mm       float64 // from key to key
	Travel   float64 // of the hand, in mm: what is left of the way when it opens comfortably towards it
	Seconds  float64 // from when the hand is free
}

// Leaps returns every leap of one hand from a stroke to the next on the page
// that is also next in play.
func (p *Pass) Leaps(hand score.Hand) []Leap {
	var found []Leap
	strokes, follows := p.strokes(hand), follows(p.Score)
	for i := 1; i < len(strokes); i++ {
		l := Leap{Hand: hand, From: p.rolledOff(hand, strokes[i-1]), To: p.rolledOn(hand, strokes[i])}
		if p.waited(l) || !p.travels(&l) || !p.inPlay(l, follows) {
			continue
		}
		l.Seconds = p.Clock.Seconds(l.To.At.Sub(l.To.After), l.To.At) - p.holding(l.From, l.To.At)
		if l, ok := p.offPosition(l, strokes[:i]); ok {
			found = append(found, l)
		}
	}
	return found
}

// rolledOff is what of a stroke a hand leaves last, and rolledOn what it takes
// first, where not even the largest hand takes all of it at once.
func (p *Pass) rolledOff(side score.Hand, s stroke) stroke {
	groups := p.rolledBy(hand.Largest(side), s.Notes)
	s.Notes = groups[len(groups)-1]
	s.Keys = p.Keys(s.Notes)
	return s
}

func (p *Pass) rolledOn(side score.Hand, s stroke) stroke {
	s.Notes = p.rolledBy(hand.Largest(side), s.Notes)[0]
	s.Keys = p.Keys(s.Notes)
	return s
}

// longestHold is how long the finger stays on a note before a leap that the hand
// has to hold, in seconds at the written tempo: of a longer note the last second
// is time for the leap. Common practice.
const longestHold = 1.0

// holding is for how long a hand is not free yet after a stroke, in seconds,
// because it holds what it has struck and no pedal does.
func (p *Pass) holding(s stroke, until score.Rat) float64 {
	end := score.Min(s.End, until)
	if end.Cmp(s.At) <= 0 || !slices.ContainsFunc(s.Notes, func(n int) bool { return AsksToHold(&p.Score.Notes[n]) }) || p.pedalDown(end) {
		return 0
	}
	return max(0, p.Clock.Seconds(s.At, end)-longestHold/p.Clock.scale)
}

// pedalDown reports whether the damper pedal is down up to an instant.
func (p *Pass) pedalDown(at score.Rat) bool {
	return slices.ContainsFunc(p.Score.Pedals, func(d score.Pedal) bool {
		return d.Kind == score.Damper && d.From.Less(at) && at.Cmp(d.To) <= 0
	})
}

// What makes a position of quick notes. Common practice.
const (
	leastInPosition = 4    // attacks, where they are no broken octave
	longestPosition = 1.0  // seconds at the written tempo
	brokenOctave    = 0.25 // seconds at the written tempo from one key to the other, at most
	leastOff        = 6    // semitones from the nearest key of the position: a fourth is not left for
)

// offPosition measures a leap from the key of the hand's position that is
// nearest to the landing, last struck when that one was, where that is less far;
// before are the strokes up to the leap. ok is false where that leaves no
// leap. A grace note is left as soon as it is struck, and a leap from one stays
// as it is.
func (p *Pass) offPosition(l Leap, before []stroke) (off Leap, ok bool) {
	if l.From.At == l.To.At {
		return l, true
	}
	up := l.Semitones(true) > 0
	position := p.position(l.Hand, before)
	nearest, after := l, l.To.After
	for i := len(position) - 2; i >= 0; i-- {
		after = after.Add(position[i+1].After)
		if a, b := Edge(position[i].Keys, up), Edge(nearest.From.Keys, up); a != b && a > b == up {
			nearest.From, nearest.To.After = position[i], after
		}
	}
	if way := nearest.Semitones(up); len(position) > 0 && (up && way < leastOff || !up && -way < leastOff) {
		return l, false
	}
	nearest.Top, nearest.Mm = up, nearest.distance(up)
	nearest.Travel = min(nearest.Mm, l.Travel)
	nearest.Seconds = p.Clock.Seconds(l.To.At.Sub(nearest.To.After), l.To.At)
	if nearest.Mm < l.Mm {
		return nearest, true
	}
	return l, true
}

// position returns the last of some strokes of a hand that are one quick figure
// under one hand; none where there is no such figure.
func (p *Pass) position(hand score.Hand, strokes []stroke) []stroke {
	last := len(strokes) - 1
	first, keys := last, strokes[last].Keys
	for i := last - 1; i >= 0; i-- {
		keys = JoinKeys(keys, strokes[i].Keys)
		rests := strokes[i].End.Less(strokes[i+1].At)
		if rests || p.Clock.Written(strokes[i].At, strokes[last].At) > longestPosition || !p.Player.Hand(hand).Covers(keys) {
			break
		}
		first = i
	}
	switch {
	case last-first+1 >= leastInPosition:
		return strokes[first:]
	case first < last && p.isBrokenOctave(strokes[last-1], strokes[last]):
		return strokes[last-1:]
	}
	return nil
}

// isBrokenOctave reports whether two strokes are the keys of an octave, one
// quickly after the other.
func (p *Pass) isBrokenOctave(a, b stroke) bool {
	return len(a.Keys) == 1 && len(b.Keys) == 1 && Abs(a.Keys[0]-b.Keys[0]) == OctaveKeys && p.Clock.Written(a.At, b.At) <= brokenOctave
}

// inPlay reports whether the bars from one stroke to the other follow each other
// in play as they do on the page.
func (p *Pass) inPlay(l Leap, follows []bool) bool {
	for bar := p.Score.BarAt(l.From.At); bar < p.Score.BarAt(l.To.At); bar++ {
		if !follows[bar] {
			return false
		}
	}
	return true
}

// LeapsOver returns every leap of one hand where play leaves the order of the page.
func (p *Pass) LeapsOver(hand score.Hand) []Leap {
	var found []Leap
	strokes := p.strokes(hand)
	for _, over := range seams(p.Score) {
		from, to, ok := over.across(p.Score, strokes)
		if !ok {
			continue
		}
		end, start := p.Score.Bars[over.Before.Last].End(), p.Score.Bars[over.After.First].Start
		to.After = end.Sub(from.At).Add(to.At.Sub(start))
		l := Leap{Hand: hand, From: p.rolledOff(hand, from), To: p.rolledOn(hand, to), Over: over}
		if p.waited(l) || !p.travels(&l) {
			continue
		}
		l.Seconds = p.Clock.Seconds(from.At, end) + p.Clock.Seconds(start, to.At) - p.holding(l.From, end)
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
		groups := p.GraceGroups(e.Grace)
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

// GraceGroups puts grace notes that are struck together into one group.
func (p *Pass) GraceGroups(grace []int) [][]int {
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

// waited reports whether the hand has more than a bar of time.
func (p *Pass) waited(l Leap) bool {
	bar := p.Score.Bars[p.Score.BarAt(l.To.At)]
	return score.Max(bar.Time.Length, bar.Length).Less(l.To.After)
}

// travels measures how far the hand has to go and reports whether that is a
// leap: all keys before and after do not lie within its reach, and both its
// edges move the same way by more than a step. What it travels is the way of
// the nearer edge, or less: what is left when it opens comfortably towards the
// landing.
func (p *Pass) travels(l *Leap) bool {
	low, high := l.Semitones(false), l.Semitones(true)
	if low > 0 != (high > 0) || low == 0 || high == 0 {
		return false
	}
	bottom, top := l.distance(false), l.distance(true)
	l.Top = top < bottom || top == bottom && l.Hand == score.Right
	l.Mm = min(bottom, top)
	both := hand.Distance(min(Edge(l.From.Keys, false), Edge(l.To.Keys, false)), max(Edge(l.From.Keys, true), Edge(l.To.Keys, true)))
	own := p.Player.Hand(l.Hand)
	l.Travel = min(l.Mm, both-own.ComfortableReach())
	return both > own.Reach() && Abs(l.Semitones(l.Top)) >= leastLeap
}

func (l *Leap) Semitones(top bool) int {
	return Edge(l.To.Keys, top) - Edge(l.From.Keys, top)
}

func (l *Leap) distance(top bool) float64 {
	return hand.Distance(Edge(l.From.Keys, top), Edge(l.To.Keys, top))
}

// Target is the narrowest key of the landing.
func (l *Leap) Target() (width float64) {
	width = hand.KeyWidth(l.To.Keys[0])
	for _, k := range l.To.Keys {
		width = math.Min(width, hand.KeyWidth(k))
	}
	return width
}

// Bits is the index of difficulty of the hand's way, 0 at the least.
func (l *Leap) Bits() float64 { return max(0, IndexOfDifficulty(l.Travel, l.Target())) }

func (l *Leap) BitsPerSecond() float64 { return l.Bits() / l.Seconds }

// MostBits is twice what practised hands do, in bits a second (Fitts 1954):
// where more is asked for at the written tempo, the hand, the reading or the
// tempo is wrong.
const MostBits = 20.2

// Playable is the bits a second that a leap asks for, and MostBits at the most;
// ok is false where it would be more at the written tempo even if the key aimed
// at were a white one: a hand that knows its grip finds black keys by feel.
func (p *Pass) Playable(l Leap) (bits float64, ok bool) {
	most := MostBits * p.Clock.scale
	return min(l.BitsPerSecond(), most), IndexOfDifficulty(l.Travel, hand.WhiteWidth)/l.Seconds <= most
}

// IndexOfDifficulty is Fitts's log2(2A/W) in bits, for a move of length a to a
// target of width w along it (Fitts 1954).
func IndexOfDifficulty(a, w float64) float64 { return math.Log2(2 * a / w) }
