package hand

import (
	"fmt"

	"hardbars/score"
)

// Coming is how a hand comes to where it plays.
type Coming int

const (
	Stay   Coming = iota // it lies there, or only opens or closes
	Lifted               // it moves while it is free, with time for it
	Moved                // it moves without a rest, to keys that it did not cover
	Under                // the thumb passes under a finger
	Over                 // a finger passes over the thumb
	Turned               // another finger on the same key makes room
)

// write puts what was found where callers look for it.
func (f *Fingering) write(r *reader, p *piece, chosen []int) {
	var before *moment
	var grippedBefore grip
	for i := range p.moments {
		m := &p.moments[i]
		g, other := m.grips[chosen[i]], p.other(i, chosen)
		for j, n := range m.notes {
			switch {
			case n == ornament:
				f.Notes[p.moments[i-1].notes[0]].Auxiliary = int(g[j])
			case m.struck[j] && f.Notes[n].Finger == 0:
				f.Notes[n].Finger = int(g[j])
				f.Notes[n].Printed = PrintedFinger(r.score.Notes[n].Fingering) == int(g[j]) && g[j] > 0
				if other >= 0 && m.grips[other][j] != g[j] {
					f.Notes[n].Or = int(m.grips[other][j])
				}
			}
		}
		if m.notes[0] == ornament || i > 0 && p.moments[i-1].notes[0] == ornament {
			continue
		}
		place := r.place(p.economy, m, g)
		if before != nil {
			place.Come = coming(p.economy, before, grippedBefore, m, g)
		}
		f.Places[r.hand.Side] = append(f.Places[r.hand.Side], place)
		before, grippedBefore = m, g
	}
	for i := range r.score.Notes { // of two notes on one key one stands for both
		if n := &r.score.Notes[i]; n.Hand == r.hand.Side && f.Notes[i].Finger == 0 {
			f.twin(r.score, i)
		}
	}
}

// twin gives a note the finger of another on its key at the same instant.
func (f *Fingering) twin(s *score.Score, i int) {
	n := &s.Notes[i]
	for j := i - 1; j >= 0 && s.Notes[j].Onset == n.Onset; j-- {
		if m := &s.Notes[j]; m.Hand == n.Hand && m.Pitch.MIDI() == n.Pitch.MIDI() && (m.Grace > 0) == (n.Grace > 0) {
			f.Notes[i] = f.Notes[j]
			return
		}
	}
	for j := i + 1; j < len(s.Notes) && s.Notes[j].Onset == n.Onset; j++ {
		if m := &s.Notes[j]; m.Hand == n.Hand && m.Pitch.MIDI() == n.Pitch.MIDI() && (m.Grace > 0) == (n.Grace > 0) {
			f.Notes[i] = f.Notes[j]
			return
		}
	}
}

// place is where the hand lies with a grip: each finger says where the thumb
// would lie if the hand were at rest on neighbouring white keys, and how far
// the open hand reaches from there.
func (r *reader) place(e *economy, m *moment, g grip) Place {
	p := Place{At: m.at, Free: m.free, Wide: m.wide}
	for i, n := range m.notes {
		if m.struck[i] {
			p.Notes = append(p.Notes, n)
		} else {
			p.Held = append(p.Held, n)
		}
	}
	low, high := e.covered(m, g)
	thumb := e.thumb(m, g)
	if r.hand.Side == score.Left {
		mirror := KeyX(62)
		thumb, low, high = 2*mirror-thumb, 2*mirror-high, 2*mirror-low
	}
	p.Thumb, p.Low, p.High = thumb, low, high
	return p
}

// thumb is where the thumb lies: on its key, or where the lowest finger in use
// has it at rest.
func (e *economy) thumb(m *moment, g grip) float64 {
	for i, f := range g {
		if f > 0 {
			return KeyX(m.keys[i]) - float64(f-1)*WhiteWidth
		}
	}
	return KeyX(m.keys[0])
}

// covered is from where to where the open hand covers keys, while the fingers
// of a grip lie on theirs: as far as the thumb and the fifth finger reach in
// comfort from the fingers in use.
func (e *economy) covered(m *moment, g grip) (low, high float64) {
	const semitone = OctaveMM / 12
	first := true
	for i, f := range g {
		if f == 0 {
			return KeyX(m.keys[0]), KeyX(m.keys[len(m.keys)-1])
		}
		x := KeyX(m.keys[i])
		down, up := x, x
		if f > 1 {
			down = x - semitone*float64(e.spans[1][f].maxComf)
		}
		if f < 5 {
			up = x + semitone*float64(e.spans[f][5].maxComf)
		}
		if first {
			low, high, first = down, up, false
			continue
		}
		low, high = max(low, down), min(high, up)
	}
	return min(low, KeyX(m.keys[0])), max(high, KeyX(m.keys[len(m.keys)-1]))
}

// coming is how a hand comes from one moment's grip to the next.
func coming(e *economy, a *moment, ga grip, b *moment, gb grip) Coming {
	if len(ga) == 1 && len(gb) == 1 && b.gap == noGap && ga[0] > 0 && gb[0] > 0 {
		f, g, d := ga[0], gb[0], b.keys[0]-a.keys[0]
		switch {
		case d == 0 && f != g:
			return Turned
		case g == 1 && f > 1 && d > 0 && d <= -e.spans[1][f].minPrac:
			return Under
		case f == 1 && g > 1 && d < 0 && -d <= -e.spans[1][g].minPrac:
			return Over
		}
	}
	switch {
	case e.fits(a, ga, b, gb):
		return Stay
	case b.gap == longGap:
		return Lifted
	}
	return Moved
}

// fits reports whether one open hand lies on both grips together.
func (e *economy) fits(a *moment, ga grip, b *moment, gb grip) bool {
	for i, f := range ga {
		for j, g := range gb {
			if f == 0 || g == 0 {
				continue
			}
			if f == g {
				if a.keys[i] != b.keys[j] {
					return false
				}
				continue
			}
			s, d := e.between(int(f), int(g), a.keys[i], b.keys[j])
			if d < max(s.minComf, 1) || d > s.maxComf {
				return false
			}
		}
	}
	return true
}

// Words says how the hand comes, "" where it stays: with which finger after
// which, and on which key.
func (f *Fingering) Words(s *score.Score, side score.Hand, i int) string {
	p := &f.Places[side][i]
	if p.Come == Stay || i == 0 || len(p.Notes) == 0 {
		return ""
	}
	last := f.Places[side][i-1].Notes
	before, now := last[0], p.Notes[0]
	switch p.Come {
	case Under:
		return fmt.Sprintf("thumb under after %d", f.Notes[before].Finger)
	case Over:
		return fmt.Sprintf("%d over the thumb, turn at the %s", f.Notes[now].Finger, s.Notes[now].Pitch.Pretty())
	case Turned:
		return fmt.Sprintf("%d after %d on the same key: room for what follows", f.Notes[now].Finger, f.Notes[before].Finger)
	}
	way := "up"
	if p.Thumb < f.Places[side][i-1].Thumb {
		way = "down"
	}
	if p.Come == Lifted {
		return "the hand is free to move " + way
	}
	return "the hand moves " + way
}
