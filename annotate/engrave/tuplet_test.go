package engrave

import (
	"math"
	"testing"

	"hardbars/score/notation"
)

// tupletOver sets a tuplet over the first to the last of some chords.
func tupletOver(l *layout, ts ...notation.Tuplet) {
	l.score.Tuplets = ts
	l.tuplets()
}

// brackets are the strokes of tuplets' brackets, figures their numbers.
func brackets(l *layout) (found []*Stroke) {
	for _, it := range l.inked(RoleTuplet) {
		if it.Stroke != nil {
			found = append(found, it.Stroke)
		}
	}
	return found
}

func numbers(l *layout) (found []Item) {
	for _, it := range l.inked(RoleTuplet) {
		if it.Glyph != "" {
			found = append(found, it)
		}
	}
	return found
}

// Common practice: where a beam shows the group the number stands alone, at the
// middle of the beam, on its side.
func TestTupletNumberAtItsBeam(t *testing.T) {
	for _, pos := range []int{7, 1} {
		chords := beamedAll(tone("eighth", pos), tone("eighth", pos-1), tone("eighth", pos+1))
		l := stood(4, chords...)
		tupletOver(l, notation.Tuplet{From: 0, To: 2, Text: "3"})
		if n := brackets(l); len(n) != 0 {
			t.Errorf("pos %d: %d strokes of a bracket", pos, len(n))
		}
		ns := numbers(l)
		if len(ns) != 1 || ns[0].Glyph != "tuplet3" {
			t.Fatalf("pos %d: numbers %v", pos, ns)
		}
		b, box := chords[0].beam, ns[0].Box
		x := (b.x1 + b.x2) / 2
		if got := (box.Left + box.Right) / 2; math.Abs(got-x) > 0.2 {
			t.Errorf("pos %d: the number stands at %v, the beam's middle is %v", pos, got, x)
		}
		gap := b.at(x) - 0.25 - box.Bottom
		if !b.up {
			gap = box.Top - b.at(x) - 0.25
		}
		if gap < 0.2 || gap > 0.8 {
			t.Errorf("pos %d: the number is %v away from the beam", pos, gap)
		}
	}
}

// A bracket covers its notes, keeps clear of them and of the number in its gap,
// and its hooks point to the notes.
func TestTupletBracket(t *testing.T) {
	for _, side := range []notation.Side{notation.Above, notation.Below} {
		chords := []*chord{tone("quarter", 6), tone("quarter", -2), tone("quarter", 11)}
		l := stood(5, chords...)
		tupletOver(l, notation.Tuplet{From: 0, To: 2, Text: "11:6", Bracket: true, Side: side})
		lines := brackets(l)
		if len(lines) != 4 {
			t.Fatalf("%d strokes of a bracket", len(lines))
		}
		if lines[0].X1 > chords[0].x || lines[1].X2 < chords[2].x+1 {
			t.Errorf("the bracket goes from %v to %v", lines[0].X1, lines[1].X2)
		}
		for _, hook := range lines[2:] {
			if inwards := hook.Y2 > hook.Y1; inwards != (side == notation.Above) {
				t.Errorf("a hook goes from %v to %v", hook.Y1, hook.Y2)
			}
		}
		for _, it := range l.inked(RoleTuplet) {
			for _, other := range l.items {
				if other.Role != RoleTuplet && it.Box.Meets(other.Box) {
					t.Errorf("side %v: a %s meets the bracket or its number", side, other.Role)
				}
			}
			for _, c := range chords {
				for _, h := range c.heads {
					if it.Box.Meets(l.headBox(c, h)) {
						t.Errorf("side %v: the bracket or its number meets a head", side)
					}
				}
			}
		}
		for _, n := range numbers(l) {
			if n.Box.Left < lines[0].X2 || n.Box.Right > lines[1].X1 {
				t.Errorf("the number from %v to %v in a gap from %v to %v", n.Box.Left, n.Box.Right, lines[0].X2, lines[1].X1)
			}
		}
		if rise := math.Abs(lines[1].Y2 - lines[0].Y1); rise > bracketRise {
			t.Errorf("the bracket rises %v", rise)
		}
	}
}

