package engrave

import (
	"math"
	"testing"
)

// A slanted or bent shape stands in the skyline as high as it is at each place,
// not as a box.
func TestSkylineFollowsShapes(t *testing.T) {
	l := &layout{}
	for name, it := range map[string]Item{
		"beam":   {Shape: []Segment{{Op: 'M', X: 1, Y: -1}, {Op: 'L', X: 9, Y: -5}, {Op: 'L', X: 9, Y: -4.5}, {Op: 'L', X: 1, Y: -0.5}, {Op: 'L', X: 1, Y: -1}}},
		"stroke": {Stroke: &Stroke{X1: 1, Y1: -1, X2: 9, Y2: -5, Width: 0.1}},
	} {
		it.Box = l.boxOf(it)
		s := newSkyline(true, 10, 0)
		s.raiseInk(it)
		for _, x := range []float64{1.5, 3, 5, 8.5} {
			want := -1 - (x-1)/2
			if got := s.reach(x-0.01, x+0.01); math.Abs(got-want) > 0.5*cell+0.1 {
				t.Errorf("%s at %v reaches to %v, want about %v", name, x, got, want)
			}
		}
		if got := s.reach(0, 0.5); got != 0 {
			t.Errorf("%s: beside it the skyline is at %v", name, got)
		}
	}
}

// The height of a bow is that of the curve, not of its control points.
func TestSkylineOfBow(t *testing.T) {
	l := &layout{}
	bow := Item{Shape: []Segment{
		{Op: 'M', X: 0, Y: 0}, {Op: 'C', X1: 2, Y1: -4, X2: 6, Y2: -4, X: 8, Y: 0}, {Op: 'C', X1: 6, Y1: -3.5, X2: 2, Y2: -3.5, X: 0, Y: 0},
	}}
	bow.Box = l.boxOf(bow)
	s := newSkyline(true, 10, 0)
	s.raiseInk(bow)
	if got := s.reach(3.9, 4.1); math.Abs(got+3) > 0.05 { // a cubic is at 3/4 of its control points in the middle
		t.Errorf("in the middle at %v, want -3", got)
	}
	if got := s.reach(0.1, 0.2); got < -1 {
		t.Errorf("near its end at %v", got)
	}
}
