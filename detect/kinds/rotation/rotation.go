// Package rotation finds stretches in which a hand goes to and fro over wide
// intervals: tremolos and figures like them, which the forearm plays by turning.
package rotation

import (
	"fmt"

	"hardbars/detect"
	"hardbars/score"
)

// Detector finds the kind rotation.
var Detector = &detect.Detector{
	Kind: "rotation",
	Name: "a hand going to and fro",
	Doc: `One hand strikes by turns on one side and on the other, eight strokes or more without a rest and at least three a
second at the written tempo: each stroke lies wholly above or below the one before and goes back from it, by a fourth or
more, and at least one of each two moves reaches a sixth. Nothing in it is further apart than a ninth. All of it lies
under the open hand, so nobody leaps: the forearm turns, and what tires is how fast and how long. Tremolos in octaves are
of this kind; trills and narrow tremolos are ornaments, and broken octaves that move on are octave runs. Demand is the
strokes a second, where eight of them are fastest, over the comfortable rate, times two factors: how many strokes come
without a rest, 1 for eight and growing towards 1½, and how much of this hand's comfortable reach the widest move takes,
at least 1.`,
	Limits: []detect.Limit{
		detect.RotationRate.Limit(),
		{Name: "slowest", Value: "3 strokes a second at the written tempo", Source: "common practice"},
		{Name: "factor for n strokes", Value: "1 + ½ (n − 8) ÷ (n + 32)", Source: "common practice: a forearm that goes on turning tires"},
		{Name: "factor for the width", Value: "the widest move ÷ the comfortable reach, at least 1", Source: "Boyle, Boyle & Booker 2015 for the reach"},
	},
	Basis:    detect.CommonPractice,
	Rests:    "common practice: how fast and how long tremolos go.",
	Telling:  []string{"count", "lower", "upper"},
	Run:      findRotations,
	Speech:   speech,
	Practise: practise,
}

// Detail is the JSON detail of a hand going to and fro.
type Detail struct {
	Count     int             `json:"count"`      // strokes
	PerSecond float64         `json:"per_second"` // of the fastest eight
	FastestAt detect.Position `json:"fastest_at"`
	Lower     []score.Pitch   `json:"lower"` // of the first two strokes
	Upper     []score.Pitch   `json:"upper"`
	WidestMM  float64         `json:"widest_mm"`
	Seconds   float64         `json:"seconds"` // without a rest
	Dynamic   string          `json:"dynamic,omitempty"`
}

func findRotations(p *detect.Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		attacks := p.Attacks(hand)
		for _, r := range p.Rotations(hand) {
			p.Report(rotationFound(p, hand, attacks[r.First:r.Last+1]))
		}
	}
}

func rotationFound(p *detect.Pass, hand score.Hand, attacks []detect.Attack) detect.Occurrence {
	first, last := &attacks[0], &attacks[len(attacks)-1]
	at, rate := fastest(p, attacks)
	widest, comfortable := detect.WidestOf(attacks), p.Player.Can(detect.RotationRate)
	lower, upper := first, &attacks[1]
	if lower.Keys[0] > upper.Keys[0] {
		lower, upper = upper, lower
	}
	notes := detect.Struck(attacks)
	d := Detail{
		Count: len(attacks), PerSecond: detect.Round3(rate), FastestAt: p.Position(attacks[at].At),
		Lower: p.Pitches(lower.Struck), Upper: p.Pitches(upper.Struck), WidestMM: detect.Round1(widest),
		Seconds: detect.Round3(p.Clock.Seconds(first.At, last.End())), Dynamic: p.Score.DynamicAt(hand, first.At),
	}
	reach := p.Player.Hand(hand).ComfortableReach()
	return detect.Occurrence{
		Hand: hand, From: first.At, To: last.End(), Notes: notes,
		Demand: rate / comfortable * tiring(len(attacks)) * max(1, widest/reach), Timed: true,
		Shape: detect.LineShape(p.Score, hand, attacks),
		Label: fmt.Sprintf("to and fro, %d strokes", len(attacks)),
		Why: fmt.Sprintf("The %s hand goes to and fro %d times without a rest, %.1f s, at up to %.1f strokes a second, where %.1f are comfortable for a few; "+
			"the widest move is %.0f mm and this hand takes %.0f mm in comfort: the hand stays where it lies, the forearm turns.",
			hand, len(attacks), d.Seconds, rate, comfortable, widest, reach),
		Detail:   d,
		Picture:  p.PianoRoll(attacks[at].At, attacks[at+detect.LeastInTurn-1].End(), detect.Struck(attacks[at:at+detect.LeastInTurn])),
		Exercise: detect.Edges{},
	}
}

// fastest is where eight strokes are fastest, and how many a second.
func fastest(p *detect.Pass, attacks []detect.Attack) (at int, rate float64) {
	for i := range attacks[:len(attacks)-detect.LeastInTurn+1] {
		if r := detect.LeastInTurn / p.Clock.Seconds(attacks[i].At, attacks[i+detect.LeastInTurn-1].End()); r > rate {
			at, rate = i, r
		}
	}
	return at, rate
}

// tiring is what n strokes without a rest make of each. It goes by their number,
// not by seconds, so that demand stays in proportion to the tempo.
func tiring(n int) float64 { return 1 + 0.5*float64(n-detect.LeastInTurn)/float64(n+32) }
