package engrave

import (
	"cmp"
	"slices"

	"hardbars/score"
	"hardbars/score/notation"
)

// Sizes of pedal signs in staff spaces: common practice.
const (
	pedalScale = 0.8
	pedalGap   = 0.5  // from the ink over them
	pedalWhite = 0.25 // between two signs
	pedalHook  = 1.0
	notchWide  = 0.6 // to each side of a change
	notchHigh  = 1.0
	pedalOpen  = 0.8 // a line that goes on begins so far left of the music
	pedalBack  = 0.3 // a sign begins so far left of its note
)

// pedal is a pedal sign or line on its way to its place: x from the left edge
// of the system, y above the foot of all.
type pedal struct {
	at          score.Rat
	items       []Item
	left, right float64
	up          bool // the star
}

// pedals draws the signs and lines of the pedal, all on one height below the
// lowest staff.
func (l *layout) pedals() {
	all := append(l.pedalSigns(), l.pedalLines()...)
	if len(all) == 0 {
		return
	}
	staff := len(l.top)
	foot := l.top[staff-1] + staffHeight
	for _, p := range all {
		foot = max(foot, l.below[staff-1].reach(p.left, p.right))
	}
	foot += pedalGap - l.font.Glyph("keyboardPedalPed").Box.Top*pedalScale
	for _, p := range all {
		for _, it := range p.items {
			it.Note, it.Chord, it.Staff = -1, -1, staff
			it.Y += foot
			if it.Stroke != nil {
				it.Stroke.Y1, it.Stroke.Y2 = it.Stroke.Y1+foot, it.Stroke.Y2+foot
			}
			l.add(it)
		}
	}
}

// pedalSigns makes the signs of the system. A star stands clear of the signs
// beside it: left of the one that follows it.
func (l *layout) pedalSigns() (signs []pedal) {
	for _, s := range l.score.Signs {
		up := s.Kind == notation.PedalUp
		// A star at the end belongs to the music before it.
		inside := !s.At.Less(l.from) && s.At.Less(l.to) && !(up && s.At == l.from && !s.At.IsZero()) || up && s.At == l.to
		if s.Kind != notation.PedalDown && !up || !inside {
			continue
		}
		if p := l.pedalSign(s.At, up); !slices.ContainsFunc(signs, func(q pedal) bool { return q.at == p.at && q.up == p.up }) {
			signs = append(signs, p)
		}
	}
	slices.SortStableFunc(signs, func(a, b pedal) int {
		if c := a.at.Cmp(b.at); c != 0 {
			return c
		}
		return cmp.Compare(btoi(b.up), btoi(a.up))
	})
	for i := len(signs) - 2; i >= 0; i-- {
		if over := signs[i].right + pedalWhite - signs[i+1].left; over > 0 {
			signs[i].move(-over)
		}
	}
	return signs
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (p *pedal) move(dx float64) {
	p.left, p.right = p.left+dx, p.right+dx
	for i := range p.items {
		p.items[i].X += dx
	}
}

func (l *layout) pedalSign(at score.Rat, up bool) pedal {
	name := "keyboardPedalPed"
	if up {
		name = "keyboardPedalUp"
	}
	box := l.font.Glyph(name).Box
	x := l.xAt(at) - pedalBack
	if up {
		x = l.endX(at) - box.Right*pedalScale/2
	}
	if up && at == l.to {
		x = l.lastBarline() - box.Right*pedalScale
	}
	return pedal{
		at: at, up: up, left: x + box.Left*pedalScale, right: x + box.Right*pedalScale,
		items: []Item{{Role: RolePedal, Glyph: name, X: x, Scale: pedalScale}},
	}
}

// pedalLines makes the lines of the system: a hook at each end, a notch at each
// change, and the sign in place of a hook or notch where the score has it.
func (l *layout) pedalLines() (lines []pedal) {
	for _, n := range l.score.Lines {
		if n.Kind == notation.PedalLine && n.From.Less(l.to) && l.from.Less(n.To) {
			lines = append(lines, l.pedalLine(n))
		}
	}
	return lines
}

func (l *layout) pedalLine(n notation.Line) pedal {
	p := pedal{at: n.From, left: l.lineStart(n.From), right: l.pedalStop(n.To)}
	from, to := n.From.Less(l.from), l.to.Less(n.To)
	var path []point
	switch {
	case from:
		p.left -= pedalOpen
		path = append(path, point{X: p.left})
	case l.pedalAt(n.From, notation.PedalDown):
		path = append(path, point{X: l.pedalSign(n.From, false).right + pedalWhite})
	default:
		path = append(path, point{X: p.left, Y: -pedalHook}, point{X: p.left})
	}
	for _, at := range n.Changes {
		if !l.here(at) || !n.From.Less(at) {
			continue
		}
		if l.pedalAt(at, notation.PedalDown) {
			sign := l.pedalSign(at, false)
			p.line(append(path, point{X: sign.left - pedalWhite}))
			path = []point{{X: sign.right + pedalWhite}}
			continue
		}
		x := l.xAt(at)
		path = append(path, point{X: x - notchWide}, point{X: x, Y: -notchHigh}, point{X: x + notchWide})
	}
	switch {
	case to:
		path = append(path, point{X: p.right})
	case l.pedalAt(n.To, notation.PedalUp):
		path = append(path, point{X: l.pedalSign(n.To, true).left - pedalWhite})
	default:
		path = append(path, point{X: p.right}, point{X: p.right, Y: -pedalHook})
	}
	p.line(path)
	for i := range p.items {
		p.items[i].Stroke.Width = l.font.Defaults.PedalLine
	}
	return p
}

// line adds strokes from point to point.
func (p *pedal) line(path []point) {
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		if a != b {
			p.items = append(p.items, Item{Role: RolePedal, Stroke: &Stroke{X1: a.X, Y1: a.Y, X2: b.X, Y2: b.Y}})
		}
	}
}

// pedalStop is where a pedal line ends: at the column where the pedal goes up.
func (l *layout) pedalStop(at score.Rat) float64 {
	if l.to.Less(at) {
		return l.lastBarline()
	}
	return l.endX(at)
}

// pedalAt reports whether the score has a pedal sign at an instant.
func (l *layout) pedalAt(at score.Rat, kind notation.SignKind) bool {
	return slices.ContainsFunc(l.score.Signs, func(s notation.Sign) bool { return s.Kind == kind && s.At == at })
}
