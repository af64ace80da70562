package drill

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/notation"
	"hardbars/score/scoretest"
)

// drills are the exercises of the first hot spot of a kind in a piece.
func drills(t *testing.T, p scoretest.Piece, kind detect.Kind) []exercise {
	t.Helper()
	r := detect.Analyze(p.Score(t), detect.DefaultPlayer(), kinds.All)
	for i := range r.Spots {
		if r.Spots[i].Kind == kind {
			return newPassage(newPiece(r), &r.Spots[i]).exercises()
		}
	}
	t.Fatalf("there is no %s", kind)
	return nil
}

// music writes what a hand has in an exercise: "C5+E5:1 r:1^ | …", with ^ for a
// pause and "(…)" for words.
func music(all []exercise, title string, hand score.Hand) string {
	i := slices.IndexFunc(all, func(e exercise) bool { return e.title == title })
	if i < 0 {
		return "no such drill"
	}
	var bars []string
	for _, b := range all[i].bars {
		var words []string
		for _, v := range b.hands[hand] {
			for _, s := range v {
				word := ":" + s.length.String()
				if s.fermata {
					word += "^"
				}
				if len(s.lyrics) > 0 {
					word += "(" + strings.Join(s.lyrics, " ") + ")"
				}
				var keys []string
				for _, t := range s.tones {
					name := t.pitch.String()
					if t.to {
						name += "~"
					}
					keys = append(keys, name)
				}
				if keys == nil {
					keys = []string{"r"}
				}
				if s.tap {
					keys = []string{"x"}
				}
				words = append(words, strings.Join(keys, "+")+word)
			}
		}
		bars = append(bars, strings.Join(words, " "))
	}
	return strings.Join(bars, " | ")
}

func titles(all []exercise) string {
	var names []string
	for _, e := range all {
		names = append(names, e.title)
	}
	return strings.Join(names, "\n")
}

// want checks exercises: title and hand, then the music.
type want struct {
	title string
	hand  score.Hand
	music string
}

func checkMusic(t *testing.T, all []exercise, wants []want) {
	t.Helper()
	for _, w := range wants {
		if got := music(all, w.title, w.hand); got != w.music {
			t.Errorf("%s, %s hand:\n%s, want\n%s\ndrills:\n%s", w.title, w.hand, got, w.music, titles(all))
		}
	}
}

// Four over three: attacks 3 1 2 2 1 3 of 12, from the arithmetic of two
// coprime rhythms that share their first attack.
func TestCrossRhythm(t *testing.T) {
	all := drills(t, scoretest.Piece{
		Time: "3/4", QPM: 80,
		Right: []string{"C5:1 D5:1 E5:1 | C5:3/4 D5:3/4 E5:3/4 F5:3/4 | G5:3"},
		Left:  []string{"C3:3 | C3:1 G3:1 E3:1 | C3:3"},
	}, "cross-rhythm")
	const count = "x:3/4(1–3 both) x:1/4(4 R) x:1/2(5–6 L) x:1/2(7–8 R) x:1/4(9 L) x:3/4(10–12 R)"
	checkMusic(t, all, []want{
		{"Both rhythms on one line: tap, and say the words", score.Right, count},
		{"Both rhythms on one line: tap, and say the words", score.Left, ""},
		{"The right hand taps against it", score.Left, "x:3/4 x:3/4 x:3/4 x:3/4"},
		{"The left hand taps against it", score.Right, "x:3/4 x:1/4 x:1/2 x:1/2 x:1/4 x:3/4"},
		{"The left hand taps against it", score.Left, "x:1 x:1 x:1"},
		{"Right plays, left taps", score.Right, "C5:3/4 D5:3/4 E5:3/4 F5:3/4"},
		{"Right plays, left taps", score.Left, "x:1 x:1 x:1"},
		{"Left plays, right taps", score.Left, "C3:1 G3:1 E3:1"},
		{"The notes", score.Right, "C5:3/4 D5:3/4 E5:3/4 F5:3/4"},
		{"The notes", score.Left, "C3:1 G3:1 E3:1"},
	})
}

