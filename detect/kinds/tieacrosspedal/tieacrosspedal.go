// Package tieacrosspedal finds notes held across a change of the damper pedal.
package tieacrosspedal

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind tie-across-pedal.
var Detector = &detect.Detector{
	Kind: "tie-across-pedal",
	Name: "a note held over a pedal change",
	Doc: `A note is held, by its length or by ties, across a change of the damper pedal: the dampers fall after it is
struck, and are lifted again before it ends. What a finger does not hold then is silenced. A finger can hold the key
when this hand covers it together with everything it strikes, from the attack to the last change. If not, the ways out
are the other hand, the middle pedal, which some scores ask for, or a change made by half. A key struck anew ends the
note; a lift without a new press within a quarter note is no change. Demand under the fingers is the widest stretch
asked while holding, as a share of the hand's reach, at most 0.95. Where only the pedal holds it is 1.25, or 1 if the
other hand can take the keys over, the score asks for the middle pedal or the player's piano has one that works, and 0.05
more for each further change, at most 1.5.`,
	Limits: []detect.Limit{
		{Name: "widest stretch", Value: "what the hand's span reaches", Source: "Boyle, Boyle & Booker 2015"},
		{Name: "demand of a note that is lost", Value: fmt.Sprintf("%g to %g", lostShared, mostLost), Source: "common practice"},
	},
	Basis:    detect.CommonPractice,
	Rests:    "common practice. Recorded performances cannot tell: what stops sounding is no missed note.",
	Telling:  []string{"pitches", "changes", "held_by"},
	Run:      findTiesAcrossPedal,
	Speech:   speech,
	Practise: practise,
}

// Demand of held notes: common practice.
const (
	onlyHeld   = 0.1  // a finger holds and this hand has nothing else to do
	mostHeld   = 0.95 // a finger holds, at the widest stretch
	lostShared = 1.0  // lost, but the other hand or the middle pedal can help
	lostAlone  = 1.25
	furtherBy  = 0.05 // for each change after the first
	mostLost   = 1.5
)

// Detail is the JSON detail of notes held across pedal changes.
type Detail struct {
	Pitches     []score.Pitch     `json:"pitches"`
	Changes     []detect.Position `json:"changes"` // where the dampers fall
	HeldBy      string            `json:"held_by"` // "finger" or "pedal"
	OtherHand   bool              `json:"other_hand_can_hold"`
	MiddlePedal *Window           `json:"middle_pedal,omitempty"` // when to press it, where no finger can hold
}

// Window is the time from one place to another.
type Window struct {
	After  detect.Position `json:"after"`
	Before detect.Position `json:"before"`
}

func findTiesAcrossPedal(p *detect.Pass) {
	changes := damperChanges(p.Score)
	again := detect.StruckAgain(p.Score)
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for i := range p.Events[hand] {
			for _, t := range tiesFrom(p, hand, i, changes, again) {
				p.Report(t.occurrence(p))
			}
		}
	}
}

// damperChanges returns every written change of the damper pedal, in order.
func damperChanges(s *score.Score) []score.Change {
	var all []score.Change
	for _, pedal := range s.Pedals {
		if pedal.Kind == score.Damper {
			all = append(all, pedal.Changes...)
		}
	}
	slices.SortStableFunc(all, func(a, b score.Change) int {
		return cmp.Or(a.Lift.Cmp(b.Lift), a.Press.Cmp(b.Press))
	})
	return slices.Compact(all)
}

// tie is notes that one hand strikes together and that are held across the
// same pedal changes.
type tie struct {
	hand    score.Hand
	notes   []int // low to high
	keys    []int
	attack  score.Rat
	changes []score.Change
	before  []detect.Event // the attack itself and what the hand strikes after it, up to the last change
	widest  float64        // stretch in mm that holding on asks for, as far as the hand can
	leaves  score.Rat
	lost    bool // the hand must leave the keys, at leaves
	other   bool // the other hand can take the keys over
	caught  bool // the score has the middle pedal hold them
}

