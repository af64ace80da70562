package detect

import (
	"math"

	"hardbars/detect/hand"
	"hardbars/score"
)

// leastLeap is the least travel in semitones: a step to the next position is no leap.
const leastLeap = 3

// stroke is one attack of a hand, a grace note included, in playing order.
type stroke struct {
	At    score.Rat // of the event, also for the grace notes before it
	After score.Rat // quarters since the stroke before
	End   score.Rat // of the last note of the event
	Notes []int     // low to high
	Keys  []int     // of notes
}

// Leap is a move from one stroke to the next.
type Leap struct {
	Hand     score.Hand
	From, To stroke
	Over     Seam // where play leaves the order of the page between them; zero elsewhere
	Top      bool // measured between the highest keys, not the lowest
	Mm       float64
	Seconds  float64
}

// Leaps returns every leap of one hand from a stroke to the next on the page
// that is also next in play.
func (p *Pass) Leaps(hand score.Hand) []Leap {
	var found []Leap
	strokes, follows := p.strokes(hand), follows(p.Score)
	for i := 1; i < len(strokes); i++ {
		l := Leap{Hand: hand, From: strokes[i-1], To: strokes[i]}
		if p.waited(l) || p.fits(l) || !l.travels() || !p.inPlay(l, follows) {
			continue
		}
		if l, ok := p.offPosition(l, strokes[:i]); ok {
			l.Seconds = p.Clock.Seconds(l.To.At.Sub(l.To.After), l.To.At)
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
	nearest.Top, nearest.Mm = up, nearest.distance(up)
	switch way := nearest.Semitones(up); {
	case up && way < leastLeap, !up && -way < leastLeap:
		return l, false
	case nearest.Mm < l.Mm:
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
		if rests || longestPosition.Less(strokes[last].At.Sub(strokes[i].At)) || !p.Player.Hand(hand).Covers(keys) {
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

// isBrokenOctave reports whether two strokes are the keys of an octave, one
// quickly after the other.
func isBrokenOctave(a, b stroke) bool {
	return len(a.Keys) == 1 && len(b.Keys) == 1 && Abs(a.Keys[0]-b.Keys[0]) == 12 && b.After.Cmp(brokenOctave) <= 0
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
		l := Leap{Hand: hand, From: from, To: to, Over: over}
		if p.waited(l) || p.fits(l) || !l.travels() {
			continue
		}
		l.Seconds = p.Clock.Seconds(from.At, end) + p.Clock.Seconds(start, to.At)
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

// fits reports whether all keys before and after lie in one comfortable position.
func (p *Pass) fits(l Leap) bool {
	low := min(Edge(l.From.Keys, false), Edge(l.To.Keys, false))
	high := max(Edge(l.From.Keys, true), Edge(l.To.Keys, true))
	return hand.Distance(low, high) <= p.Player.Hand(l.Hand).ComfortableReach()
}

// travels measures the way and reports whether it is one: both edges of the hand
// move the same way, and the nearer of the two by more than a step.
func (l *Leap) travels() bool {
	low, high := l.Semitones(false), l.Semitones(true)
	if low > 0 != (high > 0) || low == 0 || high == 0 {
		return false
	}
	bottom, top := l.distance(false), l.distance(true)
	l.Top = top < bottom || top == bottom && l.Hand == score.Right
	l.Mm = math.Min(bottom, top)
	way := l.Semitones(l.Top)
	return way >= leastLeap || way <= -leastLeap
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

// IndexOfDifficulty is Fitts's log2(2A/W) in bits, for a move of length a to a
// target of width w along it (Fitts 1954).
func IndexOfDifficulty(a, w float64) float64 { return math.Log2(2 * a / w) }
