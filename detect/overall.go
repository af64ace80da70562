package detect

import (
	"cmp"
	"math"
	"slices"

	"hardbars/detect/hand"
	"hardbars/score"
	"hardbars/score/form"
	"hardbars/score/perform"
)

// OverallRule says how the one figure for a piece is made.
const OverallRule = `Each bar asks for its hard places, together as the rule for bars has it, and for the work of playing it at all, whether or
not anything in it is hard: the strokes of both hands a second against the comfortable number. The two are joined as the
sides of a right angle are. The piece asks the player to know keys: as many as the hands use, counted by how much they
use each. A bar and the keys together make the geometric mean of the two. The piece is the mean of its bars and of the
hardest quarter of them, half and half, so that it does not grow with length; only how many notes there are to learn,
bars that come again counted once, counts a little: 5 % for twice as many.`

// StrokeRate is the work of both hands together.
var StrokeRate = &Capacity{
	Name: "stroke-rate", Unit: "strokes a second",
	Means: "how much both hands play in a second, all in all: each stroke is 1, a further key ½; " +
		"two hands in eighths at quarter = 100 make 6.7",
	ByLevel: [4]float64{4, 8, 12, 17},
	Source:  "common practice",
}

// KeysKnown is how many keys a piece may use, those of each hand together.
var KeysKnown = &Capacity{
	Name: "keys-known", Unit: "keys",
	Means: "how many keys a piece may use for you to find your way in it, those of each hand together: " +
		"two five-finger positions are 10, two octaves of a scale in each hand 30",
	ByLevel: [4]float64{18, 36, 48, 60},
	Source:  "common practice",
}

// What a stroke weighs in the work of playing. Common practice.
const (
	furtherKey   = 0.5 // each key struck with the first, or held down meanwhile
	graceNote    = 0.5
	ornamentSign = 1.0
	octaveAway   = 0.5 // the hand moves by an octave
	handOpen     = 0.5 // at full comfortable reach; a quarter of that at half of it
)

const (
	hardestShare = 0.25  // of the piece, by length, that counts for half of the figure
	usualNotes   = 500.0 // to learn, at which their number changes nothing
	learnt       = 0.07  // the exponent of that number
	usualWork    = 10.0  // strokes a second in the hardest quarter of a piece
	mostWork     = 40.0  // more than anyone plays for a quarter of a piece
	playback     = 120.0 // quarters a minute where nothing is said: the default of MIDI files, which exporters write as a tempo
)

// Overall is how demanding the whole piece is, by OverallRule: 1 is at the
// limit of this player's comfort. It is 0 where nothing is played.
func (r *Report) Overall() float64 {
	p := r.pass
	work, hot := p.work(), placesDemand(r.Score, p.found)
	if pace := p.likelyPace(work); pace != 1 {
		for i := range work {
			work[i] *= pace
		}
		hot = placesDemand(r.Score, atPace(p.found, pace))
	}
	keys := (p.keysUsed(score.Right) + p.keysUsed(score.Left)) / p.Player.Can(KeysKnown)
	demand := make([]float64, len(work))
	for i := range demand {
		demand[i] = math.Sqrt(keys * math.Hypot(work[i]/p.Player.Can(StrokeRate), hot[i]))
	}
	return (p.meanOfHardest(demand, 1) + p.meanOfHardest(demand, hardestShare)) / 2 * math.Pow(p.toLearn()/usualNotes, learnt)
}

// toLearn is how many notes there are to learn: what bars that come again hold
// is there already, taken as the same share of the notes as of the bars.
func (p *Pass) toLearn() float64 {
	notes := 0
	for _, hand := range p.Events {
		for _, e := range hand {
			notes += len(e.Struck)
		}
	}
	bars := form.NewBars(p.Score, score.Both)
	return float64(notes) * float64(bars.Distinct()) / float64(max(len(p.Score.Bars), 1))
}

// work is what the hands do in each bar, in strokes a second.
func (p *Pass) work() []float64 {
	work := make([]float64, len(p.Score.Bars))
	for _, hand := range []score.Hand{score.Right, score.Left} {
		var before []int
		for _, e := range p.Events[hand] {
			keys := p.Keys(e.Struck)
			work[p.Score.BarAt(e.At)] += p.strokeWork(hand, e, keys, before)
			before = keys
		}
	}
	for i, bar := range p.Score.Bars {
		work[i] /= p.Clock.Seconds(bar.Start, bar.End())
	}
	return work
}

// strokeWork is what one stroke weighs; before are the keys of the one before it.
func (p *Pass) strokeWork(side score.Hand, e Event, keys, before []int) float64 {
	open := hand.Extent(keys) / p.Player.Hand(side).ComfortableReach()
	work := 1 + furtherKey*float64(len(keys)-1+len(e.Held)) + handOpen*open*open + graceNote*float64(len(e.Grace))
	if len(before) > 0 {
		low, high := hand.Distance(before[0], keys[0]), hand.Distance(Edge(before, true), Edge(keys, true))
		work += octaveAway * math.Min(low, high) / hand.OctaveMM
	}
	if p.ornamented(e) {
		work += ornamentSign
	}
	return work
}