// A cycle shorter than the bar is written as often as it fits.
func TestCrossRhythmFillsTheBar(t *testing.T) {
	all := drills(t, scoretest.Piece{
		Time: "2/4", QPM: 120,
		Right: []string{"C5:1/3 D5:1/3 E5:1/3 F5:1 | C5:2"},
		Left:  []string{"C3:1/2 G3:1/2 E3:1 | C3:2"},
	}, "cross-rhythm")
	checkMusic(t, all, []want{
		{"Both rhythms on one line: tap, and say the words", score.Right,
			"x:1/3(1–2 both) x:1/6(3 R) x:1/6(4 L) x:1/3(5–6 R) x:1/3(1–2 both) x:1/6(3 R) x:1/6(4 L) x:1/3(5–6 R)"},
		{"The notes", score.Left, "C3:1/2 G3:1/2 C3:1/2 G3:1/2"},
	})
}

func TestLeap(t *testing.T) {
	all := drills(t, scoretest.Piece{
		Time: "3/4", QPM: 160,
		Right: []string{"C5:3 | D5:3 | E5:3"},
		Left:  []string{"C2:1 C4+E4:1 E4+G4:1 | F1:1 C4+A4:1 C4+A4:1 | C2:3"},
	}, "leap")
	checkMusic(t, all, []want{
		{"Down: stop and look", score.Left, "E4+G4:1 r:1^ F1:1"},
		{"Up: stop and look", score.Left, "F1:1 r:1^ C4+A4:1"},
		{"Down and up", score.Left, "E4+G4:1 F1:1 C4+A4:1"},
		{"Down and up", score.Right, ""},
		{"Left hand alone", score.Left, "C2:1 C4+E4:1 E4+G4:1 | F1:1 C4+A4:1 C4+A4:1 | C2:3"},
		{"Left hand alone", score.Right, " |  | "},
	})
}

func TestThirds(t *testing.T) {
	all := drills(t, scoretest.Piece{
		QPM:   120,
		Right: []string{"C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 G5+B5:1/2 A5+C6:1/2 G5+B5:1"},
		Left:  []string{"C3:4"},
	}, "parallel-thirds")
	checkMusic(t, all, []want{
		{"Top voice alone", score.Right, "E5:1/2 F5:1/2 G5:1/2 A5:1/2 B5:1/2 C6:1/2 B5:1"},
		{"Bottom voice alone", score.Right, "C5:1/2 D5:1/2 E5:1/2 F5:1/2 G5:1/2 A5:1/2 G5:1"},
		{"Top and bottom together", score.Right, "C5+E5:1/2 D5+F5:1/2 E5+G5:1/2 F5+A5:1/2 G5+B5:1/2 A5+C6:1/2 G5+B5:1"},
		{"Top and bottom together", score.Left, ""},
	})
}

func TestRhythms(t *testing.T) {
	all := drills(t, scoretest.Piece{
		Time: "2/4", QPM: 160,
		Right: []string{"C5:1/4 D5:1/4 E5:1/4 F5:1/4 G5:1/4 A5:1/4 B5:1/4 C6:1/4 | D6:1/4 C6:1/4 B5:1/4 A5:1/4 G5:1/4 F5:1/4 E5:1/4 D5:1/4 | C5:2"},
		Left:  []string{"C3:2 | G3:2 | C3:2"},
	}, "fast-run")
	checkMusic(t, all, []want{
		{"Long–short", score.Right, "C5:3/8 D5:1/8 E5:3/8 F5:1/8 G5:3/8 A5:1/8 B5:3/8 C6:1/8 | D6:3/8 C6:1/8 B5:3/8 A5:1/8 G5:3/8 F5:1/8 E5:3/8 D5:1/8"},
		{"Short–long", score.Right, "C5:1/8 D5:3/8 E5:1/8 F5:3/8 G5:1/8 A5:3/8 B5:1/8 C6:3/8 | D6:1/8 C6:3/8 B5:1/8 A5:3/8 G5:1/8 F5:3/8 E5:1/8 D5:3/8"},
		{"Groups, up to 4 notes and one over: stop, then on", score.Right, "C5:1/4 D5:1/4 E5:1/4 F5:1/4 G5:1^ | G5:1/4 A5:1/4 B5:1/4 C6:1/4 D6:1^ | D6:1/4 C6:1/4 B5:1/4 A5:1/4 G5:1^ | G5:1/4 F5:1/4 E5:1/4 D5:1/4 C5:1^"},
	})
}

