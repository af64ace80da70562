package drill

import (
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// ornament is the passage without its ornaments, then the ornament written out
// evenly, half a beat or a third of one to each note.
func (g *passage) ornament(d detect.OrnamentDetail) []exercise {
	var all []exercise
	if plain, changed := withoutOrnaments(g.bars(g.first, g.last, everything)); changed {
		all = append(all, exercise{title: "Without the ornament, in time", pace: g.start, bars: plain})
	}
	bar := &g.Score.Bars[g.Score.BarAt(g.o.From)]
	time := fullTime(bar)
	step := time.Beat().Div(score.Int(smallest(time.Beat())))
	var strikes []strike
	for i, names := range d.WrittenOut {
		s := sound{at: step.Mul(score.Int(int64(i))), length: step}
		for name := range strings.SplitSeq(names, "+") {
			if p, ok := score.ParsePitch(name); ok {
				s.tones = append(s.tones, tone{pitch: p})
			}
		}
		strikes = append(strikes, strike{g.spot.Hand, s})
	}
	if len(strikes) == 0 {
		return all
	}
	strikes[len(strikes)-1].fermata = true
	return append(all, exercise{title: "The ornament written out, evenly", pace: g.start, bars: lay(time, bar.Key, strikes)})
}

// withoutOrnaments leaves out grace notes and the signs that stand for more
// notes than one.
func withoutOrnaments(bars []bar) (plain []bar, changed bool) {
	for _, b := range bars {
		for _, voices := range b.hands {
			for _, v := range voices {
				for i := range v {
					changed = v[i].plain() || changed
				}
			}
		}
	}
	return bars, changed
}

// plain takes the ornaments away; false where there are none.
func (s *sound) plain() (changed bool) {
	changed = len(s.grace) > 0
	s.grace = nil
	for i, t := range s.tones {
		if t.note == nil || len(t.note.Ornaments) == 0 && t.note.Tremolo == 0 {
			continue
		}
		main := *t.note
		main.Ornaments, main.AuxAbove, main.AuxBelow, main.Tremolo = nil, "", "", 0
		s.tones[i].note, changed = &main, true
	}
	return changed
}
