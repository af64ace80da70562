package sheet

import (
	"testing"

	"hardbars/detect"
	"hardbars/score"
)

// A note stands higher the higher its key is, and farther right the later it
// is, all within what is drawn.
func TestRollPlaces(t *testing.T) {
	r := detect.PianoRoll{Span: score.Int(4)}
	for key := 21; key <= 108; key += 3 {
		r.Notes = append(r.Notes, detect.PianoRollNote{At: score.R(int64(key-21), 87).Mul(score.Int(4)), Length: score.R(1, 8), Key: key})
	}
	g := pianoRollFor(r)
	g.x, g.y, g.width = 20, 10, 100
	if h := g.height(); h > rollMost+1e-9 {
		t.Errorf("%g mm high", h)
	}
	for i, n := range r.Notes {
		x, y := g.at(n.At), g.top(n.Key)
		if x < 20 || x > 120+1e-9 || y < 10-1e-9 || y+g.step > 10+g.height()+1e-9 {
			t.Errorf("key %d stands at %g, %g", n.Key, x, y)
		}
		if i > 0 && (x <= g.at(r.Notes[i-1].At) || y >= g.top(r.Notes[i-1].Key)) {
			t.Errorf("key %d is not above and to the right of the one before", n.Key)
		}
	}
}

// Grace notes stand one before the other, the hands apart.
func TestGraceAfter(t *testing.T) {
	grace := func(hand score.Hand) detect.PianoRollNote {
		return detect.PianoRollNote{At: score.Int(1), Key: 60, Hand: hand}
	}
	main := detect.PianoRollNote{At: score.Int(1), Length: score.Int(1), Key: 60}
	notes := []detect.PianoRollNote{grace(score.Right), grace(score.Right), grace(score.Left), main}
	for i, want := range []int{2, 1, 1} {
		if got := graceAfter(notes[i:]); got != want {
			t.Errorf("from note %d on: %d, want %d", i, got, want)
		}
	}
}

// An empty picture takes no room.
func TestEmptyRoll(t *testing.T) {
	if d := drawPianoRoll(detect.PianoRoll{Span: score.Int(1)}); d.height != 0 {
		t.Errorf("height %g", d.height)
	}
}
