package practice

import (
	"fmt"

	"hardbars/detect"
	"hardbars/detect/kinds/octaverun"
	"hardbars/score"
)

// groupOf is how many of a run are practised at a time. Common practice.
const groupOf = 4

// doubleNotes is for runs of thirds and sixths.
func (p *place) doubleNotes(d detect.PairsDetail) lesson {
	first, last := d.Pitches[0], d.Pitches[1]
	l := lesson{proof: "both notes of each pair at once and the top line singing"}
	l.steps = []string{
		fmt.Sprintf("Top line alone, %s to %s%s, legato, with the fingers that it has in the run; then the lower line, %s to %s.",
			pretty(first[1]), pretty(last[1]), byWayOf(d), pretty(first[0]), pretty(last[0])),
		"Together, top over lower: top loud, lower soft; then top legato, lower short.",
		"Apart: each pair broken, lower note first, then upper first; then struck together.",
	}
	if d.Count > groupOf {
		l.steps = append(l.steps, fmt.Sprintf("Groups of %d and one over, at %s, with a stop on the last; then all %d.", groupOf, p.target, d.Count))
	}
	if d.Dynamic != "" {
		l.proof += ", " + d.Dynamic
	}
	return l
}

// byWayOf names the highest note where the run neither begins nor ends on it.
func byWayOf(d detect.PairsDetail) string {
	if d.Highest == d.Pitches[0][1] || d.Highest == d.Pitches[1][1] {
		return ""
	}
	return " by way of " + pretty(d.Highest)
}

func (p *place) octaves(d octaverun.Detail) lesson {
	thumb, outer := "lower", "upper"
	if p.spot.Hand == score.Left {
		thumb, outer = outer, thumb
	}
	l := lesson{proof: "the forearm as loose at the end as at the beginning"}
	if d.SpanLeftMM < 0 {
		l.steps = append(l.steps, fmt.Sprintf("An octave is %.0f mm more than this hand reaches: leave the %s notes out throughout, and write it in.", -d.SpanLeftMM, thumb))
		return l
	}
	l.steps = append(l.steps, fmt.Sprintf("The thumb alone, the %s notes, near the keys and light; then the %s notes alone, little finger, fourth on black keys.", thumb, outer))
	if d.Broken {
		l.steps = append(l.steps, "Each octave struck together, to set the hand; then broken again, rocking from the forearm, not reaching with the fingers.")
	} else {
		l.steps = append(l.steps, "The octaves from a loose wrist that falls and rebounds; between them the hand keeps its shape.")
	}
	l.steps = append(l.steps, p.endurance("octaves", d.Count, fmt.Sprintf(", %.1f s without a rest", d.Seconds)))
	return l
}

// endurance lengthens what tires, four at a time.
func (p *place) endurance(what string, count int, without string) string {
	if count <= groupOf {
		return fmt.Sprintf("All %d %s, then a rest twice as long, at %s. Stop when the forearm hardens.", count, what, p.start)
	}
	return fmt.Sprintf("Four %s, then a rest of the same length, at %s; then longer and longer, until all %d go%s. Stop when the forearm hardens.",
		what, p.start, count, without)
}
