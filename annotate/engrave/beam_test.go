package engrave

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"hardbars/annotate/smufl"
	"hardbars/score"
	"hardbars/score/notation"
)

// tone is a chord for tests: its value, the places of its heads from the lowest
// note up (half spaces below the top line), on staff 1 in voice "1" until told
// otherwise.
func tone(value string, pos ...int) *chord {
	kind, dots, _ := strings.Cut(value, ".")
	c := &chord{Chord: &notation.Chord{Staff: 1, Voice: "1", Value: notation.Value{Type: kind}}, scale: 1, voices: 1}
	if kind != value {
		c.Value.Dots = len(dots) + 1
	}
	glyph := map[string]string{"half": "noteheadHalf", "whole": "noteheadWhole"}[kind]
	if glyph == "" {
		glyph = "noteheadBlack"
	}
	for _, p := range pos {
		c.Notes = append(c.Notes, notation.Note{Staff: 1})
		c.heads = append(c.heads, head{note: &notation.Note{Staff: 1}, pos: p, staff: 1, glyph: glyph})
	}
	return c
}

// on puts a chord on another staff.
func (c *chord) on(staff int) *chord {
	c.Staff = staff
	for i := range c.heads {
		c.heads[i].staff = staff
	}
	return c
}

// stood is a layout of chords one after the other, apart from each other by the
// space given, on staves whose top lines are twelve spaces apart.
func stood(apart float64, chords ...*chord) *layout {
	l := &layout{font: smufl.Bravura(), score: &notation.Score{Staves: 2}, width: 200, top: []float64{0, 12}, index: map[int]*chord{}}
	for _, top := range l.top {
		l.above = append(l.above, newSkyline(true, l.width, top))
		l.below = append(l.below, newSkyline(false, l.width, top+4))
	}
	at := score.Rat{}
	for i, c := range chords {
		c.index, c.x, c.At = i, 5+float64(i)*apart, at
		if c.Grace == 0 {
			c.Length = score.R(1, 1<<max(0, flagsOf(c.Value)))
			if c.Value.Dots > 0 {
				c.Length = c.Length.Mul(score.R(3, 2))
			}
			at = at.Add(c.Length)
		}
		for k := range c.heads {
			h := &c.heads[k]
			h.x, h.y = c.x, l.top[h.staff-1]+float64(h.pos)/2
			if h.glyph != "" {
				h.width = l.font.Glyph(h.glyph).Box.Right * c.scale
			}
		}
		for _, h := range c.heads {
			l.add(Item{Role: RoleHead, Chord: i, Staff: h.staff, Glyph: h.glyph, X: h.x, Y: h.y, Scale: c.scale})
		}
		l.chords, l.index[i] = append(l.chords, c), c
		l.score.Chords = append(l.score.Chords, *c.Chord)
	}
	l.to = at
	l.directions()
	l.stems()
	return l
}

// beamedAll gives chords the words of one beam, with secondary beams by rule.
func beamedAll(chords ...*chord) []*chord {
	for i, c := range chords {
		c.Beams = []string{"continue"}
		switch i {
		case 0:
			c.Beams[0] = "begin"
		case len(chords) - 1:
			c.Beams[0] = "end"
		}
	}
	return chords
}

// inked is the items of a role.
func (l *layout) inked(r Role) (found []Item) {
	for _, it := range l.items {
		if it.Role == r {
			found = append(found, it)
		}
	}
	return found
}

// length is how long a stem is, from the middle of the head next to its end.
func (c *chord) length() float64 { return (c.stemEnd - c.near().y) * c.dir() }

func closeTo(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

// Common practice: towards the middle line by the farthest head, on it down; by
// voice where there are two; as the file says before all.
func TestStemDirections(t *testing.T) {
	low := func(c *chord, change func(*chord)) *chord { change(c); return c }
	for _, tt := range []struct {
		name string
		c    *chord
		up   bool
	}{
		{"low", tone("quarter", 7), true},
		{"high", tone("quarter", 1), false},
		{"on the middle line", tone("quarter", 4), false},
		{"the farthest head decides", tone("quarter", 9, 1), true},
		{"as far above as below", tone("quarter", 6, 2), false},
		{"as far, but more of them below", tone("quarter", 8, 6, 0), true},
		{"the upper voice keeps its stems up", low(tone("quarter", -3), func(c *chord) { c.voices, c.upper = 2, true }), true},
		{"the lower voice keeps its stems down", low(tone("quarter", 11), func(c *chord) { c.voices = 2 }), false},
		{"grace notes go up", low(tone("eighth", 0), func(c *chord) { c.Grace, c.scale = 1, 0.65 }), true},
		{"the file decides", low(tone("quarter", 11), func(c *chord) { c.Stem, c.voices, c.upper = notation.StemDown, 2, true }), false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			stood(4, tt.c)
			if tt.c.up != tt.up {
				t.Errorf("up = %v, want %v", tt.c.up, tt.up)
			}
		})
	}
}

