package drill

import (
	"slices"

	"hardbars/score"
)

// withMarks adds the dynamics and the damper pedal of the piece to bars that
// were written from it.
func (g *passage) withMarks(first, last int, bars []bar) []bar {
	for i, f := range g.frames(first, last) {
		for _, pt := range f.parts {
			m := marker{&bars[i], pt, &g.Score.Bars[pt.bar], pt.bar == first, pt.bar == last}
			m.dynamics(g.Score)
			for _, p := range g.Score.Pedals {
				if p.Kind == score.Damper && !p.AdLib {
					m.pedal(p)
				}
			}
		}
		slices.SortStableFunc(bars[i].marks, func(a, b mark) int { return a.at.Cmp(b.at) })
	}
	return bars
}

// marker marks one bar of the piece in the bar that it is written in.
type marker struct {
	*bar
	part
	of     *score.Bar
	begins bool // the exercise begins with it
	ends   bool // the exercise ends with it
}

func (m *marker) within(at score.Rat) bool { return !at.Less(m.of.Start) && at.Less(m.of.End()) }

func (m *marker) add(at score.Rat, sign mark) {
	sign.at = m.at.Add(at.Sub(m.of.Start))
	m.marks = append(m.marks, sign)
}

// dynamics says what is in force where the exercise begins, and then the marks
// of the bar. A mark for both hands stands under the upper staff.
func (m *marker) dynamics(s *score.Score) {
	if m.begins {
		right, left := s.DynamicAt(score.Right, m.of.Start), s.DynamicAt(score.Left, m.of.Start)
		if right != "" {
			m.add(m.of.Start, mark{hand: score.Right, dynamic: right})
		}
		if left != "" && left != right {
			m.add(m.of.Start, mark{hand: score.Left, dynamic: left})
		}
	}
	for _, d := range s.Dynamics {
		if !m.within(d.At) || m.begins && d.At == m.of.Start {
			continue
		}
		hand := d.Hand
		if hand == score.Both {
			hand = score.Right
		}
		m.add(d.At, mark{hand: hand, dynamic: d.Mark})
	}
}

// pedal writes what of one use of the pedal lies in the bar. A pedal that is
// down where the exercise begins is pressed there, and lifted where it ends.
func (m *marker) pedal(p score.Pedal) {
	press := p.From
	for _, c := range p.Changes {
		m.down(press, c.Lift)
		press = c.Press
	}
	m.down(press, p.To)
}

// down writes one stretch with the pedal down.
func (m *marker) down(press, lift score.Rat) {
	from, to := m.of.Start, m.of.End()
	if m.begins {
		press = score.Max(press, from)
	}
	if m.ends {
		lift = score.Min(lift, to)
	}
	if !press.Less(lift) {
		return
	}
	if m.within(press) {
		m.add(press, mark{hand: score.Left, pedal: "start"})
	}
	if from.Less(lift) && lift.Cmp(to) <= 0 {
		m.add(lift, mark{hand: score.Left, pedal: "stop"})
	}
}
