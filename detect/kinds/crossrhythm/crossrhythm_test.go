package crossrhythm

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// repeated returns a bar of n notes that fill a length, tokens as in scoretest.
func repeated(n int64, pitch string, fill score.Rat) string {
	token := pitch + ":" + fill.Div(score.Int(n)).String() + " "
	return strings.TrimSpace(strings.Repeat(token, int(n)))
}

// The right and the left hand in bars of one piece, and the cross-rhythms in
// it. The first group is the definition's own list of what is one and what is not.
func TestCrossRhythmRatios(t *testing.T) {
	for _, c := range []struct {
		name, time, right, left string
		want                    string // ratio@start, in quarters from the start
	}{
		{"eighths over triplets", "1/4", "C5:1/2 D5:1/2", "C3:1/3 E3:1/3 G3:1/3", "2:3@0"},
		{"sixteenths over triplets", "1/4", repeated(4, "C5", score.Int(1)), repeated(3, "C3", score.Int(1)), "4:3@0"},
		{"first sixteenth tied and silent", "2/4",
			"C5:1~ C5:1/4 D5:1/4 E5:1/4 F5:1/4", "C3:1 " + repeated(3, "C3", score.Int(1)), "4:3@1"},
		{"dotted eighth and sixteenth", "1/4", "C5:3/4 D5:1/4", repeated(3, "C3", score.Int(1)), "4:3@0"},
		{"eight over six", "2/4", repeated(8, "C5", score.Int(2)), repeated(6, "C3", score.Int(2)), "4:3@0 4:3@1"},
		{"sextuplets against sixteenths", "1/4", repeated(6, "C5", score.Int(1)), repeated(4, "C3", score.Int(1)), "3:2@0 3:2@1/2"},
		{"five over four", "1/4", repeated(5, "C5", score.Int(1)), repeated(4, "C3", score.Int(1)), "5:4@0"},
		{"eleven over six", "3/4", repeated(11, "C5", score.Int(3)), repeated(6, "C3", score.Int(3)), "11:6@0"},
		{"twenty-two over twelve", "6/4", repeated(22, "C5", score.Int(6)), repeated(12, "C3", score.Int(6)), "11:6@0 11:6@3"},
		{"thirty-five over two", "4/4", repeated(35, "C5", score.Int(4)), "C3:2 G3:2", "35:2@0"},

		{"two to one", "1/4", "C5:1/2 D5:1/2", "C3:1", ""},
		{"three to six", "1/4", repeated(3, "C5", score.Int(1)), repeated(6, "C3", score.Int(1)), ""},
		{"a held note over anything", "4/4", "C5:4", repeated(7, "C3", score.Int(4)), ""},
		{"an eighth and a rest over triplets", "1/4", "C5:1/2 r:1/2", repeated(3, "C3", score.Int(1)), ""},

		{"a rest where both might meet cuts time", "2/4", "C5:1/2 D5:1/2 r:1", "C3:1/3 D3:1/3 E3:1/3 r:1", "2:3@0"},
		{"offbeats over the beat", "2/4", "r:1/2 C5:1~ C5:1/2", "C3:1 D3:1", ""},
		{"triplets with a rest first", "1/4", "r:1/3 C5:1/3 D5:1/3", "C3:1/2 D3:1/2", "3:2@0"},
		{"a hand that rests", "4/4", repeated(7, "C5", score.Int(4)), "r:4", ""},
		{"a hand without a note on the page", "1/4 ", "C5:1/2 D5:1/2 | C5:1/2 D5:1/2", "C3:1/3 D3:1/3 E3:1/3 | ", "2:3@0"},
		{"grace notes are no attacks", "1/4", "gB4 gD5 C5:1/2 gE5 D5:1/2", "C3:1/4 D3:1/4 C3:1/4 D3:1/4", ""},
		{"an arpeggio is one attack", "1/4", "C5+E5:1/2^ D5+F5:1/2^", "C3+G3:1/3^ D3:1/3 E3:1/3", "2:3@0"},
		{"hands meeting in a tied note", "2/4", "C5:2/3 D5:2/3 E5:2/3", "C3:1~ C3:1/2 D3:1/2", "3:4@0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := Detector.Find(scoretest.Piece{
				Time: strings.TrimSpace(c.time), QPM: 60, Right: []string{c.right}, Left: []string{c.left},
			}.Score(t), detect.DefaultPlayer())

			var got []string
			for _, o := range found {
				got = append(got, o.Detail.(Detail).Ratio+"@"+o.From.String())
			}
			if strings.Join(got, " ") != c.want {
				t.Errorf("got %q, want %q", strings.Join(got, " "), c.want)
			}
		})
	}
}

