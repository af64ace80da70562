package engrave

import (
	"math"

	"hardbars/annotate/smufl"
)

// boxOf is what an item covers.
func (l *layout) boxOf(it Item) Box {
	switch {
	case it.Glyph != "":
		b := l.font.Glyph(it.Glyph).Box
		return Box{it.X + b.Left*it.Scale, it.Y + b.Top*it.Scale, it.X + b.Right*it.Scale, it.Y + b.Bottom*it.Scale}
	case it.Stroke != nil:
		return it.Stroke.box()
	case it.Shape != nil:
		return Box(smufl.PathBox(it.Shape))
	}
	return textBox(it)
}

// box is what a stroke covers; its ends are cut square to it.
func (s *Stroke) box() Box {
	dx, dy := s.X2-s.X1, s.Y2-s.Y1
	length := math.Hypot(dx, dy)
	if length == 0 {
		return Box{s.X1, s.Y1, s.X1, s.Y1}
	}
	aside, over := math.Abs(dy)/length*s.Width/2, math.Abs(dx)/length*s.Width/2
	return Box{
		min(s.X1, s.X2) - aside, min(s.Y1, s.Y2) - over,
		max(s.X1, s.X2) + aside, max(s.Y1, s.Y2) + over,
	}
}

// textBox is what words cover: as wide as they run, and as high as their own
// letters reach.
func textBox(it Item) Box {
	w := measure(it.Text, it.Face)
	return Box{it.X + w.Left, it.Y + w.Top, it.X + w.Right, it.Y + w.Bottom}
}