// tiesFrom returns the notes of one event that are held across changes.
func tiesFrom(p *detect.Pass, hand score.Hand, event int, changes []score.Change, again []score.Rat) []tie {
	e := p.Events[hand][event]
	var ties []tie
	for _, n := range e.Struck {
		inside := changesInside(changes, e.At, score.Min(p.Score.Notes[n].End(), again[n]))
		if len(inside) == 0 {
			continue
		}
		same := func(t tie) bool { return slices.Equal(t.changes, inside) }
		if i := slices.IndexFunc(ties, same); i >= 0 {
			ties[i].notes = append(ties[i].notes, n)
			continue
		}
		ties = append(ties, tie{hand: hand, notes: []int{n}, attack: e.At, changes: inside})
	}
	for i := range ties {
		ties[i].hold(p, p.Events[hand][event:])
	}
	return ties
}

// changesInside returns the changes after attack that are over before end.
func changesInside(changes []score.Change, attack, end score.Rat) []score.Change {
	first, _ := slices.BinarySearchFunc(changes, attack, func(c score.Change, at score.Rat) int {
		if at.Less(c.Lift) {
			return 1
		}
		return -1
	})
	last := first
	for last < len(changes) && changes[last].Press.Less(end) {
		last++
	}
	return changes[first:last]
}

// until is when the last change is over.
func (t *tie) until() score.Rat { return t.changes[len(t.changes)-1].Press }

// hold works out whether this hand, or the other one, can hold the keys.
func (t *tie) hold(p *detect.Pass, events []detect.Event) {
	t.keys = p.Keys(t.notes)
	for _, e := range events {
		if t.until().Less(e.At) {
			break
		}
		t.before = append(t.before, e)
		if t.lost {
			continue
		}
		if t.lost = !t.holds(p, e); t.lost {
			t.leaves = e.At
			continue
		}
		t.widest = max(t.widest, hand.Extent(detect.JoinKeys(t.keys, p.Keys(e.Struck))))
	}
	t.other = t.lost && p.CanHold(1-t.hand, t.keys, t.leaves, t.until())
	t.caught = t.lost && t.writtenCatch(p.Score)
}

// writtenCatch reports whether the score presses the sostenuto pedal in time and
// keeps it down over the last change.
func (t *tie) writtenCatch(s *score.Score) bool {
	return slices.ContainsFunc(s.Pedals, func(pedal score.Pedal) bool {
		return pedal.Kind == score.Sostenuto && t.attack.Cmp(pedal.From) <= 0 &&
			pedal.From.Cmp(t.catchBy()) <= 0 && t.until().Less(pedal.To)
	})
}

// holds reports whether the hand covers the keys with all that e strikes. Grace
// notes come one after the other; those before the attack itself are no matter.
func (t *tie) holds(p *detect.Pass, e detect.Event) bool {
	if e.At != t.attack {
		for _, g := range p.Keys(e.Grace) {
			if !p.Player.Hand(t.hand).Covers(detect.JoinKeys(t.keys, []int{g})) {
				return false
			}
		}
	}
	return p.Player.Hand(t.hand).Covers(detect.JoinKeys(t.keys, p.Keys(e.Struck)))
}

// catchBy is the latest moment to press the middle pedal: the finger is still
// on the key, and the dampers have not fallen.
func (t *tie) catchBy() score.Rat {
	by := t.changes[0].Lift
	if t.lost && t.attack.Less(t.leaves) {
		by = score.Min(by, t.leaves)
	}
	return by
}

func (t *tie) demand(p *detect.Pass) float64 {
	if t.lost {
		from := lostAlone
		if t.other || t.caught || p.Player.MiddlePedal {
			from = lostShared
		}
		return min(mostLost, from+furtherBy*float64(len(t.changes)-1))
	}
	if len(t.before) == 1 {
		return onlyHeld
	}
	return min(mostHeld, max(onlyHeld, t.widest/p.Player.Hand(t.hand).Reach()))
}

func (t *tie) occurrence(p *detect.Pass) detect.Occurrence {
	s := p.Score
	detail := Detail{Pitches: p.Pitches(t.notes), HeldBy: "finger", OtherHand: t.other}
	for _, c := range t.changes {
		detail.Changes = append(detail.Changes, p.Position(c.Lift))
	}
	if t.lost {
		detail.HeldBy = "pedal"
		detail.MiddlePedal = &Window{After: p.Position(t.attack), Before: p.Position(t.catchBy())}
	}
	return detect.Occurrence{
		Hand: t.hand, From: t.attack, To: t.end(s), Notes: t.notes,
		Demand: t.demand(p),
		Shape:  t.shape(s), Label: t.label(s), Why: t.why(p),
		Detail: detail, Picture: t.picture(s),
	}
}