// Two voices of one hand are one rhythm: theirs together is against the other
// hand's, and a cross-rhythm inside one hand is none between the hands.
func TestCrossRhythmOfVoices(t *testing.T) {
	two := scoretest.Piece{
		Time: "1/4", QPM: 60,
		Right: []string{"C5:1/2 D5:1/2", "E4:1/3 F4:1/3 G4:1/3"},
		Left:  []string{"C3:1"},
	}
	if found := Detector.Find(two.Score(t), detect.DefaultPlayer()); len(found) != 0 {
		t.Errorf("inside one hand: got %v", found[0].Detail)
	}
	two.Left = []string{repeated(4, "C3", score.Int(1))}
	found := Detector.Find(two.Score(t), detect.DefaultPlayer())
	if len(found) != 2 {
		t.Fatalf("got %d, want one to the eighth where both hands strike, one after it", len(found))
	}
	want := []Detail{
		{Ratio: "3:2", Right: []int{0, 4}, Left: []int{0, 3}, Grid: 6, Span: score.R(1, 2),
			HandsOrder: []score.Hand{score.Both, score.Left, score.Right}, Gaps: []int{3, 1, 2}},
		{Ratio: "3:2", Right: []int{0, 2}, Left: []int{0, 3}, Grid: 6, Span: score.R(1, 2),
			HandsOrder: []score.Hand{score.Both, score.Right, score.Left}, Gaps: []int{2, 1, 3}},
	}
	for i, o := range found {
		if !reflect.DeepEqual(o.Detail, want[i]) {
			t.Errorf("%d: got %+v, want %+v", i, o.Detail, want[i])
		}
	}
}

// m against n attacks, coprime, sharing the first, are m + n − 1 attack times
// on a grid of m·n parts: the arithmetic of two arithmetic progressions.
func TestCrossRhythmAttackCount(t *testing.T) {
	for m := int64(2); m <= 16; m++ {
		for n := int64(2); n <= 16; n++ {
			if gcd(int(m), int(n)) != 1 {
				continue
			}
			found := Detector.Find(scoretest.Piece{
				Time: "4/4", QPM: 60,
				Right: []string{repeated(m, "C5", score.Int(4))},
				Left:  []string{repeated(n, "C3", score.Int(4))},
			}.Score(t), detect.DefaultPlayer())

			if len(found) != 1 {
				t.Fatalf("%d against %d: got %d occurrences", m, n, len(found))
			}
			d := found[0].Detail.(Detail)
			sum := 0
			for _, gap := range d.Gaps {
				sum += gap
			}
			if d.Ratio != fmt.Sprintf("%d:%d", m, n) || d.Grid != int(m*n) ||
				len(d.HandsOrder) != int(m+n-1) || len(d.Gaps) != int(m+n-1) || sum != d.Grid {
				t.Errorf("%d against %d: got %+v", m, n, d)
			}
			palindrome := slices.Clone(d.Gaps)
			slices.Reverse(palindrome)
			if !slices.Equal(d.Gaps, palindrome) {
				t.Errorf("%d against %d: gaps %v do not read the same backwards", m, n, d.Gaps)
			}
		}
	}
}

// Worked by hand: 0 2 3 4 of 6, and 0 3 4 6 8 9 of 12.
func TestCrossRhythmComposite(t *testing.T) {
	for _, c := range []struct {
		m, n  int64
		gaps  []int
		hands string
	}{
		{2, 3, []int{2, 1, 1, 2}, "both left right left"},
		{4, 3, []int{3, 1, 2, 2, 1, 3}, "both right left right left right"},
	} {
		found := Detector.Find(scoretest.Piece{
			Time: "1/4", QPM: 60,
			Right: []string{repeated(c.m, "C5", score.Int(1))}, Left: []string{repeated(c.n, "C3", score.Int(1))},
		}.Score(t), detect.DefaultPlayer())

		d := found[0].Detail.(Detail)
		if !slices.Equal(d.Gaps, c.gaps) || strings.Trim(fmt.Sprint(d.HandsOrder), "[]") != c.hands {
			t.Errorf("%d against %d: got %v %v", c.m, c.n, d.HandsOrder, d.Gaps)
		}
	}
}

