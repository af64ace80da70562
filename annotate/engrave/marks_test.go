package engrave

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"hardbars/score"
	"hardbars/score/notation"
)

// marked gives a chord marks by their names, for their side by rule.
func (c *chord) marked(names ...string) *chord {
	for _, name := range names {
		c.Marks = append(c.Marks, notation.Mark{Name: name})
	}
	return c
}

// middleOf is the middle of an item's ink.
func middleOf(it Item) point {
	return point{X: (it.Box.Left + it.Box.Right) / 2, Y: (it.Box.Top + it.Box.Bottom) / 2}
}

// Common practice: away from the stem, within the staff in the next space that
// leaves air, and an accent outside the staff; a strong accent above.
func TestArticulationPlaces(t *testing.T) {
	for _, tt := range []struct {
		name  string
		c     *chord
		glyph string
		pos   float64 // of its middle, in half spaces below the top line
	}{
		{"a dot over a head in a space", tone("quarter", 3).marked("staccato"), "articStaccatoAbove", 1},
		{"a dot over a head on a line", tone("quarter", 4).marked("staccato"), "articStaccatoAbove", 1},
		{"a dot under a head in a space", tone("quarter", 5).marked("staccato"), "articStaccatoBelow", 7},
		{"a dot under a head on a line", tone("quarter", 6).marked("tenuto"), "articTenutoBelow", 9},
		{"a dot over the top line", tone("quarter", 0).marked("staccato"), "articStaccatoAbove", -2},
		{"a dot under a chord", tone("quarter", 11, 7).marked("staccato"), "articStaccatoBelow", 13},
	} {
		t.Run(tt.name, func(t *testing.T) {
			l := stood(4, tt.c)
			l.closeMarks()
			marks := l.inked(RoleMark)
			if len(marks) != 1 || marks[0].Glyph != tt.glyph {
				t.Fatalf("marks %v, want one %s", marks, tt.glyph)
			}
			if at := middleOf(marks[0]); !closeTo(at.Y, tt.pos/2) || !closeTo(at.X, tt.c.centre()) {
				t.Errorf("at %v, want %v, %v", at, tt.c.centre(), tt.pos/2)
			}
		})
	}
	for _, c := range []*chord{tone("quarter", 7).marked("accent"), tone("quarter", 2).marked("accent"), tone("half", 6).marked("strong-accent")} {
		l := stood(4, c)
		l.closeMarks()
		box := l.inked(RoleMark)[0].Box
		below := c.up && c.Marks[0].Name == "accent"
		if below && box.Top < 4 || !below && box.Bottom > 0 {
			t.Errorf("%s at %v: within the staff or on the wrong side", c.Marks[0].Name, box)
		}
	}
}

// Of two voices that sound together the marks stand outside; a voice alone in
// its place has them at its heads (common practice).
func TestMarksOfTwoVoices(t *testing.T) {
	up, down := tone("quarter", 3).marked("staccato", "fermata"), tone("quarter", 6).marked("accent", "trill-mark")
	up.voices, up.upper, down.voices = 2, true, 2
	down.Voice = "2"
	l := stood(0, up, down)
	down.At, down.Length = up.At, up.Length
	l.closeMarks()
	l.farMarks()
	for _, it := range l.inked(RoleMark) {
		outside := it.Box.Bottom < up.stemEnd+1e-9
		if it.Chord == down.index {
			outside = it.Box.Top > down.stemEnd-1e-9
		}
		if !outside {
			t.Errorf("%s at %v is not outside the voices", it.Glyph, it.Box)
		}
	}
	alone := tone("quarter", 6).marked("staccato")
	alone.voices = 2
	l = stood(4, alone)
	l.closeMarks()
	if at := middleOf(l.inked(RoleMark)[0]); at.Y > alone.heads[0].y {
		t.Errorf("the dot of a voice alone stands at its stem: %v", at)
	}
}

