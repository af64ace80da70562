package practice

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/detect/kinds/longpedal"
	"hardbars/detect/kinds/pedalheld"
	"hardbars/detect/kinds/tieacrosspedal"
)

func (p *place) tie(d tieacrosspedal.Detail) lesson {
	notes, change := strings.Join(prettyAll(d.Pitches), " and "), p.PositionName(p.At(d.Changes[0]))
	if d.HeldBy == "finger" {
		return lesson{proof: fmt.Sprintf("%s sounding to the end", notes), steps: []string{
			fmt.Sprintf("Without pedal: strike %s, keep it down with the finger, and play on; listen to it to the very end.", notes),
			fmt.Sprintf("With the pedal: change at %s and hear %s ring through it. Once, lift the finger on purpose, to know what a lost note sounds like.", change, notes),
		}}
	}
	l := lesson{proof: fmt.Sprintf("%s heard after every pedal change", notes)}
	l.steps = []string{fmt.Sprintf("Without any pedal: strike %s, play on, and hear it end where the hand leaves; that is what the change at %s does.", notes, change)}
	if d.OtherHand {
		l.steps = append(l.steps, fmt.Sprintf("The %s is free enough: let it press %s down silently before then, and keep it. Write it in.",
			(1-p.spot.Hand).Name(), notes))
	}
	l.steps = append(l.steps, p.catch(d, notes), p.withoutMiddle(d, notes))
	return l
}

// catch is when to press the middle pedal.
func (p *place) catch(d tieacrosspedal.Detail, notes string) string {
	proviso := "If your piano has a middle pedal that works (many do not): "
	if p.Player.MiddlePedal {
		proviso = "With the middle pedal: "
	}
	return proviso + fmt.Sprintf("strike %s with the damper pedal up, catch it with the left foot before %s and hold on; then change the damper pedal as written.",
		notes, p.PositionName(p.At(d.MiddlePedal.Before)))
}

// withoutMiddle is what to do without a middle pedal.
func (p *place) withoutMiddle(d tieacrosspedal.Detail, notes string) string {
	return fmt.Sprintf("Without it: at %s let the pedal up by half and at once down again, so that the upper notes thin out and %s rings on; find the depth with this note alone.",
		changesWords(len(d.Changes)), notes)
}

func changesWords(n int) string {
	if n == 1 {
		return "the change"
	}
	return fmt.Sprintf("each of the %d changes", n)
}

func (p *place) longPedal(d longpedal.Detail) lesson {
	var lifts []string
	for _, at := range d.PartLifts {
		lifts = append(lifts, p.PositionName(p.At(at)))
	}
	clash := p.lowestClash(d)
	l := lesson{together: 2, proof: fmt.Sprintf("with %s and %s clear of each other and the bass still there", clash[0], clash[1])}
	l.steps = []string{
		fmt.Sprintf("Each of the %d harmonies as one chord, the pedal down all through, to hear what piles up: %s and %s above all, in the %s register.",
			d.Harmonies, clash[0], clash[1], d.Register),
		fmt.Sprintf("Again, and let the pedal up by a third and at once down again %s: so little that the %s of the beginning rings on, so much that the rest thins out.", at(lifts), pretty(d.PitchClasses[0])),
		"Then as written, listening after each of these lifts; on another piano the depth is another.",
	}
	return l
}

// lowestClash is the clash with the lowest note, lower note first.
func (p *place) lowestClash(d longpedal.Detail) (names [2]string) {
	lowest := p.Score.Notes[p.o.Notes[0]].Pitch
	for _, n := range p.o.Notes {
		if pitch := p.Score.Notes[n].Pitch; pitch.MIDI() < lowest.MIDI() {
			lowest = pitch
		}
	}
	i := max(slices.IndexFunc(d.Clashes, func(c detect.Clash) bool { return c.Pitches[0] == lowest.String() }), 0)
	for j, pitch := range d.Clashes[i].Pitches {
		names[j] = pretty(pitch)
	}
	return names
}

// mostNamed is how many places a sentence names.
const mostNamed = 4

// at lists places: "at bar 5 beat 1 and bar 5 beat 3".
func at(places []string) string {
	if n := len(places) - mostNamed; n > 0 {
		places = append(places[:mostNamed:mostNamed], fmt.Sprintf("%d more", n))
	}
	return "at " + detect.Enumerate(places)
}

func (p *place) pedalHeld(d pedalheld.Detail) lesson {
	notes := detect.Enumerate(prettyAll(d.Pitches))
	leaves, until := p.PositionName(p.At(d.Leaves)), p.EndPositionName(p.At(d.Until))
	l := lesson{proof: fmt.Sprintf("%s heard to %s", notes, until)}
	l.steps = []string{fmt.Sprintf("Without pedal: strike %s, play on, and hear what is missing from %s to %s.", notes, leaves, until)}
	if d.OtherHand {
		l.steps = append(l.steps, fmt.Sprintf("Try the %s: it presses %s down silently before %s and keeps hold. If that sits well, write it in and leave the pedal.",
			(1-p.spot.Hand).Name(), notes, leaves))
	}
	press := fmt.Sprintf("With the damper pedal: press it just after %s is struck, not with it, and keep it to %s. Write it in.", notes, until)
	if len(d.Blurs) > 0 {
		blur := d.Blurs[0].Pitches
		press += fmt.Sprintf(" Where it blurs, %s with %s, press it only half.", pretty(blur[0]), pretty(blur[1]))
	}
	l.steps = append(l.steps, press)
	return l
}
