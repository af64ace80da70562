// Package pedalheld finds notes that are written longer than the hand can hold
// them, where the score marks no pedal.
package pedalheld

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind pedal-held.
var Detector = &detect.Detector{
	Kind: "pedal-held",
	Name: "a note that only an unmarked pedal holds",
	Doc: `A note is written to last, but the hand must leave its key before that: it cannot cover the key together with
what it strikes next, and no pedal is marked there. A note ends early if its key is struck anew; staccato notes and
tremolos ask for no holding. Demand is 0.5 where no hand could hold the note, so that the pedal is plainly meant, and 1
where a hand that reaches a twelfth could, but this one cannot. Each second that a pedal from the attack to the written
end would blur adds 0.2 where its lower note lies below C3, 0.1 below C5 and 0.03 above, 0.75 at most; nothing where
the other hand can take the key over.`,
	Limits: []detect.Limit{
		{Name: "widest stretch", Value: "what the hand's span reaches", Source: "Boyle, Boyle & Booker 2015"},
		{Name: "demand", Value: fmt.Sprintf("%g to %g", pedalMeant, pedalForced+mostBlur), Source: "common practice"},
	},
	Basis:    detect.CommonPractice,
	Rests:    "common practice. Recorded performances cannot tell: what blurs or stops sounding is no missed note.",
	Telling:  []string{"pitches", "leaves", "until"},
	Run:      findPedalHeld,
	Speech:   speech,
	Practise: practise,
}

// Demand of an unmarked pedal: common practice.
const (
	pedalMeant  = 0.5
	pedalForced = 1.0 // a larger hand would not need it
	mostBlur    = 0.75
)

// Detail is the JSON detail of notes that only a pedal holds.
type Detail struct {
	Pitches   []score.Pitch   `json:"pitches"` // low to high
	Leaves    detect.Position `json:"leaves"`  // where the hand must leave the keys
	Until     detect.Position `json:"until"`   // where the longest of them ends as written
	OtherHand bool            `json:"other_hand_can_hold"`
	Blurs     []detect.Clash  `json:"blurs"` // seconds that one pedal over the whole note makes
}

func findPedalHeld(p *detect.Pass) {
	again := detect.StruckAgain(p.Score)
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, l := range letGo(p, hand, again) {
			if !pedalMarked(p.Score, &l) {
				p.Report(l.occurrence(p))
			}
		}
	}
}

// leaving is keys, struck together, that a hand must leave together though
// their notes last.
type leaving struct {
	hand   score.Hand
	notes  []int // low to high
	from   score.Rat
	at     score.Rat // when the hand leaves
	until  score.Rat // when the longest of them ends
	meant  bool      // no hand could hold them
	others bool      // the other hand can take them over
}

// letGo follows one hand through the piece: what it must let go early.
func letGo(p *detect.Pass, hand score.Hand, again []score.Rat) []leaving {
	s := p.Score
	end := func(n int) score.Rat { return score.Min(s.Notes[n].End(), again[n]) }
	var all []leaving
	var down []int
	for i, e := range p.Events[hand] {
		var lost []leaving
		down = slices.DeleteFunc(down, func(n int) bool {
			switch {
			case end(n).Cmp(e.At) <= 0:
				return true
			case holdsWith(p.Player.Hand(hand), p, n, e):
				return false
			}
			k := slices.IndexFunc(lost, func(l leaving) bool { return l.from == s.Notes[n].Onset })
			if k < 0 {
				k = len(lost)
				lost = append(lost, leaving{hand: hand, from: s.Notes[n].Onset, at: e.At})
			}
			lost[k].notes = append(lost[k].notes, n)
			lost[k].until = score.Max(lost[k].until, end(n))
			return true
		})
		for _, l := range lost {
			l.judge(p, p.Events[hand][i:])
			all = append(all, l)
		}
		down = append(down, slices.DeleteFunc(slices.Clone(e.Struck), func(n int) bool { return !detect.AsksToHold(&s.Notes[n]) })...)
	}
	return all
}

