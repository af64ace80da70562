package engrave

import (
	"testing"

	"hardbars/score"
	"hardbars/score/notation"
)

// row is quarter notes at places of staff 1, six spaces apart.
func row(pos ...int) *layout {
	var chords []*chord
	for _, p := range pos {
		chords = append(chords, tone("quarter", p))
	}
	return ruled(stood(6, chords...))
}

// beat is the instant of the i-th chord of a row.
func beat(i int64) score.Rat { return score.R(i, 1) }

func strokesOf(items []Item) (found []*Stroke) {
	for _, it := range items {
		if it.Stroke != nil {
			found = append(found, it.Stroke)
		}
	}
	return found
}

// clearOfHeads fails where an item lies on a head.
func clearOfHeads(t *testing.T, l *layout, items []Item) {
	t.Helper()
	for _, it := range items {
		for _, head := range l.inked(RoleHead) {
			if it.Box.Meets(head.Box) {
				t.Errorf("a %s %s at %v lies on a head", it.Role, it.Glyph, it.Box.Left)
			}
		}
	}
}

// An octave line begins with its figure at its first note and ends with a hook
// over its last note, beyond all ink, the hook towards the notes.
func TestOctaveLine(t *testing.T) {
	for _, tt := range []struct {
		kind   notation.LineKind
		figure string
		glyph  string
	}{
		{notation.OctaveUp, "8", "ottavaAlta"},
		{notation.OctaveDown, "8", "ottavaBassa"},
		{notation.OctaveUp, "15", "quindicesimaAlta"},
	} {
		l := row(-4, 2, -6, 2, 12, 2)
		l.score.Lines = []notation.Line{{Kind: tt.kind, From: beat(0), To: beat(5), Staff: 1, Text: tt.figure}}
		l.lines()
		items := l.inked(RoleLine)
		lines := strokesOf(items)
		if items[0].Glyph != tt.glyph || len(lines) != 2 {
			t.Fatalf("figure %q and %d strokes", items[0].Glyph, len(lines))
		}
		if items[0].X != l.chords[0].heads[0].x {
			t.Errorf("the figure is at %v, the first head at %v", items[0].X, l.chords[0].heads[0].x)
		}
		last := l.chords[4].heads[0]
		hook := lines[1]
		if !closeTo(hook.X1, last.x+last.width) {
			t.Errorf("the line ends at %v, its last head at %v", hook.X1, last.x+last.width)
		}
		if down := hook.Y2 > hook.Y1; down != (tt.kind == notation.OctaveUp) {
			t.Errorf("the hook goes from %v to %v", hook.Y1, hook.Y2)
		}
		clearOfHeads(t, l, items)
		if lines[0].Dash == 0 {
			t.Error("the line is not dashed")
		}
	}
}

// Where an octave line goes on from one system to the next it has no hook, and
// then its figure in brackets.
func TestBrokenOctaveLine(t *testing.T) {
	l := row(2, 2, 2, 2)
	l.score.Lines = []notation.Line{{Kind: notation.OctaveUp, From: beat(1), To: beat(9), Staff: 1, Text: "8"}}
	l.lines()
	if lines := strokesOf(l.inked(RoleLine)); len(lines) != 1 || lines[0].X2 < l.lastBarline()-0.5 {
		t.Errorf("going on: %d strokes", len(lines))
	}
	l = row(2, 2, 2, 2)
	l.from = beat(1)
	l.score.Lines = []notation.Line{{Kind: notation.OctaveUp, From: beat(0), To: beat(3), Staff: 1, Text: "8"}}
	l.lines()
	var glyphs []string
	for _, it := range l.inked(RoleLine) {
		if it.Glyph != "" {
			glyphs = append(glyphs, it.Glyph)
		}
	}
	if len(glyphs) != 3 || glyphs[0] != "octaveParensLeft" || glyphs[2] != "octaveParensRight" {
		t.Errorf("coming on: %v", glyphs)
	}
}

