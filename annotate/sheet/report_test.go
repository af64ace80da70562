package sheet

import (
	"fmt"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
)

// emptyReport is a piece of n bars in 6/8 at dotted quarter = 66 in which
// nothing was found.
func emptyReport(n int) *detect.Report {
	s := &score.Score{
		Title: "Lied vom Frühling in B♭", Composer: "Ágnes Őszi",
		Tempos:  []score.Tempo{{QPM: 99, Beat: score.R(3, 2), From: score.FromMetronome, Text: "Andante ♩. = 66"}},
		Sources: [2]string{"staff 1 of part P1", "staff 2 of part P1"},
	}
	length := score.Int(3)
	for i := range n {
		s.Bars = append(s.Bars, score.Bar{
			Number: fmt.Sprint(i + 1), Index: i + 1, Start: length.Mul(score.Int(int64(i))), Length: length,
			Time: score.Time{Beats: "6", BeatType: 8, Length: length},
		})
	}
	return detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
}

// pictured are places of every form of picture, each with its words.
var pictured = []detect.Occurrence{
	{
		Kind: "cross-rhythm", Hand: score.Both, Demand: 1.42, Timed: true, Label: "4 over 3",
		Why:     "Right 4 against left 3 in one dotted quarter: the closest two attacks of different hands are 0.076 s apart, where 0.105 s is comfortable.",
		Picture: detect.RhythmGrid{Right: []int{0, 3, 6, 9}, Left: []int{0, 4, 8}, Grid: 12, Span: score.R(3, 2), PerRight: 4, PerLeft: 3},
	},
	{
		Kind: "leap", Hand: score.Left, Demand: 1.87, Timed: true, Label: "leap up to A♭3",
		Why:     "The left hand rises 24 semitones (329 mm) from A♭1 to A♭3 in 0.45 s: 9.4 bits a second, where 5 is comfortable; it lands softly (pp) on a black key.",
		Picture: detect.KeyMove{From: []int{32}, To: []int{56, 60, 63}, MM: 329, Seconds: 0.45, Hand: score.Left},
	},
	{
		Kind: "parallel-thirds", Hand: score.Right, Demand: 1.1, Timed: true, Label: "7 thirds",
		Why:     "Seven thirds in a row, 3.3 a second, from A4 and C5 up to G5 and B♭5, softly (p); 3 a second are comfortable.",
		Picture: detect.PairRun{PerSecond: 3.3, Pairs: thirds(7)},
	},
	{
		Kind: "tie-across-pedal", Hand: score.Left, Demand: 1.3, Label: "tie over pedal",
		Why: "B♭1 is held for six quarters while the pedal changes twice; the hand leaves it for F3 and cannot hold it, so the sound is lost at the first change.",
		Picture: detect.HeldNote{Held: []score.Pitch{{Step: 'B', Alter: -1, Octave: 1}}, Length: score.Int(6), Lost: true,
			Changes: []score.Rat{score.Int(3), score.R(9, 2)}, CatchBy: score.R(3, 2),
			Attacks: []score.Rat{score.R(1, 2), score.Int(1), score.R(3, 2), score.Int(2), score.R(5, 2), score.Int(3)}},
	},
	{
		Kind: "spread-octave", Hand: score.Right, Demand: 1.05, Label: "spread octave",
		Why:     "C4, E4, G4 and C5 under an arpeggio sign: 165 mm, where 162 mm are comfortable.",
		Picture: detect.KeyChord{Keys: []int{60, 64, 67, 72}, SpanMM: 164.5, ReachMM: 196, Sign: true},
	},
	{
		Kind: "cross-rhythm", Hand: score.Right, Demand: 0.8, Timed: true, Label: "11 over 6",
		Why: "Right 11 against left 6: 0.13 s apart at the closest, where 0.105 s is comfortable.",
		Picture: detect.RhythmGrid{Right: multiples(6, 66), Left: multiples(11, 66), Grid: 66, Span: score.Int(3), PerRight: 11, PerLeft: 6,
			Groups: []int{2, 2, 2, 2, 2, 1}},
	},
}

func multiples(step, below int) []int {
	var list []int
	for n := 0; n < below; n += step {
		list = append(list, n)
	}
	return list
}

// thirds are n thirds upwards on the white keys from A4, but every third B flat.
func thirds(n int) [][2]score.Pitch {
	natural := func(position int) score.Pitch {
		p := score.Pitch{Step: "CDEFGAB"[position%7], Octave: position / 7}
		if p.Step == 'B' {
			p.Alter = -1
		}
		return p
	}
	var run [][2]score.Pitch
	for i := range n {
		run = append(run, [2]score.Pitch{natural(33 + i), natural(35 + i)})
	}
	return run
}

// place puts one of the pictured occurrences into bars, by index. Places of
// the same picture and variant are one family.
type place struct{ pictured, first, last, variant int }

// reportWith is a piece of n bars with hot spots in order of rank. A family is
// to be learnt first at its first place given.
func reportWith(n int, places ...place) *detect.Report {
	r := emptyReport(n)
	families := map[[2]int]int{}
	for i, p := range places {
		o := pictured[p.pictured]
		o.From, o.To = r.Score.Bars[p.first].Start, r.Score.Bars[p.last].End()
		spot := detect.Spot{
			ID: fmt.Sprint(i + 1), Rank: i + 1, Kind: o.Kind, Hand: o.Hand, From: o.From, To: o.To,
			FirstBar: p.first, LastBar: p.last, Demand: o.Demand, Target: 99, Label: o.Label, Why: o.Why,
			Occurrences: []detect.Occurrence{o},
		}
		if o.Timed {
			spot.Comfortable = spot.Target / o.Demand
		}
		r.Spots = append(r.Spots, spot)
		problem := [2]int{p.pictured, p.variant}
		k, known := families[problem]
		if !known {
			k = len(r.Families)
			families[problem] = k
			r.Families = append(r.Families, detect.Family{ID: fmt.Sprint("F", k+1), Kind: o.Kind, LearnFirst: spot.ID})
		}
		if known {
			r.Families[k].Relations = append(r.Families[k].Relations, detect.Relation{Spot: spot.ID, Text: "same as bar 1", Same: true})
		}
		r.Families[k].Spots = append(r.Families[k].Spots, spot.ID)
		for bar := p.first; bar <= p.last; bar++ {
			r.BarDemand[bar] = max(r.BarDemand[bar], o.Demand)
		}
	}
	r.FindPassages()
	return r
}

// usual is a piece of 40 bars with every form of picture and two families that
// come again.
func usual() *detect.Report {
	return reportWith(40, place{1, 11, 12, 0}, place{1, 13, 13, 0}, place{1, 38, 39, 0}, place{0, 4, 5, 0},
		place{0, 20, 21, 0}, place{0, 33, 33, 0}, place{3, 7, 8, 0}, place{2, 14, 15, 0}, place{4, 30, 30, 0}, place{5, 37, 38, 0})
}

// crowded is a piece of n bars with many hot spots, each a family of its own.
func crowded(n, spots int) *detect.Report {
	var list []place
	for i := range spots {
		first := i * 7 % n
		list = append(list, place{i % 5, first, min(first+i%3, n-1), i})
	}
	return reportWith(n, list...)
}
