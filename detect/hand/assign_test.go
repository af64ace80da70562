package hand_test

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/detect/hand"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest"
)

// mean are hands of 201 mm, the mean of women (Boyle, Boyle & Booker 2015): a
// ninth is reached, a tenth is not.
var mean = [2]hand.Hand{{Side: score.Right, SpanMM: 201}, {Side: score.Left, SpanMM: 201}}

// played prints who plays each note: "R" or "L" and its pitch, by onset, and from
// low to high.
func played(s *score.Score) string {
	var all []string
	for _, n := range s.Notes {
		all = append(all, strings.ToUpper(n.Hand.String()[:1])+n.Pitch.String())
	}
	return strings.Join(all, " ")
}

// moved prints the notes that do not follow their staff.
func moved(s *score.Score) string {
	var all []string
	for _, n := range s.Notes {
		if n.Reason != "" {
			all = append(all, strings.ToUpper(n.Hand.String()[:1])+n.Pitch.String())
		}
	}
	return strings.Join(all, " ")
}

func assigned(p scoretest.Piece, t *testing.T) *score.Score {
	t.Helper()
	return hand.Assign(p.Score(t), mean, nil)
}

func TestWords(t *testing.T) {
	tests := []struct {
		name        string
		right, left []string
		want        string
	}{
		{"up to the next such word", []string{`C5:1 @"m.s." D5:1 E5:1 @"m.d." F5:1`}, []string{"r:4"}, "LD5 LE5"},
		{"up to the end of the bar", []string{`@"l.h." C5:1 C5:2 C5:1 | D5:4`}, []string{"r:4 | r:4"}, "LC5 LC5 LC5"},
		{"no further than the bar", []string{`@"m.s." C5:2 G5:2 | C5:4`}, []string{"r:4 | r:4"}, "LC5 LG5"},
		{"to a rest", []string{`@"sinistra" C5:1 r:1 D5:2`}, []string{"r:4"}, "LC5"},
		{"on the lower staff", []string{"r:4"}, []string{`@"m.d." C4:1 C4:1 @"m.s." C3:2`}, "RC4 RC4"},
		{"not where the hand is far away", []string{`@"m.s." C5+E5+G5:4`}, []string{"C2:4"}, ""},
		{"the lowest note of a chord too wide", []string{`@"m.s." C4+C5+E5:4`}, []string{"G3:4"}, "LC4"},
		{"a word for its own staff changes nothing", []string{`@"m.d." C5:4`}, []string{`@"m.s." C3:4`}, ""},
		{"the notes of the other hand stay", []string{`@"m.s." C4:4`}, []string{"E3+G3:4"}, "LC4"},
	}
	for _, test := range tests {
		s := assigned(scoretest.Piece{Right: test.right, Left: test.left, QPM: 60}, t)
		if got := moved(s); got != test.want {
			t.Errorf("%s: %q went over, want %q (%s)", test.name, got, test.want, played(s))
		}
	}
	said := fmt.Sprint(assigned(scoretest.Piece{Right: []string{`@"m.s." C5+E5+G5:4`}, Left: []string{"C2:4"}}, t).Warnings)
	if !strings.Contains(said, "cannot take what stands by “m.s.”") {
		t.Errorf("a word that cannot be followed is not told of: %s", said)
	}
}

func TestSharing(t *testing.T) {
	tests := []struct {
		name        string
		qpm         float64
		right, left []string
		want        string
	}{
		{"a chord too wide, the other hand idle", 60, []string{"r:4"}, []string{"F2+C3+A3:4"}, "RA3"},
		{"a tenth, and the other hand plays near", 60, []string{"C4+E4:4"}, []string{"F2+C3+A3:4"}, ""},
		{"a twelfth, and the other hand plays near", 60, []string{"G4:4"}, []string{"C3+G3+E4:4"}, ""},
		{"a thirteenth, and the other hand plays near", 60, []string{"C5+E5:4"}, []string{"C3+G3+A4:4"}, "RA4"},
		{"the other hand is far", 60, []string{"C7+E7:4"}, []string{"F2+C3+D4:4"}, ""},
		{"under an arpeggio sign", 60, []string{"r:4"}, []string{"F2+C3+D4:4^"}, ""},
		{"six notes", 60, []string{"r:4"}, []string{"C3+D3+E3+F#3+G#3+A#3:4"}, "RA#3"},
		{"a leap faster than hands, the other idle", 120, []string{"r:4"}, []string{"C2:1/4 C5:1/4 r:1/2 r:3"}, "RC5"},
		{"the same leap in time", 40, []string{"r:4"}, []string{"C2:2 C5:2"}, ""},
		{"the same leap, the other hand busy", 120, []string{"C6:1/4 D6:1/4 E6:1/2 F6:3"}, []string{"C2:1/4 C5:1/4 r:1/2 r:3"}, ""},
		{"broken octaves lie under the hand", 160, []string{"r:4"}, []string{"C3:1/4 C4:1/4 C3:1/4 C4:1/4 r:3"}, ""},
	}
	for _, test := range tests {
		s := assigned(scoretest.Piece{Right: test.right, Left: test.left, QPM: test.qpm}, t)
		if got := moved(s); got != test.want {
			t.Errorf("%s: %q went over, want %q", test.name, got, test.want)
		}
	}
}