func (t *tie) end(s *score.Score) score.Rat {
	var end score.Rat
	for _, n := range t.notes {
		end = score.Max(end, s.Notes[n].End())
	}
	return end
}

func (t *tie) pretty(s *score.Score) []string {
	var all []string
	for _, n := range t.notes {
		all = append(all, s.Notes[n].Pitch.Pretty())
	}
	return all
}

// shape is who holds, the intervals between the notes, and when the changes
// come after the attack: the same in every key.
func (t *tie) shape(s *score.Score) string {
	var b strings.Builder
	fmt.Fprintf(&b, "lost %t:", t.lost)
	for _, k := range t.keys {
		fmt.Fprintf(&b, " %d", k-t.keys[0])
	}
	fmt.Fprintf(&b, "; %s:", t.end(s).Sub(t.attack))
	for _, c := range t.changes {
		fmt.Fprintf(&b, " %s", c.Lift.Sub(t.attack))
	}
	return b.String()
}

func (t *tie) label(s *score.Score) string {
	names := strings.Join(t.pretty(s), " ")
	switch {
	case t.caught:
		return "middle pedal holds " + names
	case t.lost:
		return "pedal cuts " + names
	}
	return "finger holds " + names
}

func (t *tie) why(p *detect.Pass) string {
	s := p.Score
	names := strings.Join(t.pretty(s), " and ")
	var falls []string
	for _, c := range t.changes {
		falls = append(falls, detect.PositionName(s, c.Lift))
	}
	where := "the pedal change at " + falls[0]
	if len(falls) > 1 {
		where = fmt.Sprintf("%d pedal changes from %s to %s", len(falls), falls[0], falls[len(falls)-1])
	}
	begun := fmt.Sprintf("%s, struck at %s and held for %s quarters, must last over %s",
		names, detect.PositionName(s, t.attack), t.end(s).Sub(t.attack).Pretty(), where)
	if !t.lost {
		return begun + ": " + t.whyHeld(p) + "."
	}
	proviso := ", if your piano's middle pedal works (many do not)"
	if p.Player.MiddlePedal {
		proviso = ""
	}
	if t.caught {
		return fmt.Sprintf("%s, but the %s hand must leave at %s: the middle pedal that the score asks for holds on%s.",
			begun, t.hand, detect.PositionName(s, t.leaves), proviso)
	}
	ways := fmt.Sprintf("press the middle pedal after striking and before %s, with the damper pedal up for that moment%s, "+
		"or change only by half", detect.PositionName(s, t.catchBy()), proviso)
	if t.other {
		ways = fmt.Sprintf("let the %s hand take over, or ", 1-t.hand) + ways
	}
	return fmt.Sprintf("%s, but the %s hand must leave at %s: %s.", begun, t.hand, detect.PositionName(s, t.leaves), ways)
}

func (t *tie) whyHeld(p *detect.Pass) string {
	if len(t.before) == 1 {
		return fmt.Sprintf("the %s hand has nothing else to strike and keeps hold", t.hand)
	}
	return fmt.Sprintf("the %s hand can keep it down with what else it strikes, at a stretch of %.0f mm of the %.0f mm it reaches",
		t.hand, t.widest, p.Player.Hand(t.hand).Reach())
}

func (t *tie) picture(s *score.Score) detect.HeldNote {
	h := detect.HeldNote{Length: t.end(s).Sub(t.attack), CatchBy: t.catchBy().Sub(t.attack), Lost: t.lost}
	for _, n := range t.notes {
		h.Held = append(h.Held, s.Notes[n].Pitch)
	}
	for _, c := range t.changes {
		h.Changes = append(h.Changes, c.Lift.Sub(t.attack))
	}
	for _, e := range t.before[1:] {
		h.Attacks = append(h.Attacks, e.At.Sub(t.attack))
	}
	return h
}
