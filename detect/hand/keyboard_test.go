package hand

import (
	"testing"

	"hardbars/score"
)

// Octave span 164–165 mm, white key pitch 23.5 mm (the modern piano since
// about 1880; Jacobs 2001 uses 165). MIDI: A0 is 21, C8 is 108.
func TestKeyboardDimensions(t *testing.T) {
	for low := 21; low+12 <= 108; low++ {
		if got := Distance(low, low+12); got != 164.5 {
			t.Errorf("octave above key %d: %g mm, want 164.5", low, got)
		}
	}
	if got := KeyX(21); got != 23.5/2 {
		t.Errorf("A0's centre is at %g mm, want half a white key", got)
	}
	if left := KeyX(108) - KeyWidth(108)/2; left != 51*23.5 { // a piano has 52 white keys
		t.Errorf("C8 begins at %g mm, want 51 white keys", left)
	}
}

func TestBlackKeysAreOnJoints(t *testing.T) {
	blacks := 0
	for k := 21; k <= 108; k++ {
		if !IsBlack(k) {
			continue
		}
		blacks++
		if KeyX(k) != (KeyX(k-1)+KeyX(k+1))/2 || IsBlack(k-1) || IsBlack(k+1) {
			t.Errorf("black key %d is not midway between two white neighbours", k)
		}
		if w := KeyWidth(k); w < 9.5 || w > 11.5 { // builders' notes
			t.Errorf("black key %d is %g mm wide", k, w)
		}
	}
	if blacks != 36 { // of 88
		t.Errorf("%d black keys, want 36", blacks)
	}
}

func TestKeysGoUpward(t *testing.T) {
	for k := -5; k < 135; k++ {
		if KeyX(k+1) <= KeyX(k) {
			t.Errorf("key %d is not to the right of key %d", k+1, k)
		}
	}
}

// Boyle, Boyle & Booker 2015: a hand needs 170 mm for an octave, 193 for a
// ninth, 216 for a tenth; under 216 mm is a small hand.
func TestReachFigures(t *testing.T) {
	for _, c := range []struct {
		interval string
		keys     []int
		span     float64
	}{
		{"octave", []int{48, 60}, 170},
		{"ninth", []int{48, 62}, 193},
		{"tenth", []int{48, 64}, 216},
	} {
		if got := SpanFor(Extent(c.keys)); got != c.span {
			t.Errorf("%s: needs %g mm of span, want %g", c.interval, got, c.span)
		}
		for _, side := range []score.Hand{score.Right, score.Left} {
			can, cannot := Hand{side, c.span}, Hand{side, c.span - 1}
			if !can.Covers(c.keys) || cannot.Covers(c.keys) {
				t.Errorf("%s, %s hand: want it reached with %g mm and not with 1 mm less", c.interval, side, c.span)
			}
		}
	}
}

// Parncutt et al. 1997: MaxComf = MaxPrac − 2 semitones. Who just reaches a
// tenth is comfortable up to a ninth less a little: an octave with its second.
func TestComfortIsAWholeToneLess(t *testing.T) {
	if got, want := (Hand{score.Right, 216}).ComfortableReach(), Distance(48, 62); got != want {
		t.Errorf("a hand that reaches C–E a tenth up is comfortable to %g mm, want the ninth C–D, %g", got, want)
	}
	if got, want := (Hand{score.Left, 193}).ComfortableReach(), Distance(48, 60); got != want {
		t.Errorf("a hand that reaches a ninth is comfortable to %g mm, want the octave, %g", got, want)
	}
}

func TestFiveFingers(t *testing.T) {
	for _, c := range []struct {
		name        string
		keys        []int
		right, left bool
	}{
		{"nothing", nil, true, true},
		{"five in a row", []int{60, 62, 64, 65, 67}, true, true},
		{"six, two whites below", []int{60, 62, 65, 67, 69, 71}, true, true},
		{"six, two whites below, a third on top", []int{60, 62, 65, 66, 69, 72}, true, false},
		{"six, a black among the outer twos", []int{61, 62, 65, 66, 69, 70}, false, false},
		{"seven", []int{60, 62, 64, 65, 67, 69, 71}, false, false},
	} {
		if got := (Hand{score.Right, 201}).Covers(c.keys); got != c.right {
			t.Errorf("%s: right hand %t, want %t", c.name, got, c.right)
		}
		if got := (Hand{score.Left, 201}).Covers(c.keys); got != c.left {
			t.Errorf("%s: left hand %t, want %t", c.name, got, c.left)
		}
	}
}
