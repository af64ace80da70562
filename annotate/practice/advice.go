// Package practice says how to practise a hot spot: which bars and hands, from
// which tempo, in which steps, and how to tell that it is learnt.
//
// It knows how pianists practise, and every word of it is here: one small
// function a kind, which turns the numbers of the place into sentences for the
// player. It refuses to know what is hard, which is detect's; when to practise,
// which is the plan's; and paper.
//
// A kind that steps does not know gets general advice, so a new kind needs
// nothing here. Where no source is named, the ways to practise are common
// practice.
package practice

import (
	"fmt"

	"hardbars/detect"
	"hardbars/detect/kinds/crossrhythm"
	"hardbars/detect/kinds/fastrun"
	"hardbars/detect/kinds/handcrossing"
	"hardbars/detect/kinds/heldandmoving"
	"hardbars/detect/kinds/leap"
	"hardbars/detect/kinds/longpedal"
	"hardbars/detect/kinds/melodyoveraccompaniment"
	"hardbars/detect/kinds/octaverun"
	"hardbars/detect/kinds/ornament"
	"hardbars/detect/kinds/patternbreak"
	"hardbars/detect/kinds/pedalheld"
	"hardbars/detect/kinds/regrouping"
	"hardbars/detect/kinds/repeatednotes"
	"hardbars/detect/kinds/softcontrol"
	"hardbars/detect/kinds/spreadchord"
	"hardbars/detect/kinds/spreadoctave"
	"hardbars/detect/kinds/tieacrosspedal"
	"hardbars/detect/kinds/widestretch"
	"hardbars/score"
)

// Advice is how to practise one hot spot.
type Advice struct {
	Bars        string   // as printed: "12" or "12–15"
	Hands       string   // "left hand", "left hand, then both", "both hands"
	Start       float64  // quarter notes a minute to begin with, at most Target; 0 where tempo does not matter
	Target      float64  // quarter notes a minute to reach; 0 where tempo does not matter
	StartWords  string   // Start in the beat that is counted: "quarter = 47"; "any tempo"
	TargetWords string   // Target in the same beat
	Steps       []string // sentences, in order; no bar is named outside the hot spot
	Alone       int      // how many of the steps come before the other hand does, 1 at least and never all
	Test        string   // a sentence: how to tell that it is learnt

	// Ladder is the tempos from Start to Target, one for each step up, in the
	// beat that is counted; nil where tempo does not matter, or where there is
	// nothing to climb.
	Ladder []detect.Pace
}

// anyTempo is said where tempo does not matter.
const anyTempo = "any tempo"

// For is the advice for a hot spot of a report.
func For(r *detect.Report, spot *detect.Spot) Advice {
	p := newPlace(r, spot)
	l := p.lesson()
	a := Advice{
		Bars: r.Bars(spot), Hands: p.hands(),
		StartWords: anyTempo, TargetWords: anyTempo,
		Steps: p.steps(l), Alone: l.alone(), Test: p.test(l),
	}
	if p.timed() {
		a.Start, a.Target = min(p.start.QPM(), spot.Target), spot.Target
		a.StartWords, a.TargetWords = p.start.String(), p.target.String()
		a.Ladder = detect.Ladder(p.start, p.target)
	}
	return a
}

// lesson is what a kind has to say about one place.
type lesson struct {
	steps    []string
	proof    string // what the test asks for beside playing on: "with no note missing"
	together int    // index of the step that brings in the other hand; 0 where none does
	placed   bool   // the steps name their bars themselves
}

// alone is how many steps come before the other hand does.
func (l lesson) alone() int {
	if l.together > 0 {
		return l.together
	}
	return len(l.steps)
}

// lesson chooses the advice by the kind's own numbers.
func (p *place) lesson() lesson {
	switch d := p.o.Detail.(type) {
	case crossrhythm.Detail:
		return p.crossRhythm(d)
	case leap.Detail:
		return p.leap()
	case detect.PairsDetail:
		return p.doubleNotes(d)
	case octaverun.Detail:
		return p.octaves(d)
	case tieacrosspedal.Detail:
		return p.tie(d)
	case spreadoctave.Detail:
		return p.spreadOctave(d)
	case spreadchord.Detail:
		return p.spreadChord(d)
	case widestretch.Detail:
		return p.wideStretch(d)
	case fastrun.Detail:
		return p.fastRun(d)
	case repeatednotes.Detail:
		return p.repeatedNotes(d)
	case ornament.Detail:
		return p.ornament(d)
	case softcontrol.Detail:
		return p.softControl(d)
	case melodyoveraccompaniment.Detail:
		return p.melody(d)
	case heldandmoving.Detail:
		return p.heldAndMoving(d)
	case handcrossing.Detail:
		return p.handCrossing(d)
	case longpedal.Detail:
		return p.longPedal(d)
	case pedalheld.Detail:
		return p.pedalHeld(d)
	case patternbreak.Detail:
		return p.patternBreak(d)
	case regrouping.Detail:
		return p.regrouping(d)
	}
	return p.general()
}

// general is for a kind that has no advice of its own.
func (p *place) general() lesson {
	if p.spot.Hand == score.Both {
		return lesson{together: 1, steps: []string{
			"Each hand alone until it needs no thought.",
			"Both, two beats at a time, with a stop after each two; then without the stops."}}
	}
	return lesson{steps: []string{fmt.Sprintf(
		"The %s alone, two beats at a time, with a stop after each two; then without the stops.", p.spot.Hand.Name())}}
}

// steps are those of the kind, then those that every place needs.
func (p *place) steps(l lesson) []string {
	var steps []string
	steps = append(steps, l.steps...)
	if p.many() && !l.placed {
		steps[0] = fmt.Sprintf("Begin in bar %s. %s", p.Position(p.o.From).Bar, steps[0])
	}
	if l.together == 0 && p.otherPlays() {
		steps = append(steps, p.addOther())
	}
	return append(steps, p.raise()+p.context())
}

func (p *place) addOther() string {
	if p.timed() {
		return fmt.Sprintf("Add the %s, from %s.", (1 - p.spot.Hand).Name(), p.start)
	}
	return fmt.Sprintf("Add the %s.", (1 - p.spot.Hand).Name())
}

// raise is the way from the start to the target.
func (p *place) raise() string {
	switch step := p.target.Rung(); {
	case !p.timed():
		return fmt.Sprintf("Then in time, at %s.", p.target)
	case p.start == p.target:
		return fmt.Sprintf("Then at %s, which should be comfortable.", p.target)
	case p.start.PerMinute+step >= p.target.PerMinute:
		return fmt.Sprintf("At %s; after three clean in a row, at %d.", p.start, p.target.PerMinute)
	default:
		return fmt.Sprintf("From %s to %d by %d: up after three clean in a row, back after two misses.", p.start, p.target.PerMinute, step)
	}
}

// context joins the place to the bars around it.
func (p *place) context() string {
	before, after := p.spot.FirstBar > 0, p.spot.LastBar < len(p.Score.Bars)-1
	switch {
	case before && after:
		return " Last, with the bars before and after."
	case before:
		return " Last, with the bar before."
	case after:
		return " Last, with the bar after."
	}
	return ""
}

// test ends in what the kind asks for beside playing on.
func (p *place) test(l lesson) string {
	test := fmt.Sprintf("Learnt: three times running, no stop, at %s", p.target)
	if l.proof != "" {
		test += ", " + l.proof
	}
	return test + "."
}
