package engrave

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"hardbars/score"
	"hardbars/score/notation"
)

// blank is a score of so many bars of four quarters on two staves, and quarters
// whose stems go away from the room between them.
func blank(bars int) *notation.Score {
	n := &notation.Score{Staves: 2}
	for i := range bars {
		n.Bars = append(n.Bars, notation.Bar{Number: fmt.Sprint(i + 1), Start: score.R(int64(4*i), 1), Length: score.R(4, 1)})
		for beat := range 4 {
			for staff, pitch := range []score.Pitch{{Step: 'G', Octave: 4}, {Step: 'D', Octave: 3}} {
				n.Chords = append(n.Chords, notation.Chord{
					Bar: i, At: score.R(int64(4*i+beat), 1), Length: score.R(1, 1), Staff: staff + 1, Voice: "1",
					Value: notation.Value{Type: "quarter"},
					Notes: []notation.Note{{ID: len(n.Chords), Written: pitch, Staff: staff + 1}},
				})
			}
		}
	}
	n.Clefs = []notation.Clef{{Staff: 1, Sign: "G", Line: 2}, {Staff: 2, Sign: "F", Line: 4}}
	n.Times = []notation.Time{{Beats: []string{"4"}, Types: []string{"4"}}}
	return n
}

// laid is the systems of a score at a width in millimetres.
func laid(n *notation.Score, width float64) (systems []*layout) {
	e := newExcerpt(n, Options{To: n.Bars[len(n.Bars)-1].End(), Width: width})
	lines, _ := e.lines(0)
	for i, line := range lines {
		systems = append(systems, e.system(line, i == 0, i == len(lines)-1, false))
	}
	return systems
}

func quarters(n int64) score.Rat { return score.R(n, 1) }

// Every dynamic is set in the font's letters: as one glyph where the font has
// it, and else letter by letter in order.
func TestDynamicLetters(t *testing.T) {
	for text, want := range map[string][]string{
		"p": {"dynamicPiano"}, "mf": {"dynamicMF"}, "sfpp": {"dynamicSforzandoPianissimo"}, "fff": {"dynamicFFF"},
		"sff": {"dynamicSforzando", "dynamicForte", "dynamicForte"},
		"ffp": {"dynamicForte", "dynamicForte", "dynamicPiano"},
	} {
		n := blank(1)
		n.Signs = []notation.Sign{{Kind: notation.Dynamic, Staff: 1, Text: text}}
		var got []string
		right := 0.0
		for _, it := range laid(n, 150)[0].inked(RoleDynamic) {
			got = append(got, it.Glyph)
			if it.X <= right {
				t.Errorf("%s: %s at %v", text, it.Glyph, it.X)
			}
			right = it.X
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", text, got, want)
		}
	}
	n := blank(1)
	n.Signs = []notation.Sign{{Kind: notation.Words, Staff: 1, Text: "più f"}}
	l := laid(n, 150)[0]
	if got := l.inked(RoleDynamic); len(got) != 2 || got[0].Text != "più" || got[1].Glyph != "dynamicForte" {
		t.Errorf("più f: %v", got)
	}
	n.Signs[0] = notation.Sign{Kind: notation.Dynamic, Staff: 1, Text: "(ff)"}
	got := laid(n, 150)[0].inked(RoleDynamic)
	if len(got) != 3 || got[0].Text != "(" || got[1].Glyph != "dynamicFF" || got[2].Text != ")" {
		t.Errorf("(ff): %v", got)
	}
}

// A dynamic that both staves have between them at once stands there once; two
// dynamics, or one on each side of a staff, stay two.
func TestDynamicOfBothStaves(t *testing.T) {
	below := notation.Sign{Kind: notation.Dynamic, Staff: 1, Side: notation.Below, Text: "p"}
	for _, tt := range []struct {
		other notation.Sign
		want  int
	}{
		{notation.Sign{Kind: notation.Dynamic, Staff: 2, Side: notation.Above, Text: "p"}, 1},
		{notation.Sign{Kind: notation.Dynamic, Staff: 2, Side: notation.Above, Text: "f"}, 2},
		{notation.Sign{Kind: notation.Dynamic, Staff: 2, Side: notation.Below, Text: "p"}, 2},
		{notation.Sign{Kind: notation.Dynamic, Staff: 1, Side: notation.Above, Text: "p"}, 2},
	} {
		n := blank(1)
		n.Signs = []notation.Sign{below, tt.other}
		if got := len(laid(n, 150)[0].inked(RoleDynamic)); got != tt.want {
			t.Errorf("with %q of staff %d: %d dynamics, want %d", tt.other.Text, tt.other.Staff, got, tt.want)
		}
	}
}

