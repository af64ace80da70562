package palette

import (
	"strings"
	"testing"

	"hardbars/detect/kinds"
)

// Each of the first kinds has a colour of its own, of the palette in Okabe &
// Ito 2008, "Color Universal Design", and none is yellow or black.
func TestOf(t *testing.T) {
	okabeIto := "#E69F00 #56B4E9 #009E73 #0072B2 #D55E00 #CC79A7"
	seen := map[string]bool{}
	for i, d := range kinds.All {
		c := Of(d.Kind)
		if !strings.Contains(okabeIto, c) || i < 6 && seen[c] {
			t.Errorf("%s has the colour %s", d.Kind, c)
		}
		seen[c] = true
	}
	if c := Of("added"); len(c) != 7 || !strings.Contains(okabeIto, c) {
		t.Errorf("a kind that was added by hand has the colour %q", c)
	}
}
