package form

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"hardbars/score"
	"hardbars/score/scoretest"
)

// Four-bar phrases, each unlike the others in rhythm and notes.
var phrases = map[byte][2]string{
	'a': {"C5:1 E5:1 G5:2 | F5:1 D5:1 B4:2 | C5:1/2 D5:1/2 E5:1 A5:2 | G5:3 r:1", "C3:2 G3:2 | G2:4 | A2:2 F2:2 | C3:4"},
	'b': {"A5:3/2 G5:1/2 F5:1/2 E5:1/2 D5:1 | E5:3/2 F5:1/2 G5:1 C5:1 | D5:4 | E5:2 F#5:2", "F3:1 A3:1 F3:1 A3:1 | C3:1 E3:1 G3:1 E3:1 | G3:1 B3:1 G3:1 B3:1 | A3:4"},
	'c': {"r:1 Bb5:1/3 A5:1/3 G5:1/3 F5:2 | r:1 G5:1/3 F5:1/3 E5:1/3 D5:2 | C#5:1 D5:1 E5:1 F5:1 | D5:4", "Bb2+D3:4 | C3+E3:4 | A2+E3:4 | D3+F3:4"},
	'd': {"G4+B4:1 r:3 | A4+C5:1 r:2 D5:1 | B4:1/2 C5:1/2 D5:1/2 E5:1/2 F5:2 | G5:4", "r:1 G2:3 | r:1 D2:3 | r:2 G2:2 | G2:1 D3:1 G3:2"},
}

// compose writes phrases one after the other.
func compose(t *testing.T, letters string) *score.Score {
	t.Helper()
	var right, left []string
	for i := range letters {
		right, left = append(right, phrases[letters[i]][0]), append(left, phrases[letters[i]][1])
	}
	return scoretest.Piece{Right: []string{strings.Join(right, " | ")}, Left: []string{strings.Join(left, " | ")}}.Score(t)
}

// transpose moves some bars, indices from first to last.
func transpose(s *score.Score, first, last, semitones int) {
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.Bar >= first && n.Bar <= last {
			n.Pitch.Octave += semitones / 12
			n.Pitch.Alter += semitones % 12
		}
	}
}

// outline is the sections with their bars: "A 1-4, B 5-8, A 9-12".
func outline(f *Form) string {
	var all []string
	for _, sec := range f.Sections {
		all = append(all, fmt.Sprintf("%s %s-%s", sec.Name, f.Score.Bars[sec.First].Number, f.Score.Bars[sec.Last].Number))
	}
	return strings.Join(all, ", ")
}

// played is the order of play by names: "A A B".
func played(f *Form) string {
	var all []string
	for _, i := range f.Played {
		all = append(all, f.Sections[i].Name)
	}
	return strings.Join(all, " ")
}

func TestSections(t *testing.T) {
	for _, c := range []struct{ phrases, want string }{
		{"a", "A 1-4"},
		{"abcd", "A 1-16"},
		{"aa", "A 1-4, A 5-8"},
		{"aba", "A 1-4, B 5-8, A 9-12"},
		{"aaba", "A 1-4, A 5-8, B 9-12, A 13-16"},
		{"abaca", "A 1-4, B 5-8, A 9-12, C 13-16, A 17-20"},
		{"abacaba", "A 1-4, B 5-8, A 9-12, C 13-16, A 17-20, B 21-24, A 25-28"},
		{"abcab", "A 1-8, B 9-12, A 13-20"},
		{"abab", "A 1-8, A 9-16"},
		{"cabdab", "A 1-4, B 5-12, C 13-16, B 17-24"},
	} {
		if got := outline(Find(compose(t, c.phrases))); got != c.want {
			t.Errorf("%s: %s, want %s", c.phrases, got, c.want)
		}
	}
}

func TestTransposed(t *testing.T) {
	s := compose(t, "aba")
	transpose(s, 8, 11, -7)
	f := Find(s)
	if got := outline(f); got != "A 1-4, B 5-8, A′ 9-12" {
		t.Fatal(got)
	}
	if l := f.Sections[2].Like; l.Section != 0 || l.Semitones != -7 || l.Relation() != Transposed || l.Share != 1 || l.Differ != nil {
		t.Errorf("a fifth lower: %+v", l)
	}
}

