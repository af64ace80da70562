package detect

import (
	"fmt"
	"strings"

	"hardbars/score"
)

// WideStretch finds chords that a hand reaches, but not in comfort.
var WideStretch = &Detector{
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
	Limits: []Limit{
		{"comfortable reach", "the reach less a whole tone", "Parncutt et al. 1997"},
		{"comfortable spans of the model hand in semitones", pairFigures(), "Parncutt et al. 1997; 3-5 and 4-5 from memory"},
		{"practical spans", "2 semitones more", "Parncutt et al. 1997"},
		{"what a chord takes in comfort beyond the comfortable spans", "1 semitone", "common practice: triads with their octave"},
	},
	Run: findWideStretches,
}

// pairFigures lists the comfortable spans of the model hand: "1-2 8, 1-3 10, …".
func pairFigures() string {
	var figures []string
	for a := 1; a < 5; a++ {
		for b := a + 1; b <= 5; b++ {
			figures = append(figures, fmt.Sprintf("%d-%d %d", a, b, widestPair[a][b]-pastComfort))
		}
	}
	return strings.Join(figures, ", ")
}

// WideStretchDetail is the JSON detail of a wide stretch.
type WideStretchDetail struct {
	Pitches       []string    `json:"pitches"` // low to high
	SpanMM        float64     `json:"span_mm"` // from centre to centre of the outer keys
	ComfortableMM float64     `json:"comfortable_mm"`
	ReachMM       float64     `json:"reach_mm"`
	Fingers       []int       `json:"fingers"` // of each pitch; the thumb is 1
	Pair          StretchPair `json:"pair"`    // the fingers that are stretched most
}

// StretchPair is two fingers and how far apart they are, in semitones.
type StretchPair struct {
	Fingers     [2]int    `json:"fingers"` // the smaller number first
	Pitches     [2]string `json:"pitches"` // low to high
	Semitones   int       `json:"semitones"`
	Comfortable int       `json:"comfortable"`
	Practical   int       `json:"practical"`
}

func findWideStretches(p *Pass) {
	signed := p.underSigns()
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, e := range p.Events[hand] {
			keys := p.Keys(e.Struck)
			if f, ok := p.Player.Finger(hand, keys); ok && !signed(e) && p.Player.Covers(hand, keys) {
				p.findStretch(grip{hand, e, keys, f})
			}
		}
	}
}

// grip is a chord that one hand takes at once.
type grip struct {
	hand score.Hand
	Event
	keys []int // low to high
	Fingering
}

func (p *Pass) findStretch(g grip) {
	whole, pair := p.wholeDemand(g), p.pairDemand(g)
	if demand := max(whole, pair); demand > 1 {
		p.Report(p.stretchFound(g, min(demand, mostStretch), pair > whole))
	}
}

// wholeDemand is what the outer keys ask of the hand.
func (p *Pass) wholeDemand(g grip) float64 {
	return Extent(g.keys) / p.Player.ComfortableReach(g.hand)
}

// inChords is by how many semitones two fingers spread further in a chord than
// the comfortable spans, which are those of a melody: as much as any triad with
// its octave takes. Common practice.
const inChords = 1

// pairDemand is what the keys of two neighbouring fingers ask; of two keys in
// all it is the whole that asks.
func (p *Pass) pairDemand(g grip) float64 {
	whole, _ := p.Player.PairSpan(g.hand, 1, 5)
	if len(g.keys) == 2 {
		return 0
	}
	return 1 + float64(g.Over-inChords)/float64(whole)
}

// stretchFound reports a stretch between neighbours, or else of the whole.
func (p *Pass) stretchFound(g grip, demand float64, neighbours bool) Occurrence {
	low, high := 0, len(g.keys)-1
	if neighbours {
		low, high = g.Lower, g.Lower+1
	}
	d := WideStretchDetail{
		Pitches: p.names(g.Struck), SpanMM: round1(Extent(g.keys)),
		ComfortableMM: round1(p.Player.ComfortableReach(g.hand)), ReachMM: round1(p.Player.Reach(g.hand)),
		Fingers: g.Fingers, Pair: p.stretchPair(g, low, high),
	}
	return Occurrence{
		Hand: g.hand, From: g.At, To: p.endOf(g.Struck), Notes: g.Struck, Demand: demand,
		Shape:   fmt.Sprintf("%s %v", p.intervals(g.Struck), d.Pair.Fingers),
		Label:   fmt.Sprintf("wide stretch %d–%d", d.Pair.Fingers[0], d.Pair.Fingers[1]),
		Detail:  d,
		Picture: KeySpread{Keys: g.keys, SpanMM: Extent(g.keys), ReachMM: p.Player.Reach(g.hand), Fingers: g.Fingers},
		Why:     p.stretchWhy(g, d, neighbours),
	}
}

func (p *Pass) stretchPair(g grip, low, high int) StretchPair {
	a, b := g.Fingers[low], g.Fingers[high]
	comfortable, practical := p.Player.PairSpan(g.hand, a, b)
	return StretchPair{
		Fingers:     [2]int{min(a, b), max(a, b)},
		Pitches:     [2]string{p.pitch(g.Struck[low]).String(), p.pitch(g.Struck[high]).String()},
		Semitones:   g.keys[high] - g.keys[low],
		Comfortable: comfortable, Practical: practical,
	}
}

func (p *Pass) stretchWhy(g grip, d WideStretchDetail, neighbours bool) string {
	var b strings.Builder
	fmt.Fprintf(&b, "The %s hand takes %s at once", g.hand, p.prettyNames(g.Struck))
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
