package engrave

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"hardbars/score"
	"hardbars/score/notation"
)

// ruled gives a layout for tests its columns, one bar around all, and numbers
// for its heads: 10 times the chord, and the head from the lowest.
func ruled(l *layout) *layout {
	l.byID = map[int]*chord{}
	for i, c := range l.chords {
		c.left, c.right = c.x, c.x
		for k := range c.heads {
			h := &c.heads[k]
			h.note.ID = 10*i + k
			l.byID[h.note.ID] = c
			c.left, c.right = min(c.left, h.x), max(c.right, h.x+h.width)
		}
		if c.Grace == 0 {
			l.xs = append(l.xs, instant{c.At, c.x})
		}
	}
	last := l.chords[len(l.chords)-1]
	l.width = last.x + 5
	l.xs = append(l.xs, instant{l.to, l.width})
	l.music = l.chords[0].x - 0.2
	l.bars = []barPlace{{left: l.music - 1, right: l.width, music: l.music}}
	l.score.Bars = []notation.Bar{{Number: "1", Length: l.to}}
	l.drawTestHeads()
	return l
}

// drawTestHeads puts down the heads that the passes before would have.
func (l *layout) drawTestHeads() {
	for _, c := range l.chords {
		for _, h := range c.heads {
			l.add(Item{Role: RoleHead, Note: h.note.ID, Chord: c.index, Staff: h.staff, Glyph: h.glyph, X: h.x, Y: h.y, Scale: c.scale})
		}
	}
}

// edgeAt is the edge of a drawn bow towards the notes that it is above or below.
func (it Item) edgeAt(x float64, above bool) (y float64, ok bool) {
	top, bottom, ok := it.over(x-0.01, x+0.01)
	return farther(!above, top, bottom), ok // the edge towards the notes
}

func only(t *testing.T, items []Item) Item {
	t.Helper()
	if len(items) != 1 {
		t.Fatalf("%d items, want 1", len(items))
	}
	return items[0]
}

func slurred(l *layout, slurs ...notation.Slur) []Item {
	l.score.Slurs = slurs
	l.slurs()
	return l.inked(RoleSlur)
}

// A slur touches nothing of the notes between its ends, whatever they are, and
// ends outside of the ink at its ends, not far from it.
func TestSlurIsClear(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 7))
	for range 200 {
		var chords []*chord
		for range 3 + random.IntN(8) {
			chords = append(chords, tone("quarter", random.IntN(16)-4))
		}
		above := random.IntN(2) == 0
		side := map[bool]notation.Side{true: notation.Above, false: notation.Below}[above]
		l := ruled(stood(3+4*random.Float64(), chords...))
		it := only(t, slurred(l, notation.Slur{From: 0, To: len(chords) - 1, Side: side}))
		for _, ink := range l.items {
			if ink.Role != RoleHead && ink.Role != RoleStem {
				continue
			}
			for x := ink.Box.Left; x <= ink.Box.Right; x += 0.1 {
				top, bottom, inked := ink.over(x-0.01, x+0.01)
				y, ok := it.edgeAt(x, above)
				if gap := (y - farther(above, top, bottom)) * toward(above); ok && inked && gap < 0.1 {
					t.Fatalf("above %v: a %s at %v of chord %d is %v under the slur", above, ink.Role, x, ink.Chord, gap)
				}
			}
		}
		for _, c := range []*chord{chords[0], chords[len(chords)-1]} {
			tip := c.outer(above).y
			if c.up == above {
				tip = c.stemEnd
			}
			x := max(it.Box.Left+0.02, min(it.Box.Right-0.02, c.centre()))
			y, ok := it.edgeAt(x, above)
			if far := (y - tip) * toward(above); !ok || far < 0.2 || far > slurLift+2 {
				t.Fatalf("above %v: an end is %v away from its note", above, far)
			}
		}
	}
}

// Over notes that lie level, a slur ends within a space and a half of the heads
// and in their middle.
func TestSlurEndsNearItsNotes(t *testing.T) {
	chords := []*chord{tone("quarter", 2), tone("quarter", 2), tone("quarter", 2), tone("quarter", 2)}
	l := ruled(stood(5, chords...))
	it := only(t, slurred(l, notation.Slur{From: 0, To: 3}))
	start, end := it.Shape[0], it.Shape[1]
	for i, at := range []Segment{start, end} {
		c := chords[3*i]
		if math.Abs(at.X-c.centre()) > 0.1 || c.heads[0].y-at.Y < 0.5 || c.heads[0].y-at.Y > 1.5 {
			t.Errorf("an end is at %v, %v; its head at %v, %v", at.X, at.Y, c.centre(), c.heads[0].y)
		}
	}
	if h := start.Y - it.Box.Top; h < 0.4 || h > 3 {
		t.Errorf("the arch is %v high", h)
	}
}

