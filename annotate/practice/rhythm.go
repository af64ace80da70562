package practice

import (
	"fmt"
	"strings"

	"hardbars/detect"
	"hardbars/detect/kinds/crossrhythm"
	"hardbars/detect/kinds/patternbreak"
	"hardbars/detect/kinds/regrouping"
	"hardbars/score"
)

// mostCounted is the highest number that a player counts to. Common practice.
const mostCounted = 24

func (p *place) crossRhythm(d crossrhythm.Detail) lesson {
	l := lesson{together: 2, placed: true, proof: "both rhythms exact"}
	if even(d.Right, d.Grid) && even(d.Left, d.Grid) {
		l.proof = "both hands even"
	}
	if d.HandsOrder[0] == score.Both.String() {
		l.proof += ", together at each meeting point and nowhere else"
	} else {
		l.proof += ", though they never meet"
	}
	if d.Groups != nil {
		l.steps, l.together = p.byGroups(d), 1
		return l
	}
	l.steps = []string{
		p.composite(d),
		"Tap it on your knees until it is one rhythm, first so slowly that you can say every word of it.",
		p.addHands(d),
	}
	return l
}

// composite is both hands as one count.
func (p *place) composite(d crossrhythm.Detail) string {
	unit := d.Gaps[0] // the largest part that all gaps are multiples of
	for _, g := range d.Gaps {
		unit = gcd(unit, g)
	}
	var said []string
	count := d.Grid/unit <= mostCounted
	at := 0
	for i, who := range d.HandsOrder {
		if who == score.Both.String() {
			who = "together"
		}
		if count {
			who = fmt.Sprintf("%s %d", who, at/unit+1)
		}
		said, at = append(said, who), at+d.Gaps[i]
	}
	begin := "Say who strikes, in order, through"
	if count {
		begin = fmt.Sprintf("Count 1 to %d evenly and say who strikes, through", d.Grid/unit)
	}
	return fmt.Sprintf("%s %s from %s: %s. %s", begin, score.LengthName(d.Span), p.PositionName(p.o.From), strings.Join(said, ", "), p.meets(d))
}

// meets says where the hands strike together.
func (p *place) meets(d crossrhythm.Detail) string {
	if d.HandsOrder[0] == score.Both.String() {
		return "They meet at its start and nowhere else."
	}
	return "They never strike together in it."
}

// addHands is the order in which to put the hands together.
func (p *place) addHands(d crossrhythm.Detail) string {
	first, why := p.leads(d)
	return fmt.Sprintf("The %[1]s hand first, since %[3]s: play it and tap the %[2]s; then play the %[2]s and tap the %[1]s; "+
		"then play both, from one start to the next, and stop on it.", first, 1-first, why)
}

// leads chooses the hand to begin with: the one with more notes on the beat, or
// else whose notes are even, or else with fewer notes, or else the left.
func (p *place) leads(d crossrhythm.Detail) (hand score.Hand, why string) {
	var onBeat [2]int
	for h, attacks := range [2][]int{d.Right, d.Left} {
		for _, a := range attacks {
			if p.onBeat(p.o.From.Add(d.Span.Mul(score.R(int64(a), int64(d.Grid))))) {
				onBeat[h]++
			}
		}
	}
	switch right, left := onBeat[score.Right], onBeat[score.Left]; {
	case right > left:
		return score.Right, "it keeps the beat"
	case left > right:
		return score.Left, "it keeps the beat"
	case even(d.Right, d.Grid) && !even(d.Left, d.Grid):
		return score.Right, "its notes are even"
	case even(d.Left, d.Grid) && !even(d.Right, d.Grid):
		return score.Left, "its notes are even"
	case len(d.Right) < len(d.Left):
		return score.Right, "it has fewer notes"
	case len(d.Left) < len(d.Right):
		return score.Left, "it has fewer notes"
	}
	return score.Left, "the right hand will have to fit it"
}

// even reports whether attacks divide the grid into equal parts.
func even(attacks []int, grid int) bool {
	for i, a := range attacks {
		if a*len(attacks) != i*grid {
			return false
		}
	}
	return true
}

func (p *place) onBeat(at score.Rat) bool {
	bar := p.Score.Bars[p.Score.BarAt(at)]
	return at.Sub(bar.Start).Div(bar.Time.Beat()).Den() == 1
}

// byGroups is for a run too fine to count through.
func (p *place) byGroups(d crossrhythm.Detail) []string {
	fast, slow := score.Right, score.Left
	if len(d.Right) < len(d.Left) {
		fast, slow = slow, fast
	}
	return []string{
		fmt.Sprintf("Do not count this one. From %s the %s hand's run falls under the %s hand's notes as %s. %s",
			p.PositionName(p.o.From), fast, slow, sumOf(d.Groups), p.meets(d)),
		fmt.Sprintf("The %s hand first, until it needs no thought; then add only the first note of each group; then the whole groups.", slow),
		fmt.Sprintf("Then forget the groups: the %s hand stays even, and the run flows over it to the next meeting point.", slow),
	}
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func (p *place) patternBreak(d patternbreak.Detail) lesson {
	where, notes := p.PositionName(p.At(d.Departs)), detect.Enumerate(prettyAll(d.Pitches))
	return lesson{placed: true, proof: "with the break as sure as the figure", steps: []string{
		fmt.Sprintf("Ring %s in the score: one figure (%s) %s, then %s: %s.", where, d.Figure, times(d.Times), notes, d.How),
		fmt.Sprintf("One figure and the break: play up to it, stop, name %s, go on. Then without the stop.", notes),
		"Then begin two figures earlier, then four, so that the break is expected and does not surprise the hand.",
	}}
}

func (p *place) regrouping(d regrouping.Detail) lesson {
	start := p.PositionName(p.At(d.Starts[0]))
	groups, unit, units := fmt.Sprintf("groups of %d notes", d.Group), d.Beat, "beats"
	if d.Hemiola {
		groups = fmt.Sprintf("groups of %s beats", d.Length.Div(d.Beat).Pretty())
		unit, units = p.Score.Bars[p.Score.BarAt(p.o.From)].Time.Length, "bars"
	}
	meet := d.Length.Div(unit)
	return lesson{placed: true, proof: "the groups heard and the beat not lost", steps: []string{
		fmt.Sprintf("Forget the beat: from %s count in %s, %d of them, the first of each a little louder.", start, groups, d.Groups),
		fmt.Sprintf("Now tap the beat with the foot: every %d groups and %d %s the two meet. Say where, and lean on nothing between.", meet.Den(), meet.Num(), units),
	}}
}
