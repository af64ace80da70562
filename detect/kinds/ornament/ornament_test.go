package ornament

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/perform"
	"hardbars/score/scoretest"
)

// signed reads a piece and puts a sign at the first note of the right hand.
func signed(t *testing.T, p scoretest.Piece, sign string, change ...func(*score.Note)) *score.Score {
	t.Helper()
	s := p.Score(t)
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Hand == score.Right && n.Grace == 0 {
			n.Ornaments = []string{sign}
			for _, do := range change {
				do(n)
			}
			break
		}
	}
	return s
}

// ornaments runs the detector.
func ornaments(s *score.Score, p detect.Player) []detect.Occurrence { return Detector.Find(s, p) }

func detailOf(t *testing.T, found []detect.Occurrence) Detail {
	t.Helper()
	if len(found) != 1 {
		t.Fatalf("%d ornaments, want 1: %+v", len(found), found)
	}
	return found[0].Detail.(Detail)
}

// A trill on a half note at 66: sextuplet sixteenths are 6.6 notes a second,
// and thirty-seconds at 8.8 more than the comfortable 8. So it is twelve notes,
// six pairs, the last two pairs a turn.
func TestTrillOnHalfNote(t *testing.T) {
	s := signed(t, scoretest.Piece{QPM: 66, Right: []string{"C5:2 r:2"}, Left: []string{"C3:1 E3:1 r:2"}}, "trill-mark")
	o := ornaments(s, detect.DefaultPlayer())
	d := detailOf(t, o)
	want := Detail{
		Sign: "trill", Notes: 12,
		PerSecond: 6.6, Asked: 6, Seconds: 1.818, Ending: "turn", OtherHand: 2,
	}
	if strings.Join(writtenOut(d), " ") != "D5 C5 D5 C5 D5 C5 D5 C5 D5 C5 B4 C5" {
		t.Errorf("written out %v", d.WrittenOut)
	}
	if d.Sign != want.Sign || d.Notes != want.Notes || d.PerSecond != want.PerSecond || d.Asked != want.Asked ||
		d.Seconds != want.Seconds || d.Ending != want.Ending || d.OtherHand != want.OtherHand {
		t.Errorf("got  %+v\nwant %+v", d, want)
	}
	if math.Abs(o[0].Demand-6.0/8) > 1e-9 || o[0].Timed {
		t.Errorf("demand %g, timed %t", o[0].Demand, o[0].Timed)
	}
	if want := "A trill on C5 for 1.8 s: 12 notes, 6.6 a second, D5 C5 D5 C5 D5 C5 …, the last four a turn; " +
		"the other hand strikes twice meanwhile. At least 6.0 a second are asked for, where 8.0 is comfortable."; o[0].Why != want {
		t.Errorf("why %q", o[0].Why)
	}
}

// However fast the piece and whoever plays, the notes fit their time: pairs
// from the note above, or three notes; no more a second than is comfortable,
// but for what is needed to be a trill at all.
func TestTrillFits(t *testing.T) {
	for _, level := range detect.Levels {
		for qpm := 30.0; qpm <= 200; qpm += 7 {
			for _, length := range []string{"1/4", "1/2", "3/4", "1", "3/2", "2", "3", "4"} {
				s := signed(t, scoretest.Piece{QPM: qpm, Right: []string{"C5:" + length}}, "trill-mark")
				p := detect.DefaultPlayer()
				p.Level = level
				d := detailOf(t, ornaments(s, p))
				if d.Notes != len(d.WrittenOut) || d.Notes != 3 && d.Notes%2 != 0 || writtenOut(d)[d.Notes-1] != "C5" {
					t.Fatalf("%s, a length of %s at %g: %+v", level, length, qpm, d)
				}
				if d.Notes > 4 && d.PerSecond > max(p.Can(detect.TrillRate), 2*perform.SlowestTrill)+1e-3 {
					t.Errorf("%s, a length of %s at %g: %g notes a second", level, length, qpm, d.PerSecond)
				}
			}
		}
	}
}

