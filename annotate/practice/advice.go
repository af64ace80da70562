// Package practice says how to practise a hot spot: which bars and hands, from
// which tempo, in which steps, and how to tell that it is learnt.
//
// What is particular to a kind its own lesson says; here is what every hot spot
// needs: hands, tempo, the way up to it, the bars around, and general advice for
// a kind without a lesson. What is hard, when to practise, and paper are kept
// out. Where no source is named, the ways to practise are common practice.
package practice

import (
	"fmt"

	"hardbars/detect"
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

// place is a hot spot as its advice looks at it.
type place struct{ *detect.Practice }

// For is the advice for a hot spot of a report.
func For(r *detect.Report, spot *detect.Spot) Advice {
	p := place{detect.NewPractice(r, spot)}
	l, ok := p.Lesson()
	if !ok {
		l = p.general()
	}
	a := Advice{
		Bars: r.Bars(spot), Hands: p.hands(),
		StartWords: anyTempo, TargetWords: anyTempo,
		Steps: p.steps(l), Alone: alone(l), Test: p.test(l),
	}
	if p.Timed() {
		a.Start, a.Target = min(p.Start.QPM(), spot.Target), spot.Target
		a.StartWords, a.TargetWords = p.Start.String(), p.Target.String()
		a.Ladder = detect.Ladder(p.Start, p.Target)
	}
	return a
}

// alone is how many steps come before the other hand does.
func alone(l detect.Lesson) int {
	if l.Together > 0 {
		return l.Together
	}
	return len(l.Steps)
}

// general is for a kind that has no advice of its own.
func (p place) general() detect.Lesson {
	if p.Spot.Hand == score.Both {
		return detect.Lesson{Together: 1, Steps: []string{
			"Each hand alone until it needs no thought.",
			"Both, two beats at a time, with a stop after each two; then without the stops."}}
	}
	return detect.Lesson{Steps: []string{fmt.Sprintf(
		"The %s alone, two beats at a time, with a stop after each two; then without the stops.", p.Spot.Hand.Name())}}
}

// steps are those of the kind, then those that every place needs.
func (p place) steps(l detect.Lesson) []string {
	var steps []string
	steps = append(steps, l.Steps...)
	if p.Many() && !l.Placed {
		steps[0] = fmt.Sprintf("Begin in bar %s. %s", p.Position(p.Hardest.From).Bar, steps[0])
	}
	if l.Together == 0 && p.OtherPlays() {
		steps = append(steps, p.addOther())
	}
	return append(steps, p.raise()+p.context())
}

func (p place) addOther() string {
	if p.Timed() {
		return fmt.Sprintf("Add the %s, from %s.", (1 - p.Spot.Hand).Name(), p.Start)
	}
	return fmt.Sprintf("Add the %s.", (1 - p.Spot.Hand).Name())
}

// raise is the way from the start to the target.
func (p place) raise() string {
	switch step := p.Target.Rung(); {
	case !p.Timed():
		return fmt.Sprintf("Then in time, at %s.", p.Target)
	case p.Start == p.Target:
		return fmt.Sprintf("Then at %s, which should be comfortable.", p.Target)
	case p.Start.PerMinute+step >= p.Target.PerMinute:
		return fmt.Sprintf("At %s; after three clean in a row, at %d.", p.Start, p.Target.PerMinute)
	default:
		return fmt.Sprintf("From %s to %d by %d: up after three clean in a row, back after two misses.", p.Start, p.Target.PerMinute, step)
	}
}

// context joins the place to the bars around it.
func (p place) context() string {
	before, after := p.Spot.FirstBar > 0, p.Spot.LastBar < len(p.Score.Bars)-1
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
func (p place) test(l detect.Lesson) string {
	test := fmt.Sprintf("Learnt: three times running, no stop, at %s", p.Target)
	if l.Proof != "" {
		test += ", " + l.Proof
	}
	return test + "."
}

// hands says who plays, first and in the end.
func (p place) hands() string {
	name := p.Spot.Hand.Name()
	if p.Spot.Hand != score.Both && p.OtherPlays() {
		return name + ", then both"
	}
	return name
}
