package musicxml

import (
	"fmt"
	"strings"
	"testing"
)

// player is one part of a score for these tests.
type player struct {
	name, sound string
	clef        string // "G" or "F"; "GF" has two staves
	more        string // more of <score-part>
}

// ensemble writes a score of one bar for P1, P2, …
func ensemble(players ...player) string {
	var list, music strings.Builder
	for i, p := range players {
		fmt.Fprintf(&list, `<score-part id="P%d"><part-name>%s</part-name>`, i+1, p.name)
		if p.sound != "" {
			fmt.Fprintf(&list, `<score-instrument id="I%d"><instrument-name/><instrument-sound>%s</instrument-sound></score-instrument>`, i+1, p.sound)
		}
		fmt.Fprintf(&list, `%s</score-part>`, p.more)
		fmt.Fprintf(&music, `<part id="P%d"><measure number="1"><attributes><divisions>1</divisions><staves>%d</staves>`, i+1, len(p.clef))
		for _, sign := range p.clef {
			fmt.Fprintf(&music, `<clef><sign>%c</sign></clef>`, sign)
		}
		music.WriteString(`</attributes><note><rest/><duration>4</duration></note></measure></part>`)
	}
	return `<score-partwise><part-list>` + list.String() + `</part-list>` + music.String() + `</score-partwise>`
}

func chosen(t *testing.T, text, want string) (ids, assumed string) {
	t.Helper()
	parts, err := mustRead(t, text).pianoParts(want)
	if err != nil {
		return err.Error(), ""
	}
	var all []string
	for _, p := range parts {
		all = append(all, p.id)
	}
	return strings.Join(all, " "), parts[0].assumed
}