// Common practice: an octave, to the middle line where the head is beyond it,
// shorter where the stem leaves the staff.
func TestStemLengths(t *testing.T) {
	low := tone("quarter", 15)
	stood(4, low)
	if !closeTo(low.stemEnd, 2) {
		t.Errorf("the stem of a head far below the staff ends at %v, not on the middle line", low.stemEnd)
	}
	inside := tone("quarter", 7)
	stood(4, inside)
	if !closeTo(inside.length(), 3.5) {
		t.Errorf("a stem inside the staff is %v long", inside.length())
	}
	out := tone("quarter", -3)
	out.Stem = notation.StemUp
	stood(4, out)
	if n := out.length(); n >= 3.5 || n < 2.5 {
		t.Errorf("a stem that leaves the staff is %v long", n)
	}
	grace := tone("eighth", 7)
	grace.Grace, grace.scale = 1, 0.65
	stood(4, grace)
	if n := grace.length(); n < 2 || n > 2.5 {
		t.Errorf("the stem of a grace note is %v long", n)
	}
	for value, stemless := range map[string]bool{"whole": true, "breve": true, "half": false} {
		c := tone(value, 7)
		l := stood(4, c)
		if got := len(l.inked(RoleStem)) == 0; got != stemless {
			t.Errorf("a %s note without a stem: %v", value, got)
		}
	}
}

// The anchors are those of Bravura's metadata: stemUpSE 1.18 0.168, stemDownNW
// 0 −0.168 of a black head; the font's stem is 0.12 thick.
func TestStemsMeetTheirHeads(t *testing.T) {
	for _, tt := range []struct {
		pos   int
		edge  float64 // of the stem that meets the head's edge
		stemY float64
	}{{7, 1.18, -0.168}, {1, 0, 0.168}} {
		c := tone("quarter", tt.pos)
		l := stood(4, c)
		s := l.inked(RoleStem)[0].Stroke
		if got := s.X1 + 0.06*-c.dir() - c.x; !closeTo(got, tt.edge) {
			t.Errorf("pos %d: the stem's outer edge stands at %v, want %v", tt.pos, got, tt.edge)
		}
		if got := s.Y1 - c.heads[0].y; !closeTo(got, tt.stemY) {
			t.Errorf("pos %d: the stem leaves its head at %v, want %v", tt.pos, got, tt.stemY)
		}
		if !closeTo(s.Width, 0.12) {
			t.Errorf("the stem is %v thick", s.Width)
		}
	}
}

// Anchors of the flags in Bravura's metadata: stemUpNW of flag8thUp 0 −0.04, of
// flag32ndUp 0 0.376; stemDownSW of flag8thDown 0 0.132, upwards there.
func TestFlagsHangFromTheirStems(t *testing.T) {
	for _, tt := range []struct {
		value, glyph string
		pos          int
		anchor       float64 // downwards
	}{
		{"eighth", "flag8thUp", 7, 0.04}, {"eighth", "flag8thDown", 1, -0.132}, {"32nd", "flag32ndUp", 7, -0.376},
	} {
		c := tone(tt.value, tt.pos)
		l := stood(4, c)
		flags := l.inked(RoleFlag)
		if len(flags) != 1 || flags[0].Glyph != tt.glyph {
			t.Fatalf("%s at %d: flags %v", tt.value, tt.pos, flags)
		}
		if got := c.stemEnd - flags[0].Y; !closeTo(got, tt.anchor) {
			t.Errorf("%s: the stem ends %v below the flag's origin, want %v", tt.glyph, got, tt.anchor)
		}
		if got := c.stemX - flags[0].X; !closeTo(got, 0.06) {
			t.Errorf("%s: the flag stands %v left of the stem's middle", tt.glyph, got)
		}
	}
}

