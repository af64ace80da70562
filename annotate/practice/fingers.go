package practice

import (
	"fmt"
	"strings"

	"hardbars/detect/kinds/fastrun"
	"hardbars/detect/kinds/ornament"
	"hardbars/detect/kinds/repeatednotes"
)

func (p *place) fastRun(d fastrun.Detail) lesson {
	l := lesson{proof: "even, and as light at the end as at the beginning"}
	group, longer := p.group(d), "groups twice as long"
	if 2*group >= d.Count {
		longer = "the whole run"
	}
	l.steps = []string{
		runShape(d),
		"Rhythms: long–short all through; then short–long.",
		fmt.Sprintf("Groups: %d notes and one over, at %s, then stop and rest; next time begin a note later; then %s.", group, p.target, longer),
	}
	return l
}

// runShape is what the hand does in a run.
func runShape(d fastrun.Detail) string {
	if d.Positions == 1 {
		return fmt.Sprintf("The hand never moves: lay it over all its keys, %s to %s, then let one finger after the other strike.", pretty(d.Lowest), pretty(d.Highest))
	}
	way := fmt.Sprintf("%s to %s in %d positions of the hand", pretty(d.From), pretty(d.To), d.Positions)
	switch d.Figure {
	case "scales":
		return fmt.Sprintf("%s: the notes of each position struck together, then the next; where the thumb passes is the work.", sentence(way))
	case "broken chords":
		return fmt.Sprintf("%s: each position as one chord, and on to the next without looking; then broken as written.", sentence(way))
	}
	return fmt.Sprintf("%s: the fingering first, with a stop at each change of position, the hand already over the next.", sentence(way))
}

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// mostInGroup is the longest group of quick notes to begin with. Common practice.
const mostInGroup = 8

// group is how many notes to practise at a time: those of a beat where the run
// is fastest, or of an even part of one where that is many.
func (p *place) group(d fastrun.Detail) int {
	from := p.At(d.FastestAt)
	beat := p.Score.Bars[p.Score.BarAt(from)].Time.Beat()
	n := len(p.strikes(p.spot.Hand, from, from.Add(beat)))
	for n > mostInGroup {
		switch {
		case n%2 == 0:
			n /= 2
		case n%3 == 0:
			n /= 3
		default:
			n = groupOf
		}
	}
	return max(n, 3)
}

func (p *place) repeatedNotes(d repeatednotes.Detail) lesson {
	notes := strings.Join(prettyAll(d.Pitches), "–")
	l := lesson{proof: "every stroke sounding"}
	if d.CanChange {
		fingers := "3-2-1"
		if d.Fingers < 3 {
			fingers = "2-1"
		}
		l.steps = append(l.steps, fmt.Sprintf("Fingers %s in turn on %s, each drawn towards the palm and out of the way of the next; slowly, each stroke the same.", fingers, notes))
	} else {
		l.steps = append(l.steps, fmt.Sprintf("%s from the wrist: let the hand fall and rebound, one stroke a beat, then two, then as written.", notes))
	}
	l.steps = append(l.steps,
		"Stay with the key: let it up only as far as it needs to strike again.",
		p.endurance("strokes", d.Count, ""))
	return l
}

func (p *place) ornament(d ornament.Detail) lesson {
	l := lesson{proof: "the beat as steady as without the ornament"}
	without := "Leave the ornament out: the main notes in time"
	if p.otherPlays() {
		without += ", alone and then with the other hand"
	}
	l.steps = []string{without + ".", ornamentAlone(d)}
	if d.OtherHand > 0 {
		l.together = len(l.steps)
		l.steps = append(l.steps, fmt.Sprintf("With the %s, which strikes %s meanwhile: settle slowly which note falls with which.", (1-p.spot.Hand).Name(), times(d.OtherHand)))
	}
	return l
}

// ornamentAlone is the notes of an ornament by themselves.
func ornamentAlone(d ornament.Detail) string {
	written := strings.ReplaceAll(inTurn(prettyAll(d.WrittenOut), 8), "+", "–")
	switch {
	case d.BeforeBeat.Sign() > 0:
		return fmt.Sprintf("The grace notes alone, %s, in one movement; the last is the goal, and it falls on the beat.", written)
	case d.Notes > groupOf && len(d.WrittenOut) > groupOf && (strings.HasPrefix(d.Sign, "tr")):
		return fmt.Sprintf("Alone: %s. First %d notes and stop, then two more each time, always ending on the main note, until all %d go in %.1f s.", written, groupOf, d.Notes, d.Seconds)
	}
	return fmt.Sprintf("Written out, slowly and evenly: %s; then quicker, until the %d notes go in %.2f s.", written, d.Notes, d.Seconds)
}
