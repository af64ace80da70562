package musicxml

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/score"
	"hardbars/score/notation"
)

// run writes n notes of a tuplet whose durations are cut to whole divisions.
func run(n, duration int, kind, tuplet string) string {
	return strings.Repeat(fmt.Sprintf("C5 %d %s %s\n", duration, kind, tuplet), n)
}

// The divisions are those that a widespread exporter writes: cut to whole ones, with
// a <forward> for what is missing. The exact values are arithmetic on the symbols.
func TestRoundedTuplets(t *testing.T) {
	tests := []struct {
		name, bar string
		notes     int
		step      score.Rat
		length    score.Rat // of the bar
	}{
		{"11 eighths in the time of 6", run(11, 130, "eighth", "11:6") + "forward 10", 11, score.R(3, 11), score.Int(3)},
		{"22 in the time of 12, filled after every second note",
			strings.Repeat(run(2, 130, "eighth", "22:12")+"forward 1\n", 10) + run(2, 130, "eighth", "22:12") + "forward 10", 22, score.R(3, 11), score.Int(6)},
		{"35 sixteenths in the time of 8", run(35, 27, "16th", "35:8") + "forward 15", 35, score.R(2, 35), score.Int(2)},
		{"13 eighths in the time of 4", run(13, 73, "eighth", "13:4") + "forward 11", 13, score.R(2, 13), score.Int(2)},
		{"7 eighths in the time of 6", run(7, 205, "eighth", "7:6") + "forward 5", 7, score.R(3, 7), score.Int(3)},
		{"7 sixteenths in the time of 4, not filled up", run(7, 68, "16th", "7:4"), 7, score.R(1, 7), score.Int(1)},
		{"rounding shared out among the notes",
			strings.Repeat("C5 68 16th 7:4\nC5 69 16th 7:4\n", 3) + "C5 69 16th 7:4", 7, score.R(1, 7), score.Int(1)},
		{"cut twice: 3 in the time of 2 within 7 in the time of 4", run(21, 44, "16th", "21:8") + "forward 36", 21, score.R(2, 21), score.Int(2)},
		{"values that need no rounding", run(6, 160, "eighth", "3:2"), 6, score.R(1, 3), score.Int(2)},
		{"too far from the symbol to be rounding", run(4, 240, "quarter", "3:2"), 4, score.R(1, 2), score.Int(2)},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := scoreFrom(t, sketch(test.bar))
			if len(s.Notes) != test.notes || s.Bars[0].Length != test.length {
				t.Fatalf("%d notes in %s quarters, want %d in %s", len(s.Notes), s.Bars[0].Length, test.notes, test.length)
			}
			for i, n := range s.Notes {
				if want := test.step.Mul(score.Int(int64(i))); n.Onset != want || n.Length != test.step {
					t.Fatalf("note %d at %s for %s, want %s for %s", i+1, n.Onset, n.Length, want, test.step)
				}
			}
		})
	}
}

// With four divisions a triplet's eighth is 1 or 2 of them: the writer shares out
// the rounding, and the note after the triplet is on the beat.
func TestCoarseDivisions(t *testing.T) {
	s := scoreFrom(t, sketch(`<attributes><divisions>4</divisions></attributes>
		C5 1 eighth 3:2; D5 1 eighth 3:2; E5 2 eighth 3:2; F5 4 quarter
		back 8; C3 8 half v5 s2`))
	wantLines(t, table(s), "right 1 0+1/3 C5", "left 1 0+2 C3", "right 1 1/3+1/3 D5", "right 1 2/3+1/3 E5", "right 1 1+1 F5")
}

// A second voice that begins under the third note of a rounded tuplet begins
// exactly there, and a plain note after a gap is where the file's clock has it.
func TestVoicesMeetAtExactPlaces(t *testing.T) {
	s := scoreFrom(t, sketch("time 3/4\n"+run(11, 130, "eighth", "11:6")+`forward 10
		back 1180; E4 130 eighth 11:6 v2
		back 390; forward 480; G4 960 half v2
		back 1440; C3 1440 half dot v5 s2`))
	var got []string
	for _, line := range table(s) {
		if !strings.HasSuffix(line, "C5") {
			got = append(got, line)
		}
	}
	wantLines(t, got, "left 1 0+3 C3", "right 1 6/11+3/11 E4", "right 1 1+2 G4")
	if got := warned(s, ""); len(got) > 0 {
		t.Error("unexpected warnings:", got)
	}
}

// A rest of a tuplet that the file leaves out is as long as the note before it.
func TestGapInsideATuplet(t *testing.T) {
	s := scoreFrom(t, sketch("C5 130 eighth 11:6; forward 130; D5 130 eighth 11:6; forward 1050; back 1440; C3 1440 v5 s2"))
	wantLines(t, table(s), "right 1 0+3/11 C5", "left 1 0+3 C3", "right 1 6/11+3/11 D5")
}

