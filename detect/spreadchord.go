package detect

import (
	"fmt"
	"slices"

	"hardbars/score"
)

// SpreadChord is a chord that is played one note after the other and is no
// spread octave.
var SpreadChord = &Detector{
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
	Limits: []Limit{
		{"hand span for an octave, a ninth, a tenth", "170, 193, 216 mm", "Boyle, Boyle & Booker 2015"},
		{"comfortable reach", "the reach less a whole tone", "Parncutt et al. 1997"},
		{"rate of leaping for the other hand", "as for leaps", "common practice"},
	},
	Run: findSpreadChords,
}

// SpreadChordDetail is the JSON detail of a spread chord.
type SpreadChordDetail struct {
	Pitches   []string      `json:"pitches"`              // low to high
	SpanMM    float64       `json:"span_mm"`              // from centre to centre of the outer keys
	Sign      bool          `json:"sign"`                 // the score has the sign; false where only the hand forces it
	Roll      [][]string    `json:"roll"`                 // what is struck together, in the order of playing
	OtherHand *ReliefDetail `json:"other_hand,omitempty"` // what the other hand might take, where the hand forces the spread
}

func findSpreadChords(p *Pass) {
	for _, sp := range p.Score.Spreads {
		if Extent(p.Keys(sp.Notes)) > 0 && len(p.signedOctaves(sp)) == 0 {
			p.Report(p.signedChord(sp))
		}
	}
	signed := p.underSigns()
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, e := range p.Events[hand] {
			if !p.Player.Covers(hand, p.Keys(e.Struck)) && !p.tooWideOctave(hand, e) && !signed(e) {
				p.Report(p.forcedChord(hand, e.Struck))
			}
		}
	}
}

// signedChord is a chord that the score spreads.
func (p *Pass) signedChord(sp score.Spread) Occurrence {
	stretch, widest := p.stretch(sp.Notes)
	d := SpreadChordDetail{Pitches: p.keyNames(sp.Notes), SpanMM: round1(Extent(p.Keys(sp.Notes))), Sign: true}
	for _, name := range d.Pitches {
		d.Roll = append(d.Roll, []string{name})
	}
	if sp.Down {
		slices.Reverse(d.Roll)
	}
	o := p.chordFound(sp.Hand, sp.Notes, stretch, d, sp.Down)
	o.Label = "spread chord"
	own := p.of(sp.Notes, widest)
	who := fmt.Sprintf("The %s hand spreads", widest)
	if sp.Hand == score.Both {
		who = "Both hands spread"
	}
	o.Why = fmt.Sprintf("%s %s %s; the %s hand takes %.0f mm, where %.0f mm are comfortable%s.", who, p.prettyNames(sp.Notes), direction(sp.Down),
		widest, Extent(p.Keys(own)), p.Player.ComfortableReach(widest), p.lettingGo(widest, own, sp.Down))
	return o
}

// lettingGo says that a hand must leave the first notes of a spread, where it must.
func (p *Pass) lettingGo(hand score.Hand, notes []int, down bool) string {
	if p.Player.Covers(hand, p.Keys(notes)) {
		return ""
	}
	first := notes[0]
	if down {
		first = notes[len(notes)-1]
	}
	return fmt.Sprintf(" and it reaches %.0f mm: it must let go of %s, and only the pedal holds that",
		p.Player.Reach(hand), p.pitch(first).Pretty())
}

// forcedChord is a chord that the hand cannot take at once.
func (p *Pass) forcedChord(hand score.Hand, notes []int) Occurrence {
	keys := p.Keys(notes)
	demand, _ := p.stretch(notes)
	wide := Extent(keys) > p.Player.Reach(hand)
	if !wide {
		demand = max(demand, float64(len(keys))/5)
	}
	d := SpreadChordDetail{Pitches: p.keyNames(notes), SpanMM: round1(Extent(keys))}
	for _, group := range p.rolled(hand, notes) {
		d.Roll = append(d.Roll, p.names(group))
	}
	if r, ok := p.relief(hand, notes); ok {
		d.OtherHand = p.takenOver(r)
	}
	o := p.chordFound(hand, notes, demand, d, false)
	o.Label = "too wide: spread"
	asks := fmt.Sprintf("%.0f mm from key to key, and reaches %.0f mm", Extent(keys), p.Player.Reach(hand))
	if !wide {
		o.Label = "too many keys: spread"
		asks = fmt.Sprintf("%d keys for five fingers", len(keys))
	}
	o.Why = fmt.Sprintf("The %s hand has %s at once, %s: %s.", hand, p.prettyNames(notes), asks, p.wayOut(hand, notes))
	return o
}

// chordFound is what every spread chord has in common.
func (p *Pass) chordFound(hand score.Hand, notes []int, demand float64, d SpreadChordDetail, down bool) Occurrence {
	return Occurrence{
		Hand: hand, From: p.Score.Notes[notes[0]].Onset, To: p.endOf(notes), Notes: slices.Clone(notes),
		Demand: min(demand, mostStretch), Shape: p.intervals(notes), Detail: d,
		Picture: p.spreadPicture(hand, p.Keys(notes), d.Sign, down),
	}
}