// Common practice: from the head outwards a dot, a dash, an accent, a wedge;
// then the finger, the ornament, and the fermata outside of all.
func TestMarksFromTheHeadOutwards(t *testing.T) {
	c := tone("quarter", 1).marked("fermata", "strong-accent", "turn", "accent", "tenuto", "staccato")
	c.heads[0].note.Fingering = []notation.Fingering{{Text: "4"}}
	c.Hand = score.Right
	l := stood(4, c)
	l.closeMarks()
	l.farMarks()
	var glyphs []string
	last := c.heads[0].y
	for _, it := range l.items {
		if it.Role != RoleMark && it.Role != RoleFingering {
			continue
		}
		glyphs = append(glyphs, it.Glyph)
		if it.Box.Bottom >= last {
			t.Errorf("%s at %v is not beyond what comes before it, at %v", it.Glyph, it.Box, last)
		}
		last = it.Box.Top
	}
	want := []string{"articStaccatoAbove", "articTenutoAbove", "articAccentAbove", "articMarcatoAbove", "fingering4", "ornamentTurn", "fermataAbove"}
	if !slices.Equal(glyphs, want) {
		t.Errorf("%v, want %v", glyphs, want)
	}
}

// The fingers of a chord stand in the order of its heads, above for the right
// hand and below for the left; those of one head side by side.
func TestFingeringOfChords(t *testing.T) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		c := tone("quarter", 8, 4, 1)
		c.Hand = hand
		for i, text := range []string{"1", "2", "5"} {
			c.heads[i].note.Fingering = []notation.Fingering{{Text: text}}
		}
		l := stood(4, c)
		l.closeMarks()
		y := map[string]float64{}
		for _, it := range l.inked(RoleFingering) {
			y[it.Glyph] = middleOf(it).Y
			if above := it.Box.Bottom < 0; above != (hand == score.Right) {
				t.Errorf("hand %v: %s at %v", hand, it.Glyph, it.Box)
			}
		}
		if !(y["fingering5"] < y["fingering2"] && y["fingering2"] < y["fingering1"]) {
			t.Errorf("hand %v: fingers from top to bottom at %v", hand, y)
		}
	}
	c := tone("quarter", 1)
	c.Hand = score.Right
	c.heads[0].note.Fingering = []notation.Fingering{{Text: "3-1"}, {Text: "2"}}
	l := stood(4, c)
	l.closeMarks()
	var row []string
	right := math.Inf(-1)
	for _, it := range l.inked(RoleFingering) {
		row = append(row, it.Glyph)
		if it.Box.Left < right-0.1 {
			t.Errorf("%s lies on the figure before it", it.Glyph)
		}
		right = it.Box.Right
	}
	if want := []string{"fingering3", "fingeringSubstitutionDash", "fingering1", "fingering2"}; !slices.Equal(row, want) {
		t.Errorf("%v, want %v", row, want)
	}
}

// An ornament has its accidentals above and below, centred and small.
func TestOrnamentAccidentals(t *testing.T) {
	c := tone("quarter", 3)
	c.Marks = []notation.Mark{{Name: "turn", AboveIt: "sharp", BelowIt: "natural"}}
	l := stood(4, c)
	l.farMarks()
	box := map[string]Item{}
	for _, it := range l.inked(RoleMark) {
		box[it.Glyph] = it
		if !closeTo(middleOf(it).X, c.centre()) {
			t.Errorf("%s is not centred: %v", it.Glyph, it.Box)
		}
	}
	sharp, turn, natural := box["accidentalSharp"], box["ornamentTurn"], box["accidentalNatural"]
	if !(sharp.Box.Bottom < turn.Box.Top && turn.Box.Bottom < natural.Box.Top && natural.Box.Bottom < 0) {
		t.Errorf("sharp %v, turn %v, natural %v", sharp.Box, turn.Box, natural.Box)
	}
}

// What is not known is left out with a warning that names it.
func TestUnknownMarkIsTold(t *testing.T) {
	l := stood(4, tone("quarter", 3).marked("golpe"))
	l.score.Bars = []notation.Bar{{Number: "1", Length: score.R(1, 1)}}
	l.farMarks()
	if len(l.told) != 1 || l.told[0].Text != "a sign at a note (golpe) is left out" {
		t.Errorf("told %v", l.told)
	}
}

