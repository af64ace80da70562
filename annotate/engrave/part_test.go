package engrave

import (
	"math"
	"testing"

	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest/library"
)

// Every item stands in exactly one system of its own, within it, and no other
// than where it stood.
func TestSystemsAreTheWhole(t *testing.T) {
	for _, path := range library.Own(t, ".musicxml") {
		f, err := musicxml.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		n, err := f.Notation(musicxml.Options{})
		if err != nil {
			t.Fatal(err)
		}
		whole, err := Set(n, Options{To: n.Bars[len(n.Bars)-1].End(), Width: 150})
		if err != nil {
			t.Fatal(err)
		}
		items, at := 0, score.Rat{}
		for i, extent := range whole.Systems {
			part := whole.System(i)
			if part.Systems[0].From != at {
				t.Errorf("%s: system %d begins at %s, the one before ends at %s", path, i, part.Systems[0].From, at)
			}
			at = part.Systems[0].To
			for _, it := range part.Items {
				if it.Box.Top < -0.01 || it.Box.Bottom > part.Height+0.01 {
					t.Errorf("%s: system %d: a %s lies outside", path, i, it.Role)
				}
			}
			if shift := extent.Top - part.Systems[0].Top; math.Abs(part.Height-(extent.Bottom-extent.Top)-2*edgeWidth) > 1e-9 || shift < -edgeWidth-1e-9 {
				t.Errorf("%s: system %d is %v high", path, i, part.Height)
			}
			items += len(part.Items)
		}
		if items != len(whole.Items) || at != n.Bars[len(n.Bars)-1].End() {
			t.Errorf("%s: %d items in systems of %d, to %s", path, items, len(whole.Items), at)
		}
	}
}
