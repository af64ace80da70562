package plan

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
)

// monday is the first day of every plan here.
var monday = time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC)

// usual is half an hour on five days a week for some weeks.
func usual(weeks int) Options {
	return Options{Minutes: 30, Days: 5, Start: monday, End: monday.AddDate(0, 0, 7*weeks-1)}
}

// piece is a score of n bars in a time, in which both hands play in every bar
// and no bar is like another.
func piece(n int, time score.Time, qpm float64) *score.Score {
	s := &score.Score{Title: "Study in Lead", Composer: "Ines Hald", Tempos: []score.Tempo{{QPM: qpm, Beat: time.Beat(), From: score.FromMetronome}}}
	for i := range n {
		start := time.Length.Mul(score.Int(int64(i)))
		s.Bars = append(s.Bars, score.Bar{Number: fmt.Sprint(i + 1), Index: i + 1, Start: start, Length: time.Length, Time: time})
		for h := score.Right; h <= score.Left; h++ {
			pitch := score.Pitch{Step: "CDEFGAB"[noise(i, int(h))%7], Octave: 5 - 2*int(h) + noise(int(h), i)%2}
			s.Notes = append(s.Notes, score.Note{Hand: h, Bar: i, Onset: start, Length: time.Length, Pitch: pitch, Voice: "1", Staff: 1 + int(h),
				Heads: []score.Head{{Bar: i, Onset: start, Length: time.Length}}})
		}
	}
	return s
}

// noise is one number or another.
func noise(i, j int) int {
	n := uint32(i*7919+j*104729+1) * 2654435761
	return int(n >> 20)
}

var (
	threeFour = score.Time{Beats: "3", BeatType: 4, Length: score.Int(3)}
	sixEight  = score.Time{Beats: "6", BeatType: 8, Length: score.Int(3)}
	fourFour  = score.Time{Beats: "4", BeatType: 4, Length: score.Int(4)}
)

// place is a hot spot to be put into a report: bars are indices.
type place struct {
	family      int
	first, last int
	demand      float64
	hand        score.Hand
	timed       bool
}

// reportWith is a piece with hot spots: the hardest first, and of a family the
// hardest is learnt first.
func reportWith(s *score.Score, places ...place) *detect.Report {
	r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
	r.Spots, r.Families = nil, nil
	slices.SortStableFunc(places, func(a, b place) int { return cmp.Compare(b.demand, a.demand) })
	at := map[int]int{}
	for i, p := range places {
		o := detect.Occurrence{Kind: "trouble", Hand: p.hand, From: s.Bars[p.first].Start, To: s.Bars[p.first].End(), Demand: p.demand, Timed: p.timed, Label: fmt.Sprint("trouble ", p.family)}
		spot := detect.Spot{
			ID: fmt.Sprint(i + 1), Rank: i + 1, Kind: o.Kind, Hand: o.Hand, From: o.From, To: s.Bars[p.last].End(), FirstBar: p.first, LastBar: p.last,
			Demand: p.demand, Target: r.Clock.QPM(o.From), Label: o.Label, Occurrences: []detect.Occurrence{o},
		}
		if p.timed {
			spot.Comfortable = spot.Target / p.demand
		}
		if _, known := at[p.family]; !known {
			at[p.family] = len(r.Families)
			r.Families = append(r.Families, detect.Family{ID: fmt.Sprint("F", p.family), Kind: o.Kind, LearnFirst: spot.ID})
		}
		f := &r.Families[at[p.family]]
		if spot.Family = f.ID; f.LearnFirst != spot.ID {
			f.Relations = append(f.Relations, detect.Relation{Spot: spot.ID, Text: "same kind of place, other notes"})
		}
		f.Spots = append(f.Spots, spot.ID)
		r.Spots = append(r.Spots, spot)
	}
	r.FindPassages()
	return r
}

// random is a piece with many or few hot spots.
func random(rng *rand.Rand) *detect.Report {
	n := 1 + rng.IntN(120)
	s := piece(n, []score.Time{threeFour, sixEight, fourFour}[rng.IntN(3)], 40+160*rng.Float64())
	var places []place
	for family := range rng.IntN(25) {
		hand, timed := score.Hand(rng.IntN(3)), rng.IntN(4) > 0
		for range 1 + rng.IntN(5) {
			first := rng.IntN(n)
			places = append(places, place{family, first, min(n-1, first+rng.IntN(20)), 0.6 + 2*rng.Float64(), hand, timed})
		}
	}
	return reportWith(s, places...)
}

func randomOptions(rng *rand.Rand) Options {
	o := Options{Minutes: leastMinutes + rng.IntN(90), Days: 1 + rng.IntN(7), Start: monday.AddDate(0, 0, rng.IntN(7))}
	o.End = o.Start.AddDate(0, 0, rng.IntN(50))
	return o
}

func makePlan(t *testing.T, r *detect.Report, o Options) *Plan {
	t.Helper()
	p, err := Make(r, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