// A chord that nobody can take and nobody helps with is told of once.
func TestImpossible(t *testing.T) {
	s := assigned(scoretest.Piece{Right: []string{"C7+E7:4 | C7+E7:4 | C7+E7:4"}, Left: []string{"F2+C3+D4:4 | C3:4 | F2+C3+D4:4"}}, t)
	count := 0
	for _, w := range s.Warnings {
		if strings.Contains(w.String(), "share, roll or leave out") {
			count++
			if want := "bars 1 and 3: no hand of this span can take a chord at once: share, roll or leave out"; w.String() != want {
				t.Errorf("said %q, want %q", w, want)
			}
		}
	}
	if count != 1 {
		t.Errorf("told %d times", count)
	}
}

// What somebody has decided goes before all else, and only that changes.
func TestTaken(t *testing.T) {
	s := scoretest.Piece{Right: []string{"C5:4"}, Left: []string{"C3:2 Bb3:2"}}.Score(t)
	before := played(s)
	id := s.Notes[len(s.Notes)-1].Heads[0].ID
	if got := moved(hand.Assign(s, mean, hand.Taken{id: score.Right})); got != "RBb3" {
		t.Errorf("%q went over, want RBb3", got)
	}
	if played(s) != before {
		t.Error("the score that was read has changed")
	}
}

// note writes a quarter note as MusicXML.
func note(staff, voice int, key string, octave int) string {
	return fmt.Sprintf("<note><pitch><step>%s</step><octave>%d</octave></pitch><duration>1</duration><voice>%d</voice><staff>%d</staff></note>", key, octave, voice, staff)
}

const back, backTwo = "<backup><duration>1</duration></backup>", "<backup><duration>2</duration></backup>"

// readBars reads a piano of so many staves, all in one part.
func readBars(t *testing.T, staves int, bars ...string) *score.Score {
	t.Helper()
	text := `<score-partwise><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list><part id="P1">`
	for i, bar := range bars {
		text += fmt.Sprintf(`<measure number="%d"><attributes><divisions>1</divisions><staves>%d</staves></attributes>%s</measure>`, i+1, staves, bar)
	}
	return readText(t, text+"</part></score-partwise>")
}

