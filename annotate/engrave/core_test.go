package engrave

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"hardbars/score"
	"hardbars/score/notation"
)

// written makes a score of one 4/4 bar after another on two staves, treble and
// bass, from its chords.
func written(bars int, chords ...notation.Chord) *notation.Score {
	n := &notation.Score{
		Staves: 2,
		Clefs:  []notation.Clef{{Staff: 1, Sign: "G", Line: 2}, {Staff: 2, Sign: "F", Line: 4}},
		Times:  []notation.Time{{Beats: []string{"4"}, Types: []string{"4"}}},
	}
	for i := range bars {
		n.Bars = append(n.Bars, notation.Bar{Number: string(rune('1' + i)), Start: score.Int(int64(4 * i)), Length: score.Int(4)})
	}
	id := 0
	for _, c := range chords {
		c.Bar = barAt(n.Bars, c.At)
		for i := range c.Notes {
			c.Notes[i].ID = id
			id++
		}
		n.Chords = append(n.Chords, c)
	}
	slices.SortStableFunc(n.Chords, func(a, b notation.Chord) int { return a.At.Cmp(b.At) })
	return n
}

// sounding makes a chord of the first voice from the names of its pitches, low
// to high.
func sounding(t *testing.T, at score.Rat, value string, staff int, pitches string) notation.Chord {
	t.Helper()
	length := map[string]score.Rat{"whole": score.Int(4), "half": score.Int(2), "quarter": score.Int(1), "eighth": score.R(1, 2)}[value]
	c := notation.Chord{At: at, Length: length, Value: notation.Value{Type: value}, Voice: "1", Staff: staff}
	for _, name := range strings.Fields(pitches) {
		p, ok := score.ParsePitch(name)
		if !ok {
			t.Fatalf("no pitch: %s", name)
		}
		c.Notes = append(c.Notes, notation.Note{Written: p, Staff: staff})
	}
	if len(c.Notes) == 0 {
		c.Rest = true
	}
	return c
}

func lower(c notation.Chord) notation.Chord {
	c.Voice, c.Stem = "2", notation.StemDown
	return c
}

func upper(c notation.Chord) notation.Chord {
	c.Stem = notation.StemUp
	return c
}

func setAll(n *notation.Score) *Drawing {
	return set(n, Options{To: n.Bars[len(n.Bars)-1].End(), Width: 180})
}

func itemsOf(d *Drawing, role Role) (items []Item) {
	for _, it := range d.Items {
		if it.Role == role {
			items = append(items, it)
		}
	}
	return items
}

// Middle C in every clef (general theory of music), in half spaces below the
// top line.
func TestMiddleCInEveryClef(t *testing.T) {
	for _, c := range []struct {
		clef notation.Clef
		pos  int
	}{
		{notation.Clef{Sign: "G", Line: 2}, 10},
		{notation.Clef{Sign: "F", Line: 4}, -2},
		{notation.Clef{Sign: "C", Line: 3}, 4},
		{notation.Clef{Sign: "C", Line: 4}, 2},
		{notation.Clef{Sign: "C", Line: 1}, 8},
		{notation.Clef{Sign: "F", Line: 3}, 0},
		{notation.Clef{Sign: "G", Line: 1}, 12},
		{notation.Clef{Sign: "G", Line: 2, Octave: -1}, 3},
		{notation.Clef{Sign: "G", Line: 2, Octave: 1}, 17},
	} {
		if got := positionOf(score.Pitch{Step: 'C', Octave: 4}, c.clef); got != c.pos {
			t.Errorf("middle C in %s%d with octave %d stands at %d, not %d", c.clef.Sign, c.clef.Line, c.clef.Octave, got, c.pos)
		}
	}
}

// The signs of a key stand on the places of their own steps in every clef, none
// farther than a space outside the staff; in the order F C G D A E B.
func TestKeySignaturesStandOnTheirSteps(t *testing.T) {
	for _, clef := range []notation.Clef{
		{Sign: "G", Line: 2}, {Sign: "F", Line: 4}, {Sign: "C", Line: 3}, {Sign: "C", Line: 4},
		{Sign: "C", Line: 1}, {Sign: "C", Line: 2}, {Sign: "F", Line: 3}, {Sign: "G", Line: 1}, {Sign: "G", Line: 2, Octave: -1},
	} {
		for _, sharps := range []bool{true, false} {
			order := "BEADGCF"
			if sharps {
				order = "FCGDAEB"
			}
			for i, pos := range keyPlaces(clef, sharps) {
				step := score.PitchAt(staffPos(0, clef)-pos, 0).Step
				if step != order[i] || pos < -2 || pos > 10 {
					t.Errorf("%s%d, sharps %v: sign %d stands on %c at %d", clef.Sign, clef.Line, sharps, i+1, step, pos)
				}
			}
		}
	}
	// The one pattern that differs (common practice): F♯ low in the tenor clef.
	if got := keyPlaces(notation.Clef{Sign: "C", Line: 4}, true); got[0] != 6 {
		t.Errorf("the first sharp of a tenor clef stands at %d, not on the second line from below", got[0])
	}
}

