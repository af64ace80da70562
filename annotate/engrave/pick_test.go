package engrave

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"hardbars/score"
	"hardbars/score/notation"
)

const orange = "#D55E00"

// twoHands is two bars of 4/4: quarters from C5 up in the right hand, whose
// heads are 0 to 7, and in the left a C4 in each half bar over a low one a
// quarter later; heads 10 to 17.
func twoHands() *notation.Score {
	n := &notation.Score{
		Staves: 2,
		Bars: []notation.Bar{
			{Number: "1", Length: score.R(4, 1)},
			{Number: "2", Start: score.R(4, 1), Length: score.R(4, 1)},
		},
		Clefs: []notation.Clef{{Staff: 1, Sign: "G", Line: 2}, {Staff: 2, Sign: "F", Line: 4}},
	}
	for i := range 8 {
		at := score.R(int64(i), 1)
		chord := func(voice string, staff, id int, p score.Pitch) {
			n.Chords = append(n.Chords, notation.Chord{
				Bar: i / 4, At: at, Length: score.R(1, 1), Value: notation.Value{Type: "quarter"}, Voice: voice, Staff: staff,
				Notes: []notation.Note{{ID: id, Written: p, Staff: staff}},
			})
		}
		chord("1", 1, i, score.Pitch{Step: "CDEFGABC"[i], Octave: 5 + i/7})
		if i%2 == 0 {
			chord("5", 2, 10+i, score.Pitch{Step: 'C', Octave: 4})
		} else {
			chord("5", 2, 10+i, score.Pitch{Step: 'C', Octave: 2})
		}
	}
	return n
}

func setPicks(p Picks) *Drawing {
	n := twoHands()
	p.Colour = orange
	return set(n, Options{To: n.Bars[1].End(), Width: 180, Space: 2, Picks: p})
}

// inked are the items of a role, of one note unless it is −1.
func (d *Drawing) inked(r Role, note int) (found []Item) {
	for _, it := range d.Items {
		if it.Role == r && (note < 0 || it.Note == note) {
			found = append(found, it)
		}
	}
	return found
}

// A picked head takes the colour and has a ring around it; all others stay
// black and outside of every ring.
func TestPickedHeads(t *testing.T) {
	d := setPicks(Picks{Notes: []int{1, 13}})
	rings := d.inked(RolePick, -1)
	if len(rings) != 2 {
		t.Fatalf("%d rings around two heads", len(rings))
	}
	for _, h := range d.inked(RoleHead, -1) {
		picked := h.Note == 1 || h.Note == 13
		if (h.Colour == orange) != picked {
			t.Errorf("head %d has the colour %q", h.Note, h.Colour)
		}
		inside := slices.ContainsFunc(rings, func(r Item) bool {
			return r.Box.Left < h.Box.Left && h.Box.Right < r.Box.Right && r.Box.Top < h.Box.Top && h.Box.Bottom < r.Box.Bottom
		})
		touched := slices.ContainsFunc(rings, func(r Item) bool { return r.Box.Meets(h.Box) })
		if inside != picked || touched != picked {
			t.Errorf("head %d: in a ring %v, touched by one %v", h.Note, inside, touched)
		}
	}
	for _, it := range d.Items {
		if it.Role != RolePick && it.Role != RoleHead && it.Colour != "" && it.Note != 1 && it.Note != 13 {
			t.Errorf("%s of note %d has the colour %s", it.Role, it.Note, it.Colour)
		}
	}
}

// The finger of a picked note stays black: small figures are to be read.
func TestPickedFinger(t *testing.T) {
	n := twoHands()
	n.Chords[0].Notes[0].Fingering = []notation.Fingering{{Text: "4"}}
	id := n.Chords[0].Notes[0].ID
	d := set(n, Options{To: n.Bars[1].End(), Width: 180, Picks: Picks{Colour: orange, Notes: []int{id}}})
	fingers := d.inked(RoleFingering, id)
	if len(fingers) != 1 || fingers[0].Colour != "" {
		t.Errorf("the finger is %+v", fingers)
	}
}

// One ring goes around the heads of a chord that stand close, but never around
// one that is not picked.
func TestRingsOfChords(t *testing.T) {
	c := &chord{Chord: &notation.Chord{}, scale: 1}
	for id, pos := range []int{9, 7, 5, -4} { // half spaces below the top line
		c.heads = append(c.heads, head{
			note: &notation.Note{ID: id}, staff: 1, pos: pos, y: float64(pos) / 2, width: 1, glyph: "noteheadBlack",
		})
	}
	for _, test := range []struct{ picked, want [][]int }{
		{[][]int{{0, 1, 2}}, [][]int{{0, 1, 2}}},
		{[][]int{{0, 2}}, [][]int{{0}, {2}}},
		{[][]int{{1, 2, 3}}, [][]int{{1, 2}, {3}}},
		{[][]int{{}}, nil},
	} {
		picked := map[int]bool{}
		for _, id := range test.picked[0] {
			picked[id] = true
		}
		var got [][]int
		for _, r := range ringsOf(c, picked) {
			got = append(got, r.notes)
		}
		if !reflect.DeepEqual(got, test.want) {
			t.Errorf("%v is in the rings %v", test.picked[0], got)
		}
	}
}

