// Package heldandmoving finds fingers that hold keys while others of the hand
// play.
package heldandmoving

import (
	"fmt"
	"slices"
	"sort"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind held-and-moving.
var Detector = &detect.Detector{
	Kind: "held-and-moving",
	Name: "holding and playing in one hand",
	Doc: `Fingers keep keys down while others of the same hand strike twice or more. A finger has to hold for the written length,
or up to the next stroke on its key; under a marked pedal only up to the press of the pedal that still sounds when the note
ends, since from then on the pedal holds. Staccato notes are not held, and what no hand can hold, one that reaches a twelfth, is a matter for the pedal. A
hold that lies within a longer one belongs to it. Demand is the
fastest rate of the moving fingers, over three successive attacks, over the rate that is comfortable beside one held key;
with fewer than four fingers left that rate is less in proportion. Where the easiest fingering of held and moving keys
stretches the hand, or two neighbouring fingers, past comfort, or this hand cannot reach them and has to let go, demand is at
least 1, whatever the tempo.`,
	Limits: []detect.Limit{
		detect.HeldRate.Limit(),
		{Name: "stretch between held and moving keys", Value: "as of a chord: see wide-stretch", Source: "Parncutt et al. 1997"},
	},
	Basis:    detect.Calibrated,
	Rests:    "common practice, and recorded performances: what is missed rises with demand, slowly.",
	Telling:  []string{"held", "until", "attacks", "fingers_left"},
	Run:      findHeldAndMoving,
	Speech:   speech,
	Practise: practise,
}

const (
	leastMoving    = 2 // attacks while a key is held
	handFingers    = 5
	stretchedAsks  = 1.0 // demand where holding stretches the hand past comfort, or past its reach
	othersWhenHeld = 4   // fingers left beside one held key
)

// Detail is the JSON detail of keys that are held while others move.
type Detail struct {
	Held        []score.Pitch       `json:"held"`  // low to high
	Until       detect.Position     `json:"until"` // as far as fingers must hold
	Attacks     int                 `json:"attacks"`
	PerSecond   float64             `json:"per_second"`   // the fastest of them
	FingersLeft int                 `json:"fingers_left"` // where they are fewest
	Stretch     *detect.StretchPair `json:"stretch,omitempty"`
	PastComfort bool                `json:"past_comfort"`
	LetsGo      bool                `json:"lets_go"` // this hand cannot reach all of it
}

// hold is keys that a hand strikes together and keeps down while it plays on.
type hold struct {
	hand   score.Hand
	begin  detect.Event
	notes  []int // held, low to high
	until  score.Rat
	moving []detect.Event // meanwhile
	left   int            // fingers, where they are fewest
	widest detect.Grip    // held and moving keys where they stretch the hand most; no keys where there are too many
	asks   float64        // of that stretch, over what is comfortable
}

func findHeldAndMoving(p *detect.Pass) {
	ends := fingerEnds(p)
	for _, hand := range []score.Hand{score.Right, score.Left} {
		within := score.Rat{}
		for i := range p.Events[hand] {
			h, ok := holdFrom(p, hand, i, ends)
			if !ok || h.until.Cmp(within) <= 0 {
				continue
			}
			within = h.until
			p.Report(holdFound(p, h))
		}
	}
}

// fingerEnds returns, for each note, how long a finger must hold it.
func fingerEnds(p *detect.Pass) []score.Rat {
	again := detect.StruckAgain(p.Score)
	down := dampersDown(p.Score)
	ends := make([]score.Rat, len(p.Score.Notes))
	for i := range p.Score.Notes {
		n := &p.Score.Notes[i]
		ends[i] = score.Min(n.End(), again[i])
		if !detect.AsksToHold(n) {
			ends[i] = n.Onset
			continue
		}
		next := sort.Search(len(down), func(j int) bool { return ends[i].Cmp(down[j].press) <= 0 })
		if next > 0 && ends[i].Cmp(down[next-1].lift) <= 0 {
			ends[i] = score.Max(n.Onset, down[next-1].press)
		}
	}
	return ends
}

// damperDown is a time with the dampers off the strings.
type damperDown struct{ press, lift score.Rat }

// dampersDown returns the times in which the damper pedal is marked to be
// down, by time. Where the player chooses when to change, nothing is marked.
func dampersDown(s *score.Score) []damperDown {
	var all []damperDown
	for _, pedal := range s.Pedals {
		if pedal.Kind != score.Damper || pedal.AdLib {
			continue
		}
		press := pedal.From
		for _, c := range pedal.Changes {
			all = append(all, damperDown{press, c.Lift})
			press = c.Press
		}
		all = append(all, damperDown{press, pedal.To})
	}
	slices.SortStableFunc(all, func(a, b damperDown) int { return a.press.Cmp(b.press) })
	return all
}

// holdFrom looks at what the hand goes on holding of one event.
func holdFrom(p *detect.Pass, hand score.Hand, event int, ends []score.Rat) (hold, bool) {
	events := p.Events[hand]
	h := hold{hand: hand, begin: events[event], left: handFingers}
	for _, n := range h.begin.Struck {
		if last := event + leastMoving; last < len(events) && events[last].At.Less(ends[n]) {
			h.notes = append(h.notes, n)
			h.until = score.Max(h.until, ends[n])
		}
	}
	for _, e := range events[event+1:] {
		if !e.At.Less(h.until) {
			break
		}
		if !movesUnder(p, &h, e, ends) {
			h.until = e.At
			break
		}
	}
	return h, len(h.moving) >= leastMoving
}

// movesUnder adds an event that the hand strikes while it holds, unless not
// even the largest hand could hold on.
func movesUnder(p *detect.Pass, h *hold, e detect.Event, ends []score.Rat) bool {
	held := slices.DeleteFunc(slices.Concat(h.notes, e.Held), func(n int) bool { return !e.At.Less(ends[n]) })
	held = detect.OneForEachKey(p.Score, held)
	all := detect.OneForEachKey(p.Score, slices.Concat(held, e.Struck))
	keys := p.Keys(all)
	if !hand.Largest(h.hand).Covers(keys) {
		return false
	}
	h.moving = append(h.moving, e)
	h.left = min(h.left, max(handFingers-len(held), 1))
	if f, ok := p.Player.Hand(h.hand).Grasp(keys); ok {
		g := detect.Grip{Hand: h.hand, Event: detect.Event{At: e.At, Struck: all}, Keys: keys, Grasp: f}
		if asks := max(p.WholeDemand(g), p.PairDemand(g)); asks > h.asks {
			h.widest, h.asks = g, asks
		}
	}
	return true
}

func holdFound(p *detect.Pass, h hold) detect.Occurrence {
	s := p.Score
	comfortable := p.Player.Can(detect.HeldRate) * float64(h.left) / othersWhenHeld
	rate := p.Fastest(append([]score.Rat{h.begin.At}, detect.Instants(h.moving)...))
	notes := slices.Concat(h.notes, detect.StruckIn(h.moving))
	slices.Sort(notes)
	o := detect.Occurrence{
		Hand: h.hand, From: h.begin.At, To: p.EndOf(notes), Notes: slices.Compact(notes),
		Demand: rate / comfortable, Timed: true,
		Shape: "held " + p.ShapeOf(append([]detect.Event{{At: h.begin.At, Struck: h.notes}}, h.moving...)),
		Label: "hold " + p.PrettyNames(h.notes),
		Why: fmt.Sprintf("The %s hand holds %s to %s while its other fingers, %d of them, strike %d times, %.1f a second, where %.3g is comfortable%s.",
			h.hand, p.PrettyNames(h.notes), detect.EndPositionName(s, h.until), h.left, len(h.moving), rate, comfortable, holdStretch(p, h)),
		Picture:  p.PianoRoll(h.begin.At, score.Min(h.until, h.begin.At.Add(score.Int(detect.MostDrawn))), h.notes),
		Exercise: detect.Layer{Notes: h.notes, Alone: "Held notes alone", Rest: "Moving notes alone", Whole: "Moving under the held notes"},
	}
	if h.asks > 1 && o.Demand <= stretchedAsks {
		o.Demand, o.Timed = stretchedAsks, false
	}
	d := Detail{
		Held: p.Pitches(h.notes), Until: p.EndPosition(h.until), Attacks: len(h.moving),
		PerSecond: detect.Round3(rate), FingersLeft: h.left, PastComfort: h.asks > 1, LetsGo: letsGo(p, h),
	}
	if len(h.widest.Keys) > 1 {
		pair := p.StretchPair(h.widest, h.widest.Lower, h.widest.Lower+1)
		d.Stretch = &pair
	}
	o.Detail = d
	return o
}

// letsGo reports whether this hand cannot reach what it holds with what it strikes.
func letsGo(p *detect.Pass, h hold) bool {
	return hand.Extent(h.widest.Keys) > p.Player.Hand(h.hand).Reach()
}

// holdStretch says what stretches the hand past comfort, and nothing where
// nothing does.
func holdStretch(p *detect.Pass, h hold) string {
	if h.asks <= 1 {
		return ""
	}
	g := h.widest
	low, high := p.Pitch(g.Struck[0]).Pretty(), p.Pitch(g.Struck[len(g.Struck)-1]).Pretty()
	switch {
	case letsGo(p, h):
		return fmt.Sprintf("; from %s to %s are %.0f mm and it reaches %.0f mm, so it has to let go there",
			low, high, hand.Extent(g.Keys), p.Player.Hand(h.hand).Reach())
	case p.WholeDemand(g) >= p.PairDemand(g):
		return fmt.Sprintf("; from %s to %s it stretches %.0f mm, where %.0f mm are comfortable",
			low, high, hand.Extent(g.Keys), p.Player.Hand(h.hand).ComfortableReach())
	}
	pair := p.StretchPair(g, g.Lower, g.Lower+1)
	return fmt.Sprintf("; fingers %d and %d are %d semitones apart on %s and %s, where %d are comfortable",
		pair.Fingers[0], pair.Fingers[1], pair.Semitones, p.Pitch(g.Struck[g.Lower]).Pretty(), p.Pitch(g.Struck[g.Lower+1]).Pretty(), pair.Comfortable)
}