// Common practice: away from the stems, above where they differ, by voice where
// there are two, as the file says before all.
func TestSlurSides(t *testing.T) {
	low, high := 7, 1
	for _, tt := range []struct {
		name       string
		pos        []int
		voices     int
		upper      bool
		side       notation.Side
		above      bool
		graceFirst bool
	}{
		{name: "stems up", pos: []int{low, low}, above: false},
		{name: "stems down", pos: []int{high, high}, above: true},
		{name: "mixed", pos: []int{low, high, low}, above: true},
		{name: "upper voice", pos: []int{low, low}, voices: 2, upper: true, above: true},
		{name: "lower voice", pos: []int{high, high}, voices: 2, above: false},
		{name: "told", pos: []int{high, high}, side: notation.Below, above: false},
		{name: "grace note", pos: []int{high, high}, graceFirst: true, above: false},
	} {
		var chords []*chord
		for i, pos := range tt.pos {
			c := tone("quarter", pos)
			c.voices, c.upper = max(1, tt.voices), tt.upper
			if i == 0 && tt.graceFirst {
				c.Grace, c.scale = 1, graceScale
			}
			chords = append(chords, c)
		}
		l := ruled(stood(5, chords...))
		it := only(t, slurred(l, notation.Slur{From: 0, To: len(chords) - 1, Side: tt.side}))
		if above := it.Shape[0].Y < chords[0].heads[0].y; above != tt.above {
			t.Errorf("%s: above %v", tt.name, above)
		}
	}
}

// An outer slur stands beyond the one inside it, and two that meet at a chord
// leave each other room.
func TestSlursTogether(t *testing.T) {
	l := ruled(stood(5, tone("quarter", 2), tone("quarter", 2), tone("quarter", 2), tone("quarter", 2)))
	found := slurred(l, notation.Slur{From: 0, To: 3}, notation.Slur{From: 1, To: 2})
	inner, outer := found[0], found[1]
	for x := inner.Box.Left + 0.1; x < inner.Box.Right; x += 0.2 {
		top, _, _ := inner.over(x-0.01, x+0.01)
		if edge, _ := outer.edgeAt(x, true); edge > top-0.1 {
			t.Fatalf("at %v the outer slur is at %v, the inner one at %v", x, edge, top)
		}
	}
	l = ruled(stood(5, tone("quarter", 2), tone("quarter", 2), tone("quarter", 2)))
	found = slurred(l, notation.Slur{From: 0, To: 1}, notation.Slur{From: 1, To: 2})
	if gap := found[1].Box.Left - found[0].Box.Right; gap < 0.3 {
		t.Errorf("two slurs at one chord are %v apart", gap)
	}
}

// A slur with one end on the system reaches the edge at the other.
func TestBrokenSlurs(t *testing.T) {
	for _, tt := range []struct {
		slur        notation.Slur
		left, right bool // it reaches the edge
	}{
		{notation.Slur{From: 1, To: -1}, false, true},
		{notation.Slur{From: -1, To: 1}, true, false},
	} {
		l := ruled(stood(5, tone("quarter", 2), tone("quarter", 2), tone("quarter", 2)))
		it := only(t, slurred(l, tt.slur))
		if left := it.Box.Left < l.chords[0].heads[0].x; left != tt.left {
			t.Errorf("%+v begins at %v", tt.slur, it.Box.Left)
		}
		if right := it.Box.Right > l.lastBarline()-0.5; right != tt.right {
			t.Errorf("%+v ends at %v", tt.slur, it.Box.Right)
		}
	}
}

func TestDashedSlur(t *testing.T) {
	l := ruled(stood(5, tone("quarter", 2), tone("quarter", 2), tone("quarter", 2)))
	parts := slurred(l, notation.Slur{From: 0, To: 2, Dashed: true})
	if len(parts) < 4 {
		t.Fatalf("%d dashes", len(parts))
	}
	for i := 1; i < len(parts); i++ {
		if gap := parts[i].Box.Left - parts[i-1].Box.Right; gap < 0.1 || gap > 1 {
			t.Errorf("a gap of %v", gap)
		}
	}
}

func tiesOf(l *layout, ties ...notation.Tie) []Item {
	l.score.Ties = ties
	l.ties()
	return l.inked(RoleTie)
}