// Common practice.
func TestSlopes(t *testing.T) {
	for _, tt := range []struct {
		name string
		pos  []int
		want float64 // sign of y2−y1
	}{
		{"same pitch", []int{6, 6, 6, 6}, 0},
		{"rising", []int{9, 8, 7, 6}, -1},
		{"falling", []int{-1, 0, 1, 2}, 1},
		{"one between is nearest to the beam", []int{8, 5, 8, 7}, 0},
		{"round the same notes", []int{9, 6, 9, 6}, 0},
	} {
		var chords []*chord
		for _, p := range tt.pos {
			chords = append(chords, tone("eighth", p))
		}
		stood(3.5, beamedAll(chords...)...)
		b := chords[0].beam
		if rise := b.y2 - b.y1; math.Abs(rise) > steepest || tt.want != 0 && rise*tt.want <= 0 || tt.want == 0 && rise != 0 {
			t.Errorf("%s: the beam goes from %v to %v", tt.name, b.y1, b.y2)
		}
	}
}

// In any beam: every stem is long enough for its beams and ends on one, its
// beams are as many as its value has, none comes near a head of the group, and
// the slope stays within what a width allows.
func TestBeamsOfAnyGroup(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		chords := randomGroup(rnd)
		l := stood(2+rnd.Float64()*3, chords...)
		b := chords[0].beam
		if b == nil {
			t.Fatal("a group without a beam")
		}
		if rise := math.Abs(b.y2 - b.y1); rise > steepest || rise > max(0.25, (b.x2-b.x1)*gradient) {
			t.Fatalf("a beam rises %v over %v", rise, b.x2-b.x1)
		}
		beams := l.inked(RoleBeam)
		for _, c := range chords {
			if c.length() < l.leastLength(c)*c.scale-1e-6 {
				t.Fatalf("a stem %v long under %d beams", c.length(), beamsOf(c))
			}
			if n := meeting(beams, c.stemX); n < flagsOf(c.Value) || n == 0 {
				t.Fatalf("%d beams at the stem of a %s", n, c.Value.Type)
			}
			for _, it := range beams {
				top, bottom, ok := edges(it.Shape, c.stemX)
				if ok && bottom > c.heads[len(c.heads)-1].y-0.5 && top < c.heads[0].y+0.5 {
					t.Fatalf("a beam from %v to %v at a head on %v", top, bottom, c.heads[0].y)
				}
			}
		}
	}
}

// randomGroup is two to eight chords under one beam, on one staff, anywhere a
// piano score writes.
func randomGroup(rnd *rand.Rand) []*chord {
	values := []string{"eighth", "16th", "32nd"}
	var chords []*chord
	pos := rnd.IntN(24) - 8
	for range 2 + rnd.IntN(7) {
		pos = max(-10, min(pos+rnd.IntN(9)-4, 18))
		c := tone(values[rnd.IntN(len(values))], pos)
		if rnd.IntN(4) == 0 {
			c = tone(values[0], pos, pos-2, pos-5)
		}
		chords = append(chords, c)
	}
	return beamedAll(chords...)
}

// edges is a beam's top and bottom at x.
func edges(s []Segment, x float64) (top, bottom float64, ok bool) {
	x1, x2 := s[0].X, s[1].X
	if x < x1-1e-9 || x > x2+1e-9 {
		return 0, 0, false
	}
	part := (x - x1) / (x2 - x1)
	return s[0].Y + (s[1].Y-s[0].Y)*part, s[3].Y + (s[2].Y-s[3].Y)*part, true
}

// meeting is how many beams there are at x.
func meeting(beams []Item, x float64) (n int) {
	for _, it := range beams {
		if _, _, ok := edges(it.Shape, x); ok {
			n++
		}
	}
	return n
}

