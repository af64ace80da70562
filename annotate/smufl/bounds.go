package smufl

import "math"

// PathBox is what the ink of a filled path covers; curves count as far as they
// bulge, not as far as their control points.
func PathBox(path []Segment) Box {
	b := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	add := func(x, y float64) {
		b = Box{min(b.Left, x), min(b.Top, y), max(b.Right, x), max(b.Bottom, y)}
	}
	var x0, y0 float64
	for _, s := range path {
		add(s.X, s.Y)
		if s.Op == 'C' {
			for _, t := range turns(x0, s.X1, s.X2, s.X) {
				add(cubic(x0, s.X1, s.X2, s.X, t), s.Y)
			}
			for _, t := range turns(y0, s.Y1, s.Y2, s.Y) {
				add(s.X, cubic(y0, s.Y1, s.Y2, s.Y, t))
			}
		}
		x0, y0 = s.X, s.Y
	}
	if len(path) == 0 {
		return Box{}
	}
	return b
}

// cubic is one coordinate of a cubic Bézier curve at t.
func cubic(a, b, c, d, t float64) float64 {
	u := 1 - t
	return u*u*u*a + 3*u*u*t*b + 3*u*t*t*c + t*t*t*d
}

// turns are the t between 0 and 1 at which one coordinate of a curve goes back.
func turns(a, b, c, d float64) []float64 {
	// A third of the derivative: (1−t)²·p + 2(1−t)t·q + t²·r.
	p, q, r := b-a, c-b, d-c
	square, linear := p-2*q+r, 2*(q-p)
	var at []float64
	keep := func(t float64) {
		if t > 0 && t < 1 {
			at = append(at, t)
		}
	}
	if math.Abs(square) < 1e-12 {
		if linear != 0 {
			keep(-p / linear)
		}
		return at
	}
	root := linear*linear - 4*square*p
	if root < 0 {
		return nil
	}
	root = math.Sqrt(root)
	keep((-linear - root) / (2 * square))
	keep((-linear + root) / (2 * square))
	return at
}
