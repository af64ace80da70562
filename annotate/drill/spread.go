package drill

import (
	"slices"

	"hardbars/detect"
	"hardbars/score"
)

// spread is what is spread, written out in time: on the beat, then before it.
// Groups are struck one after the other.
func (g *passage) spread(groups [][]int) []exercise {
	if len(groups) < 2 {
		return nil
	}
	return beside([]exercise{
		g.spreadOf("Written out, from the beat", groups, true),
		g.spreadOf("Written out, up to the beat", groups, false),
	})
}

// spreadOf writes a spread that begins or ends on a beat. The last of it, and
// what the other hand strikes on that beat, is held a beat.
func (g *passage) spreadOf(title string, groups [][]int, onBeat bool) exercise {
	bar := &g.Score.Bars[g.Score.BarAt(g.o.From)]
	time := fullTime(bar)
	beat := time.Beat()
	step := beat
	for step.Mul(score.Int(int64(len(groups)-1))).Cmp(beat) >= 0 {
		step = step.Div(score.Int(smallest(step)))
	}
	all := step.Mul(score.Int(int64(len(groups) - 1)))
	begin, onto, until := score.Rat{}, score.Rat{}, beat.Mul(score.Int(2))
	if !onBeat {
		begin, onto = beat.Sub(all), beat
	}
	var strikes []strike
	for i, group := range groups {
		s := sound{at: begin.Add(step.Mul(score.Int(int64(i)))), length: step}
		if i == len(groups)-1 {
			s.length = until.Sub(s.at)
		}
		for _, hand := range []score.Hand{score.Right, score.Left} {
			own := slices.DeleteFunc(slices.Clone(group), func(n int) bool { return g.Score.Notes[n].Hand != hand })
			if s.tones = g.tones(own); len(own) > 0 {
				strikes = append(strikes, strike{hand, s})
			}
		}
	}
	if g.spot.Hand != score.Both {
		if other := g.otherAt(g.o.From); len(other) > 0 {
			s := sound{at: onto, length: until.Sub(onto), tones: g.tones(other)}
			strikes = append(strikes, strike{1 - g.spot.Hand, s})
		}
	}
	return exercise{title: title, pace: g.start, bars: lay(time, bar.Key, strikes)}
}

// smallest is the number that a beat's part is divided by next.
func smallest(length score.Rat) int64 {
	if length.Num() == 3 {
		return 3
	}
	return 2
}

// otherAt are the notes that the other hand strikes at an instant.
func (g *passage) otherAt(at score.Rat) []int {
	var notes []int
	for i := range g.Score.Notes {
		if n := &g.Score.Notes[i]; n.Onset == at && n.Grace == 0 && n.Hand == 1-g.spot.Hand {
			notes = append(notes, i)
		}
	}
	return notes
}

// stretch is a wide chord one note after the other, then struck together.
func (g *passage) stretch(e detect.Grasp) []exercise {
	all := g.spread(detect.RolledSingly(e.Notes, false).Groups)
	if all == nil {
		return nil
	}
	return beside(append(all[:1], g.leapOf("Struck together", [][]tone{g.tones(e.Notes)})))
}
