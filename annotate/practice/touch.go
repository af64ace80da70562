package practice

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect/kinds/handcrossing"
	"hardbars/detect/kinds/heldandmoving"
	"hardbars/detect/kinds/melodyoveraccompaniment"
	"hardbars/detect/kinds/softcontrol"
	"hardbars/score"
)

// levels are the dynamic marks from soft to loud.
var levels = []string{"pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff"}

// louder is the mark so many steps above another; mf where that one is unknown.
func louder(mark string, steps int) string {
	i := slices.Index(levels, mark)
	if i < 0 {
		return "mf"
	}
	return levels[min(i+steps, len(levels)-1)]
}

func (p *place) softControl(d softcontrol.Detail) lesson {
	risk := strings.Join(prettyAll(d.AtRisk), " and ")
	l := lesson{proof: fmt.Sprintf("soft, with %s heard and not sticking out", risk)}
	l.steps = []string{p.startLevel(d, risk), p.softTouch(d, risk)}
	return l
}

// startLevel is how loud to begin: a fade needs room.
func (p *place) startLevel(d softcontrol.Detail, risk string) string {
	if !d.DyingAway {
		return fmt.Sprintf("First at %s until it is even, then one step softer each time, down to %s, but no softer than lets %s speak.", louder(d.Dynamic, 2), d.Dynamic, risk)
	}
	written := "no mark stands here"
	if d.Dynamic != "" {
		written = d.Dynamic + " is written"
	}
	return fmt.Sprintf("Find the end first: the softest sound at which the last notes still speak. Then begin at %s (%s), so that there is room to fade, and give way evenly; where a note fails, begin louder.",
		louder(d.Dynamic, 1), written)
}

// softTouch is how the hand plays what is at risk.
func (p *place) softTouch(d softcontrol.Detail, risk string) string {
	switch d.Cause {
	case "repeated figure":
		return fmt.Sprintf("The %d strokes from the surface of the keys: let them up only as far as they need to speak again, %s first of all.", d.Count, risk)
	case "chord":
		return fmt.Sprintf("Touch all %d keys, wait, then press them as one; lean the hand a little to %s, under the weakest finger.", d.Keys, risk)
	case "landing":
		return fmt.Sprintf("From key to key there are %.2f s: leave early, touch %s, rest on it, and only then press; first without sound.", d.Seconds, risk)
	}
	return fmt.Sprintf("Give %s its full length and lift off it without a push; first with a stop before the leap, then with less and less, down to %.2f s from key to key.", risk, d.Seconds)
}

func (p *place) melody(d melodyoveraccompaniment.Detail) lesson {
	l := lesson{proof: "the melody in one line, as if another hand played it"}
	names := inTurn(prettyAll(d.Melody), 5)
	rest := "what is beside it"
	if d.Double {
		rest = "what is under it"
	}
	loud, soft := d.Dynamic, softer(d.Dynamic)
	if soft == "" {
		loud, soft = "f", "p"
	}
	l.steps = []string{
		fmt.Sprintf("The %s line alone, %s, legato, with the fingers that it has in the whole; sing it.", d.Voice, names),
		fmt.Sprintf("The rest alone with its own %s, half as loud as seems right.", countNoun(d.FingersLeft, "finger", "fingers")),
		fmt.Sprintf("Together: the line sounding, %s only touched, without sound; then the line %s, the rest %s.", rest, loud, soft),
	}
	return l
}

// softer is the mark two steps below another, ppp at the least; "" where that
// one is unknown.
func softer(mark string) string {
	i := slices.Index(levels, mark)
	if i < 0 {
		return ""
	}
	return levels[max(i-2, 1)]
}

func (p *place) heldAndMoving(d heldandmoving.Detail) lesson {
	held := strings.Join(prettyAll(d.Held), "–")
	l := lesson{proof: fmt.Sprintf("%s down for its whole length", held)}
	if d.LetsGo {
		return lesson{proof: "with no break in the line", steps: []string{
			fmt.Sprintf("This hand cannot hold %s with all that it strikes meanwhile: find the note at which it must let go, and mark the pedal there.", held),
			"Hands alone with that pedal, listening for the hole; then let go as late as you can without a pull.",
		}}
	}
	l.steps = []string{
		fmt.Sprintf("Press %s without sound and keep it down; the other %s strike what moves, one note four times each, with no weight on the held key.", held, countNoun(d.FingersLeft, "finger", "fingers")),
		fmt.Sprintf("The %d moving notes alone, with the same fingers; then sound %s, hold it, and play them, listening to the held note.", d.Attacks, held),
	}
	if s := d.Stretch; s != nil && d.PastComfort {
		l.steps = append(l.steps, fmt.Sprintf("Fingers %d and %d are stretched, %s to %s, %d semitones where %d are comfortable: turn the hand with each note; stop when it pulls, and let the pedal hold instead.",
			s.Fingers[0], s.Fingers[1], pretty(s.Pitches[0]), pretty(s.Pitches[1]), s.Semitones, s.Comfortable))
	}
	return l
}

func countNoun(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// handCrossing is who goes over, and who gives way.
func (p *place) handCrossing(d handcrossing.Detail) lesson {
	if d.Way == "one key" {
		return p.oneKey(d)
	}
	over, under := handNamed(d.Over), handNamed(d.GivesWay)
	at := [2]string{score.Right: strings.Join(prettyAll(d.Right), "–"), score.Left: strings.Join(prettyAll(d.Left), "–")}
	return lesson{together: 2, proof: "neither hand waiting for the other", steps: []string{
		fmt.Sprintf("Without sound, both hands where they are deepest in each other: %s in the left, %s in the right. The %s hand over, wrist high and fingers far in among the black keys; the %s hand low, at the edge of the keys.",
			at[score.Left], at[score.Right], over, under),
		fmt.Sprintf("The %s hand alone, there and back; then the %s hand alone, as flat as it has to be.", over, under),
		"Both, with a stop each time one has passed the other, until nothing touches.",
	}}
}

// oneKey is a key that both hands need.
func (p *place) oneKey(d handcrossing.Detail) lesson {
	gives := handNamed(d.GivesWay)
	notes := [2][]string{score.Right: d.Right, score.Left: d.Left}
	key := chord(notes[gives])
	if d.Seconds == nil || *d.Seconds == 0 {
		return lesson{together: 1, proof: fmt.Sprintf("%s sounding once", key), steps: []string{
			fmt.Sprintf("Both hands have %s at once: the %s hand leaves it out. Cross it out in the score.", key, gives),
			fmt.Sprintf("The %s hand alone without it, until the hole feels right; then both.", gives),
		}}
	}
	return lesson{together: 1, proof: fmt.Sprintf("%s sounding twice", key), steps: []string{
		fmt.Sprintf("Only the two strokes of %s: the %s hand strikes it and is off at once, the %s hand follows %.2f s later. Hear both.", key, gives, 1-gives, *d.Seconds),
		fmt.Sprintf("Leave with a purpose: the %s hand rises towards its next note; the %s hand comes in low. Then with two notes before and two after.", gives, 1-gives),
	}}
}