func TestVaried(t *testing.T) {
	s := compose(t, "abaa")
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Bar == 9 && n.Hand == score.Right || n.Bar == 13 && n.Hand == score.Right {
			n.Pitch.Octave++
		}
	}
	f := Find(s)
	if got := outline(f); got != "A 1-4, B 5-8, A′ 9-12, A′ 13-16" {
		t.Fatal(got)
	}
	// 17 notes in the phrase, 3 of them an octave higher.
	if l := f.Sections[2].Like; l.Relation() != Varied || !slices.Equal(l.Differ, []int{9}) || l.Share != 14.0/17 {
		t.Errorf("bar 10 is changed: %+v", l)
	}
	if l := f.Sections[3].Like; l.Section != 2 || l.Relation() != Exact {
		t.Errorf("the change comes again: %+v", l)
	}
}

// Signs cut the piece, and what is repeated by them is one section.
func TestSectionsBySigns(t *testing.T) {
	s := compose(t, "aabcd")
	s.Bars[7].RepeatEnd = 2
	s.Bars[8].RepeatStart = true
	s.Bars[15].RepeatEnd = 2
	f := Find(s)
	if got, want := outline(f), "A 1-8, B 9-16, C 17-20"; got != want {
		t.Errorf("sections %s, want %s", got, want)
	}
	if got, want := played(f), "A A B B C"; got != want {
		t.Errorf("played %s, want %s", got, want)
	}
	if f.Sections[0].Times != 2 || f.Sections[2].Times != 1 || f.BarsPlayed() != 36 {
		t.Errorf("times %+v, %d bars in play", f.Sections, f.BarsPlayed())
	}
}

// What is repeated by signs is cut where a part of it comes elsewhere.
func TestSectionsAcrossSigns(t *testing.T) {
	s := compose(t, "abcba")
	s.Bars[3].RepeatEnd = 2
	s.Bars[4].RepeatStart = true
	s.Bars[11].RepeatEnd = 2
	f := Find(s)
	if got, want := outline(f), "A 1-4, B 5-8, C 9-12, B 13-16, A 17-20"; got != want {
		t.Errorf("sections %s, want %s", got, want)
	}
	if got, want := played(f), "A A B C B C B A"; got != want {
		t.Errorf("played %s, want %s", got, want)
	}
}

// The first ending belongs to its section, and what comes again without it is
// the same section.
func TestSectionsWithEndings(t *testing.T) {
	s := compose(t, "abda")
	// Bars 4 and 5 become the endings of a strain of five bars; the end takes up
	// bars 1–3 and the second ending.
	s.Bars[3].Ending, s.Bars[3].RepeatEnd, s.Bars[4].Ending = "1", 2, "2"
	s.Bars[5].RepeatStart, s.Bars[11].RepeatEnd = true, 2
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Bar == 15 {
			n.Pitch.Octave += 3 // no longer bar 4
		}
	}
	f := Find(s)
	if got, want := outline(f), "A 1-5, B 6-12, A′ 13-16"; got != want {
		t.Errorf("sections %s, want %s", got, want)
	}
	if got, want := played(f), "A A B B A′"; got != want {
		t.Errorf("played %s, want %s", got, want)
	}
	if l := f.Sections[2].Like; !slices.Equal(l.Differ, []int{15}) {
		t.Errorf("only the last bar differs, got %+v", l)
	}
}

func TestDaCapo(t *testing.T) {
	s := compose(t, "abc")
	s.Bars[3].Jumps = []string{"fine"}
	s.Bars[11].Jumps = []string{"da capo"}
	f := Find(s)
	if got, want := outline(f)+": "+played(f), "A 1-4, B 5-12: A B A"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if f.Through() {
		t.Error("da capo comes again")
	}
}

