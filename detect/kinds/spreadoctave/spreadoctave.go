// Package spreadoctave finds octaves that are played one note after the other.
package spreadoctave

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind spread-octave.
var Detector = &detect.Detector{
	Kind: "spread-octave",
	Name: "spread octave",
	Doc: "An octave is spread. Either the score says so: the outer notes under an arpeggio sign are an octave in one hand, " +
		"or octaves apart where one sign runs through both hands. Or the hand says so: it strikes an octave, filled or not, or two notes more than an octave apart, " +
		"there is no sign, and this hand cannot reach them; a fuller chord wider than an octave is a spread chord. " +
		"Demand is the distance of the keys that one hand takes over its comfortable reach, which is its reach less a whole tone; tempo does not change it. " +
		"It is never more than 2: a hand that has to spread moves.",
	Limits: []detect.Limit{
		{Name: "hand span for an octave, a ninth, a tenth", Value: "170, 193, 216 mm", Source: "Boyle, Boyle & Booker 2015"},
		{Name: "comfortable reach", Value: "the reach less a whole tone", Source: "Parncutt et al. 1997"},
	},
	Basis: detect.Measured,
	Rests: "the measured reach of hands (Boyle, Boyle & Booker 2015). How much harder a wider reach is, is " +
		"common practice; recorded performances have too few to tell.",
	Telling:  []string{"pitches", "sign"},
	Run:      findSpreadOctaves,
	Speech:   speech,
	Practise: practise,
}

// Detail is the detail of a spread octave in JSON.
type Detail struct {
	Pitches []score.Pitch `json:"pitches"` // low to high
	SpanMM  float64       `json:"span_mm"` // from centre to centre of the outer keys
	Sign    bool          `json:"sign"`    // the score has the sign; false where only the hand forces it
}

func findSpreadOctaves(p *detect.Pass) {
	for _, sp := range p.Score.Arpeggios {
		for _, part := range p.SignedOctaves(sp) {
			p.Report(spreadFound(p, part.Notes, part.Hand, true, sp.Down))
		}
	}
	signed := p.UnderSigns()
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, e := range p.Events[hand] {
			if p.TooWideOctave(hand, e) && !signed(e) {
				p.Report(spreadFound(p, e.Struck, hand, false, false))
			}
		}
	}
}

func spreadFound(p *detect.Pass, notes []int, side score.Hand, sign, down bool) detect.Occurrence {
	keys := p.Keys(notes)
	stretch, widest := p.Stretch(notes)
	o := detect.Occurrence{
		Hand: side, From: p.Score.Notes[notes[0]].Onset, To: p.EndOf(notes), Notes: slices.Clone(notes),
		Shape:   p.Intervals(notes),
		Demand:  math.Min(stretch, detect.MostStretch),
		Label:   "spread octave",
		Detail:  Detail{p.KeyPitches(notes), detect.Round1(hand.Extent(keys)), sign},
		Picture: p.ChordPicture(side, keys, sign, down), Exercise: detect.RolledSingly(notes, down),
	}
	if !sign {
		o.Label = "too wide: spread"
	}
	o.Why = spreadWhy(p, o, keys, widest, sign, down)
	return o
}

func spreadWhy(p *detect.Pass, o detect.Occurrence, keys []int, widest score.Hand, sign, down bool) string {
	low, high := p.Pitch(o.Notes[0]).Pretty(), p.Pitch(o.Notes[len(o.Notes)-1]).Pretty()
	var b strings.Builder
	switch {
	case !sign:
		fmt.Fprintf(&b, "The %s hand has %s to %s at once, %.0f mm from key to key, and reaches %.0f mm: %s",
			o.Hand, low, high, hand.Extent(keys), p.Player.Hand(o.Hand).Reach(), p.WayOut(o.Hand, o.Notes))
	case o.Hand == score.Both:
		fmt.Fprintf(&b, "Both hands spread one chord from %s to %s, %s", low, high, detect.Direction(down))
	default:
		fmt.Fprintf(&b, "The %s hand spreads the octave %s to %s, %.0f mm, %s; %.0f mm are comfortable",
			o.Hand, low, high, hand.Extent(keys), detect.Direction(down), p.Player.Hand(widest).ComfortableReach())
	}
	return b.String() + "."
}
