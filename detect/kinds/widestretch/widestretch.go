// Package widestretch finds chords that a hand reaches, but not in comfort.
package widestretch

import (
	"fmt"
	"strings"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind wide-stretch.
var Detector = &detect.Detector{
	Kind: "wide-stretch",
	Name: "wide stretch",
	Doc: `What a hand strikes at once lies within its reach but past its comfort: the outer keys are further apart than its
comfortable reach, which is its reach less a whole tone, or two neighbouring fingers are more than a semitone further
apart than is comfortable for them, in the fingering of the chord that is easiest on its worst pair of neighbours. The
finger spans are those of a model hand that reaches 15 semitones, 205.6 mm, times the reach of this hand over that, in
whole semitones; five fingers at rest on white keys are always in comfort. They were given for melodies, whose fingers
are to stay close: a triad with its octave takes a pair a semitone further, as F and A under 2 and 3 in D F A D, in any
hand that has the octave. Chords under an arpeggio sign, and notes that come one after the other, are no stretch: the
hand can move. Demand is the greater of two figures: the distance of the outer keys over the comfortable reach; and 1
plus the semitones that a pair is past its comfort, less that one, over the semitones that thumb and little finger span
in comfort. It is never more than 2, and tempo does not change it.`,
	Limits: []detect.Limit{
		{Name: "comfortable reach", Value: "the reach less a whole tone", Source: "Parncutt et al. 1997"},
		{Name: "comfortable spans of the model hand in semitones", Value: pairFigures(), Source: "Parncutt et al. 1997; 3-5 and 4-5 from memory"},
		{Name: "practical spans", Value: "2 semitones more", Source: "Parncutt et al. 1997"},
		{Name: "what a chord takes in comfort beyond the comfortable spans", Value: "1 semitone", Source: "common practice: triads with their octave"},
	},
	Basis: detect.Measured,
	Rests: "the measured reach of hands and of pairs of fingers (Boyle, Boyle & Booker 2015; Parncutt et al. " +
		"1997). How much harder a wider stretch is, is common practice; recorded performances have too few to " +
		"tell.",
	Telling:  []string{"pitches", "fingers"},
	Run:      findWideStretches,
	Speech:   speech,
	Practise: practise,
}

// pairFigures lists the comfortable spans of the model hand: "1-2 8, 1-3 10, …".
func pairFigures() string {
	var figures []string
	for a := 1; a < 5; a++ {
		for b := a + 1; b <= 5; b++ {
			figures = append(figures, fmt.Sprintf("%d-%d %d", a, b, hand.WidestPair[a][b]-hand.PastComfort))
		}
	}
	return strings.Join(figures, ", ")
}

// Detail is the JSON detail of a wide stretch.
type Detail struct {
	Pitches       []score.Pitch      `json:"pitches"` // low to high
	SpanMM        float64            `json:"span_mm"` // from centre to centre of the outer keys
	ComfortableMM float64            `json:"comfortable_mm"`
	ReachMM       float64            `json:"reach_mm"`
	Fingers       []int              `json:"fingers"` // of each pitch; the thumb is 1
	Pair          detect.StretchPair `json:"pair"`    // the fingers that are stretched most
}

func findWideStretches(p *detect.Pass) {
	signed := p.UnderSigns()
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, e := range p.Events[hand] {
			keys := p.Keys(e.Struck)
			if f, ok := p.Player.Hand(hand).Grasp(keys); ok && !signed(e) && p.Player.Hand(hand).Covers(keys) {
				findStretch(p, detect.Grip{Hand: hand, Event: e, Keys: keys, Grasp: f})
			}
		}
	}
}

func findStretch(p *detect.Pass, g detect.Grip) {
	whole, pair := p.WholeDemand(g), p.PairDemand(g)
	if demand := max(whole, pair); demand > 1 {
		p.Report(stretchFound(p, g, min(demand, detect.MostStretch), pair > whole))
	}
}

// stretchFound reports a stretch between neighbours, or else of the whole.
func stretchFound(p *detect.Pass, g detect.Grip, demand float64, neighbours bool) detect.Occurrence {
	low, high := 0, len(g.Keys)-1
	if neighbours {
		low, high = g.Lower, g.Lower+1
	}
	d := Detail{
		Pitches: p.Pitches(g.Struck), SpanMM: detect.Round1(hand.Extent(g.Keys)),
		ComfortableMM: detect.Round1(p.Player.Hand(g.Hand).ComfortableReach()), ReachMM: detect.Round1(p.Player.Hand(g.Hand).Reach()),
		Fingers: g.Fingers, Pair: p.StretchPair(g, low, high),
	}
	return detect.Occurrence{
		Hand: g.Hand, From: g.At, To: p.EndOf(g.Struck), Notes: g.Struck, Demand: demand,
		Shape:    fmt.Sprintf("%s %v", p.Intervals(g.Struck), d.Pair.Fingers),
		Label:    fmt.Sprintf("wide stretch %d–%d", d.Pair.Fingers[0], d.Pair.Fingers[1]),
		Detail:   d,
		Picture:  detect.KeyChord{Keys: g.Keys, SpanMM: hand.Extent(g.Keys), ReachMM: p.Player.Hand(g.Hand).Reach(), Fingers: g.Fingers},
		Exercise: detect.Grasp{Notes: g.Struck},
		Why:      stretchWhy(p, g, d, neighbours),
	}
}

func stretchWhy(p *detect.Pass, g detect.Grip, d Detail, neighbours bool) string {
	var b strings.Builder
	fmt.Fprintf(&b, "The %s hand takes %s at once", g.Hand, p.PrettyNames(g.Struck))
	if !neighbours {
		fmt.Fprintf(&b, ", %.0f mm from key to key, where %.0f mm are comfortable and it reaches %.0f mm.",
			d.SpanMM, d.ComfortableMM, d.ReachMM)
		return b.String()
	}
	fmt.Fprintf(&b, ", best with fingers %s: %d and %d are %d semitones apart, where %d are comfortable and %d the most",
		strings.ReplaceAll(strings.Trim(fmt.Sprint(d.Fingers), "[]"), " ", "-"), d.Pair.Fingers[0], d.Pair.Fingers[1],
		d.Pair.Semitones, d.Pair.Comfortable, d.Pair.Practical)
	if d.Pair.Semitones > d.Pair.Practical {
		b.WriteString("; roll it or leave a note out")
	}
	b.WriteString(".")
	return b.String()
}