// Four over three with the first sixteenth tied: the gaps begin at the left
// hand's first note and end at the end of the cell.
func TestCrossRhythmTiedStart(t *testing.T) {
	found := Detector.Find(scoretest.Piece{
		Time: "2/4", QPM: 66,
		Right: []string{"C5:1~ C5:1/4 D5:1/4 E5:1/4 F5:1/4"},
		Left:  []string{"C3:1 C3:1/3 E3:1/3 G3:1/3"},
	}.Score(t), detect.DefaultPlayer())

	want := Detail{
		Ratio: "4:3", Right: []int{3, 6, 9}, Left: []int{0, 4, 8}, Grid: 12, Span: score.Int(1),
		HandsOrder: []score.Hand{score.Left, score.Right, score.Left, score.Right, score.Left, score.Right}, Gaps: []int{3, 1, 2, 2, 1, 3},
	}
	if len(found) != 1 || !reflect.DeepEqual(found[0].Detail, want) {
		t.Fatalf("got %+v, want %+v", found, want)
	}
	o := found[0]
	if o.Hand != score.Both || o.From != score.Int(1) || o.To != score.Int(2) || len(o.Notes) != 6 || !o.Timed {
		t.Errorf("got %+v", o)
	}
	if o.Label != "4 over 3" {
		t.Errorf("label %q", o.Label)
	}
}

// The parts of the two hands may share a factor when the hands do not meet
// inside the cell: syncopated thirds of a beat against halves of it.
func TestCrossRhythmSharedFactor(t *testing.T) {
	found := Detector.Find(scoretest.Piece{
		Time: "2/4", QPM: 60,
		Right: []string{"C5:1/3 D5:1/3 E5:2/3 F5:1/3 G5:1/3"},
		Left:  []string{"C3:1/2 D3:1 E3:1/2"},
	}.Score(t), detect.DefaultPlayer())

	if len(found) != 1 {
		t.Fatalf("got %d", len(found))
	}
	d := found[0].Detail.(Detail)
	if d.Ratio != "3:2" || d.Grid != 12 || !slices.Equal(d.Right, []int{0, 2, 4, 8, 10}) || !slices.Equal(d.Left, []int{0, 3, 9}) {
		t.Errorf("got %+v", d)
	}
}

// In a run too fine to count through, every note of the slower hand has the
// same number of notes over it, or one more or less.
func TestCrossRhythmGroups(t *testing.T) {
	for _, c := range []struct {
		right, left int64
		want        []int
	}{
		{4, 3, nil}, {5, 4, nil}, {8, 3, nil},
		{11, 6, []int{2, 2, 2, 2, 2, 1}},
		{35, 2, []int{18, 17}},
		{6, 11, []int{2, 2, 2, 2, 2, 1}},
		{7, 4, []int{2, 2, 2, 1}},
		{22, 3, []int{8, 7, 7}},
	} {
		found := Detector.Find(scoretest.Piece{
			Time: "4/4", QPM: 60,
			Right: []string{repeated(c.right, "C5", score.Int(4))},
			Left:  []string{repeated(c.left, "C3", score.Int(4))},
		}.Score(t), detect.DefaultPlayer())

		got := found[0].Detail.(Detail).Groups
		if !slices.Equal(got, c.want) {
			t.Errorf("%d over %d: got %v, want %v", c.right, c.left, got, c.want)
		}
	}
}

// What the slower hand holds over from before is its first note.
func TestCrossRhythmGroupsUnderTie(t *testing.T) {
	found := Detector.Find(scoretest.Piece{
		Time: "2/4", QPM: 60,
		Right: []string{"C5:2 | " + repeated(9, "C5", score.Int(2))},
		Left:  []string{"C3:2~ | C3:1/2 D3:1/2 E3:1/2 F3:1/2"},
	}.Score(t), detect.DefaultPlayer())

	d := found[0].Detail.(Detail)
	if d.Ratio != "9:4" || !slices.Equal(d.Groups, []int{3, 2, 2, 2}) || !slices.Equal(d.Left, []int{9, 18, 27}) {
		t.Errorf("got %+v", d)
	}
}

// Four over three in a quarter note at 66: the closest notes are a twelfth of
// 60/66 s apart, 75.8 ms. Over a returning player's 105 ms that is 1.386.
func TestCrossRhythmDemand(t *testing.T) {
	piece := scoretest.Piece{
		Time: "1/4", QPM: 66,
		Right: []string{repeated(4, "C5", score.Int(1))}, Left: []string{repeated(3, "C3", score.Int(1))},
	}
	o := Detector.Find(piece.Score(t), detect.DefaultPlayer())[0]
	if want := 0.105 / (60.0 / 66 / 12); math.Abs(o.Demand-want) > 1e-9 {
		t.Errorf("demand %v, want %v", o.Demand, want)
	}
	if want := "The right hand divides a quarter note into 4 and the left into 3; they strike together only at its start " +
		"and come as close as 76 ms, where 105 ms is comfortable."; o.Why != want {
		t.Errorf("why %q", o.Why)
	}
	piece.QPM = 132
	if twice := Detector.Find(piece.Score(t), detect.DefaultPlayer())[0]; math.Abs(twice.Demand-2*o.Demand) > 1e-9 {
		t.Errorf("at twice the tempo the demand is %v, not twice %v", twice.Demand, o.Demand)
	}
}

