package drill

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"hardbars/score"
	"hardbars/score/musicxml"
)

var (
	common   = score.Time{Beats: "4", BeatType: 4, Length: score.Int(4)}
	compound = score.Time{Beats: "6", BeatType: 8, Length: score.Int(3)}
	eighths3 = score.Time{Beats: "3", BeatType: 8, Length: score.R(3, 2)}
)

// lengths makes a voice of lengths in quarters; "r" before one makes it a rest.
func lengths(t *testing.T, text string) voice {
	t.Helper()
	var v voice
	var at score.Rat
	for _, word := range strings.Fields(text) {
		length, err := score.ParseRat(strings.TrimPrefix(word, "r"))
		if err != nil {
			t.Fatal(err)
		}
		s := sound{at: at, length: length}
		if word[0] != 'r' {
			s.tones = []tone{{pitch: score.Pitch{Step: 'C', Octave: 5}}}
		}
		v, at = append(v, s), s.end()
	}
	return v
}

// show writes signs as one reads them: "eighth.", "r quarter", "eighth[3:2", and
// a ~ where one is tied to the next.
func show(signs []sign) string {
	var words []string
	for _, s := range signs {
		word := s.value.Type + strings.Repeat(".", s.value.Dots)
		if len(s.tones) == 0 {
			word = "r-" + word
		}
		switch s.tuplet {
		case "start":
			word += fmt.Sprintf("[%d:%d", s.value.Actual, s.value.Normal)
		case "stop":
			word += "]"
		}
		if len(s.tones) > 0 && s.tones[0].to {
			word += "~"
		}
		words = append(words, word)
	}
	return strings.Join(words, " ")
}

// Ties, dots and tuplets as they are usually written: common practice.
func TestNotate(t *testing.T) {
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
		{common, "r1 1/3 r2/3 r2", "r-quarter eighth[3:2 r-quarter] r-half"},
	} {
		if got := show(notate(lengths(t, c.voice), c.time)); got != c.want {
			t.Errorf("%s in %s is written\n%s, want\n%s", c.voice, c.time, got, c.want)
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
		for _, s := range rests(from, to, c.time, false) {
			got = append(got, s.length.String())
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s, from %s to %s: %s, want %s", c.time, c.from, c.to, strings.Join(got, " "), c.want)
		}
	}
}

// Whatever the lengths, what is written lasts as long as what is played, has
// the length that its value has, and ties what was cut.
func TestNotateKeepsLengths(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 3))
	units := []score.Rat{score.R(1, 4), score.R(1, 3), score.R(1, 6), score.R(1, 5), score.R(1, 8), score.R(1, 2), score.R(3, 11), score.R(1, 7), score.R(1, 48), score.R(1, 480)}
	for range 3000 {
		time := []score.Time{common, compound, eighths3}[random.IntN(3)]
		var v voice
		for at := (score.Rat{}); at.Less(time.Length); at = v[len(v)-1].end() {
			length := units[random.IntN(len(units))].Mul(score.Int(int64(1 + random.IntN(9))))
			s := sound{at: at, length: score.Min(length, time.Length.Sub(at))}
			if random.IntN(4) > 0 {
				s.tones = []tone{{pitch: score.Pitch{Step: 'E', Octave: 4}}}
			}
			v = append(v, s)
		}
		signs := notate(v, time)
		var at score.Rat
		for i, s := range signs {
			if s.at != at || s.value.Type != "" && s.value.Length() != s.length {
				t.Fatalf("sign %d of %v: at %s for %s as %+v", i, v, s.at, s.length, s.value)
			}
			if len(s.tones) > 0 && s.tones[0].to && (i+1 == len(signs) || !signs[i+1].tones[0].from) {
				t.Fatalf("sign %d of %v is tied to nothing", i, v)
			}
			at = s.end()
		}
		if at != time.Length {
			t.Fatalf("%v is written with a length of %s", v, at)
		}
	}
}

