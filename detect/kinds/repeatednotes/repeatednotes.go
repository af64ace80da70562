// Package repeatednotes finds one key, or one chord, struck again and again.
package repeatednotes

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// Detector finds the kind repeated-notes.
var Detector = &detect.Detector{
	Kind: "repeated-notes",
	Name: "repeated notes",
	Doc: `One hand strikes the same key at least four times in a row, less than a quarter note apart, alone or in chords; where
several keys come again together it is a repeated chord. Grace notes between part what comes again. Fingers can change on
a single key that is struck alone at least every other time, when two of them are free: of five, each other key struck
with it or held meanwhile takes one. Where they cannot change, and in chords, the hand repeats from the wrist, which
tires and leaves keys unstruck: that weighs twice as much. Other keys that it strikes besides weigh a quarter each: it
cannot just fall and rebound. Demand is the fastest rate over four strikes, so weighted, divided by the comfortable rate.
Tremolo signs are ornaments.`,
	Limits: []detect.Limit{
		detect.RepeatRate.Limit(),
		{Name: "least number", Value: "4 in a row", Source: "common practice"},
		{Name: "weight without a change of finger", Value: "2", Source: calibrated},
		{Name: "more for each other key struck", Value: "1/4", Source: calibrated},
	},
	Basis: detect.Calibrated,
	Rests: "recorded performances: its notes are missed as often as others at the least demand and more than " +
		"twice as often at the greatest. The level is common practice.",
	Telling:  []string{"pitches", "count", "fingers_can_change"},
	Run:      findRepeatedNotes,
	Speech:   speech,
	Practise: practise,
}

const (
	leastRepeats = 4
	fromTheWrist = 2.0  // the weight of a strike that no other finger can take
	otherKey     = 0.25 // what each key beside the repeated ones adds to it
)

// What repetition weighs follows what is missed in it: 0.9 of a piece's usual
// share where fingers change, 1.5 without other keys, 2.1 and more with them.
const calibrated = string(detect.Calibrated) + " (" + detect.Performances + ")"

// repeat is attacks of one hand that all strike the same keys, among others.
type repeat struct {
	detect.AttackRange
	keys []int
}

// Detail is the JSON detail of repeated notes.
type Detail struct {
	Pitches   []score.Pitch `json:"pitches"` // that come again in every attack
	Count     int           `json:"count"`   // attacks
	PerSecond float64       `json:"per_second"`
	Chord     bool          `json:"chord"`        // several keys come again together
	Others    int           `json:"others"`       // most keys struck beside them in one attack
	Held      int           `json:"held"`         // most keys held meanwhile
	Fingers   int           `json:"free_fingers"` // that can share in the repeated keys
	CanChange bool          `json:"fingers_can_change"`
	Seconds   float64       `json:"seconds"`
	Dynamic   string        `json:"dynamic,omitempty"` // in force where it begins
}

func findRepeatedNotes(p *detect.Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		attacks := p.Attacks(hand)
		for _, r := range repeats(p, attacks) {
			p.Report(repeatFound(p, hand, r, attacks[r.First:r.Last+1]))
		}
	}
}

// repeats finds the stretches in which the keys that the first two attacks
// share come again in every one.
func repeats(p *detect.Pass, attacks []detect.Attack) []repeat {
	var found []repeat
	for i := 0; i+1 < len(attacks); {
		r := repeat{detect.AttackRange{First: i, Last: i}, shared(attacks[i].Keys, attacks[i+1].Keys)}
		for len(r.keys) > 0 && r.Last+1 < len(attacks) && r.goesOn(attacks[r.Last], attacks[r.Last+1]) {
			r.Last++
		}
		if r.Count() < leastRepeats {
			i++
			continue
		}
		found = append(found, r)
		i = r.Last + 1
	}
	return found
}

// goesOn reports whether the keys come again in the attack after one of them.
func (r *repeat) goesOn(a, next detect.Attack) bool {
	return next.At.Sub(a.At).Less(detect.LongestBreath) && len(next.Grace) == 0 && len(shared(r.keys, next.Keys)) == len(r.keys)
}

// shared are the keys in both of two sorted lists.
func shared(a, b []int) []int {
	var both []int
	for _, k := range a {
		if _, ok := slices.BinarySearch(b, k); ok {
			both = append(both, k)
		}
	}
	return both
}

