package fastrun

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/detect/hand"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	l := detect.Lesson{Proof: "even, and as light at the end as at the beginning"}
	group, longer := group(p, d), "groups twice as long"
	if 2*group >= d.Count {
		longer = "the whole run"
	}
	l.Steps = []string{
		runShape(d),
		fmt.Sprintf("Rhythms, then groups of %s and one over at %s, then %s.", detect.NumberWords(group), p.Target, longer),
	}
	if crossings := crossings(p, d); len(crossings) > 0 {
		l.Steps = slices.Insert(l.Steps, 1, fmt.Sprintf("The crossings: %s. Rhythms with each of them on the long note.", strings.Join(crossings, "; ")))
	}
	return l
}

// mostCrossings is how many crossings are named. Common practice.
const mostCrossings = 3

// crossings are the passages of the thumb where the run is fastest, in words.
func crossings(p *detect.Practice, d Detail) []string {
	f := p.Fingering()
	from, side := p.At(d.FastestAt), p.Spot.Hand
	var all []string
	for i, place := range f.Places[side] {
		if place.At.Cmp(from) <= 0 || p.Hardest.To.Cmp(place.At) <= 0 || len(place.Notes) == 0 || len(all) == mostCrossings {
			continue
		}
		switch key := p.Score.Notes[place.Notes[0]].Pitch.Pretty(); place.Come {
		case hand.Under:
			all = append(all, fmt.Sprintf("%s, at %s", f.Words(p.Score, side, i), key))
		case hand.Over:
			all = append(all, f.Words(p.Score, side, i))
		}
	}
	return all
}

// runShape is what the hand does in a run.
func runShape(d Detail) string {
	if d.Positions == 1 {
		return fmt.Sprintf("The hand never moves: lay it over all its keys, %s to %s, then let one finger after the other strike.", d.Lowest.Pretty(), d.Highest.Pretty())
	}
	way := fmt.Sprintf("%s to %s in %s positions of the hand", d.From.Pretty(), d.To.Pretty(), detect.NumberWords(d.Positions))
	switch d.Figure {
	case "scales":
		return fmt.Sprintf("%s: the notes of each position struck together, then the next; where the thumb passes is the work.", detect.Sentence(way))
	case "broken chords":
		return fmt.Sprintf("%s: each position as one chord, and on to the next without looking; then broken as written.", detect.Sentence(way))
	}
	return fmt.Sprintf("%s: the fingering first, with a stop at each change of position, the hand already over the next.", detect.Sentence(way))
}

// mostInGroup is the longest group of quick notes to begin with. Common practice.
const mostInGroup = 8

// group is how many notes to practise at a time: those of a beat where the run
// is fastest, or of an even part of one where that is many.
func group(p *detect.Practice, d Detail) int {
	from := p.At(d.FastestAt)
	beat := p.Score.Bars[p.Score.BarAt(from)].Time.Beat()
	n := len(p.Strikes(p.Spot.Hand, from, from.Add(beat)))
	for n > mostInGroup {
		switch {
		case n%2 == 0:
			n /= 2
		case n%3 == 0:
			n /= 3
		default:
			n = detect.PractisedTogether
		}
	}
	return max(n, 3)
}