// A new key cancels what it does not keep (common practice).
func TestKeyCancelled(t *testing.T) {
	for _, c := range []struct {
		old, key int
		want     string
	}{
		{-3, -1, "nnf"}, {3, -2, "nnnff"}, {2, 0, "nn"}, {1, 3, "sss"}, {0, -4, "ffff"}, {4, 2, "nnss"},
	} {
		n := written(2, sounding(t, score.Int(0), "whole", 1, "C5"), sounding(t, score.Int(4), "whole", 1, "C5"))
		n.Keys = []notation.Key{{Fifths: c.old}, {At: score.Int(4), Fifths: c.key}}
		open := 2 * abs(c.old)
		items := itemsOf(setAll(n), RoleKey)[open:]
		got := ""
		for _, it := range items[:len(items)/2] {
			got += map[string]string{"accidentalNatural": "n", "accidentalFlat": "f", "accidentalSharp": "s"}[it.Glyph]
		}
		if got != c.want {
			t.Errorf("from %d to %d fifths: %s, not %s", c.old, c.key, got, c.want)
		}
	}
}

func TestSecondsStandOnBothSidesOfTheStem(t *testing.T) {
	for _, c := range []struct {
		stem notation.Stem
		want []float64 // sides, low to high
	}{
		{notation.StemUp, []float64{0, 1, 0}},
		{notation.StemDown, []float64{0, -1, 0}},
	} {
		chord := sounding(t, score.Int(0), "quarter", 1, "A4 B4 C5")
		chord.Stem = c.stem
		heads := itemsOf(setAll(written(1, chord)), RoleHead)
		for i, h := range heads {
			side := 0.0
			if d := h.X - heads[0].X; math.Abs(d) > 0.5 {
				side = math.Copysign(1, d)
			}
			if side != c.want[i] {
				t.Errorf("stem %d: head %d stands at side %v, not %v", c.stem, i, side, c.want[i])
			}
		}
	}
}

// Two voices on one staff (common practice): a unison of black heads is shared,
// a half note beside a quarter is not, a second puts the lower voice to the
// right, a third leaves both in place.
func TestTwoVoices(t *testing.T) {
	for _, c := range []struct {
		name      string
		high, low string
		value     string // of the lower voice
		side      int
	}{
		{"shared unison", "A4", "A4", "eighth", 0},
		{"unison of two kinds", "A4", "A4", "half", 1},
		{"second", "B4", "A4", "quarter", 1},
		{"third", "C5", "A4", "quarter", 0},
		{"crossed", "A4", "D5", "quarter", 1},
	} {
		n := written(1, upper(sounding(t, score.Int(0), "quarter", 1, c.high)), lower(sounding(t, score.Int(0), c.value, 1, c.low)))
		heads := itemsOf(setAll(n), RoleHead)
		if len(heads) != 2 {
			t.Fatalf("%s: %d heads", c.name, len(heads))
		}
		slices.SortFunc(heads, func(a, b Item) int { return a.Note - b.Note })
		side := 0
		if d := heads[1].X - heads[0].X; d > 0.5 {
			side = 1
		} else if d < -0.5 {
			side = -1
		}
		if side != c.side {
			t.Errorf("%s: the lower voice stands at side %d, not %d", c.name, side, c.side)
		}
	}
}