// Signs stand where the file says, and else between the staves, there in the
// middle where nothing is in the way (common practice).
func TestSidesOfSigns(t *testing.T) {
	for _, tt := range []struct {
		staff int
		side  notation.Side
		place string
	}{
		{1, notation.Auto, "between"}, {2, notation.Auto, "between"},
		{1, notation.Above, "above"}, {1, notation.Below, "between"},
		{2, notation.Above, "between"}, {2, notation.Below, "below"},
	} {
		n := blank(1)
		n.Signs = []notation.Sign{{Kind: notation.Dynamic, At: quarters(2), Staff: tt.staff, Side: tt.side, Text: "p"}}
		l := laid(n, 150)[0]
		at := middleOf(l.inked(RoleDynamic)[0])
		place := "between"
		switch {
		case at.Y < 0:
			place = "above"
		case at.Y > l.top[1]+staffHeight:
			place = "below"
		case !closeTo(at.Y, (staffHeight+l.top[1])/2):
			t.Errorf("staff %d, side %d: at %v, not midway", tt.staff, tt.side, at.Y)
		}
		if place != tt.place {
			t.Errorf("staff %d, side %d: %s, want %s", tt.staff, tt.side, place, tt.place)
		}
		if head := l.index[4].centre(); math.Abs(at.X-head) > 0.3 {
			t.Errorf("staff %d, side %d: at x %v, the head at %v", tt.staff, tt.side, at.X, head)
		}
	}
}

// A dynamic, the hairpin after it and the dynamic at its end stand on one line;
// the hairpin opens to its right and touches neither.
func TestHairpinBetweenDynamics(t *testing.T) {
	n := blank(2)
	n.Signs = []notation.Sign{
		{Kind: notation.Dynamic, Staff: 1, Text: "p"}, {Kind: notation.Dynamic, At: quarters(4), Staff: 1, Text: "f"},
	}
	n.Lines = []notation.Line{{Kind: notation.Crescendo, To: quarters(4), Staff: 1}}
	l := laid(n, 150)[0]
	strokes, letters := l.inked(RoleLine), l.inked(RoleDynamic)
	if len(strokes) != 2 || len(letters) != 2 {
		t.Fatalf("%d strokes and %d letters", len(strokes), len(letters))
	}
	upper, lower := strokes[0].Stroke, strokes[1].Stroke
	if !closeTo(upper.Y1, lower.Y1) || !closeTo(lower.Y2-upper.Y2, hairpinOpen) || upper.X2 <= upper.X1 {
		t.Errorf("strokes %v and %v", *upper, *lower)
	}
	if letters[0].Y != letters[1].Y || !closeTo(upper.Y1, letters[0].Y-signMiddle) {
		t.Errorf("baselines %v and %v, hairpin at %v", letters[0].Y, letters[1].Y, upper.Y1)
	}
	if upper.X1 <= letters[0].Box.Right || upper.X2 >= letters[1].Box.Left {
		t.Errorf("hairpin from %v to %v, letters %v and %v", upper.X1, upper.X2, letters[0].Box, letters[1].Box)
	}
}