func TestDivisionsChange(t *testing.T) {
	s := scoreFrom(t, sketch(
		"C5 480 quarter; <attributes><divisions>3</divisions></attributes>; D5 3 quarter; E5 1 eighth 3:2; F5 2 quarter 3:2; back 9; C3 9 v5 s2",
		"G5 3 quarter; back 3; C3 3 v5 s2",
	))
	wantLines(t, table(s), "right 1 0+1 C5", "left 1 0+3 C3", "right 1 1+1 D5", "right 1 2+1/3 E5", "right 1 7/3+2/3 F5",
		"right 2 0+1 G5", "left 2 0+1 C3")
}

func TestBadDivisions(t *testing.T) {
	const notes = "C5 10 quarter; D5 5 eighth; E5 5 eighth"
	want := []string{"right 1 0+1 C5", "right 1 1+1/2 D5", "right 1 3/2+1/2 E5"}
	for _, divisions := range []string{"", "0", "-4", "many", "1e9", "9999999999999999"} {
		t.Run(divisions, func(t *testing.T) {
			text := strings.Replace(sketch(notes), "<divisions>480</divisions>", "<divisions>"+divisions+"</divisions>", 1)
			s := scoreFrom(t, text)
			wantLines(t, table(s), want...)
			if len(warned(s, "bar 1: divisions of")) != 1 {
				t.Error("warnings:", s.Warnings)
			}
		})
	}
	s := scoreFrom(t, strings.Replace(sketch(notes), "<divisions>480</divisions>", "", 1))
	wantLines(t, table(s), want...)
	if len(warned(s, "bar 1: the file does not say how many divisions make a quarter; 10 fit")) != 1 {
		t.Error("warnings:", s.Warnings)
	}
}

// The schema allows fractions in divisions.
func TestFractionalDivisions(t *testing.T) {
	s := scoreFrom(t, sketch("<attributes><divisions>2.5</divisions></attributes>; C5 2.5 quarter; D5 1.25 eighth; E5 1.25 eighth"))
	wantLines(t, table(s), "right 1 0+1 C5", "right 1 1+1/2 D5", "right 1 3/2+1/2 E5")
	if len(warned(s, "not a whole number")) != 1 {
		t.Error("warnings:", s.Warnings)
	}
}

func TestBadDurations(t *testing.T) {
	tests := []struct{ duration, warning string }{
		{"0", "a note's duration of 0 cannot be right; it was given 1 quarter"},
		{"-480", "a note's duration of -480 cannot be right; it was given 1 quarter"},
		{"1099511627777", "a note's duration of 1099511627777 cannot be right; it was given 1 quarter"},
		{"99999999999999999999999", "cannot be right; it was given 1 quarter"},
		{"soon", "a note's duration of soon cannot be right; it was given 1 quarter"},
		{"", "a note has no duration; it was given 1 quarter"},
	}
	for _, test := range tests {
		s := scoreFrom(t, sketch("time 2/4; C5 480 quarter; D5 "+test.duration+" quarter; back 960; C3 960 half v5 s2", "E5 960 half"))
		wantLines(t, table(s), "right 1 0+1 C5", "left 1 0+2 C3", "right 1 1+1 D5", "right 2 0+2 E5")
		if got := warned(s, "bar 1: "); len(got) != 1 || !strings.Contains(got[0], test.warning) {
			t.Errorf("duration %q: warnings %v", test.duration, got)
		}
	}
}

// After a bad duration the other hand still begins with the bar, whether the file
// counts the note by what it should be or by what is written.
func TestBackAfterABadDuration(t *testing.T) {
	for _, upper := range []string{
		"C5 480 quarter; D5 0 quarter; back 960", "C5 480 quarter; D5 0 quarter; back 480", "C5 0 half; back 0", "C5 0 half; back 960",
		"C5 2199023255552 half; back 960", "C5 2199023255552 half; back 2199023255552", "C5 half; back 960",
	} {
		s := scoreFrom(t, sketch("time 2/4;"+upper+"; C3 960 half v5 s2"))
		if n := s.Notes[1]; n.Hand != score.Left || !n.Onset.IsZero() || s.Bars[0].Length != score.Int(2) {
			t.Errorf("%s: %q in a bar of %s", upper, table(s), s.Bars[0].Length)
		}
	}
}

func TestBadGaps(t *testing.T) {
	s := scoreFrom(t, sketch("C5 480 quarter; back 960; C3 480 quarter v5 s2", "D5 480 quarter; forward -480; back -7; back x; forward 99999999999; E5 480 quarter"))
	wantLines(t, table(s), "right 1 0+1 C5", "left 1 0+1 C3", "right 2 0+1 D5", "right 2 1+1 E5")
	wantLines(t, warned(s, "bar"),
		"bar 1: the file goes back to before the bar's start; read from the start",
		`bar 2: a <forward> of "-480" divisions cannot be right and was left out`,
		`bar 2: a <backup> of "-7" divisions cannot be right and was left out`,
		`bar 2: a <backup> of "x" divisions cannot be right and was left out`,
		"bar 2: a gap of 33333333333/160 quarters cannot be right and was left out")
}

