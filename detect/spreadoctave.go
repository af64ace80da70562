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
		"or octaves apart where one sign runs through both hands. Or the hand says so: it strikes an octave, filled or not, or two notes more than an octave apart, " +
		"there is no sign, and this hand cannot reach them; a fuller chord wider than an octave is a spread chord. " +
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

// SpreadOctaveDetail is the detail of a spread octave in JSON.
type SpreadOctaveDetail struct {
	Pitches []string `json:"pitches"` // low to high
	SpanMM  float64  `json:"span_mm"` // from centre to centre of the outer keys
	Sign    bool     `json:"sign"`    // the score has the sign; false where only the hand forces it
}

func findSpreadOctaves(p *Pass) {
	for _, sp := range p.Score.Spreads {
		for _, part := range p.signedOctaves(sp) {
			p.Report(p.spreadFound(part.notes, part.hand, true, sp.Down))
		}
	}
	signed := p.underSigns()
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, e := range p.Events[hand] {
			if p.tooWideOctave(hand, e) && !signed(e) {
				p.Report(p.spreadFound(e.Struck, hand, false, false))
			}
		}
	}
}

// underSigns returns what tells whether an event has a note under an arpeggio sign.
func (p *Pass) underSigns() func(Event) bool {
	signed := map[int]bool{}
	for _, sp := range p.Score.Spreads {
		for _, n := range sp.Notes {
			signed[n] = true
		}
	}
	return func(e Event) bool {
		return slices.ContainsFunc(e.Struck, func(n int) bool { return signed[n] })
	}
}

// tooWideOctave tells whether a hand cannot reach an octave, or two notes that
// are further apart.
func (p *Pass) tooWideOctave(hand score.Hand, e Event) bool {
	keys := p.Keys(e.Struck)
	wide := keys[len(keys)-1] - keys[0]
	return (wide == octaveKeys || wide > octaveKeys && len(keys) == 2) && Extent(keys) > p.Player.Reach(hand)
}

// handPart is notes that one hand takes, or both, low to high.
type handPart struct {
	hand  score.Hand
	notes []int
}

// signedOctaves returns the octaves under one arpeggio sign: all that it covers
// or, where that is no octave, what it covers in each hand.
func (p *Pass) signedOctaves(sp score.Spread) []handPart {
	if p.octaves(sp.Notes, sp.Hand == score.Both) {
		return []handPart{{sp.Hand, sp.Notes}}
	}
	if sp.Hand != score.Both {
		return nil
	}
	var parts []handPart
	for _, hand := range []score.Hand{score.Right, score.Left} {
		if own := p.of(sp.Notes, hand); p.octaves(own, false) {
			parts = append(parts, handPart{hand, own})
		}
	}
	return parts
}

// octaves tells whether the outer of notes, low to high, are an octave apart,
// or octaves where more than one is allowed.
func (p *Pass) octaves(notes []int, several bool) bool {
	if len(notes) < 2 {
		return false
	}
	keys := p.Keys(notes)
	wide := keys[len(keys)-1] - keys[0]
	return wide == octaveKeys || several && wide > 0 && wide%octaveKeys == 0
}

// of returns the notes of one hand.
func (p *Pass) of(notes []int, hand score.Hand) []int {
	return slices.DeleteFunc(slices.Clone(notes), func(n int) bool { return p.Score.Notes[n].Hand != hand })
}

func (p *Pass) spreadFound(notes []int, hand score.Hand, sign, down bool) Occurrence {
	keys := p.Keys(notes)
	stretch, widest := p.stretch(notes)
	o := Occurrence{
		Hand: hand, From: p.Score.Notes[notes[0]].Onset, To: p.endOf(notes), Notes: slices.Clone(notes),
		Shape:   p.intervals(notes),
		Demand:  math.Min(stretch, mostStretch),
		Label:   "spread octave",
		Detail:  SpreadOctaveDetail{p.keyNames(notes), round1(Extent(keys)), sign},
		Picture: p.spreadPicture(hand, keys, sign, down),
	}
	if !sign {
		o.Label = "too wide: spread"
	}
	o.Why = p.spreadWhy(o, keys, widest, sign, down)
	return o
}

// keyNames are the pitches of notes, low to high, as JSON names them: each key
// once, though two voices may share it.
func (p *Pass) keyNames(notes []int) []string {
	return p.names(slices.CompactFunc(slices.Clone(notes), func(a, b int) bool {
		return p.pitch(a).MIDI() == p.pitch(b).MIDI()
	}))
}

// spreadPicture draws keys that are spread.
func (p *Pass) spreadPicture(hand score.Hand, keys []int, sign, down bool) KeySpread {
	picture := KeySpread{Keys: keys, SpanMM: Extent(keys), Sign: sign, Downward: down}
	if hand != score.Both {
		picture.ReachMM = p.Player.Reach(hand)
	}
	return picture
}

// intervals are the staff steps of notes from the first: the same in every key.
func (p *Pass) intervals(notes []int) string {
	steps := make([]int, len(notes))
	for i, n := range notes {
		steps[i] = p.pitch(n).Staff() - p.pitch(notes[0]).Staff()
	}
	return strings.Trim(fmt.Sprint(steps), "[]")
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
			o.Hand, low, high, Extent(keys), p.Player.Reach(o.Hand), p.wayOut(o.Hand, o.Notes))
	case o.Hand == score.Both:
		fmt.Fprintf(&b, "Both hands spread one chord from %s to %s, %s", low, high, direction(down))
	default:
		fmt.Fprintf(&b, "The %s hand spreads the octave %s to %s, %.0f mm, %s; %.0f mm are comfortable",
			o.Hand, low, high, Extent(keys), direction(down), p.Player.ComfortableReach(widest))
	}
	return b.String() + "."
}

func direction(down bool) string {
	if down {
		return "from the top down"
	}
	return "from the bottom up"
}
