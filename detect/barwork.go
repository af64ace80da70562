package detect

import (
	"math"
	"slices"

	"hardbars/detect/hand"
	"hardbars/score"
)

// WorkRule says how the plain work of a bar is counted.
const WorkRule = `Plain work is what both hands do in a second. A stroke counts the square of the notes it takes: a single note 1,
a chord of three 9, for each of its keys is the more easily missed the more there are. It counts as much again for each
metre a second at which the hand comes to it, a tenth more for each step of loudness from mf up and a tenth less for each
step down; each key that the stroke before struck too adds 1, each key held down meanwhile ½. The more ground the hands cover
in the bar, each from its lowest key to its highest, the more the work counts: four tenths more for three octaves each
than for one.`

// WorkRate is the plain work of both hands.
//
// Its level is common practice: a returning player is at the limit with both
// hands in sixteenths at quarter = 90, or with four voices in chords at 90. The
// other levels stand to that one as in StrokeRate.
var WorkRate = &Capacity{
	Name: "work-rate", Unit: "notes a second of both hands, weighed",
	Means: "how much both hands do in a second, single notes counted 1 and chords the square of their notes, by the rule for bars: " +
		"both hands in sixteenths at quarter = 90 make 12",
	ByLevel: [4]float64{6, 12, 18, 25},
	Source:  "common practice; what a stroke weighs is calibrated on recorded performances (" + Performances + ")",
}

// What a stroke weighs, calibrated on Performances: evidence.md has the figures,
// and how little each of them matters.
const (
	perSpeed  = 1.0 // for each metre a second
	struckNew = 1.0 // each key struck by the stroke before as well
	heldDown  = 0.5 // each key held down meanwhile
	perStep   = 1.1 // for each step of loudness from mf
	perGround = 0.4 // the exponent of the ground that the hands cover
)

// loudness is how many steps a dynamic mark is above mf, 0 for one without a level of its own.
var loudness = map[string]float64{"ppp": -3, "pp": -2, "p": -1, "f": 1, "ff": 2, "fff": 3}

// plainWork is what each bar asks of both hands by WorkRule, hard places or
// not, over what is comfortable.
func (p *Pass) plainWork() []float64 {
	work := make([]float64, len(p.Score.Bars))
	ground := make([]float64, len(p.Score.Bars)) // octaves that the hands cover, one more than that
	for i := range ground {
		ground[i] = 1
	}
	for _, side := range []score.Hand{score.Right, score.Left} {
		bar, keys := -1, []int(nil)
		for i, e := range p.Events[side] {
			if at := p.Score.BarAt(e.At); at != bar {
				bar, keys = at, nil
			}
			before := hand.Extent(keys)
			keys = JoinKeys(keys, p.Keys(e.Struck))
			ground[bar] += (hand.Extent(keys) - before) / hand.OctaveMM
			work[bar] += p.load(side, i)
		}
	}
	for i, bar := range p.Score.Bars {
		work[i] *= math.Pow(ground[i]/3, perGround) / p.Clock.Seconds(bar.Start, bar.End()) / p.Player.Can(WorkRate)
	}
	return work
}

// load is what a hand's stroke with an index weighs.
func (p *Pass) load(side score.Hand, stroke int) float64 {
	e := p.Events[side][stroke]
	notes := float64(len(e.Struck) + e.Shared)
	load := notes*notes + heldDown*float64(len(e.Held)) + graceNote*float64(len(e.Grace))
	if p.ornamented(e) {
		load += ornamentSign
	}
	if stroke > 0 {
		before := p.Events[side][stroke-1]
		keys, left := p.Keys(e.Struck), p.Keys(before.Struck)
		way := max(hand.Distance(left[0], keys[0]), hand.Distance(Edge(left, true), Edge(keys, true)))
		load += notes * notes * perSpeed * way / 1000 / p.Clock.Seconds(before.At, e.At)
		for _, k := range keys {
			if slices.Contains(left, k) {
				load += struckNew
			}
		}
	}
	return load * math.Pow(perStep, loudness[p.Score.DynamicAt(side, e.At)])
}
