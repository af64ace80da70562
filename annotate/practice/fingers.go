package practice

import (
	"fmt"
	"strings"

	"hardbars/detect"
)

func (p *place) fastRun(d detect.RunDetail) lesson {
	l := lesson{proof: "even, and as light at the end as at the beginning"}
	block := fmt.Sprintf("Block it: the notes of each hand position struck together, %d positions from %s to %s; the moves between them are the work.",
		d.Positions, pretty(d.From), pretty(d.To))
	if d.Positions == 1 {
		block = fmt.Sprintf("The hand never moves: lay all its keys down at once, %s to %s, then let one finger after the other strike.", pretty(d.Lowest), pretty(d.Highest))
	}
	n := p.perBeat(d)
	l.steps = []string{block,
		"Rhythms: long–short all through; then short–long.",
		fmt.Sprintf("Groups: %d notes and one over, at %s, stop, and rest; move the stop on by a note each time; then groups twice as long.", n, p.target),
	}
	return l
}

// perBeat is how many notes the run has in a beat where it is fastest.
func (p *place) perBeat(d detect.RunDetail) int {
	from := p.At(d.FastestAt)
	beat := p.Score.Bars[p.Score.BarAt(from)].Time.Beat()
	return max(len(p.strikes(p.spot.Hand, from, from.Add(beat))), 3)
}

func (p *place) repeatedNotes(d detect.RepeatDetail) lesson {
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
		fmt.Sprintf("Four strokes at %s and a rest; then eight; then all %d. Stop when the forearm hardens.", p.target, d.Count))
	return l
}

func (p *place) ornament(d detect.OrnamentDetail) lesson {
	l := lesson{both: true, proof: "the beat as steady as without the ornament"}
	written := inTurn(prettyAll(d.WrittenOut), 12)
	main := "Leave the ornament out: the main notes in time, with the other hand."
	l.steps = []string{main}
	switch {
	case d.BeforeBeat.Sign() > 0:
		l.steps = append(l.steps, fmt.Sprintf("The grace notes alone, %s, in one movement of the hand; the last is the goal, and it falls on the beat.", written))
	case strings.HasPrefix(d.Sign, "trill") || strings.HasPrefix(d.Sign, "tremolo"):
		l.steps = append(l.steps,
			fmt.Sprintf("Alone: %s. First 4 notes and stop, then 6, then 8, always ending on the beat; %d notes in all, %.1f s.", written, d.Notes, d.Seconds))
	default:
		l.steps = append(l.steps, fmt.Sprintf("Written out, slowly and evenly: %s; then quicker, %d notes in %.1f s.", written, d.Notes, d.Seconds))
	}
	if d.OtherHand > 0 {
		l.steps = append(l.steps, fmt.Sprintf("With the other hand, which strikes %s meanwhile: fix which note falls with which, slowly, before it goes fast.", times(d.OtherHand)))
	}
	return l
}