// holdsWith reports whether a hand covers a key with all that an event strikes,
// and with each of the grace notes before it.
func holdsWith(h hand.Hand, p *detect.Pass, note int, e detect.Event) bool {
	held := p.Keys([]int{note})
	for _, g := range p.Keys(e.Grace) {
		if !h.Covers(detect.JoinKeys(held, []int{g})) {
			return false
		}
	}
	return h.Covers(detect.JoinKeys(held, p.Keys(e.Struck)))
}

// judge tells who else could hold the keys from the moment they are left;
// events are what the hand strikes from then on.
func (l *leaving) judge(p *detect.Pass, events []detect.Event) {
	l.notes = detect.OneForEachKey(p.Score, l.notes)
	l.others = p.CanHold(1-l.hand, p.Keys(l.notes), l.at, score.Max(l.at, p.LastBefore(1-l.hand, l.until).At))
	for _, e := range events {
		if !e.At.Less(l.until) {
			break
		}
		l.meant = l.meant || slices.ContainsFunc(l.notes, func(n int) bool { return !holdsWith(hand.Largest(l.hand), p, n, e) })
	}
}

// pedalMarked reports whether the score has a pedal down when the hand leaves:
// the damper pedal, or the middle pedal pressed after the attack.
func pedalMarked(s *score.Score, l *leaving) bool {
	return slices.ContainsFunc(s.Pedals, func(pedal score.Pedal) bool {
		down := pedal.From.Cmp(l.at) <= 0 && l.at.Less(pedal.To)
		return down && (pedal.Kind == score.Damper || pedal.Kind == score.Sostenuto && l.from.Cmp(pedal.From) <= 0)
	})
}

func (l *leaving) occurrence(p *detect.Pass) detect.Occurrence {
	blurs := p.Clashes(l.from, l.until, func(a, b int) bool { return true })
	picture := p.PianoRoll(l.from, l.until, l.notes)
	picture.Held, picture.Lines = true, []score.Rat{l.at.Sub(l.from)}
	return detect.Occurrence{
		Hand: l.hand, From: l.from, To: l.until, Notes: l.notes,
		Demand: l.demand(p.Blur(blurs)),
		Shape:  l.shape(p),
		Label:  "pedal must hold " + p.PrettyNames(l.notes),
		Why:    l.why(p, blurs),
		Detail: Detail{
			Pitches: p.Pitches(l.notes), Leaves: p.Position(l.at), Until: p.EndPosition(l.until),
			OtherHand: l.others, Blurs: p.JsonClashes(blurs),
		},
		Picture: picture,
	}
}

func (l *leaving) demand(blur float64) float64 {
	base := pedalForced
	if l.meant {
		base = pedalMeant
	}
	if l.others {
		return base
	}
	return base + min(mostBlur, blur)
}

// shape is the intervals between the notes, and when they are left and end.
func (l *leaving) shape(p *detect.Pass) string {
	var b strings.Builder
	keys := p.Keys(l.notes)
	for _, k := range keys {
		fmt.Fprintf(&b, "%d ", k-keys[0])
	}
	fmt.Fprintf(&b, "left %s until %s", l.at.Sub(l.from), l.until.Sub(l.from))
	return b.String()
}

func (l *leaving) why(p *detect.Pass, blurs []detect.Clashing) string {
	s := p.Score
	var b strings.Builder
	fmt.Fprintf(&b, "%s, struck at %s, should last until %s, but the %s hand must leave at %s and no pedal is marked: ",
		p.PrettyNames(l.notes), detect.PositionName(s, l.from), detect.EndPositionName(s, l.until), l.hand, detect.PositionName(s, l.at))
	if l.others {
		fmt.Fprintf(&b, "let the %s hand take over, or ", 1-l.hand)
	}
	b.WriteString("press the damper pedal after the attack and keep it until then")
	if len(blurs) > 0 {
		fmt.Fprintf(&b, "; it will blur %s", p.ClashNames(blurs))
	}
	return b.String() + "."
}