// Triplets change in threes, to lengths without a tuplet.
func TestRhythmsOfTriplets(t *testing.T) {
	v := voice{}
	for i := range 3 {
		v = append(v, sound{at: score.R(int64(i), 3), length: score.R(1, 3), tones: []tone{{}}})
	}
	if !(pattern{{3, 1}, {2, 1, 1}}).change(v) {
		t.Fatal("triplets stay as they are")
	}
	if got := fmt.Sprint(v[0].length, v[1].at, v[1].length, v[2].at, v[2].length); got != "1/2 1/2 1/4 3/4 1/4" {
		t.Errorf("%s", got)
	}
}

func TestSpreadOctave(t *testing.T) {
	all := drills(t, scoretest.Piece{
		QPM:   60,
		Right: []string{"E5:4 | G5:4"},
		Left:  []string{"C3:4 | C2+C3:4^"},
	}, "spread-octave")
	checkMusic(t, all, []want{
		{"Written out, from the beat", score.Left, "C2:1/2 C3:3/2 r:2"},
		{"Written out, from the beat", score.Right, "G5:2 r:2"},
		{"Written out, up to the beat", score.Left, "r:1/2 C2:1/2 C3:1 r:2"},
		{"Written out, up to the beat", score.Right, "r:1 G5:1 r:2"},
	})
}

func TestMelody(t *testing.T) {
	all := drills(t, scoretest.Piece{
		QPM:   120,
		Right: []string{"C6:1 D6:1 E6:1 D6:1 | C6:4", "r:1/4 E5:1/4 G5:1/4 E5:1/4 r:1/4 F5:1/4 A5:1/4 F5:1/4 r:1/4 G5:1/4 B5:1/4 G5:1/4 r:1/4 F5:1/4 A5:1/4 F5:1/4 | E5:4"},
		Left:  []string{"C3:4 | C3:4"},
	}, "melody-over-accompaniment")
	upper, beside := music(all, "Upper voice alone: sing it", score.Right), music(all, "What is beside it alone: soft", score.Right)
	if upper != "C6:1 D6:1 E6:1 D6:1" {
		t.Errorf("the melody is %s", upper)
	}
	if beside != "r:1/4 E5:1/4 G5:1/4 E5:1/4 r:1/4 F5:1/4 A5:1/4 F5:1/4 r:1/4 G5:1/4 B5:1/4 G5:1/4 r:1/4 F5:1/4 A5:1/4 F5:1/4" {
		t.Errorf("beside it is %s", beside)
	}
}

