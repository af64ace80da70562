package drill

import (
	"slices"

	"hardbars/detect"
	"hardbars/score"
)

// move is a leap: what is struck before it and where it lands.
type move struct{ from, to []tone }

// moves is the way down with a pause before the landing, then the way up, then
// both in time. Where the hot spot goes only one way, the other is the way back.
func (g *passage) moves() []exercise {
	down, goesDown := g.hardest(true)
	up, goesUp := g.hardest(false)
	switch {
	case !goesDown && !goesUp:
		return nil
	case !goesDown:
		down = move{up.to, up.from}
	case !goesUp:
		up = move{down.to, down.from}
	}
	both := [][]tone{down.from, down.to, up.from, up.to}
	if sameKeys(down.to, up.from) {
		both = slices.Delete(both, 2, 3)
	}
	return beside([]exercise{
		g.leapOf("Down: stop and look", down.paused()),
		g.leapOf("Up: stop and look", up.paused()),
		g.leapOf("Down and up", both),
	})
}

// sameKeys reports whether two chords are the same.
func sameKeys(a, b []tone) bool {
	return slices.EqualFunc(a, b, func(a, b tone) bool { return a.pitch == b.pitch })
}

// hardest is the hardest movement of the spot that goes one way.
func (g *passage) hardest(down bool) (m move, ok bool) {
	most := 0.0
	for _, o := range g.spot.Occurrences {
		if e, is := o.Exercise.(detect.Move); is && e.Down == down && (!ok || o.Demand > most) {
			m, most, ok = move{g.tones(e.From), g.tones(e.To)}, o.Demand, true
		}
	}
	return m, ok
}

// paused is a leap with a rest in the middle.
func (m move) paused() [][]tone { return [][]tone{m.from, nil, m.to} }

// leapOf strikes one beat after the other, with a pause on the rests.
func (g *passage) leapOf(title string, beats [][]tone) exercise {
	bar := &g.Score.Bars[g.Score.BarAt(g.o.From)]
	time := fullTime(bar)
	beat := time.Beat()
	var strikes []strike
	for i, tones := range beats {
		s := sound{at: beat.Mul(score.Int(int64(i))), length: beat, tones: tones, fermata: len(tones) == 0}
		strikes = append(strikes, strike{g.spot.Hand, s})
	}
	return exercise{title: title, pace: g.start, bars: lay(time, bar.Key, strikes)}
}
