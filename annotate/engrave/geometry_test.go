package engrave

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"hardbars/score/musicxml"
	"hardbars/score/notation"
	"hardbars/score/scoretest/library"
)

// scoreFiles are the project's own scores, and the real ones beside it where
// they are there.
func scoreFiles(t testing.TB) []string {
	t.Helper()
	return append(library.Own(t, ".musicxml"), library.Shared(t)...)
}

func readNotation(t testing.TB, name string) *notation.Score {
	t.Helper()
	f, err := musicxml.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	n, err := f.Notation(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// Every four bars of every score, and the first forty at once, which make
// several systems.
func TestGeometryOfRealScores(t *testing.T) {
	for _, name := range scoreFiles(t) {
		t.Run(filepath.Base(name), func(t *testing.T) {
			t.Parallel()
			n := readNotation(t, name)
			check := func(from, to int) {
				d := set(n, Options{From: n.Bars[from].Start, To: n.Bars[to].End(), Width: 180})
				for _, problem := range geometryProblems(n, d) {
					t.Errorf("bars %d to %d of the file: %s", from+1, to+1, problem)
				}
			}
			for from := 0; from < len(n.Bars); from += 4 {
				check(from, min(from+3, len(n.Bars)-1))
			}
			check(0, min(39, len(n.Bars)-1))
		})
	}
}

// geometryProblems says what is wrong with where the signs of a drawing stand.
func geometryProblems(n *notation.Score, d *Drawing) (problems []string) {
	g := newGeometry(n, d)
	g.everyNoteOnce()
	g.placesByClef()
	g.onsetsShareX()
	g.headsApart()
	g.accidentalsApart()
	g.dotsInSpaces()
	g.restsApart()
	g.insidePage()
	return g.problems
}

// geometry is a drawing as its tests see it.
type geometry struct {
	n        *notation.Score
	d        *Drawing
	space    float64 // mm
	systems  []*setSystem
	problems []string
}

// setSystem is what a drawing shows of one system.
type setSystem struct {
	Extent
	top   map[int]float64 // y of the top line, by staff
	items []Item
}

func newGeometry(n *notation.Score, d *Drawing) *geometry {
	g := &geometry{n: n, d: d, space: defaultSpace}
	for _, e := range d.Systems {
		g.systems = append(g.systems, &setSystem{Extent: e, top: map[int]float64{}})
	}
	for _, it := range d.Items {
		s := g.systemOf(it)
		if s == nil {
			g.problem("%s %q stands in no system: %v", it.Role, it.Glyph+it.Text, it.Box)
			continue
		}
		s.items = append(s.items, it)
		if it.Role == RoleStaff {
			if y, ok := s.top[it.Staff]; !ok || it.Stroke.Y1 < y {
				s.top[it.Staff] = it.Stroke.Y1
			}
		}
	}
	return g
}

func (g *geometry) problem(format string, args ...any) {
	g.problems = append(g.problems, fmt.Sprintf(format, args...))
}

func (g *geometry) systemOf(it Item) *setSystem {
	middle := (it.Box.Top + it.Box.Bottom) / 2
	for _, s := range g.systems {
		if middle >= s.Top && middle <= s.Bottom {
			return s
		}
	}
	return nil
}

func (s *setSystem) role(role Role) (items []Item) {
	for _, it := range s.items {
		if it.Role == role {
			items = append(items, it)
		}
	}
	return items
}

// chordOf is a note's chord and the note itself.
func (g *geometry) noteOf(it Item) (*notation.Chord, *notation.Note) {
	c := &g.n.Chords[it.Chord]
	for i := range c.Notes {
		if c.Notes[i].ID == it.Note {
			return c, &c.Notes[i]
		}
	}
	return c, nil
}

// everyNoteOnce: each printed note of the bars shown has one head, and no other
// note has one.
func (g *geometry) everyNoteOnce() {
	drawn := map[int]int{}
	for _, s := range g.systems {
		for _, it := range s.role(RoleHead) {
			drawn[it.Note]++
		}
	}
	for _, c := range g.n.Chords {
		for _, note := range c.Notes {
			want := 0
			if g.shows(c) && !c.Hidden && note.Head != "none" {
				want = 1
			}
			if drawn[note.ID] != want {
				g.problem("%v in bar %s has %d heads, not %d", note.Written, g.n.Bars[c.Bar].Number, drawn[note.ID], want)
			}
		}
	}
}

func (g *geometry) shows(c notation.Chord) bool {
	bar := g.n.Bars[c.Bar]
	for _, s := range g.systems {
		if !c.At.Less(s.From) && c.At.Less(s.To) && !(c.GraceAfter && c.At == bar.End()) {
			return true
		}
		if c.GraceAfter && c.At == bar.End() && s.From.Less(c.At) && !s.To.Less(c.At) {
			return true
		}
	}
	return false
}

// bottomLines are the pitches of the bottom line as score.Pitch.Staff counts:
// treble E4, bass G2, alto F3, tenor D3 (general theory of music).
var bottomLines = map[string]int{"G2": 30, "F4": 18, "C3": 24, "C4": 22}

// placesByClef: each head stands where its pitch and the clef demand.
func (g *geometry) placesByClef() {
	for _, s := range g.systems {
		for _, it := range s.role(RoleHead) {
			c, note := g.noteOf(it)
			clef := "G2"
			octave := 0
			for _, k := range g.n.Clefs {
				if k.Staff == note.Staff && !c.At.Less(k.At) {
					clef, octave = fmt.Sprint(k.Sign, k.Line), k.Octave
				}
			}
			bottom, ok := bottomLines[clef]
			if !ok {
				continue
			}
			want := s.top[note.Staff]/g.space + 4 - float64(note.Written.Staff()-bottom-7*octave)/2
			if got := it.Y / g.space; got < want-0.01 || got > want+0.01 {
				g.problem("%v in bar %s stands %.2f spaces too low", note.Written, g.n.Bars[c.Bar].Number, got-want)
			}
		}
	}
}

// onsetsShareX: what strikes at one instant has one x in every staff, to the
// last bit, and later columns stand to the right.
func (g *geometry) onsetsShareX() {
	for _, s := range g.systems {
		type place struct {
			at    string
			staff int
		}
		xs := map[place][]float64{}
		for _, it := range s.role(RoleHead) {
			if c := g.n.Chords[it.Chord]; c.Grace == 0 {
				p := place{c.At.String(), it.Staff}
				xs[p] = append(xs[p], it.X)
			}
		}
		for p, a := range xs {
			for staff := p.staff + 1; staff <= g.n.Staves; staff++ {
				if b, ok := xs[place{p.at, staff}]; ok && !common(a, b) {
					g.problem("at %s staves %d and %d share no x: %v, %v", p.at, p.staff, staff, a, b)
				}
			}
		}
	}
}

func common(a, b []float64) bool {
	for _, x := range a {
		for _, y := range b {
			if x == y {
				return true
			}
		}
	}
	return false
}

// overlap is how far two boxes share ink, in spaces: the lesser of width and
// height.
func (g *geometry) overlap(a, b Box) float64 {
	w := min(a.Right, b.Right) - max(a.Left, b.Left)
	h := min(a.Bottom, b.Bottom) - max(a.Top, b.Top)
	return min(w, h) / g.space
}

// headsApart: heads of different notes do not overlap, but for a unison that two
// voices share, and by a stem's width where they stand on both sides of one.
func (g *geometry) headsApart() {
	const stem = 0.16
	for _, s := range g.systems {
		heads := s.role(RoleHead)
		for i, a := range heads {
			for _, b := range heads[i+1:] {
				if a.Glyph == b.Glyph && a.X == b.X && a.Y == b.Y && a.Chord != b.Chord {
					continue
				}
				if g.overlap(a.Box, b.Box) > stem {
					g.problem("%s and %s overlap", g.name(a), g.name(b))
				}
			}
		}
	}
}

func (g *geometry) name(it Item) string {
	c, note := g.noteOf(it)
	if note == nil {
		return fmt.Sprintf("a %s at %s in bar %s, staff %d", it.Role, c.At.Sub(g.n.Bars[c.Bar].Start), g.n.Bars[c.Bar].Number, it.Staff)
	}
	return fmt.Sprintf("%s of %v at %s in bar %s, staff %d", it.Role, note.Written, c.At.Sub(g.n.Bars[c.Bar].Start), g.n.Bars[c.Bar].Number, it.Staff)
}

// accidentalsApart: accidentals touch no head and no other accidental.
func (g *geometry) accidentalsApart() {
	for _, s := range g.systems {
		accidentals := s.role(RoleAccidental)
		heads := append(s.role(RoleHead), s.role(RoleDot)...)
		for i, a := range accidentals {
			for _, b := range append(accidentals[i+1:], heads...) {
				if g.overlap(a.Box, b.Box) > 0.02 && !strings.Contains(a.Glyph+b.Glyph, "Parens") {
					g.problem("%s and %s overlap", g.name(a), g.name(b))
				}
			}
		}
	}
}

// dotsInSpaces: a dot stands in a space, on no head and on no other dot.
func (g *geometry) dotsInSpaces() {
	for _, s := range g.systems {
		dots := s.role(RoleDot)
		for i, a := range dots {
			half := (a.Y - s.top[a.Staff]) / g.space * 2
			if n := int(half + 1000.5); n%2 == 0 {
				g.problem("%s stands on a line: %.2f", g.name(a), half)
			}
			for _, b := range append(dots[i+1:], s.role(RoleHead)...) {
				if g.overlap(a.Box, b.Box) > 0.02 {
					g.problem("%s and %s overlap", g.name(a), g.name(b))
				}
			}
		}
	}
}

// restsApart: a rest stands on no head, accidental, dot or other rest.
func (g *geometry) restsApart() {
	for _, s := range g.systems {
		rests := s.role(RoleRest)
		others := append(append(s.role(RoleHead), s.role(RoleAccidental)...), s.role(RoleDot)...)
		for i, a := range rests {
			for _, b := range append(rests[i+1:], others...) {
				if a.Chord != b.Chord && g.overlap(a.Box, b.Box) > 0.02 {
					g.problem("%s and %s overlap", g.name(a), g.name(b))
				}
			}
		}
	}
}

// insidePage: nothing stands outside the drawing.
func (g *geometry) insidePage() {
	page := Box{0, 0, g.d.Width, g.d.Height}
	for _, it := range g.d.Items {
		if b := it.Box; b.Left < page.Left || b.Top < page.Top || b.Right > page.Right+0.01 || b.Bottom > page.Bottom {
			g.problem("%s %q stands outside: %v", it.Role, it.Glyph+it.Text, b)
		}
	}
}
