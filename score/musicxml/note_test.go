package musicxml

import (
	"reflect"
	"strings"
	"testing"

	"hardbars/score"
)

func TestChordsAndVoices(t *testing.T) {
	s := scoreFrom(t, sketch(`
		C5 480 quarter; E5 480 chord; G5 480 chord; D5 480 quarter
		back 960; A4 960 half v2
		back 960; C3 480 v5 s2; r 480 quarter v5 s2`))
	wantLines(t, table(s), "right 1 0+2 A4", "right 1 0+1 C5", "right 1 0+1 E5", "right 1 0+1 G5", "left 1 0+1 C3", "right 1 1+1 D5")
	if n := s.Notes[0]; n.Voice != "2" || n.Staff != 1 {
		t.Errorf("A4 is in voice %s on staff %d", n.Voice, n.Staff)
	}
	want := []score.Rest{{Hand: score.Left, Onset: score.Int(1), Length: score.Int(1), Voice: "5", Staff: 2}}
	if !reflect.DeepEqual(s.Rests, want) {
		t.Errorf("rests %+v", s.Rests)
	}
}

// Head.ID counts every <note> of the file: rests, cue notes and other parts too.
func TestHeadsPointAtTheirElements(t *testing.T) {
	f := mustRead(t, sketch("r 480; C5 480 start; back 960; C3 480 cue v5 s2; D3 480 v5 s2", "C5 480 stop; E5 480 chord"))
	s, err := f.Score(Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range s.Notes {
		for _, h := range n.Heads {
			pitch := f.NoteElements()[h.ID].SelectElement("pitch")
			if got := childText(pitch, "step") + childText(pitch, "octave"); got != n.Pitch.String() {
				t.Errorf("a head of %s is element %d, %s", n.Pitch, h.ID, got)
			}
		}
	}
}

func TestChordWithoutANote(t *testing.T) {
	s := scoreFrom(t, sketch("C5 480 chord; E5 480 chord; back 480; C3 480 chord v5 s2"))
	wantLines(t, table(s), "right 1 0+1 C5", "right 1 0+1 E5", "left 1 0+1 C3")
	if len(warned(s, "bar 1: a note is marked as part of a chord that is not there")) != 1 {
		t.Error("warnings:", s.Warnings)
	}
}

func TestGraceNotes(t *testing.T) {
	s := scoreFrom(t, sketch(
		// two before a note, then a grace chord; all before their main notes
		"B4 grace; D5 grace; C5 960 half; F5 grace; A5 grace chord; G5 960 half; back 1920; C3 1920 v5 s2",
		// after a trill, at the end of the bar; the next bar's own grace follows
		"E5 1920 whole; D5 grace; E5 grace; back 1920; F3 grace v5 s2; G3 1920 v5 s2",
		"C#5 grace; D5 1920",
	))
	wantLines(t, table(s),
		"right 1 0+0 B4 grace 1", "right 1 0+0 D5 grace 2", "right 1 0+2 C5", "left 1 0+4 C3",
		"right 1 2+0 F5 grace 1", "right 1 2+0 A5 grace 1", "right 1 2+2 G5",
		"left 2 0+0 F3 grace 1", "right 2 0+4 E5", "left 2 0+4 G3",
		"right 2 4+0 D5 grace 1", "right 2 4+0 E5 grace 2", "right 3 0+0 C#5 grace 3", "right 3 0+4 D5")
	if got := warned(s, ""); len(got) > 0 {
		t.Error("unexpected warnings:", got)
	}
}

func TestCueHiddenAndUnpitchedNotes(t *testing.T) {
	s := scoreFrom(t, sketch(
		"C5 480 cue; D5 480 cue chord; E5 480 hidden; r 480 hidden; r 480 cue; back 1920; C3 1920 v5 s2",
		"C5 480 cue; <note><unpitched/><duration>480</duration><voice>1</voice></note>; F5 960 half",
		"<note><pitch><step>H</step><octave>5</octave></pitch><duration>480</duration></note>; G5 480",
	))
	wantLines(t, table(s), "right 1 0+1 C5", "right 1 0+1 D5", "left 1 0+4 C3", "right 1 1+1 E5", "right 2 0+1 C5", "right 2 2+2 F5", "right 3 1+1 G5")
	if !s.Notes[3].Heads[0].Hidden || s.Notes[0].Heads[0].Hidden {
		t.Error("only E5 is hidden")
	}
	if len(s.Rests) > 0 {
		t.Error("hidden and cue rests are listed:", s.Rests)
	}
	wantLines(t, warned(s, ""),
		"read as played: 3 small notes (bars 1–2)",
		"left out: 1 note (bar 2), without a pitch",
		"bar 3: a note whose pitch cannot be read was left out")
}

// What is played of small and hidden notes, and how much is left out where.
func TestSmallNotes(t *testing.T) {
	const trill = `<note><pitch><step>G</step><octave>5</octave></pitch><duration>960</duration><voice>1</voice><notations><ornaments><trill-mark/></ornaments></notations></note>;`
	const three = "<attributes><staves>3</staves></attributes>;"
	for _, test := range []struct {
		name string
		bars []string
		want []string
		said string
	}{
		{"a trill is spelled out, its end is printed", []string{
			trill + "C5 960; back 1920; A5 240 cue hidden v2; C6 240 hidden chord v2; G5 240 hidden v2; F#5 240 cue v2; G5 240 cue v2"},
			[]string{"right 1 0+2 G5", "right 1 1+1/2 F#5", "right 1 3/2+1/2 G5", "right 1 2+2 C5"},
			"left out: 3 notes (bar 1), hidden to spell out an ornament"},
		{"a hidden bass is not part of a trill", []string{trill + "back 960; C3 960 hidden v5 s2"},
			[]string{"right 1 0+2 G5", "left 1 0+2 C3"}, ""},
		{"another instrument, as long as it is small", []string{
			"words Violin; E5 480 cue; back 480; C3 480 v5 s2", "F5 480 cue; back 480; D3 480 v5 s2", "G5 480", "A5 480 cue"},
			[]string{"left 1 0+1 C3", "left 2 0+1 D3", "right 3 0+1 G5", "right 4 0+1 A5"},
			"left out: 2 notes (bars 1–2), small, showing another instrument"},
		{"an ossia", []string{"words ossia; E5 480 cue; back 480; C5 480 v2", "E5 480"},
			[]string{"right 1 0+1 C5", "right 2 0+1 E5"}, "left out: 1 note (bar 1), small, showing another way to play"},
		{"a staff of nothing but small notes", []string{three + "E5 480 cue; back 480; C5 480 v2 s2; back 480; C3 480 v5 s3"},
			[]string{"right 1 0+1 C5", "left 1 0+1 C3"}, "left out: 1 note (bar 1), small, showing another way to play"},
		{"tempo words name no strings", []string{"words stringendo; E5 480 cue"}, []string{"right 1 0+1 E5"}, ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := scoreFrom(t, sketch(test.bars...))
			wantLines(t, table(s), test.want...)
			if got := strings.Join(warned(s, "left out"), "|"); got != test.said {
				t.Errorf("said %q, want %q", got, test.said)
			}
		})
	}
}

