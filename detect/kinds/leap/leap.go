// Package leap finds hands that must travel over the keyboard from one attack
// to the next.
package leap

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind leap.
var Detector = &detect.Detector{
	Kind: "leap",
	Name: "leap",
	Doc: "A hand must travel from one attack to the next: the keys before and after do not lie within its reach, so the open hand " +
		"does not cover them from where it lies, and both its edges move the same way by more than a whole tone. " +
		"Two keys that lie under one open hand are no leap, however fast. " +
		"How far the hand travels is the smaller of the ways from lowest to lowest and from highest to highest key, or less: " +
		"what is left when it opens comfortably towards the landing. " +
		"How hard is Fitts's index of difficulty, log2(2 × travel ÷ width of the key aimed at), over the seconds that the hand has, " +
		"against the bits a second that are comfortable at this level. It has the time from attack to attack, " +
		"but of a note that it has to hold and no pedal does only the last second. " +
		"Where quick notes before it lie under one hand, four attacks or more within a second and without a rest, " +
		"or the two keys of a broken octave, " +
		"the way and the time are those of the finger on the nearest key of that position, since it was last struck, where that is less far. " +
		"A key no more than a fourth beyond that position is no leap. " +
		"A hand that has waited for more than a bar starts anew and does not leap. " +
		"Chords that not even the largest hand takes at once are rolled: the hand comes to the first of their keys and leaves from the last. " +
		"Repeats, endings and jumps are followed: the way from the last bar back to the sign counts, at the end of that bar, " +
		"and what only stands side by side on the page does not. " +
		"The score leaves the time of grace notes open: the way to the first counts up to the beat, " +
		"each way from one on is given an eighth note, or less where there is no room since the attack before. " +
		"No hand does more than about 10 bits a second: a leap counts as no more than twice that at the written tempo, " +
		"and where even one to a white key would ask for more, the hand, the reading or the tempo is wrong, and that is said. " +
		"Seconds that decide are those at the written tempo.",
	Limits: []detect.Limit{
		detect.LeapRate.Limit(),
		{Name: "reach, and comfortable reach", Value: "that of the hand, and a whole tone less", Source: "Boyle, Boyle & Booker 2015; Parncutt et al. 1997"},
		{Name: "least way", Value: "more than 2 semitones", Source: "common practice: a step is no leap"},
		{Name: "longest wait", Value: "one bar", Source: "common practice"},
		{Name: "time for a leap while the hand holds", Value: "1 s", Source: "common practice"},
		{Name: "a position of quick notes", Value: "4 attacks within 1 s, or 2 of a broken octave within ¼ s, all within the reach of the hand", Source: "common practice"},
		{Name: "not playable as read", Value: "more than 20.2 bits a second", Source: "twice the limit of Fitts 1954"},
	},
	Basis: detect.Calibrated,
	Rests: "a measured limit of aiming (Fitts 1954), and recorded performances: what a leap lands on is missed " +
		"0.7 times as often as other notes at the least demand and more than 1.5 times at the greatest. The " +
		"level is common practice.",
	Telling:  []string{"from", "to", "semitones"},
	Run:      findLeaps,
	Speech:   speech,
	Practise: practise,
}

// Detail is the detail of a leap in JSON.
type Detail struct {
	From          score.Pitch      `json:"from"` // the key that is measured
	To            score.Pitch      `json:"to"`
	Measured      string           `json:"measured"`  // "bottom" or "top" keys
	Semitones     int              `json:"semitones"` // negative downwards
	MM            float64          `json:"mm"`
	TravelMM      float64          `json:"travel_mm"` // of the open hand
	Seconds       float64          `json:"seconds"`   // that the hand has
	Bits          float64          `json:"bits"`
	BitsPerSecond float64          `json:"bits_per_second"`
	Landing       []score.Pitch    `json:"landing"` // every key struck, low to high
	Black         bool             `json:"black"`   // the narrowest key aimed at is black
	Chord         bool             `json:"chord"`
	Dynamic       string           `json:"dynamic"`         // in force at the landing; "" where none is written
	OtherHand     bool             `json:"other_hand"`      // leaps to the same instant
	NotPlayable   bool             `json:"not_playable"`    // as read: no hand is so fast at the written tempo
	Lands         *detect.Position `json:"lands,omitempty"` // where, when a repeat or jump leads there
}