func TestThrough(t *testing.T) {
	if f := Find(compose(t, "abcd")); !f.Through() || f.OneRhythm() > 8 {
		t.Errorf("four phrases: through-composed %t, %d of 16 bars in one rhythm", f.Through(), f.OneRhythm())
	}
	if f := Find(compose(t, "aba")); f.Through() {
		t.Error("A B A is not through-composed")
	}
}

// TestAgain compares with the definition: each bar that has a bar like it
// before is in exactly one run, and no run could be longer.
func TestAgain(t *testing.T) {
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 1))
		var letters []byte
		for range 2 + r.IntN(5) {
			letters = append(letters, "abcd"[r.IntN(4)])
		}
		f := Find(compose(t, string(letters)))
		in := make([]int, len(f.Score.Bars))
		for _, a := range f.Again {
			for bar := a.First; bar <= a.Last; bar++ {
				in[bar]++
				if of := a.Of + bar - a.First; !f.Bars.Same(of, bar) || of >= a.First {
					t.Fatalf("%s: %+v", letters, a)
				}
			}
			if next := a.Of + a.Last - a.First + 1; a.Last+1 < len(in) && next < a.First && f.Bars.Same(next, a.Last+1) {
				t.Fatalf("%s: %+v could be longer", letters, a)
			}
		}
		for bar := range in {
			before := 0
			if slices.ContainsFunc(f.Score.Bars[:bar], func(b score.Bar) bool { return f.Bars.Same(b.Index-1, bar) }) {
				before = 1
			}
			if in[bar] != before {
				t.Fatalf("%s: bar %d is in %d runs, want %d", letters, bar+1, in[bar], before)
			}
		}
	}
}

// TestFormOfAnyPiece: every bar is in one section, the sections follow each
// other, transposing the whole piece changes nothing, and in a piece that is
// played twice over every section of the second half is one of the first.
func TestFormOfAnyPiece(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 2))
		var letters []byte
		for range 1 + r.IntN(6) {
			letters = append(letters, "abcd"[r.IntN(4)])
		}
		s := compose(t, string(letters))
		f := Find(s)
		next := 0
		for _, sec := range f.Sections {
			if sec.First != next || sec.Last < sec.First {
				t.Fatalf("%s: %s", letters, outline(f))
			}
			next = sec.Last + 1
		}
		if next != len(s.Bars) {
			t.Fatalf("%s: %s", letters, outline(f))
		}
		transpose(s, 0, len(s.Bars)-1, 13)
		if moved := outline(Find(s)); moved != outline(f) {
			t.Errorf("%s: %s when transposed, %s as it is", letters, moved, outline(f))
		}
		twice := Find(compose(t, string(letters)+string(letters)))
		for _, sec := range twice.Sections {
			if sec.First >= len(s.Bars) && (sec.Like == nil || sec.Like.Relation() != Exact) {
				t.Errorf("%s twice: %s", letters, outline(twice))
			}
		}
	}
}

// Signs of any kind do not stop it.
func TestFormWithAnySigns(t *testing.T) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 3))
		s := compose(t, "abad")
		for i := range s.Bars {
			b := &s.Bars[i]
			b.RepeatStart = r.IntN(4) == 0
			b.RepeatEnd = []int{0, 0, 0, 2, 3}[r.IntN(5)]
			b.Ending = []string{"", "", "", "1", "2"}[r.IntN(5)]
			if r.IntN(5) == 0 {
				b.Jumps = []string{[]string{"segno", "coda", "to coda", "da capo", "dal segno", "fine"}[r.IntN(6)]}
			}
		}
		f := Find(s)
		if len(f.Sections) == 0 || f.Sections[0].First != 0 || f.Sections[len(f.Sections)-1].Last != len(s.Bars)-1 || len(f.Played) == 0 {
			t.Fatalf("seed %d: %s, played %s", seed, outline(f), played(f))
		}
	}
}

func TestEmptyScore(t *testing.T) {
	if f := Find(&score.Score{}); len(f.Sections) > 0 || f.Bars.Distinct() != 0 {
		t.Errorf("%+v", f)
	}
}

func TestLetters(t *testing.T) {
	for n, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		if got := Letters(n); got != want {
			t.Errorf("%d is %s, want %s", n, got, want)
		}
	}
}
