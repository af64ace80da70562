package crossrhythm

import (
	"fmt"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	l := detect.Lesson{Together: 2, Placed: true, Proof: "both rhythms exact"}
	if even(d.Right, d.Grid) && even(d.Left, d.Grid) {
		l.Proof = "both hands even"
	}
	if d.HandsOrder[0] == score.Both {
		l.Proof += ", together at each meeting point and nowhere else"
	} else {
		l.Proof += ", though they never meet"
	}
	if d.Groups != nil {
		l.Steps, l.Together = byGroups(p, d), 1
		return l
	}
	l.Steps = []string{
		composite(p, d),
		"Tap it on your knees until it is one rhythm, first so slowly that you can say every word of it.",
		addHands(p, d),
	}
	return l
}

// composite is both hands as one count.
func composite(p *detect.Practice, d Detail) string {
	unit := d.Gaps[0] // the largest part that all gaps are multiples of
	for _, g := range d.Gaps {
		unit = gcd(unit, g)
	}
	var said []string
	count := d.Grid/unit <= countable
	at := 0
	for i, hand := range d.HandsOrder {
		who := hand.String()
		if hand == score.Both {
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
	return fmt.Sprintf("%s %s from %s: %s. %s", begin, score.LengthName(d.Span), p.PositionName(p.Hardest.From), strings.Join(said, ", "), meets(p, d))
}

// meets says where the hands strike together.
func meets(p *detect.Practice, d Detail) string {
	if d.HandsOrder[0] == score.Both {
		return "They meet at its start and nowhere else."
	}
	return "They never strike together in it."
}

// addHands is the order in which to put the hands together.
func addHands(p *detect.Practice, d Detail) string {
	first, why := leads(p, d)
	return fmt.Sprintf("The %[1]s hand first, since %[3]s: play it and tap the %[2]s; then play the %[2]s and tap the %[1]s; "+
		"then play both, from one start to the next, and stop on it.", first, 1-first, why)
}

// leads chooses the hand to begin with: the one with more notes on the beat, or
// else whose notes are even, or else with fewer notes, or else the left.
func leads(p *detect.Practice, d Detail) (hand score.Hand, why string) {
	var beats [2]int
	for h, attacks := range [2][]int{d.Right, d.Left} {
		for _, a := range attacks {
			if onBeat(p, p.Hardest.From.Add(d.Span.Mul(score.R(int64(a), int64(d.Grid))))) {
				beats[h]++
			}
		}
	}
	switch right, left := beats[score.Right], beats[score.Left]; {
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

func onBeat(p *detect.Practice, at score.Rat) bool {
	bar := p.Score.Bars[p.Score.BarAt(at)]
	return at.Sub(bar.Start).Div(bar.Time.Beat()).Den() == 1
}

// byGroups is for a run too fine to count through.
func byGroups(p *detect.Practice, d Detail) []string {
	fast, slow := score.Right, score.Left
	if len(d.Right) < len(d.Left) {
		fast, slow = slow, fast
	}
	return []string{
		fmt.Sprintf("Do not count this one. From %s the %s hand's run falls under the %s hand's notes as %s. %s",
			p.PositionName(p.Hardest.From), fast, slow, detect.SumOf(d.Groups), meets(p, d)),
		fmt.Sprintf("The %s hand first, until it needs no thought; then add only the first note of each group; then the whole groups.", slow),
		fmt.Sprintf("Then forget the groups: the %s hand stays even, and the run flows over it to the next meeting point.", slow),
	}
}