// Whatever stands at chords of any shape lies on nothing else.
func TestMarksStandClear(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	names := []string{"staccato", "tenuto", "accent", "strong-accent", "staccatissimo", "detached-legato", "fermata", "trill-mark", "mordent"}
	for range 300 {
		chords := randomGroup(rnd)
		for _, c := range chords {
			for range rnd.IntN(4) {
				c.Marks = append(c.Marks, notation.Mark{Name: names[rnd.IntN(len(names))], Side: notation.Side(rnd.IntN(3))})
			}
			c.Hand = score.Right
			c.heads[0].note.Fingering = []notation.Fingering{{Text: "12345"[rnd.IntN(5):][:1], Side: notation.Side(rnd.IntN(3))}}
		}
		l := stood(4, chords...)
		for _, c := range chords {
			for _, h := range c.heads {
				l.add(Item{Role: RoleHead, Chord: c.index, Staff: h.staff, Glyph: h.glyph, X: h.x, Y: h.y, Scale: c.scale})
			}
		}
		l.closeMarks()
		l.farMarks()
		for _, problem := range overlaps(l.items, 1) {
			t.Fatal(problem)
		}
	}
}

// Where another voice's head has taken the place, a mark moves on outwards.
func TestMarkMovesOnWherePlaceIsTaken(t *testing.T) {
	c := tone("quarter", 1)
	c.Marks = []notation.Mark{{Name: "staccato", Side: notation.Below}}
	c.Stem = notation.StemUp
	l := stood(4, c)
	l.add(Item{Role: RoleHead, Staff: 1, Glyph: "noteheadBlack", X: c.x, Y: 1.5, Scale: 1})
	l.closeMarks()
	if at := middleOf(l.inked(RoleMark)[0]); !closeTo(at.Y, 2.5) {
		t.Errorf("the dot stands at %v, want in the next free space, 2.5", at.Y)
	}
}

// The fingers of an ornament follow each other; those at one head of a chord
// stand over each other, the right thumb lowest, the left thumb highest.
func TestSeveralFingersOnOneNote(t *testing.T) {
	for _, tt := range []struct {
		pitches string
		hand    score.Hand
		stacked bool
		first   string // the higher, or the left one
	}{{"C5", score.Right, false, "1"}, {"C5 E5", score.Right, true, "5"}, {"C5 E5", score.Left, true, "1"}} {
		c := sounding(t, score.Int(0), "whole", 1, tt.pitches)
		c.Hand = tt.hand
		c.Notes[0].Fingering = []notation.Fingering{{Text: "1", Side: notation.Above}, {Text: "5", Side: notation.Above}}
		signs := itemsOf(setAll(written(1, c)), RoleFingering)
		if len(signs) != 2 {
			t.Fatalf("%d numbers", len(signs))
		}
		slices.SortFunc(signs, func(a, b Item) int {
			if tt.stacked {
				return cmp.Compare(a.Y, b.Y)
			}
			return cmp.Compare(a.X, b.X)
		})
		if stacked := signs[0].Box.Bottom < signs[1].Box.Top; stacked != tt.stacked || signs[0].Glyph != "fingering"+tt.first {
			t.Errorf("%s, %v hand: stacked %v, first %s", tt.pitches, tt.hand, stacked, signs[0].Glyph)
		}
	}
}

// A suggested finger is in italics, and goes behind one that the score prints.
func TestSuggestedFingers(t *testing.T) {
	for _, printed := range []string{"", "4"} {
		c := tone("quarter", 1)
		c.Hand = score.Right
		c.heads[0].note.ID = 7
		if printed != "" {
			c.heads[0].note.Fingering = []notation.Fingering{{Text: printed}}
		}
		l := stood(4, c)
		l.picks.Fingers = map[int]string{7: "3"}
		l.closeMarks()
		var drawn []string
		for _, it := range l.inked(RoleFingering) {
			drawn = append(drawn, fmt.Sprint(it.Glyph, it.Text, it.Face.Italic))
		}
		want := []string{"3true"}
		if printed != "" {
			want = []string{"fingering4false"}
		}
		if !slices.Equal(drawn, want) {
			t.Errorf("printed %q: drawn %v, want %v", printed, drawn, want)
		}
	}
}