// Ties are level and join the edges of their heads; in a chord the upper ones
// bend up and the lower ones down, and a single one bends away from its stem.
func TestTies(t *testing.T) {
	for _, tt := range []struct {
		name  string
		pos   []int
		above []bool
	}{
		{"stem down", []int{1}, []bool{true}},
		{"stem up", []int{7}, []bool{false}},
		{"two heads", []int{6, 2}, []bool{false, true}},
		{"three heads, stem up", []int{9, 7, 5}, []bool{false, false, true}},
		{"four heads", []int{8, 6, 4, 2}, []bool{false, false, true, true}},
	} {
		a, b := tone("half", tt.pos...), tone("half", tt.pos...)
		l := ruled(stood(6, a, b))
		var ties []notation.Tie
		for i := range tt.pos {
			ties = append(ties, notation.Tie{From: i, To: 10 + i})
		}
		for i, it := range tiesOf(l, ties...) {
			from, to := a.heads[i], b.heads[i]
			start, end := it.Shape[0], it.Shape[1]
			if math.Abs(start.Y-end.Y) > 1e-9 {
				t.Errorf("%s: tie %d goes from %v to %v", tt.name, i, start.Y, end.Y)
			}
			if start.X < from.x || start.X > from.x+from.width+0.5 || end.X > to.x+to.width || end.X < to.x-0.5 {
				t.Errorf("%s: tie %d goes from %v to %v between heads at %v and %v", tt.name, i, start.X, end.X, from.x, to.x)
			}
			bent := start.Y-it.Box.Top > it.Box.Bottom-start.Y
			if bent != tt.above[i] {
				t.Errorf("%s: tie %d bends up: %v", tt.name, i, bent)
			}
			for _, ink := range l.items {
				if ink.Role == RoleHead && ink.Box.Meets(Box{start.X, start.Y - 0.01, end.X, start.Y + 0.01}) {
					t.Errorf("%s: tie %d runs through a head", tt.name, i)
				}
			}
		}
	}
}

// By voice where a staff has two.
func TestTiesOfVoices(t *testing.T) {
	for _, upper := range []bool{true, false} {
		a, b := tone("half", 4), tone("half", 4)
		for _, c := range []*chord{a, b} {
			c.voices, c.upper = 2, upper
		}
		it := only(t, tiesOf(ruled(stood(6, a, b)), notation.Tie{From: 0, To: 10}))
		if above := it.Shape[0].Y < a.heads[0].y; above != upper {
			t.Errorf("upper %v: above %v", upper, above)
		}
	}
}

// Halves of ties: into a head from before, out of one to the edge, and a short
// bow for what is let ring.
func TestHalfTies(t *testing.T) {
	l := ruled(stood(6, tone("half", 2), tone("half", 2)))
	in := only(t, tiesOf(l, notation.Tie{From: -1, To: 0}))
	if h := l.chords[0].heads[0]; in.Box.Left > h.x-0.5 || in.Box.Right < h.x-0.3 || in.Box.Right > h.x+h.width/2 {
		t.Errorf("in: from %v to %v, the head is at %v", in.Box.Left, in.Box.Right, h.x)
	}
	l = ruled(stood(6, tone("half", 2), tone("half", 2)))
	out := only(t, tiesOf(l, notation.Tie{From: 10, To: 99}))
	if out.Box.Right < l.lastBarline()-0.5 || out.Box.Right > l.lastBarline() {
		t.Errorf("out: to %v, the barline is at %v", out.Box.Right, l.lastBarline())
	}
	l = ruled(stood(6, tone("half", 2), tone("half", 2)))
	ring := only(t, tiesOf(l, notation.Tie{From: 0, To: -1}))
	if w := ring.Box.Right - ring.Box.Left; w < 1 || w > 3 || ring.Box.Right > l.chords[1].x {
		t.Errorf("let ring: %v wide", w)
	}
}

// A bow is as thick as it is told, at its ends and in its middle, however steep
// it is.
func TestBowThickness(t *testing.T) {
	for _, rise := range []float64{0, 5, -12} {
		w := bow{a: point{X: 0, Y: 0}, b: point{X: 1, Y: rise/3 - 1}, c: point{X: 3, Y: rise*2/3 - 1}, d: point{X: 4, Y: rise}}
		shape := w.shape(0.1, 0.22)
		outer := bow{point{X: shape[0].X, Y: shape[0].Y}, point{X: shape[1].X1, Y: shape[1].Y1}, point{X: shape[1].X2, Y: shape[1].Y2}, point{X: shape[1].X, Y: shape[1].Y}}
		inner := bow{point{X: shape[3].X, Y: shape[3].Y}, point{X: shape[3].X2, Y: shape[3].Y2}, point{X: shape[3].X1, Y: shape[3].Y1}, point{X: shape[2].X, Y: shape[2].Y}}
		for at, want := range map[float64]float64{0: 0.1, 0.5: 0.22, 1: 0.1} {
			p, q := outer.at(at), inner.at(at)
			if got := math.Hypot(p.X-q.X, p.Y-q.Y); math.Abs(got-want) > 1e-9 {
				t.Errorf("rise %v: %v thick at %v, want %v", rise, got, at, want)
			}
		}
	}
}