// An octave line with a figure that is none is left out and told.
func TestUnknownOctaveLine(t *testing.T) {
	l := row(2, 2, 2, 2)
	l.score.Lines = []notation.Line{{Kind: notation.OctaveUp, From: beat(0), To: beat(3), Staff: 1, Text: "9"}}
	l.lines()
	if len(l.told) != 1 || len(l.inked(RoleOmission)) != 1 {
		t.Errorf("told %v", l.told)
	}
}

// All pedal signs stand on one height under the lowest staff, and a star stands
// left of the sign that follows it.
func TestPedalSigns(t *testing.T) {
	l := row(2, 2, 30, 2)
	l.chords[2].on(2)
	l.score.Signs = []notation.Sign{
		{Kind: notation.PedalDown, At: beat(0), Staff: 1},
		{Kind: notation.PedalDown, At: beat(2), Staff: 2},
		{Kind: notation.PedalUp, At: beat(2), Staff: 1},
		{Kind: notation.PedalUp, At: beat(4), Staff: 1},
	}
	low := l.below[1].reach(0, l.width)
	l.lines()
	signs := l.inked(RolePedal)
	if len(signs) != 4 {
		t.Fatalf("%d signs", len(signs))
	}
	for i, want := range []string{"keyboardPedalPed", "keyboardPedalUp", "keyboardPedalPed", "keyboardPedalUp"} {
		it := signs[i]
		if it.Glyph != want || it.Y != signs[0].Y || it.Box.Top < low || it.Staff != 2 {
			t.Errorf("sign %d: %s at %v on staff %d, the ink ends at %v", i, it.Glyph, it.Box, it.Staff, low)
		}
		if i > 0 && it.Box.Left < signs[i-1].Box.Right {
			t.Errorf("sign %d lies on the one before", i)
		}
	}
}

// A pedal line has a hook at each end and a notch at each change, where the notes
// are; where it goes on it has no hook.
func TestPedalLine(t *testing.T) {
	l := row(2, 2, 2, 2, 2, 2)
	line := notation.Line{Kind: notation.PedalLine, From: beat(0), To: beat(4), Staff: 1, Changes: []score.Rat{beat(2)}}
	l.score.Lines = []notation.Line{line}
	l.lines()
	lines := strokesOf(l.inked(RolePedal))
	if len(lines) != 6 {
		t.Fatalf("%d strokes, want hook, line, notch up, notch down, line, hook", len(lines))
	}
	if lines[0].X1 != l.chords[0].x || lines[2].X2 != l.chords[2].x || lines[5].X1 != l.chords[4].x {
		t.Errorf("hooks at %v and %v, notch at %v; notes at %v, %v, %v", lines[0].X1, lines[5].X1, lines[2].X2,
			l.chords[0].x, l.chords[4].x, l.chords[2].x)
	}
	if lines[2].Y2 >= lines[2].Y1 || lines[0].Y1 >= lines[0].Y2 || lines[1].Y1 != lines[4].Y1 {
		t.Errorf("the line goes %+v", lines)
	}
	l = row(2, 2, 2, 2, 2, 2)
	line.To = beat(8)
	l.score.Lines = []notation.Line{line}
	l.lines()
	if lines := strokesOf(l.inked(RolePedal)); len(lines) != 5 || lines[4].X2 != l.lastBarline() {
		t.Errorf("going on: %d strokes", len(lines))
	}
}

// A pedal sign at a change stands in a gap of the line, in place of the notch.
func TestPedalSignAtChange(t *testing.T) {
	l := row(2, 2, 2, 2, 2, 2)
	l.score.Lines = []notation.Line{{Kind: notation.PedalLine, From: beat(0), To: beat(4), Staff: 1, Changes: []score.Rat{beat(2)}}}
	l.score.Signs = []notation.Sign{{Kind: notation.PedalDown, At: beat(2), Staff: 1}}
	l.lines()
	lines := strokesOf(l.inked(RolePedal))
	if len(lines) != 4 {
		t.Fatalf("%d strokes, want hook, line, line, hook", len(lines))
	}
	sign := l.pedalSign(beat(2), false)
	if lines[1].X2 >= sign.left || lines[2].X1 <= sign.right {
		t.Errorf("the line stops at %v and goes on at %v, the sign lies from %v to %v", lines[1].X2, lines[2].X1, sign.left, sign.right)
	}
}