// Beams over a beat: common practice.
func TestBeams(t *testing.T) {
	for _, c := range []struct {
		time        score.Time
		voice, want string
	}{
		{common, "1/2 1/2 1/2 1/2 2", "begin|end|begin|end|"},
		{common, "3/4 1/4 1/4 3/4 2", "begin|end,backward hook|begin,forward hook|end|"},
		{common, "1/4 1/4 1/4 1/4 1/2 r1/2 2", "begin,begin|continue,continue|continue,continue|end,end|||"},
		{compound, "1/2 1/2 1/2 1/2 1/2 1/2", "begin|continue|end|begin|continue|end"},
		{eighths3, "1/2 1/2 1/2", "begin|continue|end"},
		{common, "1/2 1 1/2 2", "|||"},
	} {
		var got []string
		for _, s := range notate(lengths(t, c.voice), c.time) {
			got = append(got, strings.Join(s.beams, ","))
		}
		if strings.Join(got, "|") != c.want {
			t.Errorf("%s in %s: %s, want %s", c.voice, c.time, strings.Join(got, "|"), c.want)
		}
	}
}

// An accidental holds to the barline, on its own line or space only: common practice.
func TestAccidentals(t *testing.T) {
	f, g := func(alter int) score.Pitch { return score.Pitch{Step: 'F', Alter: alter, Octave: 4} }, score.Pitch{Step: 'F', Octave: 5}
	tones := []tone{{pitch: f(1)}, {pitch: f(0)}, {pitch: f(0)}, {pitch: f(1)}, {pitch: g}, {pitch: f(-1)}, {pitch: f(0), from: true}}
	var v []sign
	for i := range tones {
		v = append(v, sign{sound: sound{at: score.Int(int64(i)), tones: tones[i : i+1]}})
	}
	addAccidentals([][]sign{v}, score.Key{Fifths: 1})
	var got []string
	for _, tone := range tones {
		got = append(got, tone.sign)
	}
	if want := []string{"", "natural", "", "sharp", "natural", "flat", ""}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestClefs(t *testing.T) {
	bar := func(names ...string) [][]sign {
		var v []sign
		for _, name := range names {
			p, ok := score.ParsePitch(name)
			if !ok {
				t.Fatal(name)
			}
			v = append(v, sign{sound: sound{tones: []tone{{pitch: p}}}})
		}
		return [][]sign{v}
	}
	for _, c := range []struct {
		was     clef
		hand    score.Hand
		notes   [][]sign
		want    clef
		octaves int
	}{
		{treble, score.Right, bar("C4", "E4"), treble, 0},
		{treble, score.Right, bar("C3", "E3"), bass, 0},
		{bass, score.Right, bar("E3", "C5"), treble, 0},
		{bass, score.Left, bar("G4", "E5"), treble, 0},
		{treble, score.Left, bar("C4"), bass, 0},
		{treble, score.Left, nil, treble, 0},
		{treble, score.Right, bar("F5", "F7"), treble, 1},
		{bass, score.Left, bar("A0", "C1"), bass, -1},
		{treble, score.Right, bar("C4", "E6"), treble, 0},
	} {
		got := c.was.next(c.hand, c.notes)
		if octaves := got.octaves(c.notes); got != c.want || octaves != c.octaves {
			t.Errorf("%s hand, after %s, %v: %s and %d, want %s and %d", c.hand, c.was.sign, c.notes, got.sign, octaves, c.want.sign, c.octaves)
		}
	}
}

// Time signatures by the schema of MusicXML 4.0, group time-signature.
func TestTimes(t *testing.T) {
	for text, want := range map[string]string{"3/4": "[{3 4}]", "3+2/8": "[{3+2 8}]", "3+2/8+2/4": "[{3+2 8} {2 4}]"} {
		beats, beatType, _ := strings.Cut(text, "/")
		time := score.Time{Beats: beats, BeatType: 8}
		if text == "3/4" {
			time.BeatType = 4
		}
		if strings.Count(text, "/") > 1 {
			time.Beats = text
		}
		if got := fmt.Sprint(timeParts(time)); got != want || !writable(time) {
			t.Errorf("%s (over %s): %s, want %s", text, beatType, got, want)
		}
	}
	if writable(score.Time{}) || writable(score.Time{Beats: "4", BeatType: 3}) {
		t.Error("no signature, or thirds of a whole note, are taken for writable")
	}
	for _, c := range []struct {
		length score.Rat
		want   string
	}{{score.Int(5), "5/4"}, {score.R(7, 2), "7/8"}, {score.R(1, 4), "1/16"}, {score.R(5, 3), "2/4"}} {
		if got := timeOf(c.length); got.String() != c.want || got.Length.Less(c.length) || musicxml.TupletPart(got.Length) != 1 {
			t.Errorf("%s quarters: %s, want %s", c.length, got, c.want)
		}
	}
}
