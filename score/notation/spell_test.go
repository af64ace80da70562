package notation

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"hardbars/score"
)

var (
	common   = score.Time{Beats: "4", BeatType: 4, Length: score.Int(4)}
	compound = score.Time{Beats: "6", BeatType: 8, Length: score.Int(3)}
	eighths3 = score.Time{Beats: "3", BeatType: 8, Length: score.R(3, 2)}
	eighths5 = score.Time{Beats: "5", BeatType: 8, Length: score.R(5, 2)}
	eighths7 = score.Time{Beats: "7", BeatType: 8, Length: score.R(7, 2)}
)

// spans makes a voice of lengths in quarters.
func spans(t *testing.T, text string) []Span {
	t.Helper()
	var voice []Span
	var at score.Rat
	for word := range strings.FieldsSeq(text) {
		length, err := score.ParseRat(word)
		if err != nil {
			t.Fatal(err)
		}
		voice = append(voice, Span{at, length})
		at = at.Add(length)
	}
	return voice
}

// show writes what is spelled as one reads it: "eighth.", "eighth[3:2", and a ~
// where it goes on in the next.
func show(spelled []Spelled) string {
	var words []string
	for i, s := range spelled {
		word := s.Value.Type + strings.Repeat(".", s.Value.Dots)
		switch {
		case s.Begins:
			word += fmt.Sprintf("[%d:%d", s.Ratio.Actual, s.Ratio.Normal)
		case s.Ends:
			word += "]"
		}
		if i+1 < len(spelled) && spelled[i+1].Of == s.Of {
			word += "~"
		}
		words = append(words, word)
	}
	return strings.Join(words, " ")
}

// Ties, dots and tuplets as they are usually written: common practice.
func TestSpell(t *testing.T) {
	for _, c := range []struct {
		time        score.Time
		voice, want string
	}{
		{common, "1 1 2", "quarter quarter half"},
		{common, "3/2 1/2 2", "quarter. eighth half"},
		{common, "5/2 3/2", "half~ eighth quarter."},
		{common, "1/2 5/2 1", "eighth eighth~ half quarter"},
		{common, "5/4 3/4 2", "quarter~ 16th eighth. half"},
		{common, "1/3 1/3 1/3 1 2", "eighth[3:2 eighth eighth] quarter half"},
		{common, "2/3 1/3 3", "quarter[3:2 eighth] half."},
		{common, "1/3 1/6 1/6 1/3 3", "eighth[3:2 16th] 16th[3:2 eighth] half."},
		{common, "1/3 1/2 1/6 3", "eighth[3:2 eighth. 16th] half."},
		{common, "2/3 2/3 2/3 2", "quarter[3:2 quarter quarter] half"},
		{common, "1/5 1/5 1/5 1/5 1/5 3", "16th[5:4 16th 16th 16th 16th] half."},
		{common, "4/7 4/7 4/7 4/7 4/7 4/7 4/7", "quarter[7:4 quarter quarter quarter quarter quarter quarter]"},
		{compound, "3/2 3/8 3/8 3/8 3/8", "quarter. 16th. 16th. 16th. 16th."},
		{compound, "3/10 3/10 3/10 3/10 3/10 3/2", "eighth[5:3 eighth eighth eighth eighth] quarter."},
		{compound, "1/2 5/2", "eighth quarter~ quarter."},
		{common, "1 1/3 2/3 2", "quarter eighth[3:2 quarter] half"},
	} {
		if got := show(Spell(spans(t, c.voice), c.time)); got != c.want {
			t.Errorf("%s in %s is written\n%s, want\n%s", c.voice, c.time, got, c.want)
		}
	}
}

// Whatever the lengths, what is written follows on without a gap, lasts as long
// as what is played, and has the length that its value has.
func TestSpellKeepsLengths(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 3))
	units := []score.Rat{score.R(1, 4), score.R(1, 3), score.R(1, 6), score.R(1, 5), score.R(1, 8), score.R(1, 2), score.R(3, 11), score.R(1, 7), score.R(1, 48), score.R(1, 480)}
	for range 3000 {
		time := []score.Time{common, compound, eighths3}[random.IntN(3)]
		var voice []Span
		for at := (score.Rat{}); at.Less(time.Length); at = voice[len(voice)-1].End() {
			length := units[random.IntN(len(units))].Mul(score.Int(int64(1 + random.IntN(9))))
			voice = append(voice, Span{at, score.Min(length, time.Length.Sub(at))})
		}
		var at score.Rat
		of := -1
		for i, s := range Spell(voice, time) {
			if s.Of != of {
				of++
				at = voice[of].At
			}
			if s.Of != of || s.At != at || s.Value.Type != "" && s.Ratio.Played(s.Value.Length()) != s.Length || voice[of].End().Less(s.End()) {
				t.Fatalf("sign %d of %v: %+v", i, voice, s)
			}
			at = s.End()
		}
		if at != time.Length {
			t.Fatalf("%v is written with a length of %s", voice, at)
		}
	}
}

