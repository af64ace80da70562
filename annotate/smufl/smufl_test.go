package smufl

import (
	"math"
	"slices"
	"testing"
)

// sortedNames are the names of all glyphs that can be asked for.
func sortedNames() []string {
	var names []string
	for name := range codes {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// Every name stands for the glyph that the font's maker means by it: the
// outline at its code point has the bounds and the advance that the font's
// metadata file tells for the name.
func TestGlyphsHaveTheBoundsOfTheirNames(t *testing.T) {
	f := Bravura()
	for _, name := range sortedNames() {
		g := f.Glyph(name)
		drawn := PathBox(g.Outline)
		// The metadata has three decimals of 1/250 space; outlines are whole units.
		for _, d := range []float64{drawn.Left - g.Box.Left, drawn.Top - g.Box.Top, drawn.Right - g.Box.Right, drawn.Bottom - g.Box.Bottom} {
			if math.Abs(d) > 0.006 {
				t.Errorf("%s (U+%04X) covers %.3f, its metadata says %.3f", name, g.Rune, drawn, g.Box)
				break
			}
		}
	}
}

func BenchmarkParse(b *testing.B) {
	for range b.N {
		if _, err := parse(bravuraOTF, bravuraMetadata); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkGlyph(b *testing.B) {
	f := Bravura()
	for range b.N {
		if _, err := f.read("gClef"); err != nil {
			b.Fatal(err)
		}
	}
}
