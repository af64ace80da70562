package detect

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"hardbars/score"
)

// lasting is an occurrence from one instant to another, in quarters.
func lasting(from, to int64, kind Kind, hand score.Hand, demand float64) Occurrence {
	return Occurrence{Kind: kind, Hand: hand, From: score.Int(from), To: score.Int(to), Demand: demand}
}

func TestPlacesDemand(t *testing.T) {
	two, three := math.Pow(2, 0.25), math.Pow(3, 0.25)
	for _, c := range []struct {
		name  string
		found []Occurrence
		want  [4]float64 // of bars of four quarters
	}{
		{"nothing", nil, [4]float64{}},
		{"one thing", []Occurrence{lasting(4, 6, "leap", score.Left, 1)}, [4]float64{0, 1}},
		{"up to the barline", []Occurrence{lasting(0, 8, "leap", score.Left, 1)}, [4]float64{1, 1}},
		{"over the barline", []Occurrence{lasting(2, 9, "leap", score.Left, 1)}, [4]float64{1, 1, 1}},
		{"two hands at once", []Occurrence{lasting(4, 6, "leap", score.Left, 1), lasting(5, 6, "leap", score.Right, 1)}, [4]float64{0, two}},
		{"two kinds at once", []Occurrence{lasting(4, 6, "leap", score.Left, 1), lasting(4, 8, "parallel-thirds", score.Left, 1)}, [4]float64{0, two}},
		{"three at once", []Occurrence{lasting(4, 6, "leap", score.Left, 1), lasting(4, 8, "parallel-thirds", score.Right, 1), lasting(5, 6, "cross-rhythm", score.Both, 1)},
			[4]float64{0, three}},
		{"one after the other", []Occurrence{lasting(4, 6, "leap", score.Left, 1), lasting(6, 8, "leap", score.Right, 1.1)}, [4]float64{0, 1.1}},
		{"the same again counts once", []Occurrence{lasting(4, 7, "leap", score.Left, 1), lasting(5, 8, "leap", score.Left, 0.8)}, [4]float64{0, 1}},
		{"at once in the next bar only", []Occurrence{lasting(2, 8, "leap", score.Left, 1), lasting(5, 6, "leap", score.Right, 1)}, [4]float64{1, two}},
		{"at an instant", []Occurrence{lasting(6, 6, "leap", score.Left, 1)}, [4]float64{0, 1}},
	} {
		got := placesDemand(blank(4), c.found)
		for bar := range c.want {
			if math.Abs(got[bar]-c.want[bar]) > 1e-12 {
				t.Errorf("%s: %v, want %v", c.name, got, c.want)
				break
			}
		}
	}
}

// Whatever comes together: a bar is never easier than the hardest in it, never
// more than half as hard again, never easier for one thing more or one thing
// harder, and twice as hard when everything is.
func TestPlacesDemandBoundedAndMonotone(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 300 {
		var found []Occurrence
		for range r.IntN(30) {
			from := r.Int64N(40)
			found = append(found, lasting(from, from+r.Int64N(12), Kind(fmt.Sprint("kind ", r.IntN(5))), score.Hand(r.IntN(3)), 2*r.Float64()))
		}
		s := blank(13)
		before := placesDemand(s, found)
		hardest := make([]float64, len(s.Bars))
		for _, o := range found {
			first, last := o.bars(s)
			for bar := first; bar <= last; bar++ {
				hardest[bar] = max(hardest[bar], o.Demand)
			}
		}
		one := lasting(r.Int64N(40), 44, "leap", score.Left, 2*r.Float64())
		more := placesDemand(s, append(found[:len(found):len(found)], one))
		twice := make([]Occurrence, len(found))
		for i, o := range found {
			o.Demand *= 2
			twice[i] = o
		}
		double := placesDemand(s, twice)
		for bar, d := range before {
			if d < hardest[bar]-1e-9 || d > 1.5*hardest[bar]+1e-9 {
				t.Fatalf("bar %d has demand %g, the hardest in it %g: %+v", bar, d, hardest[bar], found)
			}
			if more[bar] < d-1e-9 {
				t.Fatalf("bar %d falls from %g to %g with one thing more, %+v", bar, d, more[bar], one)
			}
			if math.Abs(double[bar]-2*d) > 1e-9 {
				t.Fatalf("bar %d: %g, and %g when everything is twice as hard", bar, d, double[bar])
			}
		}
	}
}