// The sounds are of the MusicXML 4.0 standard sounds list; the programs are
// of General MIDI, from memory.
func TestPianoIsFound(t *testing.T) {
	const program = `<midi-instrument id="I1"><midi-program>%d</midi-program></midi-instrument>`
	tests := []struct {
		name    string
		players []player
		want    string
	}{
		{"alone", []player{{name: "Piano", clef: "GF"}}, "P1"},
		{"alone, one staff", []player{{name: "Piano", clef: "G"}}, "P1"},
		{"under a voice", []player{{name: "Voice", clef: "G"}, {name: "Klavier", clef: "GF"}}, "P2"},
		{"by sound", []player{{sound: "wind.flutes.flute", clef: "GF"}, {sound: "keyboard.piano.grand", clef: "GF"}}, "P2"},
		{"by name against the sound", []player{{name: "Soprano", sound: "keyboard.piano", clef: "G"}, {name: "Pno.", sound: "keyboard.piano", clef: "G"}}, "P2"},
		{"by sound and staves", []player{{name: "Melody", sound: "keyboard.piano", clef: "G"}, {name: "Reduction", sound: "keyboard.piano", clef: "GF"}}, "P2"},
		{"by abbreviation", []player{{name: "1", clef: "GF"}, {name: "2", clef: "GF", more: `<part-abbreviation>Pf.</part-abbreviation>`}}, "P2"},
		{"by instrument name", []player{{clef: "GF"}, {clef: "GF", more: `<score-instrument id="I"><instrument-name>Grand Piano</instrument-name></score-instrument>`}}, "P2"},
		{"in French", []player{{name: "Violon", clef: "G"}, {name: "Violoncelle", clef: "F"}, {name: "PIANO", clef: "GF"}}, "P3"},
		{"in Japanese", []player{{name: "歌", clef: "GF"}, {name: "ピアノ", clef: "GF"}}, "P2"},
		{"three staves", []player{{name: "Flute", clef: "G"}, {name: "Piano", clef: "GGF"}}, "P2"},
		{"two named parts", []player{{name: "Flute", clef: "G"}, {name: "Piano RH", clef: "G"}, {name: "Piano LH", clef: "G"}}, "P2 P3"},
		{"a named treble and an unnamed bass", []player{{name: "Piano", clef: "G"}, {clef: "F"}}, "P1 P2"},
		{"a named treble under a voice", []player{{name: "Voice", clef: "G"}, {name: "Piano", clef: "G"}}, "P2"},
		{"two named parts, lower first", []player{{name: "Piano", clef: "F"}, {name: "Piano", clef: "G"}}, "P2 P1"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got, assumed := chosen(t, ensemble(test.players...), ""); got != test.want || assumed != "" {
				t.Errorf("chose %q, assuming %q; want %q", got, assumed, test.want)
			}
		})
	}
	guesses := []struct {
		name      string
		players   []player
		want, why string
	}{
		{"two staves under a voice", []player{{clef: "G"}, {name: "Accompaniment", clef: "GF"}}, "P2",
			"no part is called a piano; part P2 (Accompaniment) was read because it has two staves"},
		{"another keyboard", []player{{name: "Harpsichord", sound: "keyboard.harpsichord", clef: "GF"}}, "P1",
			"no part is called a piano; part P1 (Harpsichord) was read because it has two staves"},
		{"two staves beside a harp", []player{{name: "Harp", clef: "GF"}, {name: "Celesta", clef: "GF"}}, "P2",
			"no part is called a piano; part P2 (Celesta) was read because it has two staves"},
		{"two staves by MIDI program", []player{{clef: "GF", more: fmt.Sprintf(program, 20)}, {clef: "GF", more: fmt.Sprintf(program, 1)}}, "P2",
			"no part is called a piano; part P2 (no name) was read because it has two staves"},
		{"treble and bass", []player{{name: "Right hand", clef: "G"}, {name: "Left hand", clef: "F"}}, "P1 P2",
			"no part is called a piano; parts P1 (Right hand) and P2 (Left hand) were read because they stand in treble and bass"},
		{"bass and treble", []player{{clef: "F"}, {clef: "G"}}, "P2 P1",
			"no part is called a piano; parts P2 (no name) and P1 (no name) were read because they stand in treble and bass"},
		{"treble and bass under a flute", []player{{name: "Flute", clef: "G"}, {clef: "G"}, {clef: "F"}}, "P2 P3",
			"no part is called a piano; parts P2 (no name) and P3 (no name) were read because they stand in treble and bass"},
		{"one part, one staff", []player{{name: "Music", clef: "G"}}, "P1",
			"no part is called a piano; part P1 (Music) was read because it is the only one"},
		{"two without a name, both treble", []player{{clef: "G"}, {clef: "G"}}, "P1 P2",
			"no part is called a piano; parts P1 (no name) and P2 (no name) were read because they are two hands of one staff each"},
		{"two of one name, both treble", []player{{name: "MusicXML Part", clef: "G"}, {name: "MusicXML Part", clef: "G"}}, "P1 P2",
			"no part is called a piano; parts P1 (MusicXML Part) and P2 (MusicXML Part) were read because they are two hands of one staff each"},
		{"one without a name under a voice", []player{{name: "Voice", clef: "G"}, {clef: "G"}}, "P2",
			"no part is called a piano; part P2 (no name) was read because it is the only one that is no other instrument's"},
		{"duo", []player{{name: "Piano I", clef: "GF"}, {name: "Piano II", clef: "GF"}}, "P1",
			"more than one part is a piano; part P1 (Piano I) was read because it comes first (choose another with --part)"},
		{"four hands", []player{{name: "Primo", clef: "GG"}, {name: "Secondo", clef: "FF"}}, "P1",
			"no part is called a piano and more than one has two staves; part P1 (Primo) was read because it comes first (choose another with --part)"},
		{"three one-staff pianos", []player{{name: "Piano 1", clef: "G"}, {name: "Piano 2", clef: "G"}, {name: "Piano 3", clef: "F"}}, "P1 P2",
			"more than one part is a piano; parts P1 (Piano 1) and P2 (Piano 2) were read because they come first (choose others with --part)"},
	}
	for _, test := range guesses {
		t.Run(test.name, func(t *testing.T) {
			if got, why := chosen(t, ensemble(test.players...), ""); got != test.want || why != test.why {
				t.Errorf("chose %q: %q\nwant %q: %q", got, why, test.want, test.why)
			}
		})
	}
}