// Eleven over six: a 66th of the time apart, but no gap counts as less than a
// third of the run's own step, a 33rd.
func TestCrossRhythmDemandOfARun(t *testing.T) {
	o := Detector.Find(scoretest.Piece{
		Time: "3/4", QPM: 60,
		Right: []string{repeated(11, "C5", score.Int(3))}, Left: []string{repeated(6, "C3", score.Int(3))},
	}.Score(t), detect.DefaultPlayer())[0]
	if want := 0.105 / (3.0 / 33); math.Abs(o.Demand-want) > 1e-9 {
		t.Errorf("demand %v, want %v", o.Demand, want)
	}
	if !strings.Contains(o.Why, "as close as 45 ms (91 ms counts") || !strings.Contains(o.Why, "right hand's run as 2+2+2+2+2+1 under the left hand's notes") {
		t.Errorf("why %q", o.Why)
	}
}

// Two notes in alternation fill a dotted half note: three quarter notes over
// them are not three over two, though the second is written at its middle.
func TestCrossRhythmTremolo(t *testing.T) {
	piece := scoretest.Piece{
		Time: "3/4", QPM: 60,
		Right: []string{"E5:1 F5:1 G5:1 | E5:1 F5:1 G5:1"},
		Left:  []string{"C3+E3:3/2 C4:3/2 | D3:3/2 D4:3/2"},
	}
	if found := Detector.Find(piece.Score(t), detect.DefaultPlayer()); len(found) != 2 {
		t.Fatalf("without a tremolo: got %d, want 3 over 2 in both bars", len(found))
	}
	s := piece.Score(t)
	for i := range s.Notes {
		s.Notes[i].TremoloPair = s.Notes[i].Hand == score.Left
	}
	if found := Detector.Find(s, detect.DefaultPlayer()); len(found) != 0 {
		t.Errorf("got %+v", found[0].Detail)
	}
}

// The same rhythm on other notes, or spread over twice the time, is the same
// problem; with the hands exchanged it is another.
func TestCrossRhythmShape(t *testing.T) {
	shape := func(right, left string) string {
		return Detector.Find(scoretest.Piece{Time: "2/4", QPM: 60, Right: []string{right}, Left: []string{left}}.Score(t), detect.DefaultPlayer())[0].Shape
	}
	base := shape("C5:1/2 D5:1/2 r:1", "C3:1/3 D3:1/3 E3:1/3 r:1")
	if other := shape("F#5:1/2 E5:1/2 r:1", "Bb2:1/3 A2:1/3 F3:1/3 r:1"); other != base {
		t.Errorf("transposed: %q and %q", base, other)
	}
	if other := shape("C5:1 D5:1", repeated(3, "C3", score.Int(2))); other != base {
		t.Errorf("half as fast: %q and %q", base, other)
	}
	if other := shape(repeated(3, "C5", score.Int(2)), "C3:1 D3:1"); other == base {
		t.Errorf("hands exchanged: both %q", base)
	}
}

// A cell may have hundreds of parts. Past a million a file does not write a
// rhythm: nothing is found, and nothing overflows.
func TestCrossRhythmFineParts(t *testing.T) {
	at := func(num, den int64) detect.Event { return detect.Event{At: score.R(num, den)} }
	zero, one := score.Int(0), score.Int(1)
	r, ok := newRhythm(zero, one, []detect.Event{at(0, 1), at(340, 341)}, []detect.Event{at(0, 1), at(1, 512)})
	if right, left := r.ratio(); !ok || right != 341 || left != 512 || r.grid != 341*512 {
		t.Errorf("got %v over %v of %v, %v", right, left, r.grid, ok)
	}
	if _, ok := newRhythm(zero, one, []detect.Event{at(1, maxParts+1)}, []detect.Event{at(1, 3)}); ok {
		t.Error("one part finer than the limit: found")
	}
	if _, ok := newRhythm(zero, one, []detect.Event{at(1, 1021), at(1, 1031)}, []detect.Event{at(1, 3)}); ok {
		t.Error("two that only together are finer than the limit: found")
	}
}