// A hook points inwards at the ends of a group, and as the file says inside it;
// where it says nothing, to the note it fills a beat with.
func TestHooks(t *testing.T) {
	for _, tt := range []struct {
		name   string
		values []string
		words  []string // of the second level
		at     int      // the chord with the hook
		back   bool
	}{
		{"dotted first", []string{"eighth.", "16th"}, nil, 1, true},
		{"short first", []string{"16th", "eighth."}, nil, 0, false},
		{"between two dotted notes it completes the first", []string{"16th.", "32nd", "16th.", "32nd"}, []string{"begin", "continue", "continue", "end"}, 1, true},
		{"before a dotted note", []string{"eighth", "16th", "eighth.", "eighth"}, []string{"", "backward hook"}, 1, false},
		{"the file: back", []string{"eighth", "16th", "eighth"}, []string{"", "backward hook", ""}, 1, true},
		{"the file: forward", []string{"eighth", "16th", "eighth"}, []string{"", "forward hook", ""}, 1, false},
		{"a broken secondary beam", []string{"16th", "16th"}, []string{"forward hook", "backward hook"}, 1, true},
	} {
		var chords []*chord
		for _, v := range tt.values {
			chords = append(chords, tone(v, 7))
		}
		beamedAll(chords...)
		for i, w := range tt.words {
			if w != "" {
				chords[i].Beams = append(chords[i].Beams, w)
			}
		}
		l := stood(4, chords...)
		c := chords[tt.at]
		var hook *Item
		for _, it := range l.inked(RoleBeam)[1:] {
			if _, _, ok := edges(it.Shape, c.stemX); ok {
				hook = &it
			}
		}
		if hook == nil {
			t.Errorf("%s: no hook", tt.name)
			continue
		}
		if mid := (hook.Shape[0].X + hook.Shape[1].X) / 2; (mid < c.stemX) != tt.back {
			t.Errorf("%s: the hook lies around %v, its stem stands at %v", tt.name, mid, c.stemX)
		}
		if w := hook.Shape[1].X - hook.Shape[0].X; w > hookLength+0.1 {
			t.Errorf("%s: the hook is %v long", tt.name, w)
		}
	}
}

// A beam from both staves lies between their heads, with a stem's length to
// each side.
func TestBeamsBetweenTheStaves(t *testing.T) {
	chords := beamedAll(tone("16th", 2), tone("16th", 5).on(2), tone("16th", 4), tone("16th", 3).on(2))
	l := stood(3, chords...)
	for _, c := range chords {
		if c.up != (c.Staff == 2) {
			t.Errorf("staff %d: up = %v", c.Staff, c.up)
		}
		if c.length() < shortestStem {
			t.Errorf("staff %d: a stem %v long", c.Staff, c.length())
		}
		if n := meeting(l.inked(RoleBeam), c.stemX); n != 2 {
			t.Errorf("%d beams at a sixteenth", n)
		}
	}
	if b := chords[0].beam; b.y1 < 2 || b.y1 > 13.5 {
		t.Errorf("the beam begins at %v", b.y1)
	}
}

// Of any group from both staves the stems are long enough, and the beams lie
// between the heads.
func TestAnyBeamBetweenTheStaves(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for range 1000 {
		values := []string{"eighth", "16th"}
		chords := []*chord{tone(values[rnd.IntN(2)], rnd.IntN(9)), tone(values[rnd.IntN(2)], rnd.IntN(9)).on(2)}
		for range rnd.IntN(6) {
			chords = append(chords, tone(values[rnd.IntN(2)], rnd.IntN(9)).on(1+rnd.IntN(2)))
		}
		rnd.Shuffle(len(chords), func(i, j int) { chords[i], chords[j] = chords[j], chords[i] })
		l := stood(2.5+rnd.Float64()*3, beamedAll(chords...)...)
		for _, c := range chords {
			if c.length() < l.leastLength(c)-1e-6 {
				t.Fatalf("a stem %v long", c.length())
			}
			if n := meeting(l.inked(RoleBeam), c.stemX); n < flagsOf(c.Value) {
				t.Fatalf("%d beams at a %s", n, c.Value.Type)
			}
		}
		for _, it := range l.inked(RoleBeam) {
			if it.Box.Top < 0.5 || it.Box.Bottom > 15.5 {
				t.Fatalf("a beam from %v to %v", it.Box.Top, it.Box.Bottom)
			}
		}
	}
}

// A beam that the system cuts reaches beyond its last stem there, and only
// there.
func TestBeamsThatAreCut(t *testing.T) {
	chords := beamedAll(tone("eighth", 7), tone("eighth", 6), tone("eighth", 5))
	l := stood(4, chords...)
	l.from = chords[1].At
	l.chords, l.items = l.chords[1:], nil
	l.directions()
	l.stems()
	beams := l.inked(RoleBeam)
	if len(beams) != 1 {
		t.Fatalf("%d beams", len(beams))
	}
	s := beams[0].Shape
	if s[0].X > chords[1].stemX-1 || !closeTo(s[1].X, chords[2].stemX+0.06) {
		t.Errorf("the beam goes from %v to %v, stems at %v and %v", s[0].X, s[1].X, chords[1].stemX, chords[2].stemX)
	}
}
