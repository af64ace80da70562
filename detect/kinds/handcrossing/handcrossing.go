// Package handcrossing finds hands that get into each other's way.
package handcrossing

import (
	"fmt"
	"slices"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind hand-crossing.
var Detector = &detect.Detector{
	Kind: "hand-crossing",
	Name: "hands in each other's way",
	Doc: `Crossed: everything that the left hand has down lies above everything that the right has. Interlocked: the highest key
of the left hand lies above the lowest of the right. A hand that has nothing down is in the way if it is so both before and
after, no more than a beat away each. The hand that moved farther to get there goes over, the
other stays low and gives way. One key: both hands strike a key together, or one strikes it while the other still holds
it or no more than a beat after the other struck it; whoever has it first must give way, and where they strike together
the hand that holds it for less time, or has more else to strike, leaves it out. Demand while crossed or interlocked is the
fastest rate of attacks, of both hands together, over the comfortable rate; where that is less than 0.5 it is 0.5, whatever
the tempo, since the hands must know who goes over. Demand of one key is the time that this player
likes to have between the two strokes over the time that there is; for a stroke together it is 0.5, whatever the tempo.`,
	Basis: detect.Calibrated,
	Rests: "recorded performances: its notes are missed 0.8 times as often as others at the least demand and 1.8 " +
		"times at the greatest. The level is common practice.",
	Limits:   []detect.Limit{detect.CrossedRate.Limit(), detect.GiveWay.Limit()},
	Telling:  []string{"way", "left", "right", "gives_way"},
	Run:      findHandCrossings,
	Speech:   speech,
	Practise: practise,
}

// Demand that tempo does not change: common practice.
const (
	slowCrossing   = 0.5 // crossed or interlocked, however slowly: the hands must know who goes over
	strokeTogether = 0.5 // a key that both hands strike at once: one of them leaves it out
)

// Detail is the JSON detail of hands in each other's way.
type Detail struct {
	Way       string        `json:"way"`                  // "crossed", "interlocked" or "one key"
	Over      *score.Hand   `json:"over,omitempty"`       // the hand that goes over
	GivesWay  score.Hand    `json:"gives_way"`            // the hand that stays low, leaves the key or leaves it out
	Left      []score.Pitch `json:"left"`                 // what the left hand has where they are deepest in each other, low to high
	Right     []score.Pitch `json:"right"`                // what the right hand has there
	Attacks   int           `json:"attacks,omitempty"`    // of both hands while they are crossed or interlocked
	PerSecond float64       `json:"per_second,omitempty"` // the fastest of them
	Seconds   *float64      `json:"seconds,omitempty"`    // between the two strokes of one key
}

func findHandCrossings(p *detect.Pass) {
	moments := moments(p)
	for i := 0; i < len(moments); i++ {
		if moments[i].depth() == 0 {
			continue
		}
		first := i
		for i+1 < len(moments) && moments[i+1].depth() > 0 {
			i++
		}
		p.Report(crossingFound(p, moments, first, i))
	}
	oneKey(p)
}

// moment is where both hands are when one of them, or both, strike.
type moment struct {
	at     score.Rat
	notes  [2][]int // what each hand has, low to high, by score.Hand
	keys   [2][]int // of notes
	struck [2][]int
}

// depth is how far the hands are in each other, in semitones; 0 where they are not.
func (m *moment) depth() int {
	left, right := m.keys[score.Left], m.keys[score.Right]
	if len(left) == 0 || len(right) == 0 {
		return 0
	}
	return max(0, left[len(left)-1]-right[0])
}

// crossed reports whether the whole left hand is above the whole right.
func (m *moment) crossed() bool {
	return m.keys[score.Left][0] > m.keys[score.Right][len(m.keys[score.Right])-1]
}

// moments lays out where the hands are at every attack.
func moments(p *detect.Pass) []moment {
	all := make([]moment, 0, len(p.Events[score.Right])+len(p.Events[score.Left]))
	var next [2]int // index of each hand's first event after the moment
	for {
		var at []score.Rat
		for hand, events := range p.Events {
			if next[hand] < len(events) {
				at = append(at, events[next[hand]].At)
			}
		}
		if len(at) == 0 {
			return all
		}
		m := moment{at: slices.MinFunc(at, score.Rat.Cmp)}
		for _, hand := range []score.Hand{score.Right, score.Left} {
			if events := p.Events[hand]; next[hand] < len(events) && events[next[hand]].At == m.at {
				m.struck[hand] = events[next[hand]].Struck
				next[hand]++
			}
			m.notes[hand] = whereIs(p, hand, next[hand], m.at)
			m.keys[hand] = p.Keys(m.notes[hand])
		}
		all = append(all, m)
	}
}

// whereIs returns the notes that place a hand at an instant: what it has down,
// or, where that is nothing, what it strikes shortly before or shortly after,
// whichever is less in the way. next is its first event after the instant.
func whereIs(p *detect.Pass, hand score.Hand, next int, at score.Rat) []int {
	events := p.Events[hand]
	if next == 0 {
		return nil
	}
	before := events[next-1]
	if before.At == at && len(before.Held) == 0 {
		return before.Struck
	}
	down := slices.DeleteFunc(slices.Concat(before.Struck, before.Held), func(n int) bool {
		return p.Score.Notes[n].End().Cmp(at) <= 0
	})
	if len(down) > 0 {
		return detect.OneForEachKey(p.Score, down)
	}
	beat := beatAt(p, at)
	if next == len(events) || beat.Less(at.Sub(p.EndOf(before.Struck))) || beat.Less(events[next].At.Sub(at)) {
		return nil
	}
	inTheWay := func(notes []int) int {
		if hand == score.Left {
			return detect.Key(p.Score, detect.Edge(notes, true))
		}
		return -detect.Key(p.Score, detect.Edge(notes, false))
	}
	if inTheWay(events[next].Struck) < inTheWay(before.Struck) {
		return events[next].Struck
	}
	return before.Struck
}

// beatAt is the beat in force, in quarters.
func beatAt(p *detect.Pass, at score.Rat) score.Rat {
	return p.Score.Bars[p.Score.BarAt(at)].Time.Beat()
}

// crossingFound makes one finding of the moments from first to last.
func crossingFound(p *detect.Pass, moments []moment, first, last int) detect.Occurrence {
	deepest, over := moments[first], mover(p, moments, first)
	var notes, overs []int
	for _, m := range moments[first : last+1] {
		if m.depth() > deepest.depth() {
			deepest = m
		}
		notes = append(notes, slices.Concat(m.struck[score.Right], m.struck[score.Left])...)
		overs = append(overs, m.struck[over]...)
	}
	around := moments[max(first-1, 0):min(last+2, len(moments))]
	rate, comfortable := fastestMoments(p, around), p.Player.Can(detect.CrossedRate)
	way := "interlocked"
	if deepest.crossed() {
		way = "crossed"
	}
	end := p.EndOf(notes)
	if last+1 < len(moments) {
		end = score.Min(end, moments[last+1].at)
	}
	demand := rate / comfortable
	return detect.Occurrence{
		Hand: score.Both, From: moments[first].at, To: end, Notes: notes,
		Demand: max(demand, slowCrossing), Timed: demand >= slowCrossing,
		Shape: crossingShape(p, way, over, moments[first:last+1]),
		Label: fmt.Sprintf("%s hand over", over),
		Why: fmt.Sprintf("The hands are %s, at the deepest with %s in the left and %s in the right: the %s hand goes over and the %s stays low, %.1f attacks a second, where %.3g are comfortable.",
			way, p.PrettyNames(deepest.notes[score.Left]), p.PrettyNames(deepest.notes[score.Right]), over, 1-over, rate, comfortable),
		Detail: Detail{
			Way: way, Over: &over, GivesWay: 1 - over,
			Left: p.Pitches(deepest.notes[score.Left]), Right: p.Pitches(deepest.notes[score.Right]),
			Attacks: last - first + 1, PerSecond: detect.Round3(rate),
		},
		Picture: p.PianoRoll(around[0].at, score.Min(end, around[0].at.Add(score.Int(detect.MostDrawn))), overs),
	}
}

// fastestMoments is the highest rate over three successive moments.
func fastestMoments(p *detect.Pass, moments []moment) float64 {
	at := make([]score.Rat, len(moments))
	for i, m := range moments {
		at[i] = m.at
	}
	return p.Fastest(at)
}

// mover is the hand that moved farther to where it is in a moment, from what it
// had in the moment before; the left where neither did.
func mover(p *detect.Pass, moments []moment, i int) score.Hand {
	if i == 0 {
		return score.Left
	}
	way := func(side score.Hand) float64 {
		before, now := moments[i-1].keys[side], moments[i].keys[side]
		if len(before) == 0 {
			before = now
		}
		return min(hand.Distance(before[0], now[0]), hand.Distance(before[len(before)-1], now[len(now)-1]))
	}
	if way(score.Right) > way(score.Left) {
		return score.Right
	}
	return score.Left
}

// crossingShape is how far the hands are in each other, and when.
func crossingShape(p *detect.Pass, way string, over score.Hand, moments []moment) string {
	shape := fmt.Sprintf("%s %s:", way, over)
	for _, m := range moments {
		shape += fmt.Sprintf(" %s/%d", m.at.Sub(moments[0].at), m.depth())
	}
	return shape
}

// oneKey reports the keys that both hands need within a short time.
func oneKey(p *detect.Pass) {
	last := map[int]int{} // by key, the last note struck on it
	for i := range p.Score.Notes {
		n := &p.Score.Notes[i]
		if n.Grace > 0 {
			continue
		}
		if before, ok := last[detect.Key(p.Score, i)]; ok && bothNeed(p, before, i) {
			p.Report(oneKeyFound(p, before, i))
		}
		last[detect.Key(p.Score, i)] = i
	}
}

// bothNeed reports whether two successive strokes of one key are the two hands'
// and come so close that one must give way.
func bothNeed(p *detect.Pass, a, b int) bool {
	first, second := &p.Score.Notes[a], &p.Score.Notes[b]
	return first.Hand != second.Hand &&
		(second.Onset.Less(first.End()) || second.Onset.Sub(first.Onset).Cmp(beatAt(p, first.Onset)) <= 0)
}

func oneKeyFound(p *detect.Pass, a, b int) detect.Occurrence {
	first, second := &p.Score.Notes[a], &p.Score.Notes[b]
	gives, seconds := first.Hand, p.Clock.Seconds(first.Onset, second.Onset)
	name := first.Pitch.Pretty()
	o := detect.Occurrence{
		Hand: score.Both, From: first.Onset, To: p.EndOf([]int{a, b}), Notes: []int{a, b},
		Shape:   fmt.Sprintf("one key, %s first, after %s, held %s", gives, second.Onset.Sub(first.Onset), first.Length),
		Picture: p.PianoRoll(first.Onset, p.EndOf([]int{a, b}), []int{a, b}),
	}
	if first.Onset == second.Onset {
		gives = leavesOut(p, a, b)
		o.Demand = strokeTogether
		o.Why = fmt.Sprintf("Both hands strike %s together: the %s hand leaves it out.", name, gives)
	} else {
		comfortable := p.Player.Can(detect.GiveWay)
		o.Demand, o.Timed = comfortable/seconds, true
		o.Why = fmt.Sprintf("Both hands need %s within %.2f s, where %.3g s is comfortable: the %s hand strikes it first and must give way to the %s.",
			name, seconds, comfortable, gives, second.Hand)
	}
	o.Label = fmt.Sprintf("%s: %s hand gives way", name, gives)
	rounded := detect.Round3(seconds)
	detail := Detail{Way: "one key", GivesWay: gives, Seconds: &rounded}
	detail.Left, detail.Right = []score.Pitch{second.Pitch}, []score.Pitch{first.Pitch}
	if first.Hand == score.Left {
		detail.Left, detail.Right = detail.Right, detail.Left
	}
	o.Detail = detail
	return o
}

// leavesOut is the hand that leaves out a key that both strike together: the
// one with the shorter note, or the one with more to strike, or the left.
func leavesOut(p *detect.Pass, a, b int) score.Hand {
	first, second := &p.Score.Notes[a], &p.Score.Notes[b]
	switch d := first.End().Cmp(second.End()); {
	case d < 0:
		return first.Hand
	case d > 0:
		return second.Hand
	}
	var strikes [2]int
	for hand, events := range p.Events {
		if i, ok := slices.BinarySearchFunc(events, first.Onset, func(e detect.Event, at score.Rat) int { return e.At.Cmp(at) }); ok {
			strikes[hand] = len(events[i].Struck)
		}
	}
	if strikes[score.Right] > strikes[score.Left] {
		return score.Right
	}
	return score.Left
}