// An upright line goes through the middle of the heads that strike, in both
// hands, from above all ink to the lowest staff; its sign tells who strikes by
// where its tips are.
func TestGrid(t *testing.T) {
	d := setPicks(Picks{Notes: []int{0, 10}, Grid: []Tick{
		{At: score.R(0, 1), Right: true, Left: true}, {At: score.R(1, 1), Right: true}, {At: score.R(3, 2), Left: true},
	}})
	var lines, signs []Item
	for _, it := range d.inked(RolePick, -1) {
		if it.Stroke != nil {
			lines = append(lines, it)
		} else {
			signs = append(signs, it)
		}
	}
	if len(lines) != 3 || len(signs) != 3 {
		t.Fatalf("%d lines and %d signs for three attacks; a ring besides would be too much", len(lines), len(signs))
	}
	slices.SortFunc(lines, func(a, b Item) int { return int(math.Copysign(1, a.Stroke.X1-b.Stroke.X1)) })
	for i, notes := range [][]int{{0, 10}, {1, 11}} {
		for _, note := range notes {
			h := d.inked(RoleHead, note)[0].Box
			if mid := (h.Left + h.Right) / 2; math.Abs(mid-lines[i].Stroke.X1) > 0.05 {
				t.Errorf("line %d stands at %.2f, head %d at %.2f", i, lines[i].Stroke.X1, note, mid)
			}
		}
	}
	low := d.inked(RoleStaff, -1)
	last := low[len(low)-1].Stroke.Y1
	for i, line := range lines {
		if line.Stroke.X1 != line.Stroke.X2 || line.Stroke.Dash <= 0 || line.Stroke.Y2 < last-0.1 {
			t.Errorf("line %d: %+v does not reach the last line at %.2f", i, *line.Stroke, last)
		}
		if signs[i].Box.Bottom > line.Stroke.Y1 {
			t.Errorf("line %d begins inside its sign", i)
		}
	}
	height := func(it Item) float64 { return it.Box.Bottom - it.Box.Top }
	if both, right := height(signs[0]), height(signs[1]); math.Abs(both-2*right) > 1e-6 {
		t.Errorf("the sign of both is %.2f high, of one %.2f", both, right)
	}
	if signs[1].Box.Bottom > signs[2].Box.Top+1e-6 {
		t.Errorf("the right hand's sign at %v is not above the left's at %v", signs[1].Box, signs[2].Box)
	}
	tip := func(it Item) (y float64) { // the corner at the middle
		for _, s := range it.Shape {
			if math.Abs(s.X-(it.Box.Left+it.Box.Right)/2) < 1e-6 {
				y = s.Y
			}
		}
		return y
	}
	if tip(signs[1]) != signs[1].Box.Top || tip(signs[2]) != signs[2].Box.Bottom {
		t.Error("the right hand's sign points up, the left's down")
	}
	if lines[2].Stroke.X1 <= lines[1].Stroke.X1 {
		t.Error("an attack between two columns stands between them")
	}
}

// An arrow goes from head to head, its label stands clear of all other ink.
func TestLeap(t *testing.T) {
	d := setPicks(Picks{Notes: []int{10, 11}, Leaps: []Leap{{From: 10, To: 11, Label: "24 semitones, 329 mm"}}})
	from, to := d.inked(RoleHead, 10)[0].Box, d.inked(RoleHead, 11)[0].Box
	var shaft *Stroke
	var label Item
	for _, it := range d.inked(RolePick, -1) {
		if it.Stroke != nil {
			shaft = it.Stroke
		}
		if it.Text != "" {
			label = it
		}
	}
	if shaft == nil {
		t.Fatal("no straight arrow between two heads with nothing between")
	}
	if !(from.Right < shaft.X1 && shaft.X1 < shaft.X2 && shaft.X2 < to.Left) || shaft.Y1 >= shaft.Y2 {
		t.Errorf("the arrow from %v to %v is %+v", from, to, *shaft)
	}
	if label.Text != "24 semitones, 329 mm" || label.Colour != "" {
		t.Errorf("its label is %q in %q", label.Text, label.Colour)
	}
	for _, it := range d.Items {
		if it.Text != label.Text && it.Box.Meets(label.Box) {
			t.Errorf("the label lies on %s %s", it.Role, it.Glyph)
		}
	}
}