func readText(t *testing.T, text string) *score.Score {
	t.Helper()
	f, err := musicxml.Read(strings.NewReader(text), "staves.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return hand.Assign(s, mean, nil)
}

// A voice that visits the other staff stays with its hand, unless that hand would
// have to be in two places.
func TestVoices(t *testing.T) {
	over := note(1, 1, "C", 5) + note(1, 1, "D", 5) + backTwo + note(2, 5, "C", 3) + note(1, 5, "G", 4)
	if got := moved(readBars(t, 2, over)); got != "LG4" {
		t.Errorf("the visit is %q, want LG4", got)
	}
	apart := over + backTwo + note(2, 6, "C", 2) + note(2, 6, "C", 2)
	if got := moved(readBars(t, 2, apart)); got != "" {
		t.Errorf("one hand is in two places: %q", got)
	}
}

// The middle one of three staves goes to the hand that can take it and is free,
// and that may change along the piece.
func TestManyStaves(t *testing.T) {
	clef := func(staff int, sign string) string {
		return fmt.Sprintf(`<attributes><clef number="%d"><sign>%s</sign></clef></attributes>`, staff, sign)
	}
	clefs := clef(1, "G") + clef(2, "G") + clef(3, "F")
	near := note(1, 1, "C", 6) + back + note(2, 5, "C", 5) + back + note(3, 9, "C", 2) // with the top
	low := note(1, 1, "C", 6) + back + note(2, 5, "G", 3) + back + note(3, 9, "E", 3)  // with the bottom
	bass := note(1, 1, "C", 6) + back + note(2, 5, "C", 4) + back                      // no bass: the left is free
	if got := played(readBars(t, 3, clefs+near, near)); got != "RC5 RC6 LC2 RC5 RC6 LC2" {
		t.Errorf("near the top: %s", got)
	}
	if got := played(readBars(t, 3, clefs+clef(2, "F")+low, low)); got != "RC6 LE3 LG3 RC6 LE3 LG3" {
		t.Errorf("near the bottom: %s", got)
	}
	if got := played(readBars(t, 3, clefs+near, near, bass, bass, bass, bass)); got != "RC5 RC6 LC2 RC5 RC6 LC2 RC6 LC4 RC6 LC4 RC6 LC4 RC6 LC4" {
		t.Errorf("changing: %s", got)
	}
	four := note(1, 1, "E", 6) + back + note(2, 5, "C", 6) + back + note(3, 9, "G", 3) + back + note(4, 13, "C", 3)
	if got := played(readBars(t, 4, four)); got != "RC6 RE6 LC3 LG3" {
		t.Errorf("four staves: %s", got)
	}
}

// Of two parts of one staff the higher music is the right hand's, in whatever
// order and clef they stand.
func TestHigherPartIsTheRightHands(t *testing.T) {
	part := func(id string, keys ...string) string {
		text := `<part id="` + id + `"><measure number="1"><attributes><divisions>1</divisions><clef><sign>F</sign></clef></attributes>`
		for _, key := range keys {
			text += note(1, 1, key[:1], int(key[1]-'0'))
		}
		return text + "</measure></part>"
	}
	s := readText(t, `<score-partwise><part-list><score-part id="A"><part-name>Piano</part-name></score-part><score-part id="B"><part-name>Piano</part-name></score-part></part-list>`+
		part("A", "C2", "D2", "E2", "F2")+part("B", "C4", "D4", "E4", "F4")+"</score-partwise>")
	if got := played(s); got != "RC4 LC2 RD4 LD2 RE4 LE2 RF4 LF2" {
		t.Errorf("%s", got)
	}
	if want := [2]string{"staff 1 of part B", "staff 1 of part A"}; s.Sources != want {
		t.Errorf("sources %q", s.Sources)
	}
}

func TestSuggest(t *testing.T) {
	p := scoretest.Piece{Right: []string{"r:4 | C6:4"}, Left: []string{"C2:1/2 C4:1/2 r:3 | C3:4"}, QPM: 60}
	s := assigned(p, t)
	all := hand.Suggest(s, mean)
	if len(all) != 1 {
		t.Fatalf("%d suggestions", len(all))
	}
	if got, want := all[0].Remark(s), "bar 1: right hand takes C4"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := all[0].Words(s), "take C4 in bar 1 with the right hand: the leap goes away, the right hand is free until bar 2"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	p.Right[0] = "C6:1/2 D6:1/2 r:3 | C6:4"
	if all := hand.Suggest(assigned(p, t), mean); len(all) > 0 {
		t.Errorf("the other hand is busy: %v", all)
	}
}

// Whatever is shared, no hand gets more than it can hold at one instant if it had
// not got it before, and every note that leaves its staff has a reason.
func TestAssignProperties(t *testing.T) {
	for _, piece := range []scoretest.Piece{
		{QPM: 180, Right: []string{"C5:1/4 C7:1/4 C4:1/4 C6:1/4 r:3 | r:4"}, Left: []string{"r:4 | F2+C3+A3+E4:2 G2:1/4 G5:1/4 r:3/2"}},
		{QPM: 60, Right: []string{`@"m.s." C4+E4+G4:4 | C4+C6:4`}, Left: []string{"C3:4 | r:4"}},
	} {
		written := piece.Score(t)
		s := hand.Assign(written, mean, nil)
		if len(s.Notes) != len(written.Notes) {
			t.Fatalf("%d notes of %d", len(s.Notes), len(written.Notes))
		}
		keys := map[string][]int{}
		for i, n := range s.Notes {
			if i > 0 && n.Onset.Less(s.Notes[i-1].Onset) {
				t.Error("the notes are out of order")
			}
			if (n.Hand != s.Staves[n.Staff-1].Hand) != (n.Reason != "") {
				t.Errorf("%s of staff %d is the %s's: %q", n.Pitch, n.Staff, n.Hand.Name(), n.Reason)
			}
			at := n.Onset.String() + n.Hand.String()
			keys[at] = append(keys[at], n.Pitch.MIDI())
		}
		for at, keys := range keys {
			if !hand.Largest(score.Right).Covers(keys) {
				t.Errorf("at %s one hand has %v", at, keys)
			}
		}
	}
}