func TestScoreSaysWhichPartWasAssumed(t *testing.T) {
	s, err := mustRead(t, strings.Replace(tune, "Piano", "Clavecin", 1)).Score(Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := "no part is called a piano; part P1 (Clavecin) was read because it has two staves"
	if len(s.Warnings) == 0 || s.Warnings[0].String() != want {
		t.Errorf("warnings are %q, want first %q", s.Warnings, want)
	}
}

func TestPianoIsNotFound(t *testing.T) {
	tests := []struct {
		name, score, want string
	}{
		{"violin and cello", ensemble(player{name: "Violin", clef: "G"}, player{name: "Violoncello", clef: "F"}),
			"no part is a piano; choose with --part: P1 (Violin), P2 (Violoncello)"},
		{"by sound only", ensemble(player{sound: "wind.flutes.flute", clef: "G"}, player{sound: "wind.reed.bassoon", clef: "F"}),
			"no part is a piano; choose with --part: P1 (no name), P2 (no name)"},
		{"flute alone", ensemble(player{name: "Flöte", clef: "G"}),
			"no part is a piano; choose with --part: P1 (Flöte)"},
		{"choir", ensemble(player{name: "S", clef: "G"}, player{name: "A", clef: "G"}, player{name: "T", clef: "G"}, player{name: "B", clef: "F"}),
			"no part is a piano; choose with --part: P1 (S), P2 (A), P3 (T), P4 (B)"},
		{"no parts", `<score-partwise><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list></score-partwise>`,
			"the score has no parts, so there is nothing to read; export it again"},
		{"no bars", `<score-partwise><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list><part id="P1"/></score-partwise>`,
			"part P1 (Piano) has no bars; export the score again"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got, _ := chosen(t, test.score, ""); got != "tune.musicxml: "+test.want {
				t.Errorf("got %s\nwant tune.musicxml: %s", got, test.want)
			}
		})
	}
}

func TestPlayerChoosesThePart(t *testing.T) {
	score := ensemble(
		player{name: "Piano I", clef: "GF"}, player{name: "Piano II", clef: "GF", more: `<part-abbreviation>Pno. 2</part-abbreviation>`},
		player{name: "Violin", clef: "G"}, player{name: "Violin", clef: "G"},
		player{name: "Upper, solo", clef: "G"}, player{name: "Lower", clef: "F"}, player{name: "P1", clef: "GF"}, player{name: "Duo", clef: "GF"}, player{name: "Duo", clef: "GF"})
	const list = "; choose with --part: P1 (Piano I), P2 (Piano II), P3 (Violin), P4 (Violin), P5 (Upper, solo), P6 (Lower), P7 (P1), P8 (Duo), P9 (Duo)"
	for want, id := range map[string]string{
		"P2":             "P2",
		"p2":             "P2",
		"P1":             "P1",
		"piano ii":       "P2",
		" PIANO  I ":     "P1",
		"pno. 2":         "P2",
		"violin":         "P3 P4",
		"Upper, solo":    "P5",
		"P5,P6":          "P5 P6",
		"lower, P5":      "P6 P5",
		"Upper":          `tune.musicxml: there is no part "Upper"` + list,
		"P1,P2":          `tune.musicxml: "P1,P2" does not name two parts of one staff each` + list,
		"P3,":            `tune.musicxml: "P3," does not name two parts of one staff each` + list,
		"Piano I, cello": `tune.musicxml: "Piano I, cello" does not name two parts of one staff each` + list,
		"duo":            `tune.musicxml: more than one part is called "duo"; choose with --part: P8 (Duo), P9 (Duo)`,
	} {
		if got, _ := chosen(t, score, want); got != id {
			t.Errorf("--part %q chose %s, want %s", want, got, id)
		}
	}
}

func TestBraceNamesThePiano(t *testing.T) {
	const text = `<score-partwise><part-list>
		<score-part id="P1"><part-name>Solo</part-name></score-part>
		<part-group number="1" type="start"><group-name>Piano</group-name><group-symbol>brace</group-symbol></part-group>
		<score-part id="P2"><part-name/></score-part><score-part id="P3"><part-name/></score-part>
		<part-group number="1" type="stop"/><score-part id="P4"><part-name/></score-part></part-list>
		<part id="P1"><measure/></part><part id="P2"><measure/></part><part id="P3"><measure/></part><part id="P4"><measure/></part></score-partwise>`
	if got, _ := chosen(t, text, ""); got != "P2 P3" {
		t.Errorf("chose %s, want P2 P3", got)
	}
}

func TestTwoHundredParts(t *testing.T) {
	players := make([]player, 200)
	for i := range players {
		players[i] = player{name: "Violin", clef: "G"}
	}
	got, _ := chosen(t, ensemble(players...), "")
	if !strings.HasSuffix(got, "P19 (Violin), P20 (Violin), and 180 more") {
		t.Error("got", got)
	}
	players[150] = player{name: "Piano", clef: "GF"}
	if got, _ := chosen(t, ensemble(players...), ""); got != "P151" {
		t.Errorf("chose %s, want P151", got)
	}
}

func TestSecondStaffMayBeUndeclared(t *testing.T) {
	const text = `<score-partwise><part id="P1"><measure/></part><part id="P2"><measure><note><rest/><staff>2</staff></note></measure></part></score-partwise>`
	if got, _ := chosen(t, text, ""); got != "P2" {
		t.Errorf("chose %s, want P2", got)
	}
}