func TestRestsOfTwoVoices(t *testing.T) {
	alike := written(1, upper(sounding(t, score.Int(0), "quarter", 1, "")), lower(sounding(t, score.Int(0), "quarter", 1, "")),
		upper(sounding(t, score.Int(1), "quarter", 1, "C5")), lower(sounding(t, score.Int(1), "quarter", 1, "F4")))
	if rests := itemsOf(setAll(alike), RoleRest); len(rests) != 1 {
		t.Errorf("two voices that rest alike show %d rests", len(rests))
	}
	apart := written(1, upper(sounding(t, score.Int(0), "quarter", 1, "")), lower(sounding(t, score.Int(0), "quarter", 1, "F4")),
		upper(sounding(t, score.Int(1), "quarter", 1, "C5")), lower(sounding(t, score.Int(1), "quarter", 1, "")))
	d := setAll(apart)
	rests, top := itemsOf(d, RoleRest), itemsOf(d, RoleStaff)[0].Stroke.Y1
	if len(rests) != 2 || rests[0].Y >= top+2*defaultSpace || rests[1].Y <= top+2*defaultSpace {
		t.Errorf("the upper voice rests above the middle line and the lower below it: %v", rests)
	}
}

func TestWholeBarRestStandsInTheMiddle(t *testing.T) {
	rest := sounding(t, score.Int(4), "whole", 1, "")
	rest.WholeBar = true
	n := written(3, sounding(t, score.Int(0), "whole", 1, "C5"), rest, sounding(t, score.Int(8), "whole", 1, "C5"))
	d := setAll(n)
	box := itemsOf(d, RoleRest)[0].Box
	var lines []float64
	for _, it := range itemsOf(d, RoleBarline) {
		lines = append(lines, it.Stroke.X1)
	}
	// The lines: at the left of the system, and behind each bar.
	if got, want := (box.Left+box.Right)/2, (lines[1]+lines[2])/2; math.Abs(got-want) > 0.3 {
		t.Errorf("the rest stands at %.2f between lines at %.2f and %.2f", got, lines[1], lines[2])
	}
}

func TestEditorsAccidentalInParentheses(t *testing.T) {
	c := sounding(t, score.Int(0), "quarter", 1, "F#4")
	c.Notes[0].Accidental, c.Notes[0].Bracketed = "sharp", true
	var names []string
	for _, it := range itemsOf(setAll(written(1, c)), RoleAccidental) {
		names = append(names, it.Glyph)
	}
	if want := []string{"accidentalParensLeft", "accidentalSharp", "accidentalParensRight"}; !slices.Equal(names, want) {
		t.Errorf("got %v", names)
	}
}

// The accidentals of an octave stand one above the other; those of a third do
// not.
func TestAccidentalsInColumns(t *testing.T) {
	at := func(pitches string) (xs []float64) {
		c := sounding(t, score.Int(0), "quarter", 1, pitches)
		for i := range c.Notes {
			c.Notes[i].Accidental = "sharp"
		}
		for _, it := range itemsOf(setAll(written(1, c)), RoleAccidental) {
			xs = append(xs, it.X)
		}
		return xs
	}
	if xs := at("F#4 F#5"); xs[0] != xs[1] {
		t.Errorf("an octave: %v", xs)
	}
	if xs := at("F#4 A#4"); xs[0] == xs[1] {
		t.Errorf("a third: %v", xs)
	}
}

// A clef inside a bar is small, stands left of its note, and counts from it on.
func TestClefInsideABar(t *testing.T) {
	n := written(1, sounding(t, score.Int(0), "half", 2, "C3"), sounding(t, score.Int(2), "half", 2, "C5"))
	n.Clefs = append(n.Clefs, notation.Clef{At: score.Int(2), Staff: 2, Sign: "G", Line: 2})
	d := setAll(n)
	clefs, heads := itemsOf(d, RoleClef), itemsOf(d, RoleHead)
	if len(clefs) != 3 {
		t.Fatalf("%d clefs", len(clefs))
	}
	change := clefs[2]
	if change.Scale >= clefs[0].Scale || change.Box.Right >= heads[1].Box.Left || change.Box.Left <= heads[0].Box.Right {
		t.Errorf("the clef %v stands wrong before the head %v", change.Box, heads[1].Box)
	}
	for _, problem := range geometryProblems(n, d) {
		t.Error(problem)
	}
}

// Every line but the last is exactly as wide as the drawing.
func TestLinesAreFilled(t *testing.T) {
	n := readNotation(t, "../../testdata/lantern-barcarolle.musicxml")
	d := set(n, Options{To: n.Bars[len(n.Bars)-1].End(), Width: 180})
	if len(d.Systems) < 3 {
		t.Fatalf("%d systems", len(d.Systems))
	}
	for i, s := range d.Systems[:len(d.Systems)-1] {
		for _, it := range itemsOf(d, RoleStaff) {
			if y := it.Stroke.Y1; y >= s.Top && y <= s.Bottom && math.Abs(it.Stroke.X2-180) > 1e-6 {
				t.Errorf("line %d ends at %v", i+1, it.Stroke.X2)
			}
		}
	}
}