// A hairpin that goes on over the end of a system keeps its opening there.
func TestHairpinOverTwoSystems(t *testing.T) {
	for _, kind := range []notation.LineKind{notation.Crescendo, notation.Diminuendo} {
		n := blank(8)
		n.Lines = []notation.Line{{Kind: kind, To: quarters(32), Staff: 1, Niente: true}}
		systems := laid(n, 100)
		if len(systems) < 2 {
			t.Fatal("one system")
		}
		closed, open := 0.0, hairpinOpen
		rings := 0
		for i, l := range systems {
			var strokes []*Stroke
			for _, it := range l.inked(RoleLine) {
				if it.Stroke != nil {
					strokes = append(strokes, it.Stroke)
				} else {
					rings++
					if first := i == 0; first != (kind == notation.Crescendo) {
						t.Errorf("the ring stands in system %d", i+1)
					}
				}
			}
			left, right := strokes[1].Y1-strokes[0].Y1, strokes[1].Y2-strokes[0].Y2
			if kind == notation.Diminuendo {
				left, right = hairpinOpen-left, hairpinOpen-right
			}
			if !closeTo(left, closed) || right <= left {
				t.Errorf("system %d: opens from %v to %v, the last ended at %v", i+1, left, right, closed)
			}
			closed = right
		}
		if !closeTo(closed, open) || rings != 1 {
			t.Errorf("ends at %v with %d rings", closed, rings)
		}
	}
}

// The last beat of a long diminuendo, and the first of a long crescendo, alone
// on their systems, are two lines still.
func TestHairpinRemainder(t *testing.T) {
	cut := laid(blank(8), 100)[1].from
	for _, line := range []notation.Line{
		{Kind: notation.Diminuendo, To: cut.Add(quarters(1)), Staff: 1},
		{Kind: notation.Crescendo, From: cut.Sub(quarters(1)), To: quarters(32), Staff: 1},
	} {
		n := blank(8)
		n.Lines = []notation.Line{line}
		for i, l := range laid(n, 100) {
			strokes := l.inked(RoleLine)
			if len(strokes) == 0 {
				continue
			}
			upper, lower := strokes[0].Stroke, strokes[1].Stroke
			if wide := max(lower.Y1-upper.Y1, lower.Y2-upper.Y2); wide < hairpinCut {
				t.Errorf("%v, system %d: open by %v", line.Kind, i+1, wide)
			}
		}
	}
}

// Words at the place of a dynamic follow it on its line; two words with no room
// side by side stand one under the other.
func TestWordsAndDynamicsAtOnePlace(t *testing.T) {
	n := blank(1)
	n.Signs = []notation.Sign{
		{Kind: notation.Dynamic, Staff: 1, Text: "p"}, {Kind: notation.Words, Staff: 1, Text: "dolce"},
		{Kind: notation.Words, At: quarters(1), Staff: 1, Text: "ma marcato il basso"},
	}
	l := laid(n, 60)[0]
	p, words := l.inked(RoleDynamic)[0], l.inked(RoleWords)
	if words[0].Text != "dolce" || words[0].Y != p.Y || words[0].X <= p.Box.Right {
		t.Errorf("p at %v, dolce at %v, %v", p.Box, words[0].X, words[0].Y)
	}
	if words[1].Box.Top < words[0].Box.Bottom {
		t.Errorf("%v and %v", words[0].Box, words[1].Box)
	}
}

// Words too long for what is left of their line are broken into lines; none
// leaves the system.
func TestLongWords(t *testing.T) {
	n := blank(2)
	text := "poco a poco più tranquillo e molto cantabile, quasi una voce lontana"
	n.Signs = []notation.Sign{{Kind: notation.Words, At: quarters(6), Staff: 1, Side: notation.Above, Text: text}}
	l := laid(n, 100)[0]
	whole := ""
	for i, it := range l.inked(RoleWords) {
		if it.Box.Left < 0 || it.Box.Right > l.width {
			t.Errorf("%q leaves the system: %v", it.Text, it.Box)
		}
		if i > 0 {
			whole += " "
		}
		whole += it.Text
	}
	if whole != text {
		t.Errorf("%q", whole)
	}
}

