package musicxml

import (
	"strings"
	"testing"

	"hardbars/score"
)

const (
	backward = `<barline location="right"><repeat direction="backward"/></barline>`
	bass     = "back 1920; C3 1920 whole v5 s2"
)

func TestTies(t *testing.T) {
	tests := []struct {
		name     string
		bars     []string
		want     []string
		warnings []string
	}{
		{"within a bar", []string{"C5 960 start; C5 480 stop; C5 480"},
			[]string{"right 1 0+3 C5", "right 1 3+1 C5"}, nil},
		{"a chain over two barlines", []string{"r 960; C5 960 start", "C5 1920 stop start", "C5 480 stop; D5 1440"},
			[]string{"right 1 2+7 C5", "right 3 1+3 D5"}, nil},
		{"one note of a chord", []string{"C5 960 start; E5 960 chord; C5 960 stop; E5 960 chord"},
			[]string{"right 1 0+4 C5", "right 1 0+2 E5", "right 1 2+2 E5"}, nil},
		{"to another voice", []string{"C5 960 start; r 960; back 960; C5 960 stop v2"},
			[]string{"right 1 0+4 C5"}, nil},
		{"to another staff", []string{"C4 960 start; r 960; back 1920; r 960 v5 s2; C4 960 stop v5 s2"},
			[]string{"right 1 0+4 C4"}, nil},
		{"to another spelling", []string{"F#4 960 start; Gb4 960 stop"},
			[]string{"right 1 0+4 F#4"}, nil},
		{"two voices on one key keep apart", []string{"C5 480 start; C5 480 stop; D5 960; back 1920; C5 480 v2; C5 1440 v2"},
			[]string{"right 1 0+2 C5", "right 1 0+1 C5", "right 1 1+3 C5", "right 1 2+2 D5"}, nil},
		{"a rounded tuplet tied over", []string{"r 480; " + run(10, 130, "eighth", "11:6") + "C5 130 eighth 11:6 start; forward 10", "C5 1920 stop"},
			nil, nil},
		{"from a grace note: the key is held", []string{"C5 grace start; E5 grace; C5 1920 stop; G5 1920 chord"},
			[]string{"right 1 0+0 E5 grace 2", "right 1 0+4 C5", "right 1 0+4 G5"}, nil},
		{"never ends", []string{"C5 1920 start", "D5 1920", "C5 1920"},
			[]string{"right 1 0+4 C5", "right 2 0+4 D5", "right 3 0+4 C5"},
			[]string{"bar 1: a tie from C5 leads nowhere; the note is read as long as it is written"}},
		{"not over a gap", []string{"C5 480 start; r 480; C5 960 stop"},
			[]string{"right 1 0+1 C5", "right 1 2+2 C5"},
			[]string{"bar 1: a tie to C5 comes from nowhere; the note is read as struck", "bar 1: a tie from C5 leads nowhere; the note is read as long as it is written"}},
		{"not to a note that is struck", []string{"C5 960 start; C5 960"},
			[]string{"right 1 0+2 C5", "right 1 2+2 C5"},
			[]string{"bar 1: a tie from C5 leads nowhere; the note is read as long as it is written"}},
		{"into both endings", []string{
			"C5 1920 start",
			`<barline location="left"><ending number="1" type="start"/></barline>; C5 1920 stop start;` + backward,
			`<barline location="left"><ending number="2" type="start"/></barline>; C5 1920 stop`},
			[]string{"right 1 0+8 C5", "right 3 0+4 C5"}, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := scoreFrom(t, sketch(test.bars...))
			if test.want != nil {
				wantLines(t, table(s), test.want...)
			}
			wantLines(t, warned(s, " tie "), test.warnings...)
		})
	}
}

// A tie is a tie whether the file has <tie>, <tied> or both; "let-ring" is none.
func TestTieElements(t *testing.T) {
	start := []string{`<tie type="start"/>|`, `|<tied type="start"/>`, `<tie type="start"/>|<tied type="start"/>`}
	stop := []string{`<tie type="stop"/>|`, `|<tied type="stop"/>`, `|<tied type="continue"/>`}
	note := func(signs string) string {
		tie, tied, _ := strings.Cut(signs, "|")
		return "<note><pitch><step>C</step><octave>5</octave></pitch><duration>960</duration>" + tie + "<voice>1</voice><notations>" + tied + "</notations></note>;"
	}
	for _, first := range start {
		for _, second := range stop {
			wantLines(t, table(scoreFrom(t, sketch(note(first)+note(second)))), "right 1 0+4 C5")
		}
	}
	s := scoreFrom(t, sketch(note(`|<tied type="let-ring"/>`)+note("|")))
	wantLines(t, table(s), "right 1 0+2 C5", "right 1 2+2 C5")
	wantLines(t, warned(s, " tie "))
}

func TestTiedNoteKeepsItsHeads(t *testing.T) {
	s := scoreFrom(t, sketch("C5 1920 start", "C5 960 stop hidden v2 s2; forward 960"))
	n := s.Notes[0]
	if len(n.Heads) != 2 || !n.Tied() || n.Length != score.Int(6) || n.Voice != "1" || n.Staff != 1 {
		t.Fatalf("got %+v", n)
	}
	h := n.Heads[1]
	if h.Bar != 1 || h.Onset != score.Int(4) || h.Length != score.Int(2) || h.Voice != "2" || h.Staff != 2 || !h.Hidden {
		t.Errorf("second head %+v", h)
	}
}