// The lengths of note types are those of the schema's note-type-value: each half
// of the one before it, a quarter being one.
func TestSymbolLengths(t *testing.T) {
	types := []string{"maxima", "long", "breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th", "512th", "1024th"}
	length := score.Int(32)
	for _, name := range types {
		if got := (symbol{noteType: name}).lengths()[0]; got != length {
			t.Errorf("%s is %s quarters, want %s", name, got, length)
		}
		length = length.Div(score.Int(2))
	}
	if (symbol{noteType: "2048th"}).lengths() != nil {
		t.Error("a type that the schema does not have is taken for one")
	}
	dots := []score.Rat{score.Int(1), score.R(3, 2), score.R(7, 4), score.R(15, 8)}
	for n, want := range dots {
		if got := notation.Dotted(score.Int(1), n); got != want {
			t.Errorf("%d dots: %s, want %s", n, got, want)
		}
	}
	// Five dotted eighths in the time of two half notes, as <normal-type> can say it.
	odd := symbol{noteType: "eighth", dots: 1, actual: 5, normal: 2, normalType: "half"}
	if got := odd.exactLength(score.R(384, 480), score.R(1, 480)); got != score.R(4, 5) {
		t.Errorf("a fifth of two halves is %s", got)
	}
}

// A gap that makes the bar many times its time signature, and a duration that is
// many times the note's symbol, are mistakes of the file; the neighbours tell.
func TestLengthsOutOfAllProportion(t *testing.T) {
	s := scoreFrom(t, sketch("time 4/4; C5 1920; back 1920; C3 480 v5 s2; forward 318720", "D5 318720 quarter; E5 1440 half dot", "F5 1920"))
	wantLines(t, barTable(s), "1 4 4/4", "2 4 4/4", "3 4 4/4")
	wantLines(t, table(s), "right 1 0+4 C5", "left 1 0+1 C3", "right 2 0+1 D5", "right 2 1+3 E5", "right 3 0+4 F5")
	wantLines(t, warned(s, ""), "bar 1: a gap of 664 quarters cannot be right and was left out", "bar 2: a note's duration of 318720 cannot be right; it was given 1 quarter")
}

// A hidden rest of no length is nothing.
func TestHiddenRestOfNoLength(t *testing.T) {
	s := scoreFrom(t, sketch("time 4/4; C5 960; r 0 hidden; D5 960"))
	wantLines(t, table(s), "right 1 0+2 C5", "right 1 2+2 D5")
	wantLines(t, warned(s, ""))
}

// A voice that runs 1/240 of a quarter late is on the others' beat; what a tuplet's
// symbols place exactly stays, however near its neighbour.
func TestLateVoice(t *testing.T) {
	s := scoreFrom(t, sketch("time 2/4; C5 480; D5 480; back 960; forward 2; C3 480 v5 s2; D3 478 v5 s2", "E5 960"))
	wantLines(t, table(s), "right 1 0+1 C5", "left 1 0+1 C3", "right 1 1+1 D5", "left 1 1+1 D3", "right 2 0+2 E5")
	wantLines(t, warned(s, ""), "bar 1: 2 notes less than 1/64 of a quarter beside the other voices: put on their beat")

	s = scoreFrom(t, sketch("time 2/4;"+strings.Repeat("C5 73 16th 13:8;", 13)+"forward 11; back 960;"+strings.Repeat("C3 80 16th 12:8 v5 s2;", 12)))
	if at := s.Notes[len(s.Notes)-1].Onset; at != score.R(24, 13) {
		t.Errorf("the last of thirteen stands at %s", at)
	}
}

// Where one voice fills the bar, another that runs a little over is cut.
func TestVoiceRunsOver(t *testing.T) {
	s := scoreFrom(t, sketch("time 2/4; C5 960; back 960; C3 900 v5 s2; D3 120 v5 s2", "E5 960"))
	wantLines(t, barTable(s), "1 2 2/4", "2 2 2/4")
	wantLines(t, warned(s, ""), "bar 1: a voice runs 1/8 quarters over the bar: cut")
}

// Two attacks that nothing but the file's rounding parts are one, wherever they are.
func TestRoundingErrorApart(t *testing.T) {
	s := scoreFrom(t, sketch("<attributes><divisions>10080</divisions></attributes>; time 2/4; C5 3361; D5 16799; back 20160; C3 3362 v5 s2; D3 16798 v5 s2"))
	if s.Notes[2].Onset != s.Notes[3].Onset {
		t.Errorf("struck at %s and %s", s.Notes[2].Onset, s.Notes[3].Onset)
	}
}

// Lengths that cannot be counted exactly together are refused, with the bar.
func TestUncountableLengths(t *testing.T) {
	var b strings.Builder
	for _, n := range []int{101, 103, 107, 109, 113, 127, 131, 137, 139, 149, 151, 157, 163, 167, 173} {
		fmt.Fprintf(&b, "<attributes><divisions>%d</divisions></attributes>; C5 1;", n)
	}
	_, err := mustRead(t, sketch("C5 480", b.String(), "C5 480")).Score(Options{})
	if err == nil || !strings.HasPrefix(err.Error(), "tune.musicxml: bar 2 (bar 2 of the file): lengths too fine or too long to be counted exactly") {
		t.Error(err)
	}
}
