package drill

import (
	"slices"

	"hardbars/detect"
	"hardbars/detect/kinds/leap"
	"hardbars/score"
)

// move is a leap: what is struck before it and where it lands.
type move struct{ from, to []tone }

// leap is the way down with a pause before the landing, then the way up, then
// both in time. Where the hot spot goes only one way, the other is the way back.
func (g *passage) leap() []exercise {
	down, goesDown := g.hardest(-1)
	up, goesUp := g.hardest(1)
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

// hardest is the hardest leap of the spot that goes one way: −1 is down.
func (g *passage) hardest(way int) (m move, ok bool) {
	var hardest *detect.Occurrence
	for i := range g.spot.Occurrences {
		o := &g.spot.Occurrences[i]
		if d, is := o.Detail.(leap.Detail); is && d.Semitones*way > 0 && (hardest == nil || o.Demand > hardest.Demand) {
			hardest = o
		}
	}
	if hardest == nil {
		return move{}, false
	}
	return g.moveOf(hardest)
}

// moveOf reads a leap: its landing is the last notes of the occurrence, or the
// notes of its detail where it goes to another part of the page.
func (g *passage) moveOf(o *detect.Occurrence) (m move, ok bool) {
	d := o.Detail.(leap.Detail)
	n := len(o.Notes) - len(d.Landing)
	from, to := o.Notes, []int(nil)
	if d.Lands != nil {
		to = g.strikesAt(g.At(*d.Lands), d.Landing)
	} else if n > 0 {
		from, to = o.Notes[:n], o.Notes[n:]
	}
	m = move{g.tones(from), g.tones(to)}
	return m, len(m.from) > 0 && len(m.to) > 0
}

// strikesAt are the notes of the spot's hand at an instant that have given names.
func (g *passage) strikesAt(at score.Rat, names []string) []int {
	var found []int
	for i := range g.Score.Notes {
		n := &g.Score.Notes[i]
		if n.Onset == at && n.Hand == g.spot.Hand && slices.Contains(names, n.Pitch.String()) {
			found = append(found, i)
		}
	}
	return found
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
