// Package spreadchord finds chords that are played one note after the other and
// are no spread octaves.
package spreadchord

import (
	"fmt"
	"slices"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind spread-chord.
var Detector = &detect.Detector{
	Kind: "spread-chord",
	Name: "spread chord",
	Doc: `A chord is spread, and it is no spread octave. Either the score says so, with an arpeggio sign in one hand or
through both. Or the hand says so: there is no sign, and this hand cannot take at once what it has, because the outer
keys are out of its reach or because there are more keys than fingers (the thumb takes two neighbouring white keys).
Then either the notes nearest to the other hand go to it, if it covers them together with what it has down or, where it
has nothing down, gets there and on to its next notes within this player's rate of leaping; or the lowest notes roll:
they come just before the rest, which the hand takes together. Demand is the distance of the keys that one hand takes
over its comfortable reach, which is its reach less a whole tone, or the number of keys over five fingers where that is
more than the hand has; it is never more than 2, and tempo does not change it.`,
	Limits: []detect.Limit{
		{Name: "hand span for an octave, a ninth, a tenth", Value: "170, 193, 216 mm", Source: "Boyle, Boyle & Booker 2015"},
		{Name: "comfortable reach", Value: "the reach less a whole tone", Source: "Parncutt et al. 1997"},
		{Name: "rate of leaping for the other hand", Value: "as for leaps", Source: "common practice"},
	},
	Basis: detect.Measured,
	Rests: "the measured reach of hands (Boyle, Boyle & Booker 2015). How much harder a wider reach is, is " +
		"common practice; recorded performances have too few to tell.",
	Telling:  []string{"pitches", "sign", "roll"},
	Run:      findSpreadChords,
	Speech:   speech,
	Practise: practise,
}

// Detail is the JSON detail of a spread chord.
type Detail struct {
	Pitches   []score.Pitch        `json:"pitches"`              // low to high
	SpanMM    float64              `json:"span_mm"`              // from centre to centre of the outer keys
	Sign      bool                 `json:"sign"`                 // the score has the sign; false where only the hand forces it
	Roll      [][]score.Pitch      `json:"roll"`                 // what is struck together, in the order of playing
	OtherHand *detect.ReliefDetail `json:"other_hand,omitempty"` // what the other hand might take, where the hand forces the spread
}

func findSpreadChords(p *detect.Pass) {
	for _, sp := range p.Score.Arpeggios {
		if hand.Extent(p.Keys(sp.Notes)) > 0 && len(p.SignedOctaves(sp)) == 0 {
			p.Report(signedChord(p, sp))
		}
	}
	signed := p.UnderSigns()
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, e := range p.Events[hand] {
			if !p.Player.Hand(hand).Covers(p.Keys(e.Struck)) && !p.TooWideOctave(hand, e) && !signed(e) {
				p.Report(forcedChord(p, hand, e.Struck))
			}
		}
	}
}

// signedChord is a chord that the score spreads.
func signedChord(p *detect.Pass, sp score.Arpeggio) detect.Occurrence {
	stretch, widest := p.Stretch(sp.Notes)
	d := Detail{Pitches: p.KeyPitches(sp.Notes), SpanMM: detect.Round1(hand.Extent(p.Keys(sp.Notes))), Sign: true}
	for _, pitch := range d.Pitches {
		d.Roll = append(d.Roll, []score.Pitch{pitch})
	}
	if sp.Down {
		slices.Reverse(d.Roll)
	}
	o := chordFound(p, sp.Hand, sp.Notes, stretch, d, sp.Down)
	o.Label = "spread chord"
	own := p.OfHand(sp.Notes, widest)
	who := fmt.Sprintf("The %s hand spreads", widest)
	if sp.Hand == score.Both {
		who = "Both hands spread"
	}
	o.Why = fmt.Sprintf("%s %s %s; the %s hand takes %.0f mm, where %.0f mm are comfortable%s.", who, p.PrettyNames(sp.Notes), detect.Direction(sp.Down),
		widest, hand.Extent(p.Keys(own)), p.Player.Hand(widest).ComfortableReach(), lettingGo(p, widest, own, sp.Down))
	return o
}

// lettingGo says that a hand must leave the first notes of a spread, where it must.
func lettingGo(p *detect.Pass, hand score.Hand, notes []int, down bool) string {
	if p.Player.Hand(hand).Covers(p.Keys(notes)) {
		return ""
	}
	first := notes[0]
	if down {
		first = notes[len(notes)-1]
	}
	return fmt.Sprintf(" and it reaches %.0f mm: it must let go of %s, and only the pedal holds that",
		p.Player.Hand(hand).Reach(), p.Pitch(first).Pretty())
}

// forcedChord is a chord that the hand cannot take at once.
func forcedChord(p *detect.Pass, side score.Hand, notes []int) detect.Occurrence {
	keys := p.Keys(notes)
	demand, _ := p.Stretch(notes)
	wide := hand.Extent(keys) > p.Player.Hand(side).Reach()
	if !wide {
		demand = max(demand, float64(len(keys))/5)
	}
	d := Detail{Pitches: p.KeyPitches(notes), SpanMM: detect.Round1(hand.Extent(keys))}
	for _, group := range p.Rolled(side, notes) {
		d.Roll = append(d.Roll, p.Pitches(group))
	}
	if r, ok := p.Relief(side, notes); ok {
		d.OtherHand = p.TakenOver(r)
	}
	o := chordFound(p, side, notes, demand, d, false)
	o.Label = "too wide: spread"
	asks := fmt.Sprintf("%.0f mm from key to key, and reaches %.0f mm", hand.Extent(keys), p.Player.Hand(side).Reach())
	if !wide {
		o.Label = "too many keys: spread"
		asks = fmt.Sprintf("%d keys for five fingers", len(keys))
	}
	o.Why = fmt.Sprintf("The %s hand has %s at once, %s: %s.", side, p.PrettyNames(notes), asks, p.WayOut(side, notes))
	return o
}

// rolled are notes in groups of pitches.
func rolled(p *detect.Pass, notes []int, groups [][]score.Pitch) detect.Rolled {
	var r detect.Rolled
	for _, pitches := range groups {
		r.Groups = append(r.Groups, slices.DeleteFunc(slices.Clone(notes), func(n int) bool { return !slices.Contains(pitches, p.Pitch(n)) }))
	}
	return r
}

// chordFound is what every spread chord has in common.
func chordFound(p *detect.Pass, hand score.Hand, notes []int, demand float64, d Detail, down bool) detect.Occurrence {
	return detect.Occurrence{
		Hand: hand, From: p.Score.Notes[notes[0]].Onset, To: p.EndOf(notes), Notes: slices.Clone(notes),
		Demand: min(demand, detect.MostStretch), Shape: p.Intervals(notes), Detail: d,
		Picture: p.ChordPicture(hand, p.Keys(notes), d.Sign, down), Exercise: rolled(p, notes, d.Roll),
	}
}