// The notes above and below: of the key, as played before in the bar, with the
// accidental at the sign, and never more or less than a semitone or a tone off.
func TestAuxiliaries(t *testing.T) {
	above := func(a string) func(*score.Note) { return func(n *score.Note) { n.AuxAbove = a } }
	below := func(a string) func(*score.Note) { return func(n *score.Note) { n.AuxBelow = a } }
	none := func(*score.Note) {}
	for _, c := range []struct {
		name, right string
		fifths      int
		sign        string
		change      func(*score.Note)
		want        string
	}{
		{"C major", "E5:1 r:3", 0, "inverted-mordent", none, "E5 F5 E5"},
		{"G major", "E5:1 r:3", 1, "inverted-mordent", none, "E5 F#5 E5"},
		{"downwards", "E5:1 r:3", 0, "mordent", none, "E5 D5 E5"},
		{"a sharp above", "E5:1 r:3", 0, "inverted-mordent", above("sharp"), "E5 F#5 E5"},
		{"a natural above", "E5:1 r:3", 1, "inverted-mordent", above("natural"), "E5 F5 E5"},
		{"a sharp below", "G5:1 r:3", 0, "mordent", below("sharp"), "G5 F#5 G5"},
		{"the wrong side", "G5:1 r:3", 0, "mordent", above("sharp"), "G5 F5 G5"},
		{"a turn", "G5:1 r:3", 0, "turn", none, "A5 G5 F5 G5"},
		{"an inverted turn", "G5:1 r:3", -3, "inverted-turn", none, "F5 G5 Ab5 G5"},
		{"after the note", "G5:1 r:3", 0, "delayed-turn", below("sharp"), "G5 A5 G5 F#5 G5"},
		{"a slide", "G5:1 r:3", 1, "schleifer", none, "E5 F#5 G5"},
		{"no key between", "B4:1 r:3", 0, "inverted-mordent", none, "B4 C5 B4"},
		{"the same key", "E#5:1 r:3", 0, "inverted-mordent", none, "E#5 F#5 E#5"},
		{"too far", "Bb4:1 r:3", 4, "inverted-mordent", none, "Bb4 C5 Bb4"},
	} {
		s := signed(t, scoretest.Piece{QPM: 60, Fifths: c.fifths, Right: []string{c.right}}, c.sign, c.change)
		if got := strings.Join(writtenOut(detailOf(t, ornaments(s, detect.DefaultPlayer()))), " "); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// An accidental holds to the end of its bar, on its staff.
func TestAuxiliaryOfTheBar(t *testing.T) {
	for right, want := range map[string]string{
		"F#5:1 E5:1 r:2":           "E5 F#5 E5",
		"F#5:1 F5:1 E5:1 r:1":      "E5 F5 E5",
		"F#4:1 E5:1 r:2":           "E5 F5 E5",
		"F#5:1 r:3 | r:1 E5:1 r:2": "E5 F5 E5",
		"gF#5 E5:1 r:3":            "E5 F5 E5",
	} {
		s := scoretest.Piece{QPM: 60, Right: []string{right}}.Score(t)
		for i := range s.Notes {
			if s.Notes[i].Pitch.String() == "E5" {
				s.Notes[i].Ornaments = []string{"inverted-mordent"}
			}
		}
		if got := strings.Join(writtenOut(detailOf(t, ornaments(s, detect.DefaultPlayer()))), " "); got != want {
			t.Errorf("%s: %s, want %s", right, got, want)
		}
	}
}

// A written ending takes the place of the turn: two grace notes before what
// follows, or two quick notes.
func TestTrillEndings(t *testing.T) {
	for right, want := range map[string]string{
		"C5:2 gB4 gC5 D5:2":           "D5 C5 D5 C5 D5 C5 D5 C5 D5 C5 B4 C5",
		"C5:2 B4:1/4 C5:1/4 D5:3/2":   "D5 C5 D5 C5 D5 C5 D5 C5 D5 C5 D5 C5",
		"C5:2 E5:1/4 F5:1/4 G5:3/2":   "D5 C5 D5 C5 D5 C5 D5 C5 D5 C5 B4 C5",
		"C5:2 r:1/4 B4:1/4 C5:1/4":    "D5 C5 D5 C5 D5 C5 D5 C5 D5 C5 B4 C5",
		"C5:2~ | C5:2 D5:2":           strings.Repeat("D5 C5 ", 11) + "B4 C5",
		"C5:1/4 B4:1/4 C5:1/4 D5:1/4": "C5 D5 C5",
	} {
		s := signed(t, scoretest.Piece{QPM: 66, Right: []string{right}}, "trill-mark")
		o := ornaments(s, detect.DefaultPlayer())
		if got := strings.Join(writtenOut(detailOf(t, o)), " "); got != want {
			t.Errorf("%s: %s, want %s", right, got, want)
		}
		if !strings.HasPrefix(o[0].Why, "A trill on C5 ") {
			t.Errorf("%s: why %q", right, o[0].Why)
		}
	}
}

// A note that bad durations have left without a length has no time for any ornament.
func TestOrnamentWithoutTime(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Right: []string{"gD5 gE5 C5:1"}}.Score(t)
	n := &s.Notes[len(s.Notes)-1]
	n.Length, n.Tremolo, n.Ornaments = score.Rat{}, 2, []string{"trill-mark"}
	if found := ornaments(s, detect.DefaultPlayer()); len(found) > 0 {
		t.Errorf("found %+v", found)
	}
}

// What a short ornament asks for follows the tempo; a trill is never slower
// than six notes a second. Other work weighs.
func TestOrnamentDemand(t *testing.T) {
	for _, c := range []struct {
		name, right, left, sign string
		qpm, want               float64
		timed                   bool
	}{
		{"three notes in an eighth", "C5:1/2 r:7/2", "r:4", "mordent", 60, 6 * 0.6 / 8, true},
		{"twice as fast", "C5:1/2 r:7/2", "r:4", "mordent", 120, 12 * 0.6 / 8, true},
		{"a turn", "C5:1 r:3", "r:4", "turn", 60, 4 * 0.6 / 8, true},
		{"at most a beat", "C5:4", "r:4", "turn", 60, 4 * 0.6 / 8, true},
		{"a long trill", "C5:4", "r:4", "trill-mark", 60, 6.0 / 8, false},
		{"as slow as it goes", "C5:4", "r:4", "trill-mark", 30, 6.0 / 8, false},
		{"a short trill", "C5:1/4 r:15/4", "r:4", "trill-mark", 60, 12 * 0.6 / 8, true},
		{"over three notes", "C5:4", "C3:1 D3:1 E3:2", "trill-mark", 60, 1.2 * 6.0 / 8, false},
		{"over two notes", "C5:4", "C3:2 D3:2", "trill-mark", 60, 6.0 / 8, false},
		{"with a key to hold", "C5+E4:4", "r:4", "trill-mark", 60, 6.0 / 8, false},
	} {
		o := ornaments(signed(t, scoretest.Piece{QPM: c.qpm, Right: []string{c.right}, Left: []string{c.left}}, c.sign), detect.DefaultPlayer())[0]
		if c.name == "with a key to hold" {
			c.want *= 1.25
		}
		if math.Abs(o.Demand-c.want) > 1e-9 || o.Timed != c.timed {
			t.Errorf("%s: demand %g, timed %t, want %g, %t", c.name, o.Demand, o.Timed, c.want, c.timed)
		}
	}
}

// A trill slower than which none is heard is past some players' comfort at any
// tempo: then no tempo is named comfortable.
func TestTrillBeyondPlayer(t *testing.T) {
	p := detect.DefaultPlayer()
	p.Level = detect.Elementary
	for _, length := range []string{"1/8", "1", "4"} {
		o := ornaments(signed(t, scoretest.Piece{QPM: 60, Right: []string{"C5:" + length}}, "trill-mark"), p)[0]
		if o.Timed || o.Demand < 1.2-1e-9 {
			t.Errorf("a length of %s: demand %g, timed %t", length, o.Demand, o.Timed)
		}
	}
}

func TestGraceNotes(t *testing.T) {
	for _, c := range []struct {
		name, right string
		want        string
		before      score.Rat
		demand      float64 // at 60
	}{
		{"one", "C5:1 gD5 C5:1 r:2", "", score.Rat{}, 0},
		{"two, one way", "C5:1 gE5 gD5 C5:1 r:2", "E5 D5 C5", score.R(1, 2), 4 * 0.4 / 8},
		{"three, to and fro", "C5:1 gB4 gC5 gD5 C5:1 r:2", "B4 C5 D5 C5", score.R(3, 4), 4 * 0.6 / 8},
		{"little time before", "C5:1/4 gE5 gD5 C5:1/4 r:7/2", "E5 D5 C5", score.R(1, 6), 12 * 0.4 / 8},
		{"time after", "C5:1/4 gE5 gD5 C5:1 r:11/4", "E5 D5 C5", score.R(1, 2), 4 * 0.4 / 8},
		{"six", "C5:1 gC5 gD5 gE5 gF5 gE5 gD5 C5:1 r:2", "C5 D5 E5 F5 E5 D5 C5", score.R(6, 7), 7.0 / 8},
		{"a wide roll", "C5:1 gC4 gG4 gE5 C6:1 r:2", "C4 G4 E5 C6", score.R(3, 4), 4 * 0.6 / 8},
		{"double notes", "C5:1 gC5+E5 gD5+F5 E5+G5:1 r:2", "C5+E5 D5+F5 E5+G5", score.R(1, 2), 4 * 0.6 / 8},
		{"at the start", "gE5 gD5 C5:1 r:3", "E5 D5 C5", score.R(1, 2), 4 * 0.4 / 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := Detector.Find(scoretest.Piece{QPM: 60, Right: []string{c.right}}.Score(t), detect.DefaultPlayer())
			if c.want == "" {
				if len(found) > 0 {
					t.Errorf("found %+v", found[0])
				}
				return
			}
			d := detailOf(t, found)
			if got := strings.Join(writtenOut(d), " "); got != c.want || d.Sign != "grace notes" || d.BeforeBeat != c.before {
				t.Errorf("got %+v", d)
			}
			if math.Abs(found[0].Demand-c.demand) > 1e-9 || !found[0].Timed {
				t.Errorf("demand %g, want %g", found[0].Demand, c.demand)
			}
		})
	}
}

