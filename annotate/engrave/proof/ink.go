// Package proof reads a drawing back: which ink lies on other ink, and whether
// what stands on the staves is what is written.
//
// How the engraver came to place anything is kept out: it looks at outlines
// alone.
package proof

import (
	"image"
	"math"

	"golang.org/x/image/vector"

	"hardbars/annotate/engrave"
	"hardbars/annotate/smufl"
)

// dotsToSpace is how finely ink is looked at: dots to a staff space.
const dotsToSpace = 16

// ink is the picture of one item: how black each dot is, from 0 to 255.
type ink struct {
	area  image.Rectangle // in dots of the drawing
	black []uint8
}

// inkOf draws one item by itself.
func inkOf(it engrave.Item, space float64) ink {
	scale := dotsToSpace / space
	area := image.Rect(
		int(math.Floor(it.Box.Left*scale)), int(math.Floor(it.Box.Top*scale)),
		int(math.Ceil(it.Box.Right*scale))+1, int(math.Ceil(it.Box.Bottom*scale))+1)
	c := &plotter{scale: scale, area: area, Rasterizer: vector.NewRasterizer(area.Dx(), area.Dy())}
	d := engrave.Drawing{Items: []engrave.Item{it}}
	d.Draw(c, 0, 0)
	alpha := image.NewAlpha(image.Rect(0, 0, area.Dx(), area.Dy()))
	c.Draw(alpha, alpha.Bounds(), image.Opaque, image.Point{})
	return ink{area, alpha.Pix}
}

// shared is the area that two inks have in common, in square staff spaces.
func (a ink) shared(b ink) float64 {
	common := a.area.Intersect(b.area)
	sum := 0
	for y := common.Min.Y; y < common.Max.Y; y++ {
		row, other := a.row(y), b.row(y)
		for x := common.Min.X; x < common.Max.X; x++ {
			sum += int(min(row[x-a.area.Min.X], other[x-b.area.Min.X]))
		}
	}
	return float64(sum) / 255 / dotsToSpace / dotsToSpace
}

func (a ink) row(y int) []uint8 {
	w := a.area.Dx()
	return a.black[(y-a.area.Min.Y)*w : (y-a.area.Min.Y+1)*w]
}

// plotter is a canvas of dots.
type plotter struct {
	*vector.Rasterizer
	scale float64
	area  image.Rectangle
}

func (p *plotter) at(x, y float64) (float32, float32) {
	return float32(x*p.scale) - float32(p.area.Min.X), float32(y*p.scale) - float32(p.area.Min.Y)
}

// Fill fills a path.
func (p *plotter) Fill(path []engrave.Segment, _ string) {
	for i, s := range path {
		x, y := p.at(s.X, s.Y)
		switch s.Op {
		case 'M':
			if i > 0 {
				p.ClosePath()
			}
			p.MoveTo(x, y)
		case 'L':
			p.LineTo(x, y)
		case 'C':
			x1, y1 := p.at(s.X1, s.Y1)
			x2, y2 := p.at(s.X2, s.Y2)
			p.CubeTo(x1, y1, x2, y2, x, y)
		}
	}
	p.ClosePath()
}

// Line draws a stroke, without its dashes.
func (p *plotter) Line(s engrave.Stroke, colour string) {
	dx, dy := s.X2-s.X1, s.Y2-s.Y1
	length := math.Hypot(dx, dy)
	if length == 0 {
		return
	}
	ax, ay := -dy/length*s.Width/2, dx/length*s.Width/2
	p.Fill([]engrave.Segment{
		{Op: 'M', X: s.X1 + ax, Y: s.Y1 + ay}, {Op: 'L', X: s.X2 + ax, Y: s.Y2 + ay},
		{Op: 'L', X: s.X2 - ax, Y: s.Y2 - ay}, {Op: 'L', X: s.X1 - ax, Y: s.Y1 - ay},
	}, colour)
}

// Words draws text as outlines.
func (p *plotter) Words(x, y float64, text string, f engrave.Face, colour string) {
	for _, path := range f.Outlines(text) {
		p.Fill(moved(path, x, y), colour)
	}
}

func moved(path []smufl.Segment, x, y float64) []smufl.Segment {
	out := make([]smufl.Segment, len(path))
	for i, s := range path {
		s.X1, s.Y1, s.X2, s.Y2, s.X, s.Y = s.X1+x, s.Y1+y, s.X2+x, s.Y2+y, s.X+x, s.Y+y
		out[i] = s
	}
	return out
}