// Four against three: the x of every attack goes with its exact time.
func TestFourAgainstThreeByExactTime(t *testing.T) {
	var chords []notation.Chord
	for i := range int64(4) {
		c := sounding(t, score.R(i, 2), "eighth", 1, "C5")
		c.At, c.Length = score.R(i, 2), score.R(1, 2)
		chords = append(chords, c)
	}
	for i := range int64(3) {
		c := sounding(t, score.R(2*i, 3), "quarter", 2, "C3")
		c.Length = score.R(2, 3)
		chords = append(chords, c)
	}
	n := written(1, append(chords, sounding(t, score.Int(2), "half", 1, "C5"), sounding(t, score.Int(2), "half", 2, "C3"))...)
	x := map[score.Rat]float64{}
	for _, it := range itemsOf(setAll(n), RoleHead) {
		x[n.Chords[it.Chord].At] = it.X
	}
	start, end := x[score.Int(0)], x[score.Int(2)]
	for at, got := range x {
		if !at.Less(score.Int(2)) {
			continue
		}
		if want := start + (end-start)*at.Float()/2; math.Abs(got-want) > 1e-6 {
			t.Errorf("the attack at %s stands at %.4f, not %.4f", at, got, want)
		}
	}
}

// A shortened excerpt says so with one mark, and without a warning.
func TestShortened(t *testing.T) {
	n := readNotation(t, "../../testdata/lantern-barcarolle.musicxml")
	d := set(n, Options{To: n.Bars[len(n.Bars)-1].End(), Width: 180, Systems: 2})
	marks := itemsOf(d, RoleOmission)
	if len(d.Systems) != 2 || len(marks) != 1 || marks[0].Text != "…" || len(d.Warnings) != 0 {
		t.Errorf("%d systems, marks %v, warnings %v", len(d.Systems), marks, d.Warnings)
	}
	for _, problem := range geometryProblems(n, d) {
		t.Error(problem)
	}
}

// What begins and ends inside a bar shows what lies between, and no more.
func TestCutInsideABar(t *testing.T) {
	var chords []notation.Chord
	for i := range int64(8) {
		chords = append(chords, sounding(t, score.Int(i), "quarter", 1, "C5"))
	}
	n := written(2, chords...)
	o := Options{From: score.Int(2), To: score.Int(6), Width: 180, Cut: true}
	d := set(n, o)
	if heads := itemsOf(d, RoleHead); len(heads) != 4 || d.Systems[0].From != o.From || d.Systems[0].To != o.To {
		t.Errorf("%d heads from %s to %s", len(heads), d.Systems[0].From, d.Systems[0].To)
	}
	o.Cut = false
	if heads := itemsOf(set(n, o), RoleHead); len(heads) != 8 {
		t.Errorf("whole bars have %d heads", len(heads))
	}
}

func TestLeftOutIsMarkedAndTold(t *testing.T) {
	n := written(2, sounding(t, score.Int(0), "whole", 1, "C5"), sounding(t, score.Int(4), "whole", 1, "C5"))
	n.LeftOut = []notation.LeftOut{{At: score.Int(4), Staff: 2, What: "a figured bass"}}
	d := setAll(n)
	want := []Warning{{Bar: "2", Text: "a figured bass is left out"}}
	if len(itemsOf(d, RoleOmission)) != 1 || !slices.Equal(d.Warnings, want) {
		t.Errorf("marks %v, warnings %v", itemsOf(d, RoleOmission), d.Warnings)
	}
}

// Narrow drawings break inside bars, and every note is still there once.
func TestNarrow(t *testing.T) {
	n := readNotation(t, "../../testdata/lantern-barcarolle.musicxml")
	for _, width := range []float64{1, 50, 90, 400} {
		d := set(n, Options{To: n.Bars[len(n.Bars)-1].End(), Width: width})
		g := newGeometry(n, d)
		g.everyNoteOnce()
		g.placesByClef()
		g.headsApart()
		g.onsetsShareX()
		for _, problem := range g.problems {
			t.Errorf("%v mm: %s", width, problem)
		}
	}
}

