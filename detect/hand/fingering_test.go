package hand

import (
	"math/rand/v2"
	"slices"
	"testing"

	"hardbars/score"
	"hardbars/score/scoretest"
)

var hands = [2]Hand{{score.Right, 201}, {score.Left, 201}}

// Fingers that the score prints stay, and the others go with them.
func TestPrintedFingersAreKept(t *testing.T) {
	s := scoretest.Piece{Right: []string{"C4:1 D4:1 E4:1 F4:1 | C4+E4+G4:4"}}.Score(t)
	for i, printed := range []string{"3", "", "5-4", "2 3", "2", "", ""} {
		s.Notes[i].Fingering = printed
	}
	f := Finger(s, hands, allegro)
	want := []int{3, 0, 5, 2, 2, 0, 0}
	for i, n := range f.Notes {
		if want[i] > 0 && (n.Finger != want[i] || !n.Printed || n.Or != 0) || want[i] == 0 && (n.Printed || n.Finger == 0) {
			t.Errorf("note %d: %+v, printed %q", i+1, n, s.Notes[i].Fingering)
		}
	}
	for text, finger := range map[string]int{"": 0, "3": 3, "5-4": 5, " 2 3": 2, "1/2": 1, "0": 0, "6": 0, "12": 0, "p": 0} {
		if got := PrintedFinger(text); got != finger {
			t.Errorf("%q: finger %d, want %d", text, got, finger)
		}
	}
}

// The left hand plays in a mirror what the right hand plays: D is the middle of
// the keyboard's pattern.
func TestHandsMirror(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		var right, left []int
		for range 30 {
			key := 55 + random.IntN(25)
			right, left = append(right, key), append(left, 124-key)
		}
		if r, l := fingersOf(score.Right, right), fingersOf(score.Left, left); !slices.Equal(r, l) {
			t.Fatalf("%v: right %v, left in the mirror %v", right, r, l)
		}
	}
}

// No fingering of a short line asks for less effort than the one found: all of
// them are counted out.
func TestLeastEffort(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for range 20 {
		var keys []int
		for range 5 {
			keys = append(keys, 60+random.IntN(14))
		}
		s := lineOf(score.Right, keys)
		p := newReader(s, hands[score.Right], allegro).piece()
		found := p.effort(p.search())
		chosen := make([]int, len(keys))
		for n := range 5 * 5 * 5 * 5 * 5 {
			for i := range chosen {
				chosen[i], n = n%5, n/5
			}
			if e := p.effort(chosen); e < found {
				t.Fatalf("%v: %v costs %d, found %v at %d", keys, chosen, e, p.search(), found)
			}
		}
	}
}

// effort is that of a whole fingering.
func (p *piece) effort(chosen []int) (sum int) {
	var t tally
	for i := range p.moments {
		sum += int(p.alone(i)[chosen[i]])
		m := p.moments[max(i-2, 0) : i+1]
		g := func(j int) grip { return m[j].grips[chosen[max(i-2, 0)+j]] }
		if i > 0 {
			p.economy.step(&t, &m[len(m)-2], g(len(m)-2), &m[len(m)-1], g(len(m)-1))
		}
		if i > 1 {
			p.economy.turn(&t, &m[0], g(0), &m[1], g(1), &m[2], g(2))
		}
	}
	return sum + t.cost
}

// A hand lies wide open, holds on, trills and lifts.
func TestPlaces(t *testing.T) {
	s := scoretest.Piece{Right: []string{"C4+G4+E5+C6:4 | C4:4 | r:4 | C6:4"}, Left: []string{"C3:4 | r:4 | r:4 | r:4", "r:1 E3:1 G3:1 E3:1 | r:4 | r:4 | r:4"}}.Score(t)
	i := slices.IndexFunc(s.Notes, func(n score.Note) bool { return n.Bar == 1 })
	s.Notes[i].Ornaments = []string{"trill-mark"}
	f := Finger(s, hands, allegro)
	right, left := f.Places[score.Right], f.Places[score.Left]
	if !right[0].Wide || right[1].Wide || len(right[0].Notes) != 4 {
		t.Errorf("two octaves at once: %+v, then %+v", right[0], right[1])
	}
	if trill := f.Notes[i]; trill.Auxiliary == 0 || trill.Auxiliary == trill.Finger {
		t.Errorf("the trill has fingers %d and %d", trill.Finger, trill.Auxiliary)
	}
	if last := right[len(right)-1]; last.Come != Lifted || last.Free != 2 {
		t.Errorf("two octaves up over a bar's rest: %+v", last)
	}
	for _, p := range left[1:] {
		if len(p.Held) != 1 || p.Come != Stay || f.Notes[p.Held[0]].Finger <= f.Notes[p.Notes[0]].Finger {
			t.Errorf("E and G over a held C: %+v", p)
		}
	}
	for _, p := range slices.Concat(right[1:], left) {
		if p.Low > p.High || len(p.Notes) == 1 && (KeyX(s.Notes[p.Notes[0]].Pitch.MIDI()) < p.Low || KeyX(s.Notes[p.Notes[0]].Pitch.MIDI()) > p.High) {
			t.Errorf("the open hand covers %g to %g mm and plays outside: %+v", p.Low, p.High, p)
		}
	}
}

// What is said of a run is where the thumb goes.
func TestWords(t *testing.T) {
	f, s := line(score.Right, []int{60, 62, 64, 65, 67, 69, 71, 72, 71, 69, 67, 65, 64, 62, 60})
	var said []string
	for i := range f.Places[score.Right] {
		if why := f.Words(s, score.Right, i); why != "" {
			said = append(said, why)
		}
	}
	if want := []string{"thumb under after 3", "3 over the thumb, turn at the E4"}; !slices.Equal(said, want) {
		t.Errorf("%q, want %q", said, want)
	}
}