// ornamented reports whether a note of a stroke has an ornament's sign.
func (p *Pass) ornamented(e Event) bool {
	return slices.ContainsFunc(e.Struck, func(n int) bool { return len(p.Score.Notes[n].Ornaments) > 0 || p.Score.Notes[n].Tremolo > 0 })
}

// keysUsed is how many keys a hand uses, counted by how much it uses each: two
// to the power of the entropy of its keys, in bits. A hand that strikes n keys
// equally often uses n.
func (p *Pass) keysUsed(hand score.Hand) float64 {
	var strokes [128]int
	all := 0
	for _, e := range p.Events[hand] {
		for _, k := range p.Keys(e.Struck) {
			strokes[min(max(k, 0), 127)]++
			all++
		}
	}
	if all == 0 {
		return 0
	}
	bits := 0.0
	for _, n := range strokes {
		if n > 0 {
			bits -= float64(n) / float64(all) * math.Log2(float64(n)/float64(all))
		}
	}
	return math.Exp2(bits)
}

// meanOfHardest is the mean over the hardest share of the piece, by length, of a
// figure given for each bar.
func (p *Pass) meanOfHardest(figures []float64, share float64) float64 {
	bars := make([]int, len(figures))
	for i := range bars {
		bars[i] = i
	}
	slices.SortStableFunc(bars, func(a, b int) int { return cmp.Compare(figures[b], figures[a]) })
	most := share * p.Score.End().Float()
	sum, length := 0.0, 0.0
	for _, i := range bars {
		part := min(p.Score.Bars[i].Length.Float(), most-length)
		sum, length = sum+part*figures[i], length+part
	}
	return sum / max(length, math.SmallestNonzeroFloat64)
}

// likelyPace is how much faster than at the tempo in force the piece is likely
// to be played, for the overall figure only.
//
// A tempo that nobody wrote must not decide: where the score has none, or only
// the default of playback, the pace is half way from there to the one at which
// the work is usual, in proportion. Nor is a piece taken faster than anyone
// could play it. The player's own tempo is never doubted.
func (p *Pass) likelyPace(work []float64) float64 {
	if p.Player.Tempo.QPM > 0 {
		return 1
	}
	written := p.meanOfHardest(work, hardestShare) / p.Clock.scale
	switch {
	case written > 0 && p.noTempo():
		return math.Sqrt(usualWork / written)
	case written > mostWork:
		return mostWork / written
	}
	return 1
}

// noTempo reports whether the score names no tempo of its own.
func (p *Pass) noTempo() bool {
	return !slices.ContainsFunc(p.Score.Tempos, func(t score.Tempo) bool {
		unsaid := t.From == score.FromSound && t.QPM == playback && t.Text == ""
		return t.From != score.Assumed && !unsaid
	})
}

// atPace is what was found at another pace.
func atPace(found []Occurrence, pace float64) []Occurrence {
	found = slices.Clone(found)
	for i := range found {
		if found[i].Timed {
			found[i].Demand *= pace
		}
	}
	return found
}

// PastComfort is the share of the bars whose demand is more than 1.
func (r *Report) PastComfort() float64 {
	past := 0
	for _, demand := range r.BarDemand {
		if Round3(demand) > 1 {
			past++
		}
	}
	return float64(past) / float64(max(len(r.BarDemand), 1))
}

// Seconds is how long the piece takes at the player's tempo, repeats played.
func (r *Report) Seconds() float64 {
	passages, _ := perform.Order(r.Score)
	total := 0.0
	for _, p := range passages {
		total += r.Clock.Seconds(r.Score.Bars[p.First].Start, r.Score.Bars[p.Last].End())
	}
	return total
}

// HardestKinds is the hardest spot of each kind, the hardest first, at most n
// of them, the quiet ones left out.
func (r *Report) HardestKinds(n int) []*Spot {
	var hardest []*Spot
	for i := range r.Spots {
		sp := &r.Spots[i]
		same := slices.IndexFunc(hardest, func(h *Spot) bool { return h.Kind == sp.Kind })
		switch {
		case sp.Quiet:
		case same < 0:
			hardest = append(hardest, sp)
		case Round3(hardest[same].Demand) < Round3(sp.Demand):
			hardest[same] = sp
		}
	}
	slices.SortStableFunc(hardest, func(a, b *Spot) int {
		return cmp.Or(cmp.Compare(Round3(b.Demand), Round3(a.Demand)), a.From.Cmp(b.From), cmp.Compare(a.Kind, b.Kind))
	})
	return hardest[:min(n, len(hardest))]
}