// Tempo words are heavy and stand over the time signature, the metronome mark
// behind them has a real note; a rehearsal mark has a box; what is to be
// played next ends with its bar (common practice).
func TestHeadings(t *testing.T) {
	n := blank(2)
	n.Signs = []notation.Sign{
		{Kind: notation.Tempo, Staff: 1, Side: notation.Above, Text: "Andante (", Beat: notation.Value{Type: "quarter", Dots: 1}, After: "52)"},
		{Kind: notation.Words, At: quarters(4), Staff: 1, Side: notation.Above, Text: "D.C. al Fine"},
		{Kind: notation.Rehearsal, At: quarters(4), Staff: 1, Side: notation.Above, Text: "B"},
	}
	l := laid(n, 150)[0]
	words := l.inked(RoleWords)
	var run []string
	for _, it := range words[:5] {
		run = append(run, it.Text+it.Glyph)
	}
	want := []string{"Andante", "(", "metNoteQuarterUp", "metAugmentationDot", "= 52)"}
	if !slices.Equal(run, want) {
		t.Fatalf("%q, want %q", run, want)
	}
	if !words[0].Face.Bold || words[4].Face.Bold {
		t.Error("the words are to be heavy, the mark light")
	}
	var time float64
	for _, it := range l.inked(RoleTime)[:1] {
		time = it.Box.Left
	}
	if math.Abs(words[0].Box.Left-time) > 0.2 {
		t.Errorf("Andante begins at %v, the time signature at %v", words[0].Box.Left, time)
	}
	for _, it := range words {
		switch it.Text {
		case "D.C. al Fine":
			if end := l.bars[0].right; it.Box.Right > end || it.Box.Right < end-1 {
				t.Errorf("D.C. ends at %v, its bar at %v", it.Box.Right, end)
			}
		case "B":
			around := 0
			for _, side := range words {
				if side.Stroke != nil && !side.Box.Meets(it.Box) && side.Box.Left < it.Box.Left+4 {
					around++
				}
			}
			if around != 4 {
				t.Errorf("%d lines around the rehearsal mark", around)
			}
		}
	}
}

// At the end of the piece too, and not again at the start of the next system.
func TestWordsThatCloseABarComeOnce(t *testing.T) {
	for at := int64(4); at <= 32; at += 4 {
		n := blank(8)
		n.Signs = []notation.Sign{{Kind: notation.Words, At: quarters(at), Staff: 1, Side: notation.Above, Text: "Fine"}}
		found := 0
		for _, l := range laid(n, 80) {
			for _, it := range l.inked(RoleWords) {
				found++
				if l.to.Less(quarters(at)) || !l.from.Less(quarters(at)) {
					t.Errorf("Fine at quarter %d: %q on the system from %v to %v", at, it.Text, l.from, l.to)
				}
			}
		}
		if found != 1 {
			t.Errorf("Fine at quarter %d is set %d times", at, found)
		}
	}
}

// Whatever signs there are, none lies on notes or on another, and every one is
// set.
func TestRandomSignsStandClear(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	texts := []string{"dolce", "cresc.", "poco ritardando", "ma non troppo", "a tempo"}
	for range 60 {
		n := blank(4)
		for at := range int64(16) {
			if rnd.IntN(3) > 0 {
				continue
			}
			s := notation.Sign{At: quarters(at), Staff: 1 + rnd.IntN(2), Side: notation.Side(rnd.IntN(3))}
			s.Kind, s.Text = notation.Words, texts[rnd.IntN(len(texts))]
			if rnd.IntN(2) == 0 {
				s.Kind, s.Text = notation.Dynamic, []string{"p", "mf", "sfz", "ppp"}[rnd.IntN(4)]
			}
			n.Signs = append(n.Signs, s)
			if rnd.IntN(3) == 0 {
				n.Lines = append(n.Lines, notation.Line{
					Kind: notation.LineKind(rnd.IntN(2)), From: quarters(at), To: quarters(at + 1 + rnd.Int64N(16-at)), Staff: s.Staff, Side: s.Side,
				})
			}
		}
		set, written := "", ""
		for _, l := range laid(n, 150) {
			for _, problem := range overlaps(l.items, 1) {
				t.Fatalf("%s; %+v", problem, n.Signs)
			}
			for _, it := range l.inked(RoleWords) {
				set += it.Text
			}
		}
		for _, s := range n.Signs {
			if s.Kind == notation.Words {
				written += s.Text
			}
		}
		if got, want := letters(set), letters(written); got != want {
			t.Fatalf("%s is set, %s is written", got, want)
		}
	}
}

// letters is the letters of words in alphabetical order.
func letters(text string) string {
	all := []rune(strings.ReplaceAll(text, " ", ""))
	slices.Sort(all)
	return string(all)
}