func TestNothingToSet(t *testing.T) {
	n := written(1, sounding(t, score.Int(0), "whole", 1, "C5"))
	for _, d := range []*Drawing{
		set(&notation.Score{}, Options{Width: 180}),
		set(n, Options{From: score.Int(1), To: score.Int(1), Width: 180}),
		set(n, Options{From: score.Int(8), To: score.Int(9), Width: 180}),
	} {
		if len(d.Items) != 0 || d.Width != 180 {
			t.Errorf("got %+v", d)
		}
	}
	if d := setAll(written(2)); len(itemsOf(d, RoleStaff)) != 10 {
		t.Errorf("bars without notes have %d lines", len(itemsOf(d, RoleStaff)))
	}
}

func TestSameInputSameDrawing(t *testing.T) {
	n := readNotation(t, "../../testdata/lantern-barcarolle.musicxml")
	if a, b := setAll(n), setAll(n); !reflect.DeepEqual(a, b) {
		t.Error("two drawings of one excerpt differ")
	}
}

// Every glyph that the tables name is in the font: Glyph panics where it is not.
func TestGlyphsAreInTheFont(t *testing.T) {
	l := newExcerpt(written(1), Options{}).measure(line{to: score.Int(4)})
	for _, shapes := range headShapes {
		for _, name := range shapes {
			l.font.Glyph(name)
		}
	}
	for _, table := range []map[string]string{restGlyphs, accidentalGlyphs} {
		for _, name := range table {
			l.font.Glyph(name)
		}
	}
	for _, sign := range []string{"G", "F", "C", "percussion"} {
		for octave := -2; octave <= 2; octave++ {
			l.font.Glyph(clefGlyph(notation.Clef{Sign: sign, Octave: octave}))
		}
	}
}

// A fault while an excerpt is set is an error of one sentence that names its bars.
func TestFaultNamesTheBars(t *testing.T) {
	n := written(3, sounding(t, score.Int(4), "whole", 1, "C5"))
	n.Chords[0].Staff, n.Chords[0].Notes[0].Staff = 7, 7 // there is no such staff
	for _, tt := range []struct {
		to   int64
		want string
	}{{8, "Bar 2"}, {12, "Bars 2–3"}} {
		d, err := Set(n, Options{From: score.Int(4), To: score.Int(tt.to), Width: 180})
		if d != nil || err == nil || !strings.HasPrefix(err.Error(), tt.want+" could not be set as music") || strings.Contains(err.Error(), "\n") {
			t.Errorf("got %v and %v", d, err)
		}
	}
}

// An excerpt from the middle of a piece tells its meter, a stretch that goes on
// does not; and a bar's number stands at the start of a line alone.
func TestStartOfAnExcerpt(t *testing.T) {
	n := written(4, sounding(t, score.Int(4), "whole", 1, "C5"), sounding(t, score.Int(8), "whole", 1, "D5"))
	for _, cut := range []bool{false, true} {
		d := set(n, Options{From: score.Int(4), To: score.Int(12), Width: 180, Cut: cut})
		if times := len(itemsOf(d, RoleTime)); (times == 4) == cut {
			t.Errorf("cut %v: %d figures of the meter", cut, times)
		}
		if numbers := itemsOf(d, RoleNumber); len(numbers) != 1 || numbers[0].Text != "2" {
			t.Errorf("cut %v: %d bar numbers", cut, len(numbers))
		}
	}
}

// A third staff is there only on systems where it has notes; what stands on it
// keeps its place in pitch.
func TestSilentStaffIsHidden(t *testing.T) {
	n := written(2, sounding(t, score.Int(0), "whole", 1, "C5"), sounding(t, score.Int(4), "whole", 3, "C3"))
	n.Staves = 3
	n.Clefs = append(n.Clefs, notation.Clef{Staff: 3, Sign: "F", Line: 4})
	n.Signs = []notation.Sign{{Kind: notation.Dynamic, Text: "p", Staff: 3, At: score.Int(4)}}
	for _, tt := range []struct{ from, to, lines, dynamics int }{{0, 4, 10, 0}, {4, 8, 15, 1}, {0, 8, 15, 1}} {
		d := set(n, Options{From: score.Int(int64(tt.from)), To: score.Int(int64(tt.to)), Width: 180})
		if lines, dynamics := len(itemsOf(d, RoleStaff)), len(itemsOf(d, RoleDynamic)); lines != tt.lines || dynamics != tt.dynamics {
			t.Errorf("from %d to %d: %d staff lines and %d dynamics", tt.from, tt.to, lines, dynamics)
		}
	}
}