// Hidden rests and small notes do not make a bar longer than its time signature.
func TestHiddenRestsFillNoMoreThanTheBar(t *testing.T) {
	s := scoreFrom(t, sketch("time 4/4; C5 1920; r 30 hidden; back 1950; C3 1920 v5 s2", "D5 1920"))
	wantLines(t, barTable(s), "1 4 4/4", "2 4 4/4")
	wantLines(t, warned(s, ""))
}

// A rest of a whole bar is as long as the bar, whatever the file says; the note
// that is drawn is a whole rest in every time signature (common practice).
func TestWholeBarRests(t *testing.T) {
	const upper = "time 3/4; C5 1440 half dot; back 1440"
	for _, rest := range []string{"R 1440 v5 s2", "R 1920 whole v5 s2", "R whole v5 s2"} {
		s := scoreFrom(t, sketch(upper+";"+rest, "D5 1440"))
		wantLines(t, table(s), "right 1 0+3 C5", "right 2 0+3 D5")
		if len(s.Rests) != 1 || s.Rests[0].Length != score.Int(3) || s.Rests[0].Hand != score.Left {
			t.Errorf("%s: rests %+v", rest, s.Rests)
		}
		if got := warned(s, ""); len(got) > 0 {
			t.Errorf("%s: unexpected warnings: %v", rest, got)
		}
	}
}

