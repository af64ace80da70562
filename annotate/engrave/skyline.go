package engrave

import (
	"iter"
	"math"
)

// skyline is how far the ink of one staff reaches to one side, cell by cell
// over the width of a system.
type skyline struct {
	up    bool // it bounds the ink from above: less y is farther
	base  float64
	cells []float64
}

// cell is the width of a cell of a skyline, in staff spaces.
const cell = 0.25

// newSkyline is a skyline over a width that starts at the edge of its staff.
func newSkyline(up bool, width, base float64) *skyline {
	s := &skyline{up: up, base: base, cells: make([]float64, int(width/cell)+1)}
	for i := range s.cells {
		s.cells[i] = base
	}
	return s
}

// span is the cells between two places, clipped to the system.
func (s *skyline) span(left, right float64) (from, to int) {
	from = max(0, min(int(math.Floor(left/cell)), len(s.cells)-1))
	to = max(from, min(int(math.Ceil(right/cell))-1, len(s.cells)-1))
	return from, to + 1
}

// raise lets something stand that reaches to y between left and right.
func (s *skyline) raise(left, right, y float64) {
	from, to := s.span(left, right)
	for i := from; i < to; i++ {
		s.cells[i] = s.farther(s.cells[i], y)
	}
}

// raiseInk lets an item stand: what is slanted or bent as far as it reaches in
// each cell.
func (s *skyline) raiseInk(it Item) {
	if it.Shape == nil && it.Stroke == nil {
		s.raise(it.Box.Left, it.Box.Right, s.farthest(it.Box))
		return
	}
	limit := s.farthest(it.Box)
	for a, b := range it.edges() {
		if a.X > b.X {
			a, b = b, a
		}
		from, to := s.span(a.X, b.X)
		for i := from; i < to; i++ {
			left, right := min(max(a.X, float64(i)*cell), b.X), max(min(b.X, float64(i+1)*cell), a.X)
			y := s.farther(heightAt(a, b, left), heightAt(b, a, right))
			s.cells[i] = s.farther(s.cells[i], s.nearer(y, limit))
		}
	}
}

// farthest is how far a box reaches to the skyline's side.
func (s *skyline) farthest(b Box) float64 { return s.farther(b.Top, b.Bottom) }

// reach is how far the ink reaches anywhere between left and right.
func (s *skyline) reach(left, right float64) float64 {
	from, to := s.span(left, right)
	y := s.base
	for _, c := range s.cells[from:to] {
		y = s.farther(y, c)
	}
	return y
}

func (s *skyline) farther(a, b float64) float64 {
	if s.up {
		return min(a, b)
	}
	return max(a, b)
}

func (s *skyline) nearer(a, b float64) float64 {
	if s.up {
		return max(a, b)
	}
	return min(a, b)
}

// over is how high and how low an item's ink reaches between two x; ok is false
// where it has none there.
func (it Item) over(left, right float64) (top, bottom float64, ok bool) {
	if right < it.Box.Left || it.Box.Right < left {
		return 0, 0, false
	}
	if it.Shape == nil && it.Stroke == nil {
		return it.Box.Top, it.Box.Bottom, true
	}
	top, bottom = math.Inf(1), math.Inf(-1)
	for a, b := range it.edges() {
		if a.X > b.X {
			a, b = b, a
		}
		if b.X < left || right < a.X {
			continue
		}
		for _, y := range [2]float64{heightAt(a, b, max(a.X, left)), heightAt(b, a, min(b.X, right))} {
			top, bottom = min(top, y), max(bottom, y)
		}
	}
	return max(top, it.Box.Top), min(bottom, it.Box.Bottom), top <= bottom
}

// heightAt is the y of the line from a to b at an x; of an upright line that of a.
func heightAt(a, b point, x float64) float64 {
	if a.X == b.X {
		return a.Y
	}
	return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
}

// edges goes through the straight lines around an item's ink: both sides of its
// stroke, or its shape with its curves cut into short lines.
func (it Item) edges() iter.Seq2[point, point] {
	return func(yield func(a, b point) bool) {
		if s := it.Stroke; s != nil {
			for _, half := range [2]float64{-s.Width / 2, s.Width / 2} {
				dx, dy := half, 0.0 // of an upright stroke to the sides
				if math.Abs(s.X2-s.X1) > math.Abs(s.Y2-s.Y1) {
					dx, dy = 0, half
				}
				if !yield(point{X: s.X1 + dx, Y: s.Y1 + dy}, point{X: s.X2 + dx, Y: s.Y2 + dy}) {
					return
				}
			}
		}
		var at point
		for _, s := range it.Shape {
			to := point{X: s.X, Y: s.Y}
			switch s.Op {
			case 'L':
				if !yield(at, to) {
					return
				}
			case 'C':
				if !yieldCurve(at, s, yield) {
					return
				}
			}
			at = to
		}
	}
}

// curveParts is how many lines stand for a curve.
const curveParts = 12

func yieldCurve(from point, s Segment, yield func(a, b point) bool) bool {
	at := from
	for i := 1; i <= curveParts; i++ {
		t := float64(i) / curveParts
		u := 1 - t
		to := point{
			X: u*u*u*from.X + 3*u*u*t*s.X1 + 3*u*t*t*s.X2 + t*t*t*s.X,
			Y: u*u*u*from.Y + 3*u*u*t*s.Y1 + 3*u*t*t*s.Y2 + t*t*t*s.Y,
		}
		if !yield(at, to) {
			return false
		}
		at = to
	}
	return true
}
