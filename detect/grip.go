package detect

import (
	"hardbars/detect/hand"
	"hardbars/score"
)

// StretchPair is two fingers and how far apart they are, in semitones.
type StretchPair struct {
	Fingers     [2]int         `json:"fingers"` // the smaller number first
	Pitches     [2]score.Pitch `json:"pitches"` // low to high
	Semitones   int            `json:"semitones"`
	Comfortable int            `json:"comfortable"`
	Practical   int            `json:"practical"`
}

// Grip is a chord that one hand takes at once.
type Grip struct {
	Hand score.Hand
	Event
	Keys []int // low to high
	hand.Grasp
}

// WholeDemand is what the outer keys ask of the hand.
func (p *Pass) WholeDemand(g Grip) float64 {
	return hand.Extent(g.Keys) / p.Player.Hand(g.Hand).ComfortableReach()
}

// inChords is by how many semitones two fingers spread further in a chord than
// the comfortable spans, which are those of a melody: as much as any triad with
// its octave takes. Common practice.
const inChords = 1

// PairDemand is what the keys of two neighbouring fingers ask; of two keys in
// all it is the whole that asks.
func (p *Pass) PairDemand(g Grip) float64 {
	whole, _ := p.Player.Hand(g.Hand).PairSpan(1, 5)
	if len(g.Keys) == 2 {
		return 0
	}
	return 1 + float64(g.Over-inChords)/float64(whole)
}

func (p *Pass) StretchPair(g Grip, low, high int) StretchPair {
	a, b := g.Fingers[low], g.Fingers[high]
	comfortable, practical := p.Player.Hand(g.Hand).PairSpan(a, b)
	return StretchPair{
		Fingers:     [2]int{min(a, b), max(a, b)},
		Pitches:     [2]score.Pitch{p.Pitch(g.Struck[low]), p.Pitch(g.Struck[high])},
		Semitones:   g.Keys[high] - g.Keys[low],
		Comfortable: comfortable, Practical: practical,
	}
}