// In a pickup the notes tell how long the bar is; elsewhere a whole-bar rest in one
// hand says that the bar is a full one.
func TestWholeBarRestBesideAShortBar(t *testing.T) {
	text := sketch("time 3/4; C5 480; back 480; R 1440 v5 s2", "D5 960; back 960; R 1440 v5 s2")
	s := scoreFrom(t, renumber(text, `number="0" implicit="yes"`, `number="1"`))
	wantLines(t, barTable(s), "0 1 3/4 implicit", "1 3 3/4")
}

// Voices, staves and types may be left out.
func TestBareNotes(t *testing.T) {
	s := scoreFrom(t, sketch(`C5 960 v
		back 960; <note><pitch><step>C</step><octave>3</octave></pitch><duration>480</duration><staff>2</staff></note>
		<note><pitch><step>D</step><octave>3</octave></pitch><duration>480</duration><staff>2</staff></note>`))
	wantLines(t, table(s), "right 1 0+2 C5", "left 1 0+1 C3", "left 1 1+1 D3")
	if s.Notes[0].Voice != "" {
		t.Errorf("voice %q", s.Notes[0].Voice)
	}
}

func TestMarksAtNotes(t *testing.T) {
	s := scoreFrom(t, sketch(`<note><pitch><step>C</step><octave>5</octave></pitch><duration>480</duration><voice>1</voice>
		<beam number="1">begin</beam><beam number="2">forward hook</beam><notations>
		<slur type="start" number="1"/><slur type="start" number="2"/><slur type="stop" number="3"/>
		<articulations><staccato/><accent/></articulations>
		<ornaments><trill-mark/><accidental-mark>sharp</accidental-mark><wavy-line type="start"/><wavy-line type="stop"/></ornaments>
		<technical><fingering>3</fingering><fingering substitution="yes">1</fingering></technical></notations>
		<notations><ornaments><tremolo type="start">3</tremolo></ornaments></notations></note>
		<note><pitch><step>D</step><octave>5</octave></pitch><duration>480</duration><voice>1</voice>
		<notations><ornaments><tremolo>2</tremolo></ornaments><technical><fingering>2</fingering><fingering>4</fingering></technical></notations></note>`))
	got := s.Notes[0]
	want := score.Note{
		Fingering: "3-1", Articulations: []string{"staccato", "accent"}, Ornaments: []string{"trill-mark", "wavy-line"}, AuxAbove: "sharp",
		Tremolo: 3, TremoloPair: true, SlurStart: 2, SlurEnd: 1,
	}
	want.Hand, want.Length, want.Pitch, want.Voice, want.Staff, want.Heads = got.Hand, got.Length, got.Pitch, "1", 1, got.Heads
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if got.Heads[0].Beam != "begin" {
		t.Errorf("beam %q", got.Heads[0].Beam)
	}
	if n := s.Notes[1]; n.Tremolo != 2 || n.TremoloPair || n.Fingering != "2 4" {
		t.Errorf("second note %+v", n)
	}
}

// A tremolo between two chords is drawn in notes of the whole length, each of
// which lasts half of it: the schema's time-modification includes such tremolos.
func TestTremoloBetweenNotes(t *testing.T) {
	s := scoreFrom(t, sketch("C5 480 half 2:1; E5 480 half 2:1; back 960; C3 480 half v5 s2; G3 480 half v5 s2"))
	wantLines(t, table(s), "right 1 0+1 C5", "left 1 0+1 C3", "right 1 1+1 E5", "left 1 1+1 G3")
}

func TestNotesOffTheKeyboardAreKept(t *testing.T) {
	s := scoreFrom(t, sketch("C9 480; C8 480; C5 480"))
	wantLines(t, table(s), "right 1 0+1 C9", "right 1 1+1 C8", "right 1 2+1 C5")
	wantLines(t, warned(s, ""), "bar 1: C9 is not on the piano's keyboard")
}

func TestScoreWithoutNotes(t *testing.T) {
	for _, bar := range []string{"", "r 480", "C5 480 cue hidden"} {
		_, err := mustRead(t, sketch(bar)).Score(Options{})
		if err == nil || !strings.HasPrefix(err.Error(), "tune.musicxml: the piano part holds no notes") {
			t.Errorf("%q: error %v", bar, err)
		}
	}
}
