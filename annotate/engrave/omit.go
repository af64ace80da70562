package engrave

import "hardbars/score"

// leaveOut marks the place of something that is left out, above its staff, and
// tells it.
func (l *layout) leaveOut(at score.Rat, staff int, what string) {
	staff = max(1, min(staff, len(l.top)))
	it := Item{Role: RoleOmission, Note: -1, Chord: -1, Staff: staff, X: l.xAt(at), Text: "[…]", Face: Face{Size: numberSize}}
	box := l.boxOf(it)
	it.Y = l.above[staff-1].reach(box.Left, box.Right) - 0.4
	l.add(it)
	bar := l.score.Bars[barAt(l.score.Bars, at)].Number
	l.told = append(l.told, Warning{Bar: bar, Text: what + " is left out"})
}
