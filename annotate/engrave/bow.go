package engrave

import "math"

// bow is the middle line of a tie or a slur: a cubic Bézier curve that runs
// from left to right.
type bow struct{ a, b, c, d point }

// at is the place of a bow at t, from 0 at its left end to 1 at its right end.
func (w bow) at(t float64) point {
	u := 1 - t
	p, q, r, s := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
	return point{X: p*w.a.X + q*w.b.X + r*w.c.X + s*w.d.X, Y: p*w.a.Y + q*w.b.Y + r*w.c.Y + s*w.d.Y}
}

// timeAt is the t at which a bow passes x.
func (w bow) timeAt(x float64) float64 {
	low, high := 0.0, 1.0
	for range 30 {
		if mid := (low + high) / 2; w.at(mid).X < x {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// part is the piece of a bow between two t.
func (w bow) part(from, to float64) bow {
	_, rest := w.split(from)
	first, _ := rest.split((to - from) / (1 - from))
	return first
}

// split cuts a bow in two (de Casteljau).
func (w bow) split(t float64) (left, right bow) {
	ab, bc, cd := between(w.a, w.b, t), between(w.b, w.c, t), between(w.c, w.d, t)
	abc, bcd := between(ab, bc, t), between(bc, cd, t)
	mid := between(abc, bcd, t)
	return bow{w.a, ab, abc, mid}, bow{mid, bcd, cd, w.d}
}

func between(p, q point, t float64) point {
	return point{X: p.X + (q.X-p.X)*t, Y: p.Y + (q.Y-p.Y)*t}
}

// length is about how long a bow is.
func (w bow) length() float64 {
	sum, last := 0.0, w.a
	for i := 1; i <= 8; i++ {
		p := w.at(float64(i) / 8)
		sum, last = sum+math.Hypot(p.X-last.X, p.Y-last.Y), p
	}
	return sum
}

// shape is the ink of a bow: an outer and an inner curve, so far apart at the
// ends and in the middle as told, across the line between its ends.
func (w bow) shape(end, mid float64) []Segment {
	long := math.Hypot(w.d.X-w.a.X, w.d.Y-w.a.Y)
	if long == 0 {
		return nil
	}
	k := (mid - end/4) / 1.5 // a curve bulges by three quarters of its control points
	aside := func(p point, by float64) point {
		return point{X: p.X - by*(w.d.Y-w.a.Y)/long, Y: p.Y + by*(w.d.X-w.a.X)/long}
	}
	curve := func(p, q, r point) Segment {
		return Segment{Op: 'C', X1: p.X, Y1: p.Y, X2: q.X, Y2: q.Y, X: r.X, Y: r.Y}
	}
	a, back := aside(w.a, -end/2), aside(w.d, end/2)
	return []Segment{
		{Op: 'M', X: a.X, Y: a.Y},
		curve(aside(w.b, -k), aside(w.c, -k), aside(w.d, -end/2)),
		{Op: 'L', X: back.X, Y: back.Y},
		curve(aside(w.c, k), aside(w.b, k), aside(w.a, end/2)),
	}
}

// Dashes of a bow, in staff spaces.
const (
	bowDash = 0.8
	bowGap  = 0.5
)

// dashes is the pieces of a dashed bow: one at each end, evenly between.
func (w bow) dashes() []bow {
	n := max(2, math.Round((w.length()+bowGap)/(bowDash+bowGap)))
	step := 1 / (n - bowGap/(bowDash+bowGap))
	var parts []bow
	for i := range int(n) {
		from := float64(i) * step
		parts = append(parts, w.part(from, min(1, from+step*bowDash/(bowDash+bowGap))))
	}
	return parts
}

// addBow draws a bow.
func (l *layout) addBow(it Item, w bow, end, mid float64, dashed bool) {
	parts := []bow{w}
	if dashed {
		parts, end = w.dashes(), mid
	}
	for _, p := range parts {
		it.Shape = p.shape(end, mid)
		l.add(it)
	}
}
