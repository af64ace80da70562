package engrave

import "math"

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