// A tremolo with two beams is sixteenths; with three, thirty-seconds, or ten
// notes a second where that is less.
func TestTremolo(t *testing.T) {
	for _, c := range []struct {
		beams  int
		qpm    float64
		count  int
		demand float64
		timed  bool
	}{
		{1, 60, 4, 2.0 / 8, true}, {2, 60, 8, 4.0 / 8, true}, {2, 180, 8, 12.0 / 8, true},
		{3, 60, 16, 8.0 / 8, false}, {3, 120, 10, 10.0 / 8, false},
	} {
		s := scoretest.Piece{QPM: c.qpm, Right: []string{"C5:2 r:2"}}.Score(t)
		s.Notes[0].Tremolo = c.beams
		o := ornaments(s, detect.DefaultPlayer())
		d := detailOf(t, o)
		if d.Sign != "tremolo" || d.Notes != c.count || len(d.WrittenOut) != c.count || math.Abs(o[0].Demand-c.demand) > 1e-9 || o[0].Timed != c.timed {
			t.Errorf("%d beams at %g: %+v, demand %g", c.beams, c.qpm, d, o[0].Demand)
		}
	}
}

// A tremolo between two notes is one ornament over both.
func TestTremoloBetweenTwo(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Left: []string{"C3:1 G3+C4:1 r:2"}}.Score(t)
	for i := range s.Notes {
		s.Notes[i].Tremolo, s.Notes[i].TremoloPair = 3, true
	}
	o := ornaments(s, detect.DefaultPlayer())
	d := detailOf(t, o)
	if d.Notes != 16 || !slices.Equal(writtenOut(d)[:3], []string{"C3", "G3+C4", "C3"}) || o[0].To != score.Int(2) || len(o[0].Notes) != 3 {
		t.Errorf("got %+v, %+v", d, o[0])
	}
}