// A slur from a grace note ends at the nearest head of its chord, left of it,
// and not at the far side of the stem or beam.
func TestSlurFromGraceNote(t *testing.T) {
	for _, tt := range []struct {
		name  string
		grace int
		main  []int
		at    int // the head that it comes to
	}{
		{"from above", -3, []int{3, 1, -1}, 2},
		{"from below", 9, []int{6, 2}, 0},
		{"one head, stem down", 4, []int{1}, 0},
	} {
		grace, main := tone("eighth", tt.grace), tone("eighth", tt.main...)
		grace.Grace, grace.scale = 1, graceScale
		l := ruled(stood(2, grace, main))
		end := only(t, slurred(l, notation.Slur{From: 0, To: 1})).Shape[2]
		h := main.heads[tt.at]
		if end.X > h.x+0.1 || end.X < h.x-0.5 || math.Abs(end.Y-h.y) > 0.8 {
			t.Errorf("%s: it ends at %v, %v; the head is at %v, %v", tt.name, end.X, end.Y, h.x, h.y)
		}
	}
}

// A slur keeps its side from one system to the next, although the stems on the
// second would have it on the other.
func TestSlurKeepsItsSide(t *testing.T) {
	n := &notation.Score{Staves: 1}
	for i := range int64(4) {
		n.Bars = append(n.Bars, notation.Bar{Number: string('1' + rune(i)), Start: score.R(4*i, 1), Length: score.R(4, 1)})
		pitch := score.Pitch{Step: 'E', Octave: 4} // stem up
		if i == 0 {
			pitch = score.Pitch{Step: 'E', Octave: 5} // stem down
		}
		for k := range int64(4) {
			n.Chords = append(n.Chords, notation.Chord{
				Bar: int(i), At: score.R(4*i+k, 1), Length: score.R(1, 1), Value: notation.Value{Type: "quarter"}, Voice: "1", Staff: 1,
				Notes: []notation.Note{{ID: int(4*i + k), Written: pitch, Staff: 1}},
			})
		}
	}
	n.Slurs = []notation.Slur{{From: 0, To: 15}}
	d := set(n, Options{To: score.R(16, 1), Width: 60})
	if len(d.Systems) < 2 {
		t.Fatalf("%d systems", len(d.Systems))
	}
	var slurs []Item
	for _, it := range d.Items {
		if it.Role == RoleSlur {
			slurs = append(slurs, it)
		}
	}
	if len(slurs) != len(d.Systems) {
		t.Fatalf("%d parts of a slur on %d systems", len(slurs), len(d.Systems))
	}
	for i, it := range slurs {
		for _, head := range d.Items {
			s := d.Systems[i]
			if head.Role == RoleHead && head.Y > s.Top && head.Y < s.Bottom && head.Y < it.Box.Top {
				t.Errorf("on system %d the slur is below its notes", i+1)
			}
		}
	}
}

// Two slurs from chord to chord lie on both sides.
func TestTwinSlurs(t *testing.T) {
	l := ruled(stood(5, tone("half", 6, 2), tone("half", 6, 2)))
	found := slurred(l, notation.Slur{From: 0, To: 1}, notation.Slur{From: 0, To: 1})
	if len(found) != 2 || (found[0].Box.Top < l.chords[0].heads[1].y) == (found[1].Box.Top < l.chords[0].heads[1].y) {
		t.Errorf("both lie on one side: %v", found)
	}
}

// A slur from staff to staff is never higher than its cap, and where an arch
// over or under the notes would run through others it is an S between the staves.
func TestSlurAcrossStaves(t *testing.T) {
	chords := []notation.Chord{
		sounding(t, score.Int(0), "quarter", 1, "C5"), sounding(t, score.Int(1), "quarter", 1, "E6 A6"), sounding(t, score.Int(2), "half", 2, "C4"),
	}
	for at := range int64(2) {
		c := sounding(t, score.Int(at), "quarter", 2, "C2 G2")
		c.Voice = "5"
		chords = append(chords, c)
	}
	n := written(1, chords...)
	last := slices.IndexFunc(n.Chords, func(c notation.Chord) bool { return c.At == score.Int(2) })
	n.Slurs = []notation.Slur{{From: 0, To: last}}
	d := setAll(n)
	slur := only(t, itemsOf(d, RoleSlur))
	if height := (slur.Box.Bottom - slur.Box.Top) / defaultSpace; height > crossCap+12 {
		t.Errorf("the slur is %.1f spaces high", height)
	}
	for _, head := range itemsOf(d, RoleHead) {
		for x := head.Box.Left; x < head.Box.Right; x += 0.1 {
			if top, bottom, ok := slur.over(x, x+0.1); ok && top < head.Box.Bottom-0.1 && head.Box.Top+0.1 < bottom {
				t.Errorf("the slur runs through the head at %v", head.Box)
				break
			}
		}
	}
}
