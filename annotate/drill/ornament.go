package drill

import (
	"slices"

	"hardbars/detect"
	"hardbars/score"
)

// writtenOut is the passage without its ornaments, then the ornament written out
// evenly, half a beat or a third of one to each note.
func (g *passage) writtenOut(e detect.WrittenOut) []exercise {
	var all []exercise
	if plain, changed := g.plain(g.bars(g.first, g.last, everything)); changed {
		all = append(all, exercise{title: "Without the ornament, in time", pace: g.start, bars: plain})
	}
	bar := &g.Score.Bars[g.Score.BarAt(g.o.From)]
	time := fullTime(bar)
	step := time.Beat().Div(score.Int(smallest(time.Beat())))
	var strikes []strike
	for i, pitches := range e.Chords {
		s := sound{at: step.Mul(score.Int(int64(i))), length: step}
		for _, p := range pitches {
			s.tones = append(s.tones, tone{pitch: p})
		}
		strikes = append(strikes, strike{g.spot.Hand, s})
	}
	if len(strikes) == 0 {
		return all
	}
	strikes[len(strikes)-1].fermata = true
	return append(all, exercise{title: "The ornament written out, evenly", pace: g.start, bars: lay(time, bar.Key, strikes)})
}

// plain leaves out the grace notes of the hot spot and the signs over its notes
// that stand for more notes than one; changed is false where there are none.
func (g *passage) plain(bars []bar) (plain []bar, changed bool) {
	ours := map[*score.Note]bool{}
	for n := range g.involved {
		ours[&g.Score.Notes[n]] = true
	}
	for _, b := range bars {
		for _, v := range slices.Concat(b.hands[score.Right], b.hands[score.Left]) {
			for i := range v {
				changed = v[i].simplify(ours) || changed
			}
		}
	}
	return bars, changed
}

// simplify takes the ornaments of some notes away.
func (s *sound) simplify(of map[*score.Note]bool) (changed bool) {
	grace := slices.DeleteFunc(slices.Clone(s.grace), func(tones []tone) bool {
		return slices.ContainsFunc(tones, func(t tone) bool { return of[t.note] })
	})
	changed = len(grace) < len(s.grace)
	s.grace = grace
	for i, t := range s.tones {
		if !of[t.note] || len(t.note.Ornaments) == 0 && t.note.Tremolo == 0 {
			continue
		}
		main := *t.note
		main.Ornaments, main.AuxAbove, main.AuxBelow, main.Tremolo = nil, "", "", 0
		s.tones[i].note, changed = &main, true
	}
	return changed
}