// An outer tuplet stands beyond the one inside it.
func TestNestedTuplets(t *testing.T) {
	l := stood(5, tone("quarter", 7), tone("quarter", 7), tone("quarter", 7), tone("quarter", 7))
	tupletOver(l,
		notation.Tuplet{From: 0, To: 3, Text: "3", Bracket: true},
		notation.Tuplet{From: 1, To: 3, Text: "5", Bracket: true, Depth: 1})
	var inner, outer float64 // where the inner number and the outer bracket are
	for _, n := range numbers(l) {
		if n.Glyph == "tuplet5" {
			inner = n.Box.Top
		}
	}
	for _, s := range brackets(l) {
		outer = min(outer, s.Y1)
	}
	if outer > inner-bracketGap+cell {
		t.Errorf("the outer bracket lies at %v, the inner number reaches up to %v", outer, inner)
	}
	items := l.inked(RoleTuplet)
	for i, a := range items {
		for _, b := range items[i+1:] {
			if a.Glyph != "" && b.Stroke != nil && a.Box.Meets(b.Box) {
				t.Errorf("%s meets a bracket", a.Glyph)
			}
		}
	}
}

// A tuplet that the system cuts has no hook there.
func TestTupletThatIsCut(t *testing.T) {
	chords := []*chord{tone("quarter", 7), tone("quarter", 7), tone("quarter", 7)}
	l := stood(5, chords...)
	l.from, l.chords = chords[1].At, chords[1:]
	tupletOver(l, notation.Tuplet{From: 0, To: 2, Text: "3", Bracket: true})
	if n := len(brackets(l)); n != 3 {
		t.Errorf("%d strokes: two halves and one hook are due", n)
	}
}

// Strokes through a stem keep clear of the head, of beams and of flags' stems'
// ends: common practice.
func TestTremoloOnOneChord(t *testing.T) {
	for _, value := range []string{"half", "quarter", "eighth", "16th"} {
		for strokes := 1; strokes <= 4; strokes++ {
			for _, pos := range []int{7, 1} {
				c := tone(value, pos)
				c.Tremolo, c.TremoloPart = strokes, "single"
				l := stood(5, c)
				signs := l.inked(RoleTremolo)
				if len(signs) != 1 {
					t.Fatalf("%d signs", len(signs))
				}
				box, h := signs[0].Box, c.near()
				if box.Meets(l.headBox(c, *h)) {
					t.Errorf("%d strokes on a %s at %d meet the head", strokes, value, pos)
				}
				if top, bottom := min(c.stemEnd, h.y), max(c.stemEnd, h.y); box.Top < top || box.Bottom > bottom {
					t.Errorf("%d strokes on a %s at %d leave the stem", strokes, value, pos)
				}
				if math.Abs((box.Left+box.Right)/2-c.stemX) > 0.05 {
					t.Errorf("the strokes stand at %v, the stem at %v", (box.Left+box.Right)/2, c.stemX)
				}
			}
		}
	}
}

// Common practice: strokes touch the stems of half notes, keep away from those
// of quarters, and hang between whole notes.
func TestTremoloBetweenTwo(t *testing.T) {
	for _, tt := range []struct {
		value   string
		touches bool
	}{{"half", true}, {"quarter", false}, {"whole", false}} {
		a, b := tone(tt.value, 8), tone(tt.value, 4)
		a.Tremolo, a.TremoloPart, b.Tremolo, b.TremoloPart = 3, "start", 3, "stop"
		l := stood(8, a, b)
		strokes := l.inked(RoleTremolo)
		if len(strokes) != 3 {
			t.Fatalf("%s: %d strokes", tt.value, len(strokes))
		}
		if tt.value != "whole" && a.up != b.up {
			t.Errorf("%s: the stems go apart", tt.value)
		}
		for _, s := range strokes {
			if touches := s.Shape[0].X <= a.stemX && s.Shape[1].X >= b.stemX; touches != tt.touches {
				t.Errorf("%s: strokes from %v to %v", tt.value, s.Shape[0].X, s.Shape[1].X)
			}
			for _, c := range []*chord{a, b} {
				if s.Box.Meets(l.headBox(c, c.heads[0])) {
					t.Errorf("%s: a stroke meets a head", tt.value)
				}
			}
		}
	}
}
