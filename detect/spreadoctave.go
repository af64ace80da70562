package detect

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hardbars/score"
)

// SpreadOctave is an octave that is played one note after the other.
var SpreadOctave = &Detector{
	Kind: "spread-octave",
	Name: "spread octave",
	Doc: "An octave is spread. Either the score says so: the outer notes under an arpeggio sign are an octave in one hand, " +
		"or octaves apart where one sign runs through both hands. Or the hand says so: notes struck together are an octave or more apart, " +
		"there is no sign, and this hand cannot reach them. " +
		"Demand is the distance of the keys that one hand takes over its comfortable reach, which is its reach less a whole tone; tempo does not change it. " +
		"It is never more than 2: a hand that has to spread moves.",
	Limits: []Limit{
		{"hand span for an octave, a ninth, a tenth", "170, 193, 216 mm", "Boyle, Boyle & Booker 2015"},
		{"comfortable reach", "the reach less a whole tone", "Parncutt et al. 1997"},
	},
	Run: findSpreadOctaves,
}

// mostStretch bounds the demand of a stretch.
const mostStretch = 2

// spreadDetail is the detail of a spread octave in JSON.
type spreadDetail struct {
	Pitches []string `json:"pitches"` // low to high
	SpanMM  float64  `json:"span_mm"` // from centre to centre of the outer keys
	Sign    bool     `json:"sign"`    // the score has the sign; false where only the hand forces it
}

func findSpreadOctaves(p *Pass) {
	signed := map[int]bool{} // notes under a sign
	for _, sp := range p.Score.Spreads {
		for _, n := range sp.Notes {
			signed[n] = true
		}
		p.signedOctaves(sp)
	}
	for hand, events := range p.Events {
		for _, e := range events {
			if keys := p.Keys(e.Struck); !slices.ContainsFunc(e.Struck, func(n int) bool { return signed[n] }) &&
				keys[len(keys)-1]-keys[0] >= 12 && Extent(keys) > p.Player.Reach(score.Hand(hand)) {
				p.Report(p.spreadFound(e.Struck, score.Hand(hand), false, false))
			}
		}
	}
}

// signedOctaves looks at one arpeggio sign: first at all that it covers, then,
// where that is no octave, at what it covers in each hand.
func (p *Pass) signedOctaves(sp score.Spread) {
	if p.octaves(sp.Notes, sp.Hand == score.Both) {
		p.Report(p.spreadFound(sp.Notes, sp.Hand, true, sp.Down))
		return
	}
	if sp.Hand != score.Both {
		return
	}
	for _, hand := range []score.Hand{score.Right, score.Left} {
		if own := p.of(sp.Notes, hand); p.octaves(own, false) {
			p.Report(p.spreadFound(own, hand, true, sp.Down))
		}
	}
}

// octaves tells whether the outer of notes, low to high, are an octave apart,
// or octaves where more than one is allowed.
func (p *Pass) octaves(notes []int, several bool) bool {
	if len(notes) < 2 {
		return false
	}
	keys := p.Keys(notes)
	wide := keys[len(keys)-1] - keys[0]
	return wide == 12 || several && wide > 0 && wide%12 == 0
}

// of returns the notes of one hand.
func (p *Pass) of(notes []int, hand score.Hand) []int {
	return slices.DeleteFunc(slices.Clone(notes), func(n int) bool { return p.Score.Notes[n].Hand != hand })
}

func (p *Pass) spreadFound(notes []int, hand score.Hand, sign, down bool) Occurrence {
	keys := p.Keys(notes)
	stretch, widest := p.stretch(notes)
	o := Occurrence{
		Hand: hand, From: p.Score.Notes[notes[0]].Onset, Notes: slices.Clone(notes),
		Demand: math.Min(stretch, mostStretch),
		Label:  "spread octave",
		Detail: spreadDetail{p.names(notes), round1(Extent(keys)), sign},
	}
	picture := KeySpread{Keys: keys, SpanMM: Extent(keys), Sign: sign, Downward: down}
	if hand != score.Both {
		picture.ReachMM = p.Player.Reach(hand)
	}
	o.Picture = picture
	if !sign {
		o.Label = "too wide: spread"
	}
	for _, n := range notes {
		o.To = score.Max(o.To, p.Score.Notes[n].End())
		o.Shape += fmt.Sprint(p.pitch(n).Staff()-p.pitch(notes[0]).Staff(), " ")
	}
	o.Why = p.spreadWhy(o, keys, widest, sign, down)
	return o
}

// stretch is what notes ask of the hand that they stretch most, over its
// comfortable reach, and which hand that is.
func (p *Pass) stretch(notes []int) (stretch float64, widest score.Hand) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		own := Extent(p.Keys(p.of(notes, hand))) / p.Player.ComfortableReach(hand)
		if own > stretch {
			stretch, widest = own, hand
		}
	}
	return stretch, widest
}

func (p *Pass) spreadWhy(o Occurrence, keys []int, widest score.Hand, sign, down bool) string {
	low, high := p.pitch(o.Notes[0]).Pretty(), p.pitch(o.Notes[len(o.Notes)-1]).Pretty()
	var b strings.Builder
	switch {
	case !sign:
		fmt.Fprintf(&b, "The %s hand has %s to %s at once, %.0f mm from key to key, and reaches %.0f mm: %s",
			o.Hand, low, high, Extent(keys), p.Player.Reach(o.Hand), p.wayOut(o))
	case o.Hand == score.Both:
		fmt.Fprintf(&b, "Both hands spread one chord from %s to %s, %s", low, high, direction(down))
	default:
		fmt.Fprintf(&b, "The %s hand spreads the octave %s to %s, %.0f mm, %s; %.0f mm are comfortable",
			o.Hand, low, high, Extent(keys), direction(down), p.Player.ComfortableReach(widest))
	}
	return b.String() + "."
}

// wayOut is what to do about keys too far apart for one hand.
func (p *Pass) wayOut(o Occurrence) string {
	other := 1 - o.Hand
	if !p.idle(other, o.From) {
		return "spread it or leave a note out"
	}
	outer := "lowest"
	if other == score.Right {
		outer = "highest"
	}
	return fmt.Sprintf("the %s hand is free to take the %s note; otherwise spread it", other, outer)
}

// idle tells whether a hand strikes and holds nothing at an instant.
func (p *Pass) idle(hand score.Hand, at score.Rat) bool {
	for _, e := range p.Events[hand] {
		if at.Less(e.At) {
			break
		}
		if e.At == at || slices.ContainsFunc(e.Struck, func(n int) bool { return at.Less(p.Score.Notes[n].End()) }) {
			return false
		}
	}
	return true
}

func direction(down bool) string {
	if down {
		return "from the top down"
	}
	return "from the bottom up"
}