// Where ink is in the way, the arrow bends around it and still points at the
// head that is reached.
func TestLeapAroundInk(t *testing.T) {
	d := setPicks(Picks{Leaps: []Leap{{From: 0, To: 4}}})
	var tip Segment
	for _, it := range d.inked(RolePick, -1) {
		if it.Stroke != nil {
			t.Fatalf("a straight arrow through the notes between: %+v", *it.Stroke)
		}
		if len(it.Shape) == 3 {
			tip = it.Shape[0]
		}
		for i, s := range it.Shape {
			for step := 0; s.Op == 'C' && step <= 50; step++ {
				k, a := float64(step)/50, it.Shape[i-1]
				x, y := bezier(a.X, s.X1, s.X2, s.X, k), bezier(a.Y, s.Y1, s.Y2, s.Y, k)
				for _, h := range d.inked(RoleHead, -1) {
					if h.Box.Meets(Box{x, y, x + 0.01, y + 0.01}) {
						t.Errorf("the arrow goes over head %d at %.2f, %.2f", h.Note, x, y)
					}
				}
			}
		}
	}
	to := d.inked(RoleHead, 4)[0].Box
	if tip.X < to.Left || tip.X > to.Right || tip.Y > to.Top {
		t.Errorf("its tip is at %.2f, %.2f, the head at %v", tip.X, tip.Y, to)
	}
}

// Leaps in a row all have arrows, but labels only where one row of them has
// room, and the widest leap has its own first.
func TestLabelsOfManyLeaps(t *testing.T) {
	var leaps []Leap
	for i := range 7 {
		leaps = append(leaps, Leap{From: 10 + i, To: 11 + i, Label: "24 semitones, 329 mm"})
	}
	leaps = append(leaps, Leap{From: 2, To: 3, Label: "right"})
	d := setPicks(Picks{Leaps: leaps})
	heads := 0
	var labels []Item
	for _, it := range d.inked(RolePick, -1) {
		if len(it.Shape) == 3 {
			heads++
		}
		if it.Text != "" {
			labels = append(labels, it)
		}
	}
	if heads != len(leaps) || len(labels) < 2 || len(labels) >= len(leaps) {
		t.Errorf("%d arrows and %d labels for %d leaps", heads, len(labels), len(leaps))
	}
	for i, a := range labels {
		for _, b := range labels[:i] {
			if a.Staff == b.Staff && a.Box.Left < b.Box.Right && b.Box.Left < a.Box.Right {
				t.Errorf("labels stand over one another: %v, %v", a.Box, b.Box)
			}
		}
	}
	n := twoHands()
	n.Chords[3].Notes[0].Written = score.Pitch{Step: 'C', Octave: 4} // the second left chord: a narrow leap to it
	d = set(n, Options{To: n.Bars[1].End(), Width: 180, Picks: Picks{Colour: orange, Leaps: []Leap{
		{From: 10, To: 11, Label: "a long text for no leap at all"}, {From: 12, To: 13, Label: "a long text for a wide leap"},
	}}})
	for _, it := range d.inked(RolePick, -1) {
		if it.Text != "" && it.Text != "a long text for a wide leap" {
			t.Errorf("%q stands where the wider leap's label has no room", it.Text)
		}
	}
}

// A long run has one comb with a tooth at each chord instead of rings.
func TestComb(t *testing.T) {
	d := setPicks(Picks{Notes: []int{1, 2, 3, 4, 5, 6}})
	var level *Stroke
	var teeth []float64
	for _, it := range d.inked(RolePick, -1) {
		switch s := it.Stroke; {
		case s == nil:
			t.Errorf("a ring at %v besides", it.Box)
		case s.Y1 == s.Y2:
			level = s
		default:
			teeth = append(teeth, s.X1)
		}
	}
	if level == nil || len(teeth) != 6 {
		t.Fatalf("the comb %v with %d teeth for six notes", level, len(teeth))
	}
	for i, x := range teeth {
		h := d.inked(RoleHead, i+1)[0].Box
		if math.Abs(x-(h.Left+h.Right)/2) > 0.01 || x < level.X1 || x > level.X2 || h.Top < level.Y1 {
			t.Errorf("tooth %d at %.2f of a comb from %.2f to %.2f, the head at %v", i, x, level.X1, level.X2, h)
		}
	}
	if got := setPicks(Picks{Notes: []int{0, 1, 2, 4, 5, 6}}); len(got.inked(RolePick, -1)) != 6 {
		t.Errorf("%d marks for six notes with one between that is not picked, not six rings", len(got.inked(RolePick, -1)))
	}
}

