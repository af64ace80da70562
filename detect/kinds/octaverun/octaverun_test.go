package octaverun

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// octavesIn describes the runs: "right 3 C4,C5 to E4,E5 at 0".
func octavesIn(found []detect.Occurrence) string {
	var all []string
	for _, o := range found {
		d := o.Detail.(Detail)
		text := fmt.Sprintf("%s %d %s to %s at %s", o.Hand, d.Count, detecttest.Join(d.Pitches[0][:], ","), detecttest.Join(d.Pitches[1][:], ","), o.From)
		if d.Broken {
			text += " broken"
		}
		all = append(all, text)
	}
	return strings.Join(all, "; ")
}

func TestOctaveRuns(t *testing.T) {
	for _, c := range []struct{ name, left, want string }{
		{"three", "C2+C3:1 D2+D3:1 E2+E3:1 r:1", "left 3 C2,C3 to E2,E3 at 0"},
		{"two", "C2+C3:1 D2+D3:1 E2:1 r:1", ""},
		{"sevenths and ninths", "C2+B2:1 D2+C3:1 E2+F3:1 F2+G3:1", ""},
		{"two octaves apart", "C2+C4:1 D2+D4:1 E2+E4:1 r:1", ""},
		{"one octave repeated", "C2+C3:1 C2+C3:1 C2+C3:1 C2+C3:1", ""},
		{"each octave twice", "C2+C3:1/2 C2+C3:1/2 D2+D3:1/2 D2+D3:1/2 E2+E3:1/2 E2+E3:1/2 r:1", "left 6 C2,C3 to E2,E3 at 0"},
		{"filled", "C2+G2+C3:1 D2+A2+D3:1 E2+G2+B2+E3:1 r:1", "left 3 C2,C3 to E2,E3 at 0"},
		{"detached", "C2+C3:1/2 r:1/2 D2+D3:1/2 r:1/2 E2+E3:1/2 r:3/2", "left 3 C2,C3 to E2,E3 at 0"},
		{"a rest of a quarter note", "C2+C3:1/2 D2+D3:1/2 r:1 E2+E3:1 F2+F3:1", ""},
		{"a half note is no rest", "C2+C3:1/2 D2+D3:2 E2+E3:1 r:1/2", "left 3 C2,C3 to E2,E3 at 0"},
		{"more than a half note is", "C2+C3:1/2 D2+D3:5/2 E2+E3:1", ""},
		{"another chord between", "C2+C3:1 D2+D3:1 G3+B3:1 E2+E3:1", ""},
		{"as bass and chord", "C2+C3:1 E3+G3:1 D2+D3:1 E3+G3:1", ""},

		{"broken upwards", "C2:1/2 C3:1/2 D2:1/2 D3:1/2 E2:1/2 E3:1/2 r:1", "left 3 C2,C3 to E2,E3 at 0 broken"},
		{"broken downwards", "C3:1/2 C2:1/2 D3:1/2 D2:1/2 E3:1/2 E2:1/2 r:1", "left 3 C2,C3 to E2,E3 at 0 broken"},
		{"two broken", "C2:1/2 C3:1/2 D2:1/2 D3:1/2 E2:1/2 F2:1/2 r:1", ""},
		{"broken up and down in turn", "C2:1/2 C3:1/2 D3:1/2 D2:1/2 E2:1/2 E3:1/2 r:1", ""},
		{"to and fro on one octave", "C2:1/2 C3:1/2 C2:1/2 C3:1/2 C2:1/2 C3:1/2 C2:1/2 C3:1/2", ""},
		{"to and fro only three times", "C2:1/2 C3:1/2 C2:1/2 C3:1/2 C2:1/2 C3:1/2 r:1", ""},
		{"after a step", "B2:1 C2:1/4 C3:1/4 D2:1/4 D3:1/4 E2:1/4 E3:1/4 r:3/2", "left 3 C2,C3 to E2,E3 at 1 broken"},
		{"in half notes", "C2:2 C3:2 | D2:2 D3:2 | E2:2 E3:2", ""},
		{"broken tenths", "C2:1/2 E3:1/2 D2:1/2 F3:1/2 E2:1/2 G3:1/2 r:1", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := octavesIn(Detector.Find(scoretest.Piece{QPM: 60, Left: []string{c.left}}.Score(t), detect.DefaultPlayer())); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// octavesUp is n octaves up the white keys, each length long.
func octavesUp(n int, length string) string {
	var b strings.Builder
	for i := range n {
		step, octave := "CDEFGAB"[i%7], 2+i/7
		fmt.Fprintf(&b, "%c%d+%c%d:%s ", step, octave, step, octave+1, length)
	}
	return b.String()
}

// Three octaves in eighths at 75 are 2½ a second, what a returning player does
// in comfort, for a hand in which they lie well; nineteen count for a quarter more.
func TestOctaveRunDemand(t *testing.T) {
	find := func(n int, qpm, mm float64) detect.Occurrence {
		return Detector.Find(scoretest.Piece{QPM: qpm, Left: []string{octavesUp(n, "1/2") + "r:1"}}.Score(t), detecttest.WithSpan(mm))[0]
	}
	for _, c := range []struct {
		n               int
		qpm, mm, demand float64
	}{
		{3, 75, 201, 1},
		{3, 150, 201, 2},
		{19, 75, 201, 1.25},
		{3, 75, 193, 1},                      // who just reaches a ninth has an octave in comfort
		{3, 75, 170, 164.5 / (164.5 - 23.5)}, // who just reaches an octave has not
		{19, 150, 170, 2 * 1.25 * 164.5 / 141},
	} {
		o := find(c.n, c.qpm, c.mm)
		if math.Abs(o.Demand-c.demand) > 1e-9 || !o.Timed {
			t.Errorf("%d octaves at %g with a span of %g mm: demand %g, want %g", c.n, c.qpm, c.mm, o.Demand, c.demand)
		}
	}
	last := 0.0
	for n := 3; n < 25; n++ {
		o := find(n, 75, 201)
		if o.Demand <= last || o.Demand >= 1.5 {
			t.Errorf("%d octaves: demand %g, one fewer %g", n, o.Demand, last)
		}
		last = o.Demand
	}
	last = 0
	for mm := 240.0; mm >= 150; mm -= 5 {
		o := find(5, 75, mm)
		if o.Demand < last {
			t.Errorf("at %g mm demand is %g, with a larger hand %g", mm, o.Demand, last)
		}
		last = o.Demand
	}
}

func TestOctaveRunSaysHow(t *testing.T) {
	d := Detector.Find(scoretest.Piece{QPM: 60, Left: []string{"@ff " + octavesUp(4, "1/2") + "r:2"}}.Score(t), detect.DefaultPlayer())[0]
	if got := d.Detail.(Detail); got.Seconds != 2 || got.PerSecond != 2 || got.Dynamic != "ff" || got.SpanLeftMM != 31.7 {
		t.Errorf("got %+v", got)
	}
	if want := "4 octaves in a row in the left hand, ff, 2.0 s without a rest, at up to 2.0 a second, where 2.5 is comfortable for a few; " +
		"an octave leaves 32 mm of this hand's reach."; d.Why != want {
		t.Errorf("why %q", d.Why)
	}
	for mm, want := range map[float64]string{
		175: "an octave leaves 5 mm of this hand's reach, so each one is a stretch.",
		160: "an octave is 10 mm more than this hand reaches: leave one of the notes out.",
	} {
		if o := Detector.Find(scoretest.Piece{QPM: 60, Left: []string{octavesUp(4, "1") + "| r:4"}}.Score(t), detecttest.WithSpan(mm))[0]; !strings.HasSuffix(o.Why, want) {
			t.Errorf("a span of %g mm: %q", mm, o.Why)
		}
	}
}

// Sixteenths in broken octaves are as many octaves a second as struck eighths.
func TestBrokenOctavesCountByTheOctave(t *testing.T) {
	struck := Detector.Find(scoretest.Piece{QPM: 90, Left: []string{"C2+C3:1/2 D2+D3:1/2 E2+E3:1/2 F2+F3:1/2 r:2"}}.Score(t), detect.DefaultPlayer())[0]
	broken := Detector.Find(scoretest.Piece{QPM: 90, Left: []string{"C2:1/4 C3:1/4 D2:1/4 D3:1/4 E2:1/4 E3:1/4 F2:1/4 F3:1/4 r:2"}}.Score(t), detect.DefaultPlayer())[0]
	if struck.Demand != broken.Demand || struck.Shape == broken.Shape || broken.Hand != score.Left {
		t.Errorf("struck %+v, broken %+v", struck, broken)
	}
	if want := "4 broken octaves"; broken.Label != want {
		t.Errorf("label %q", broken.Label)
	}
}