func repeatFound(p *detect.Pass, hand score.Hand, r repeat, attacks []detect.Attack) detect.Occurrence {
	d := repeatDetails(p, hand, r, attacks)
	weight := d.weight()
	rate, comfortable := strikeRate(p, attacks), p.Player.Can(detect.RepeatRate)
	first, last := attacks[0], attacks[len(attacks)-1]
	label := fmt.Sprintf("%d × %s", d.Count, p.Pitch(sounding(p, r.keys[0], first)).Pretty())
	if d.Chord {
		label = fmt.Sprintf("%d × the same chord", d.Count)
	}
	return detect.Occurrence{
		Hand: hand, From: first.At, To: last.End(),
		Notes:  detect.Struck(attacks),
		Demand: rate * weight / comfortable, Timed: true,
		Shape:    detect.LineShape(p.Score, hand, attacks),
		Label:    label,
		Why:      repeatWhy(p, hand, r, d, attacks, rate, weight),
		Detail:   d,
		Picture:  p.PianoRoll(first.At, last.End(), detect.Struck(attacks)),
		Exercise: detect.Rhythms{Hardest: first.At},
	}
}

// weight is what a strike weighs beside one of a single key with changing fingers.
func (d Detail) weight() float64 {
	weight := fromTheWrist
	if d.CanChange {
		weight = 1
	}
	return weight * (1 + otherKey*float64(d.Others))
}

// sounding is the note of an attack on a key.
func sounding(p *detect.Pass, k int, a detect.Attack) int { return a.Struck[slices.Index(a.Keys, k)] }

func repeatDetails(p *detect.Pass, hand score.Hand, r repeat, attacks []detect.Attack) Detail {
	first, last := attacks[0], attacks[len(attacks)-1]
	d := Detail{
		Count: len(attacks), PerSecond: detect.Round3(strikeRate(p, attacks)), Chord: len(r.keys) > 1,
		Seconds: detect.Round3(p.Clock.Seconds(first.At, last.End())), Dynamic: p.Score.DynamicAt(hand, first.At),
	}
	for _, k := range r.keys {
		d.Pitches = append(d.Pitches, p.Pitch(sounding(p, k, first)))
	}
	busy, alone := 0, 0
	for i := range attacks {
		if len(attacks[i].Keys) == 1 {
			alone++
		}
		others, held := len(attacks[i].Keys)-len(r.keys), len(attacks[i].Held)
		d.Others, d.Held, busy = max(d.Others, others), max(d.Held, held), max(busy, others+held)
	}
	d.Fingers = max(5-busy, len(r.keys))
	d.CanChange = d.Fingers >= 2 && 2*alone >= len(attacks)
	return d
}

// strikeRate is the fastest rate over four strikes in a row.
func strikeRate(p *detect.Pass, attacks []detect.Attack) float64 {
	fastest := 0.0
	for i := 0; i+leastRepeats <= len(attacks); i++ {
		last := i + leastRepeats - 1
		fastest = max(fastest, (leastRepeats-1)/p.Clock.Seconds(attacks[i].At, attacks[last].At))
	}
	return fastest
}

// repeatWhy says it as a teacher would.
func repeatWhy(p *detect.Pass, hand score.Hand, r repeat, d Detail, attacks []detect.Attack, rate, weight float64) string {
	var names []string
	for _, k := range r.keys {
		names = append(names, p.Pitch(sounding(p, k, attacks[0])).Pretty())
	}
	var b strings.Builder
	fmt.Fprintf(&b, "The %s hand strikes %s %d times in a row", hand, strings.Join(names, "–"), d.Count)
	if d.Others > 0 {
		b.WriteString(", at times with other keys,")
	}
	fmt.Fprintf(&b, " at %.1f a second, where %.1f is comfortable", rate, p.Player.Can(detect.RepeatRate)/weight)
	switch {
	case d.CanChange && d.Fingers == 5:
		b.WriteString(" with changing fingers; no other key keeps them from it")
	case d.CanChange:
		fmt.Fprintf(&b, " with changing fingers; %d are free for it", d.Fingers)
	case d.Chord || d.Fingers >= 2:
		b.WriteString(" for chords from the wrist: let it fall and rebound, and rest it where you can")
	default:
		b.WriteString(" from the wrist; the other keys take all other fingers, so none can change")
	}
	return b.String() + "."
}
