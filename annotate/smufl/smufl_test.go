package smufl

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"sync"
	"testing"
)

// Every name stands for the glyph that the font's maker means by it: the
// outline at its code point has the bounds that the font's metadata file tells
// for the name.
func TestGlyphsHaveTheBoundsOfTheirNames(t *testing.T) {
	f := Bravura()
	for _, name := range sortedNames() {
		g := f.Glyph(name)
		drawn := PathBox(g.Outline)
		// The metadata gives whole units of 1/250 space, rounded outwards.
		for _, d := range []float64{drawn.Left - g.Box.Left, drawn.Top - g.Box.Top, drawn.Right - g.Box.Right, drawn.Bottom - g.Box.Bottom} {
			if math.Abs(d) > 0.006 {
				t.Errorf("%s (U+%04X) covers %.3f, its metadata says %.3f", name, g.Rune, drawn, g.Box)
				break
			}
		}
	}
}

// No two names have one code point, and the advance of each is that of the
// metadata file.
func TestAdvances(t *testing.T) {
	var meta struct {
		Advances map[string]float64 `json:"glyphAdvanceWidths"`
	}
	if err := json.Unmarshal(bravuraMetadata, &meta); err != nil {
		t.Fatal(err)
	}
	taken := map[rune]string{}
	for _, name := range sortedNames() {
		g := Bravura().Glyph(name)
		if other, ok := taken[g.Rune]; ok {
			t.Errorf("%s and %s are both U+%04X", name, other, g.Rune)
		}
		taken[g.Rune] = name
		if want, ok := meta.Advances[name]; !ok || math.Abs(want-g.Advance) > 0.0021 {
			t.Errorf("%s goes on %.3f, its metadata says %.3f", name, g.Advance, want)
		}
	}
}

func sortedNames() []string {
	var names []string
	for name := range codes {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// y goes down, so a stem that goes up starts above the middle of its head, at
// the right edge; and one that goes down below it, at the left edge. Source:
// SMuFL 1.4, glyphsWithAnchors.
func TestStemAnchors(t *testing.T) {
	for _, name := range []string{"noteheadBlack", "noteheadHalf"} {
		g := Bravura().Glyph(name)
		up, ok := g.Anchor("stemUpSE")
		if !ok || up.Y >= 0 || math.Abs(up.X-g.Box.Right) > 0.01 {
			t.Errorf("%s: a stem up starts at %v, %v", name, up, ok)
		}
		down, ok := g.Anchor("stemDownNW")
		if !ok || down.Y <= 0 || math.Abs(down.X-g.Box.Left) > 0.01 {
			t.Errorf("%s: a stem down starts at %v, %v", name, down, ok)
		}
	}
	if at, ok := Bravura().Glyph("gClef").Anchor("stemUpSE"); ok {
		t.Errorf("a clef has a stem at %v", at)
	}
}

// Every default is there; those checked by value are from the font's own file.
func TestDefaults(t *testing.T) {
	d := reflect.ValueOf(Bravura().Defaults)
	for i := range d.NumField() {
		if v := d.Field(i).Float(); v <= 0 || v > 1 {
			t.Errorf("%s is %v", d.Type().Field(i).Name, v)
		}
	}
	got := Bravura().Defaults
	if got.StaffLine != 0.13 || got.Stem != 0.12 || got.Beam != 0.5 || got.BeamSpacing != 0.25 || got.LedgerExtension != 0.4 {
		t.Errorf("%+v", got)
	}
}

func TestUnknownGlyphPanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a glyph that does not exist was given")
		}
	}()
	Bravura().Glyph("noteheadNowhere")
}

// All who ask for a glyph at once get the same one.
func TestConcurrentUse(t *testing.T) {
	f, err := parse(bravuraOTF, bravuraMetadata)
	if err != nil {
		t.Fatal(err)
	}
	got := make([]*Glyph, 16)
	var wg sync.WaitGroup
	for i := range got {
		wg.Go(func() { got[i] = f.Glyph("fClef") })
	}
	wg.Wait()
	for _, g := range got {
		if g != got[0] || g.Name != "fClef" {
			t.Fatalf("two glyphs: %p %p", g, got[0])
		}
	}
}

// The bounds of any curve are those of the many points on it.
func TestPathBoxHoldsTheCurve(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	next := func() float64 { return math.Round(rnd.Float64()*8 - 4) }
	for range 500 {
		path := []Segment{{Op: 'M', X: next(), Y: next()}, {Op: 'C', X1: next(), Y1: next(), X2: next(), Y2: next(), X: next(), Y: next()}}
		want := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for i := range 1001 {
			k := float64(i) / 1000
			x := between(path[0].X, path[1].X1, path[1].X2, path[1].X, k)
			y := between(path[0].Y, path[1].Y1, path[1].Y2, path[1].Y, k)
			want = Box{min(want.Left, x), min(want.Top, y), max(want.Right, x), max(want.Bottom, y)}
		}
		got := PathBox(path)
		for _, d := range []float64{got.Left - want.Left, got.Top - want.Top, got.Right - want.Right, got.Bottom - want.Bottom} {
			if math.Abs(d) > 1e-4 {
				t.Fatalf("%+v covers %v, not %v", path, want, got)
			}
		}
	}
}

// between is de Casteljau's construction of a point of a curve.
func between(a, b, c, d, t float64) float64 {
	mix := func(p, q float64) float64 { return p + (q-p)*t }
	ab, bc, cd := mix(a, b), mix(b, c), mix(c, d)
	return mix(mix(ab, bc), mix(bc, cd))
}

func BenchmarkParse(b *testing.B) {
	for range b.N {
		if _, err := parse(bravuraOTF, bravuraMetadata); err != nil {
			b.Fatal(err)
		}
	}
}