func TestInTurn(t *testing.T) {
	for _, c := range []struct{ name, right, want string }{
		{"a trill", detecttest.Sixteenths("C5 D5 C5 D5 C5 D5 C5 D5") + " r:2", "trill written out"},
		{"a tremolo", detecttest.Sixteenths("C5 E5 C5 E5 C5 E5 C5 E5") + " r:2", "tremolo written out"},
		{"of chords", detecttest.Sixteenths("C5+E5 G5 C5+E5 G5 C5+E5 G5 C5+E5 G5") + " r:2", "tremolo written out"},
		{"seven", detecttest.Sixteenths("C5 D5 C5 D5 C5 D5 C5 E5") + " r:2", ""},
		{"in eighths", strings.Repeat("C5:1/2 D5:1/2 ", 4), ""},
		{"octaves", detecttest.Sixteenths("C5 C6 C5 C6 C5 C6 C5 C6") + " r:2", ""},
		{"one key", detecttest.Sixteenths("C5 C5 C5 C5 C5 C5 C5 C5") + " r:2", ""},
		{"with a rest", detecttest.Sixteenths("C5 D5 C5 D5 C5") + " r:1/4 " + detecttest.Sixteenths("D5 C5 D5 C5") + " r:3/2", ""},
	} {
		found := Detector.Find(scoretest.Piece{QPM: 60, Right: []string{c.right}}.Score(t), detect.DefaultPlayer())
		switch {
		case c.want == "" && len(found) > 0:
			t.Errorf("%s: found %+v", c.name, found[0].Detail)
		case c.want == "":
		case detailOf(t, found).Sign != c.want || detailOf(t, found).Notes != 8 || math.Abs(found[0].Demand-4.0/8) > 1e-9:
			t.Errorf("%s: %+v, demand %g", c.name, found[0].Detail, found[0].Demand)
		}
	}
}