// bezier is de Casteljau's construction of a point of a curve.
func bezier(a, b, c, d, t float64) float64 {
	mix := func(p, q float64) float64 { return p + (q-p)*t }
	ab, bc, cd := mix(a, b), mix(b, c), mix(c, d)
	return mix(mix(ab, bc), mix(bc, cd))
}

// The bar of a held note goes from its first head to where the note ends, and
// each pedal change has its sign under it, at its time.
func TestHeld(t *testing.T) {
	d := setPicks(Picks{Notes: []int{10}, Held: []Held{{
		Notes: []int{10}, Changes: []score.Rat{score.R(1, 1), score.R(3, 1)}, Until: score.R(5, 1),
	}}})
	var bar *Stroke
	var signs []Box
	for _, it := range d.inked(RolePick, -1) {
		switch {
		case it.Stroke != nil && it.Stroke.Y1 == it.Stroke.Y2:
			bar = it.Stroke
		case it.Shape != nil:
			signs = append(signs, it.Box)
		}
	}
	if bar == nil || len(signs) != 2 {
		t.Fatalf("the bar %v, %d changes", bar, len(signs))
	}
	at := func(note int) Box { return d.inked(RoleHead, note)[0].Box }
	if math.Abs(bar.X1-at(10).Left) > 0.1 || bar.X2 < at(14).Right || bar.X2 > at(15).Left {
		t.Errorf("the bar goes from %.2f to %.2f; the note from %.2f to %.2f", bar.X1, bar.X2, at(10).Left, at(15).Left)
	}
	for i, note := range []int{11, 13} {
		mid := (signs[i].Left + signs[i].Right) / 2
		if math.Abs(mid-at(note).Left) > 0.1 || signs[i].Top < bar.Y1 {
			t.Errorf("the change at note %d is at %v, under a bar at %.2f", note, signs[i], bar.Y1)
		}
	}
}

// What is picked out moves no note and drops none: the music is the same but
// for its colour and its height on the page.
func TestPicksLeaveTheMusicAlone(t *testing.T) {
	plain := setPicks(Picks{})
	full := setPicks(Picks{
		Notes: []int{0, 1, 2, 10, 11}, Grid: []Tick{{At: score.R(0, 1), Left: true}}, Leaps: []Leap{{From: 1, To: 2, Label: "2 semitones"}},
		Held: []Held{{Notes: []int{12}, Until: score.R(8, 1)}},
	})
	var music []Item
	for _, it := range full.Items {
		if it.Role != RolePick {
			music = append(music, it)
		}
	}
	if len(music) != len(plain.Items) {
		t.Fatalf("%d marks of music, %d without picks", len(music), len(plain.Items))
	}
	down := music[0].Box.Top - plain.Items[0].Box.Top
	for i, it := range plain.Items {
		got := music[i]
		if got.Role != it.Role || got.Glyph != it.Glyph || math.Abs(got.Box.Left-it.Box.Left) > 1e-9 || math.Abs(got.Box.Top-down-it.Box.Top) > 1e-9 {
			t.Errorf("%s %s of note %d is at %v with picks, at %v without", it.Role, it.Glyph, it.Note, got.Box, it.Box)
		}
	}
	for _, it := range full.Items {
		if b := it.Box; b.Left < 0 || b.Top < 0 || b.Right > full.Width || b.Bottom > full.Height {
			t.Errorf("%s at %v is outside a drawing of %.1f × %.1f", it.Role, b, full.Width, full.Height)
		}
	}
}

// A leap to or from another system, a tick or a held note outside, and heads
// that are not in the score draw what there is, without a panic.
func TestPicksBeyondTheSystem(t *testing.T) {
	n := twoHands()
	for _, p := range []Picks{
		{Leaps: []Leap{{From: 3, To: 4, Label: "2 semitones"}}},
		{Leaps: []Leap{{From: 14, To: 13, Label: "back"}}},
		{Leaps: []Leap{{From: 99, To: 98}}, Notes: []int{99}},
		{Held: []Held{{Notes: []int{10}, Until: score.R(8, 1), Changes: []score.Rat{score.R(6, 1)}}}},
		{Held: []Held{{Notes: []int{99}, Until: score.R(1, 1)}}},
		{Grid: []Tick{{At: score.R(9, 1), Left: true}}},
	} {
		p.Colour = orange
		for bar := range n.Bars {
			d := set(n, Options{From: n.Bars[bar].Start, To: n.Bars[bar].End(), Width: 90, Picks: p})
			for _, it := range d.inked(RolePick, -1) {
				if b := it.Box; math.IsNaN(b.Left+b.Top) || b.Left < -0.01 || b.Right > d.Width+0.01 || b.Top < -0.01 || b.Bottom > d.Height+0.01 {
					t.Errorf("bar %d: %+v is outside the drawing", bar+1, b)
				}
			}
		}
	}
}