func findLeaps(p *detect.Pass) {
	type landing struct {
		at   score.Rat
		over detect.Seam
	}
	var leaps [2][]detect.Leap
	var landings [2]map[landing]bool
	for hand := range leaps {
		leaps[hand] = append(p.Leaps(score.Hand(hand)), p.LeapsOver(score.Hand(hand))...)
		landings[hand] = map[landing]bool{}
		for _, l := range leaps[hand] {
			landings[hand][landing{l.To.At, l.Over}] = true
		}
	}
	for hand, own := range leaps {
		for _, l := range own {
			p.Report(leapFound(p, l, landings[1-hand][landing{l.To.At, l.Over}]))
		}
	}
}

func leapFound(p *detect.Pass, l detect.Leap, otherHand bool) detect.Occurrence {
	rate, playable := p.Playable(l)
	from, to := p.Pitch(detect.Edge(l.From.Notes, l.Top)), p.Pitch(detect.Edge(l.To.Notes, l.Top))
	d := Detail{
		From: from, To: to, Measured: "bottom",
		Semitones: l.Semitones(l.Top), MM: detect.Round1(l.Mm), TravelMM: detect.Round1(l.Travel), Seconds: detect.Round3(l.Seconds),
		Bits: detect.Round3(l.Bits()), BitsPerSecond: detect.Round3(rate), NotPlayable: !playable,
		Landing: p.Pitches(l.To.Notes), Black: l.Target() == hand.BlackWidth, Chord: len(l.To.Keys) > 1,
		Dynamic: p.Score.DynamicAt(l.Hand, l.To.At), OtherHand: otherHand,
	}
	if l.Top {
		d.Measured = "top"
	}
	o := detect.Occurrence{
		Hand: l.Hand, From: l.From.At, To: l.To.End,
		Notes:  slices.Concat(l.From.Notes, l.To.Notes),
		Demand: rate / p.Player.Can(detect.LeapRate), Timed: true,
		Shape:    fmt.Sprintf("%+d %t>%t in %s", to.Staff()-from.Staff(), len(l.From.Keys) > 1, d.Chord, l.To.After),
		Label:    "leap " + detect.UpDown(d.Semitones) + " to " + to.Pretty(),
		Why:      leapWhy(p, l, d, from, to),
		Detail:   d,
		Picture:  detect.KeyMove{From: l.From.Keys, To: l.To.Keys, Top: l.Top, MM: l.Mm, Seconds: l.Seconds, Hand: l.Hand},
		Exercise: detect.Move{From: l.From.Notes, To: l.To.Notes, Down: d.Semitones < 0},
	}
	if l.Over != (detect.Seam{}) {
		elsewhere(p, &o, l, d)
	}
	return o
}

// elsewhere makes a leap to another part of the page end with the bar it
// leaves: that is where the player must know of it.
func elsewhere(p *detect.Pass, o *detect.Occurrence, l detect.Leap, d Detail) {
	bars := p.Score.Bars
	last, next := bars[l.Over.Before.Last], bars[l.Over.After.First]
	lands := detect.PositionIn(p.Score, p.Score.BarAt(l.To.At), l.To.At)
	d.Lands = &lands
	o.To, o.Notes, o.Detail = last.End(), l.From.Notes, d
	o.Shape += " over a sign"
	o.Label += " in bar " + lands.Bar
	o.Why = fmt.Sprintf("Where play goes from bar %s to bar %s, t%s", last.Number, next.Number, strings.TrimPrefix(o.Why, "T"))
}

// leapWhy says it as a teacher would.
func leapWhy(p *detect.Pass, l detect.Leap, d Detail, from, to score.Pitch) string {
	var b strings.Builder
	fmt.Fprintf(&b, "The %s hand leaps %s %d semitones (%.0f mm) from %s to %s", l.Hand, detect.UpDown(d.Semitones),
		max(d.Semitones, -d.Semitones), l.Mm, from.Pretty(), to.Pretty())
	switch {
	case d.Chord:
		fmt.Fprintf(&b, ", %s of a chord", d.Measured)
	case d.Black:
		b.WriteString(", a black key")
	}
	if l.Travel < l.Mm-1 {
		fmt.Fprintf(&b, ", %.0f mm when the hand opens towards it,", l.Travel)
	}
	more := ""
	if d.BitsPerSecond < detect.Round3(l.BitsPerSecond()) {
		more = "more than "
	}
	fmt.Fprintf(&b, " in %.2f s: %s%.1f bits a second, where %.3g are comfortable", l.Seconds, more, d.BitsPerSecond, p.Player.Can(detect.LeapRate))
	if d.NotPlayable {
		b.WriteString("; no hand is so fast, so it is not playable as read: share it between the hands, look at the tempo, or leave something out")
	}
	if d.OtherHand {
		b.WriteString("; the other hand leaps at the same instant")
	}
	return b.String() + "."
}