// The hidden notes by which a notation program sounds a trill are no notes to
// play, in any kind; hidden notes elsewhere are.
func TestHiddenNotesOfTrill(t *testing.T) {
	for sign, want := range map[string]int{"trill-mark": 1, "": 8} {
		s := scoretest.Piece{QPM: 60, Right: []string{"C5:2 r:2", detecttest.Sixteenths("D5 C5 D5 C5 D5 C5 D5 C5") + " r:2"}}.Score(t)
		for i := range s.Notes {
			if n := &s.Notes[i]; n.Voice == "2" {
				n.Heads[0].Hidden = true
			} else if sign != "" {
				n.Ornaments = []string{sign}
			}
		}
		if got := len(detect.NewPass(s, detect.DefaultPlayer()).Events[score.Right]); got != want {
			t.Errorf("with the sign %q: %d events, want %d", sign, got, want)
		}
	}
}

// A sign is drawn as the notes that it stands for, evenly over its time; what
// is left of the note after a mordent is its last.
func TestOrnamentPicture(t *testing.T) {
	for _, c := range []struct {
		sign, want string // keys with start and length
	}{
		{"mordent", "60 0+1/3, 59 1/3+1/3, 60 2/3+4/3"},
		{"turn", "62 0+1/4, 60 1/4+1/4, 59 1/2+1/4, 60 3/4+5/4"},
	} {
		o := ornaments(signed(t, scoretest.Piece{QPM: 60, Right: []string{"C4:2 r:2"}}, c.sign), detect.DefaultPlayer())[0]
		var got []string
		for _, n := range o.Picture.(detect.PianoRoll).Notes {
			if n.Picked {
				got = append(got, fmt.Sprintf("%d %s+%s", n.Key, n.At, n.Length))
			}
		}
		if strings.Join(got, ", ") != c.want {
			t.Errorf("%s: %v, want %s", c.sign, got, c.want)
		}
	}
}

// writtenOut is what is written out as JSON names it.
func writtenOut(d Detail) []string {
	var names []string
	for _, c := range d.WrittenOut {
		names = append(names, inOne(c, score.Pitch.String, "+"))
	}
	return names
}
