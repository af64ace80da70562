package hand

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/score"
)

// Help is a suggestion: notes after a leap that the other hand could take.
type Help struct {
	Notes  []int      // indices into Score.Notes, in their order
	Hand   score.Hand // that would take them
	Before float64    // bits a second that the leap asks for now
	After  float64    // the most that either hand is asked for then
	Until  score.Rat  // where the hand that helps has its next note; the end of the piece where it has none
}

// leastHelp is what a leap must ask for to be worth a suggestion, in bits a
// second, and leastGain is how much the demand must fall. Common practice.
const (
	leastHelp = 4.0
	leastGain = 0.1
)

// Suggest lists where the other hand is free and takes what follows a leap
// without strain, and the demand falls by a tenth or more. The hands of the score
// must have been assigned.
func Suggest(s *score.Score, hands [2]Hand) []Help {
	copied := *s
	copied.Notes = slices.Clone(s.Notes)
	a := &assigner{Score: &copied, hands: hands, spread: map[int]bool{}}
	a.layOut()
	var all []Help
	for i := range a.steps {
		for _, hand := range []score.Hand{score.Right, score.Left} {
			prev := a.nextStep(i, -1, hand)
			if prev < 0 || len(a.strikes(i, hand)) == 0 {
				continue
			}
			before := a.leap(prev, i, hand)
			if before < leastHelp {
				continue
			}
			if notes, ok := a.beyond(prev, i, 1, hand); ok {
				if h := a.help(notes, prev, hand, before); h.After <= (1-leastGain)*before {
					all = append(all, h)
				}
			}
		}
	}
	return all
}

// help says what it would be like if the other hand took the notes after a leap.
func (a *assigner) help(notes []int, prev int, hand score.Hand, before float64) Help {
	h := Help{Notes: notes, Hand: 1 - hand, Before: before, Until: a.End()}
	for _, n := range notes {
		a.Notes[n].Hand = 1 - hand
	}
	first, last := a.stepOf[notes[0]], a.stepOf[notes[len(notes)-1]]
	if from := a.nextStep(first, -1, 1-hand); from >= 0 {
		h.After = max(h.After, a.leap(from, first, 1-hand))
	}
	if to := a.nextStep(last, 1, 1-hand); to >= 0 {
		h.After, h.Until = max(h.After, a.leap(last, to, 1-hand)), a.steps[to].at
	}
	if to := a.nextStep(prev, 1, hand); to >= 0 {
		h.After = max(h.After, a.leap(prev, to, hand))
	}
	for _, n := range notes {
		a.Notes[n].Hand = hand
	}
	return h
}

// Remark is the suggestion as the remarks file takes it: "bar 3: right hand takes B♭1".
func (h Help) Remark(s *score.Score) string {
	bar := s.Bars[s.Notes[h.Notes[0]].Bar].Number
	return fmt.Sprintf("bar %s: %s takes %s", bar, h.Hand.Name(), h.names(s))
}

// Words is the suggestion as a teacher would say it.
func (h Help) Words(s *score.Score) string {
	bar := s.Bars[s.Notes[h.Notes[0]].Bar].Number
	text := fmt.Sprintf("take %s in bar %s with the %s: the leap goes away", h.names(s), bar, h.Hand.Name())
	if h.After >= leastHelp {
		text = fmt.Sprintf("take %s in bar %s with the %s: the demand falls by %.0f %%", h.names(s), bar, h.Hand.Name(), 100*(1-h.After/h.Before))
	}
	if h.Until.Less(s.End()) {
		at := s.BarAt(h.Until)
		text += fmt.Sprintf(", the %s is free until bar %s", h.Hand.Name(), s.Bars[at].Number)
		if at == s.Notes[h.Notes[0]].Bar {
			beat := h.Until.Sub(s.Bars[at].Start).Div(s.Bars[at].Time.Beat()).Add(score.Int(1))
			text = strings.TrimSuffix(text, "bar "+s.Bars[at].Number) + "beat " + beat.String()
		}
	}
	return text
}

func (h Help) names(s *score.Score) string {
	var names []string
	for _, n := range h.Notes {
		if name := s.Notes[n].Pitch.Pretty(); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}