// Rests at the beats: common practice.
func TestRests(t *testing.T) {
	for _, c := range []struct {
		time           score.Time
		from, to, want string
	}{
		{common, "0", "4", "2 2"}, {common, "1", "4", "1 2"}, {common, "1", "3", "1 1"}, {common, "3/4", "2", "1/4 1"},
		{common, "1/3", "2", "2/3 1"}, {common, "1", "7/3", "1 1/3"}, {common, "1", "4/3", "1/3"}, {common, "2", "5/2", "1/2"},
		{compound, "0", "3", "3/2 3/2"}, {compound, "1/2", "3", "1/2 1/2 3/2"}, {compound, "0", "5/2", "3/2 1/2 1/2"},
		{eighths3, "1/2", "3/2", "1/2 1/2"},
	} {
		from, _ := score.ParseRat(c.from)
		to, _ := score.ParseRat(c.to)
		var got []string
		for _, s := range Rests(from, to, c.time) {
			got = append(got, s.Length.String())
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s, from %s to %s: %s, want %s", c.time, c.from, c.to, strings.Join(got, " "), c.want)
		}
	}
}

// page is one voice of notes in one bar.
func page(time score.Time, spelled []Spelled) *Score {
	s := &Score{Staves: 1, Bars: []Bar{{Length: time.Length, Time: time}}}
	for i, sp := range spelled {
		s.Chords = append(s.Chords, Chord{
			At: sp.At, Length: sp.Length, Value: sp.Value, Staff: 1, Voice: "1",
			Notes: []Note{{ID: i, Written: score.Pitch{Step: 'C', Octave: 5}, Staff: 1}},
		})
	}
	return s
}

// Beams over a beat: common practice.
func TestBeam(t *testing.T) {
	for _, c := range []struct {
		time        score.Time
		voice, want string
	}{
		{common, "1/2 1/2 1/2 1/2 2", "begin|end|begin|end|"},
		{common, "3/4 1/4 1/4 3/4 2", "begin|end,backward hook|begin,forward hook|end|"},
		{common, "1/4 1/4 1/4 1/4 1 2", "begin,begin|continue,continue|continue,continue|end,end||"},
		{compound, "1/2 1/2 1/2 1/2 1/2 1/2", "begin|continue|end|begin|continue|end"},
		{eighths3, "1/2 1/2 1/2", "begin|continue|end"},
		{eighths5, "1/2 1/2 1/2 1/2 1/2", "begin|continue|end|begin|end"},
		{eighths7, "1/2 1/2 1/2 1/2 1/2 1/2 1/2", "begin|end|begin|end|begin|continue|end"},
		{common, "1/2 1 1/2 2", "|||"},
	} {
		s := page(c.time, Spell(spans(t, c.voice), c.time))
		s.Beam()
		var got []string
		for _, c := range s.Chords {
			got = append(got, strings.Join(c.Beams, ","))
		}
		if strings.Join(got, "|") != c.want {
			t.Errorf("%s in %s: %s, want %s", c.voice, c.time, strings.Join(got, "|"), c.want)
		}
	}
}

// An accidental holds to the barline, on its own line or space only, and a note
// that goes on from another needs none: common practice.
func TestAddAccidentals(t *testing.T) {
	s := page(common, Spell(spans(t, "1/2 1/2 1/2 1/2 1/2 1/2 1/2"), common))
	s.Keys = []Key{{Fifths: 1}}
	for i, name := range []string{"F#4", "F4", "F4", "F#4", "F5", "Fb4", "F4"} {
		s.Chords[i].Notes[0].Written, _ = score.ParsePitch(name)
	}
	s.Ties = []Tie{{From: 2, To: 6}}
	s.AddAccidentals()
	var got []string
	for _, c := range s.Chords {
		got = append(got, c.Notes[0].Accidental)
	}
	if want := ",natural,,sharp,natural,flat,"; strings.Join(got, ",") != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A change of finger and another choice look different.
func TestFingering(t *testing.T) {
	var f []Fingering
	f = AddFinger(f, "3", Auto, false, false)
	f = AddFinger(f, "1", Auto, true, false)
	f = AddFinger(f, "", Auto, false, false)
	f = AddFinger(f, "2", Above, false, true)
	if got := FingeringText(f); got != "3-1 (2)" || f[1].Side != Above {
		t.Errorf("%q: %v", got, f)
	}
}

// Time signatures as MusicXML 4.0 has them, group time-signature.
func TestFractions(t *testing.T) {
	for _, c := range []struct {
		time score.Time
		want string
	}{
		{score.Time{Beats: "3", BeatType: 4}, "[3] [4]"}, {score.Time{Beats: "3+2", BeatType: 8}, "[3+2] [8]"},
		{score.Time{Beats: "3+2/8+2/4", BeatType: 8}, "[3+2 2] [8 4]"}, {score.Time{}, "[] []"},
	} {
		if beats, types := Fractions(c.time); fmt.Sprint(beats, types) != c.want {
			t.Errorf("%s: %v %v, want %s", c.time, beats, types, c.want)
		}
	}
}