// Endings have hooks where they begin and where they stop, and stand at one
// height over all ink.
func TestEndings(t *testing.T) {
	l := row(2, 2, -8, 2)
	l.bars = []barPlace{{index: 0, left: 4, right: 16}, {index: 1, left: 16.5, right: 30}}
	l.score.Bars = []notation.Bar{
		{Length: beat(2), Ending: &notation.Ending{Text: "1.", Start: true, Stop: true}},
		{Start: beat(2), Length: beat(2), Ending: &notation.Ending{Text: "2.", Start: true, Stop: true, Open: true}},
	}
	high := l.above[0].reach(0, l.width)
	l.endings()
	items := l.inked(RoleLine)
	lines := strokesOf(items)
	if len(lines) != 5 {
		t.Fatalf("%d strokes, want 3 for the first and 2 for the second", len(lines))
	}
	var words []string
	for _, it := range items {
		if it.Text != "" {
			words = append(words, it.Text)
		}
		if it.Box.Bottom > high {
			t.Errorf("an ending reaches down to %v, the ink up to %v", it.Box.Bottom, high)
		}
	}
	if len(words) != 2 || words[0] != "1." || words[1] != "2." {
		t.Errorf("words %v", words)
	}
	if lines[0].Y1 != lines[3].Y1 || lines[0].X1 < 4 || lines[0].X2 > 16 || lines[3].X2 > 30 {
		t.Errorf("the endings lie at %+v and %+v", lines[0], lines[3])
	}
}

// The wave of a trill begins behind its sign and ends before the next note.
func TestTrillLine(t *testing.T) {
	l := row(2, 2, 2, 2)
	l.add(Item{Role: RoleMark, Note: -1, Chord: 1, Staff: 1, Glyph: "ornamentTrill", X: l.chords[1].x, Y: -1, Scale: 1})
	sign := l.items[len(l.items)-1].Box
	l.score.Lines = []notation.Line{{Kind: notation.TrillLine, From: beat(1), To: beat(2), Staff: 1}}
	l.lines()
	waves := l.inked(RoleLine)
	if len(waves) < 2 || waves[0].Box.Left < sign.Right || waves[len(waves)-1].Box.Right > l.chords[2].x {
		t.Fatalf("%d waves from %v to %v", len(waves), waves[0].Box.Left, waves[len(waves)-1].Box.Right)
	}
	clearOfHeads(t, l, waves)
}

// Dashes follow their words, level with them, and stop before other ink.
func TestDashes(t *testing.T) {
	l := row(2, 2, 2, 2, 2)
	word := Item{Role: RoleWords, Note: -1, Chord: -1, Staff: 1, Text: "cresc.", Face: Face{Size: 2}, X: l.chords[0].x, Y: 7}
	l.add(word)
	dynamic := Item{Role: RoleDynamic, Note: -1, Chord: -1, Staff: 1, Glyph: "dynamicForte", X: l.chords[2].x, Y: 7, Scale: 1}
	l.add(dynamic)
	l.score.Lines = []notation.Line{{Kind: notation.Dashes, From: beat(0), To: beat(4), Staff: 1}}
	l.lines()
	s := only(t, l.inked(RoleLine)).Stroke
	if s.X1 < l.boxOf(word).Right || s.X2 > l.boxOf(dynamic).Left || s.Y1 != s.Y2 || s.Y1 > 7 || s.Y1 < 6 {
		t.Errorf("dashes %+v", s)
	}
}

// A bracket has hooks towards the notes.
func TestBracketLine(t *testing.T) {
	l := row(2, -6, 2)
	l.score.Lines = []notation.Line{{Kind: notation.Bracket, From: beat(0), To: beat(3), Staff: 1}}
	l.lines()
	items := l.inked(RoleLine)
	if lines := strokesOf(items); len(lines) != 3 || lines[1].Y2 < lines[1].Y1 {
		t.Errorf("%d strokes", len(lines))
	}
	clearOfHeads(t, l, items)
}