// Pickups are filled up in front, halves of a bar that a repeat divides are
// joined or filled up, long bars get a time signature that holds them.
func TestFrames(t *testing.T) {
	time := score.Time{Beats: "3", BeatType: 4, Length: score.Int(3)}
	bar := func(length int64, implicit bool) score.Bar {
		return score.Bar{Length: score.Int(length), Time: time, Implicit: implicit}
	}
	s := &score.Score{Bars: []score.Bar{bar(1, true), bar(3, false), bar(2, false), bar(1, true), bar(7, false), bar(2, false), {Length: score.R(5, 2)}}}
	p := &piece{Report: &detect.Report{Score: s}}
	for _, c := range []struct {
		first, last int
		want        string
	}{
		{0, 1, "3/4 0@2 3/4 1@0"},
		{2, 3, "3/4 2@0 3@2"},
		{2, 2, "3/4 2@0"},
		{3, 3, "3/4 3@2"},
		{4, 5, "7/4 4@0 3/4 5@0"},
		{6, 6, "5/8 6@0"},
	} {
		var got []string
		for _, f := range p.frames(c.first, c.last) {
			got = append(got, f.time.String())
			for _, part := range f.parts {
				got = append(got, fmt.Sprintf("%d@%s", part.bar, part.at))
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("bars %d to %d: %s, want %s", c.first, c.last, strings.Join(got, " "), c.want)
		}
	}
}

// A pedal that goes over the ends of an exercise is pressed and lifted there.
func TestMarks(t *testing.T) {
	s := scoretest.Piece{
		Time: "2/4", QPM: 80,
		Right: []string{"@p C5:2 | D5:2 | E5:1 @f E5:1 | F5:2"},
		Left:  []string{"C3:1 @ped C3:1 | G2:2 | @change C3:2 | C3:1 @lift C3:1"},
	}.Score(t)
	r := everywhere(s)
	g := newPassage(newPiece(r), &r.Spots[1])
	bars := g.withMarks(1, 2, g.bars(1, 2, everything))
	var got []string
	for i, b := range bars {
		for _, m := range b.marks {
			got = append(got, fmt.Sprintf("%d %s %s %s%s", i, m.at, m.hand, m.dynamic, m.pedal))
		}
	}
	want := []string{"0 0 right p", "0 0 left start", "0 2 left stop", "1 0 left start", "1 1 right f", "1 2 left stop"}
	if !slices.Equal(got, want) {
		t.Errorf("marks\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// The sign stands for D5 E5 D5 (common practice); it and nothing else is left out.
func TestOrnament(t *testing.T) {
	n := score.Note{Pitch: score.Pitch{Step: 'D', Octave: 5}, Ornaments: []string{"inverted-mordent"}, Fingering: "2"}
	other := score.Note{Pitch: score.Pitch{Step: 'G', Octave: 3}, Ornaments: []string{"trill-mark"}}
	s := sound{tones: []tone{{pitch: n.Pitch, note: &n}, {pitch: other.Pitch, note: &other}}, grace: [][]tone{{{note: &other}}}}
	if !s.simplify(map[*score.Note]bool{&n: true}) {
		t.Fatal("nothing is left out")
	}
	if got := s.tones[0].note; len(got.Ornaments) > 0 || got.Fingering != "2" || len(n.Ornaments) != 1 {
		t.Errorf("the note is left with %+v, and the piece with %+v", got, n)
	}
	if len(s.tones[1].note.Ornaments) != 1 || len(s.grace) != 1 {
		t.Error("another note loses its ornament")
	}
	if s.simplify(map[*score.Note]bool{&n: true}) {
		t.Error("a plain note is said to have changed")
	}
}

func TestHeldAndMoving(t *testing.T) {
	all := drills(t, scoretest.Piece{
		QPM:   100,
		Right: []string{"C6:4 | C6:4", "r:1/2 E5:1/2 F5:1/2 G5:1/2 A5:1/2 G5:1/2 F5:1/2 E5:1/2 | G5:4"},
		Left:  []string{"C3:4 | C3:4"},
	}, "held-and-moving")
	checkMusic(t, all, []want{
		{"Held notes alone", score.Right, "C6:4"},
		{"Moving notes alone", score.Right, "r:1/2 E5:1/2 F5:1/2 G5:1/2 A5:1/2 G5:1/2 F5:1/2 E5:1/2"},
	})
}

// Fingering stays with its note, also where it changes or there is a choice.
func TestFingering(t *testing.T) {
	for _, text := range []string{"3", "3-1", "2 4", "5-4 2", "3 (2)"} {
		n := &score.Note{Fingering: text}
		c := (&book{Score: &notation.Score{}}).chord(sound{tones: []tone{{pitch: score.Pitch{Step: 'C', Octave: 5}, note: n}}}, score.Right, "1", 0)
		if got := notation.FingeringText(c.Notes[0].Fingering); got != text {
			t.Errorf("%q is written as %q", text, got)
		}
	}
}
