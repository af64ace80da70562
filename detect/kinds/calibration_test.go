package kinds_test

import (
	"testing"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score/musicxml"
)

// reportOn analyzes a score in testdata for the default player, a returning adult.
func reportOn(t *testing.T, name string) *detect.Report {
	t.Helper()
	f, err := musicxml.Open("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
}

// barsOver counts the bars that ask for more than a figure.
func barsOver(r *detect.Report, demand float64) int {
	n := 0
	for _, d := range r.BarDemand {
		if d > demand {
			n++
		}
	}
	return n
}

// A two-voice minuet at a moderate tempo, as in any first album: a returning
// player finds a handful of places to look at and none past comfort. Common
// practice.
func TestSimpleMinuet(t *testing.T) {
	r := reportOn(t, "meadow-minuet.musicxml")
	loud := r.WithoutQuiet()
	if n := len(loud.Spots); n < 1 || n > 5 {
		t.Errorf("%d hot spots, want a handful", n)
	}
	for _, sp := range r.Spots {
		if sp.Demand > 1 {
			t.Errorf("%s in %s has demand %.2f: %s", sp.Kind, r.Bars(&sp), sp.Demand, sp.Why)
		}
	}
	if n := barsOver(r, 1); n > 0 {
		t.Errorf("%d bars are past comfort, want none", n)
	}
}

// A page of a concert study: past comfort in nearly every bar, and yet fewer
// places than bars. Common practice.
func TestStudyPage(t *testing.T) {
	r := reportOn(t, "weathercock-study.musicxml")
	bars := len(r.Score.Bars)
	if n := barsOver(r, 1); 10*n < 9*bars {
		t.Errorf("%d of %d bars are past comfort, want nine in ten", n, bars)
	}
	loud := r.WithoutQuiet()
	if n := len(loud.Spots); n > bars {
		t.Errorf("%d hot spots in %d bars, too many to read", n, bars)
	}
	long := false
	for _, sp := range loud.Spots {
		long = long || sp.LastBar-sp.FirstBar >= bars/2
	}
	if !long {
		t.Error("what goes on through half the page is not one hot spot")
	}
}

// Each level finds both pieces easier than the level before.
func TestLevelsInOrder(t *testing.T) {
	for _, name := range []string{"meadow-minuet.musicxml", "weathercock-study.musicxml"} {
		before := reportOn(t, name)
		sums := []float64{}
		for _, level := range detect.Levels {
			p := detect.DefaultPlayer()
			p.Level = level
			sum := 0.0
			for _, d := range detect.Analyze(before.Score, p, kinds.All).BarDemand {
				sum += d
			}
			sums = append(sums, sum)
		}
		for i := 1; i < len(sums); i++ {
			if sums[i] >= sums[i-1] {
				t.Errorf("%s: the demand of all bars, level by level, is %v", name, sums)
			}
		}
	}
}