// An arpeggio sign covers its heads on all staves, left of them and of their
// accidentals, and touches none.
func TestSpread(t *testing.T) {
	for _, arrow := range []string{"", "up", "down"} {
		a, b := tone("quarter", 8, 2), tone("quarter", 6, 0).on(2)
		l := ruled(stood(0, a, b))
		b.At = a.At
		a.left -= 1.2 // an accidental
		l.score.Arpeggios = []notation.Arpeggio{{Chords: []int{0, 1}, Arrow: arrow}}
		l.arpeggios()
		items := l.inked(RoleArpeggio)
		box := items[0].Box
		for _, it := range items {
			box.Top, box.Bottom = min(box.Top, it.Box.Top), max(box.Bottom, it.Box.Bottom)
			if it.Box.Right > a.left || it.Box.Left < a.left-2 {
				t.Errorf("arrow %q: the sign lies from %v to %v, left of %v", arrow, it.Box.Left, it.Box.Right, a.left)
			}
		}
		high, low := a.heads[1].y, b.heads[0].y
		if box.Top > high || box.Bottom < low || box.Top < high-2 || box.Bottom > low+2 {
			t.Errorf("arrow %q: the sign reaches from %v to %v, the heads from %v to %v", arrow, box.Top, box.Bottom, high, low)
		}
	}
}

func TestSpreadBracket(t *testing.T) {
	l := ruled(stood(5, tone("quarter", 8, 2)))
	l.score.Arpeggios = []notation.Arpeggio{{Chords: []int{0}, Not: true}}
	l.arpeggios()
	lines := strokesOf(l.inked(RoleArpeggio))
	if len(lines) != 3 || lines[1].X2 < lines[1].X1 || lines[1].X2 > l.chords[0].left {
		t.Fatalf("strokes %+v", lines)
	}
}

// A glissando goes from head to head without touching them.
func TestSlide(t *testing.T) {
	for _, wavy := range []bool{false, true} {
		l := ruled(stood(8, tone("quarter", 8), tone("quarter", -2)))
		l.score.Slides = []notation.Slide{{From: 0, To: 10, Wavy: wavy}}
		l.arpeggios()
		it := only(t, l.inked(RoleLine))
		a, b := l.chords[0].heads[0], l.chords[1].heads[0]
		if it.Box.Left < a.x+a.width || it.Box.Right > b.x || it.Box.Left > a.x+a.width+1 || it.Box.Right < b.x-1 {
			t.Errorf("wavy %v: from %v to %v", wavy, it.Box.Left, it.Box.Right)
		}
		if it.Box.Top > b.y+0.5 || it.Box.Bottom < a.y-0.5 {
			t.Errorf("wavy %v: from %v up to %v; heads at %v and %v", wavy, it.Box.Bottom, it.Box.Top, a.y, b.y)
		}
		clearOfHeads(t, l, []Item{it})
	}
}

// Hidden heads count: a score may hold them only to tell how far the sign goes.
func TestSpreadOverHiddenHeads(t *testing.T) {
	l := ruled(stood(0, tone("quarter", 0)))
	l.score.Chords = append(l.score.Chords, notation.Chord{Staff: 1, Hidden: true, Notes: []notation.Note{
		{ID: 90, Staff: 1, Written: score.Pitch{Step: 'E', Octave: 4}}, // the bottom line of the treble clef
	}})
	l.score.Arpeggios = []notation.Arpeggio{{Chords: []int{0, 1}, Notes: []int{0, 90}}}
	l.arpeggios()
	low := 0.0
	for _, it := range l.inked(RoleArpeggio) {
		low = max(low, it.Box.Bottom)
	}
	if low < 4 || low > 5.5 {
		t.Errorf("the sign reaches down to %v, the hidden head stands at 4", low)
	}
}
