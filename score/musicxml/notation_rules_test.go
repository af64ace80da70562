package musicxml

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hardbars/score/notation"
)

// The answers in this file were worked out by hand from the rules of notation
// (common practice) and the documentation of the MusicXML 4.0 schema.

// notationFrom reads what is written in bars as sketch takes them.
func notationFrom(t *testing.T, bars ...string) *notation.Score {
	t.Helper()
	n, err := mustRead(t, sketch(bars...)).Notation(Options{})
	if err != nil {
		t.Fatal(err)
	}
	checkTables(t, n)
	return n
}

// signed is a note in sketch's short form with something within its element.
func signed(note, inside string) string {
	return strings.Replace(noteXML(strings.Fields(note)), "</note>", inside+"</note>", 1) + ";"
}

// noted is signed with what stands in <notations>.
func noted(note, signs string) string {
	return signed(note, "<notations>"+signs+"</notations>")
}

func directed(inside string) string { return "<direction>" + inside + "</direction>;" }

func typed(inside string) string {
	return directed("<direction-type>" + inside + "</direction-type>")
}

func repeated(note string, times int) string { return strings.Repeat(note+";", times) }

func TestAccidentalsByRule(t *testing.T) {
	tests := []struct{ name, bars, want string }{
		{"held to the barline", "F#4 960 half;F#4 960 half|F#4 1920 whole", "sharp - sharp"},
		{"taken back", "F#4 960 half;F4 960 half|F4 1920 whole", "sharp natural -"},
		{"its own octave only", "F#4 960 half;F#5 960 half", "sharp sharp"},
		{"in another voice of the staff", "F#4 1920 whole;back 960;F#4 960 half v2", "sharp -"},
		{"not on the other staff", "F#4 1920 whole;back 1920;F#4 1920 whole v5 s2", "sharp sharp"},
		{"tied over the barline", "F#4 1920 whole start|F#4 960 half stop;F#4 960 half", "sharp - sharp"},
		{"tied and spelled anew", "F#4 1920 whole start|Gb4 1920 whole stop", "sharp flat"},
		{"double", "F##4 960 half;Gbb4 960 half", "double-sharp flat-flat"},
		{"grace notes too", "F#4 eighth grace;F#4 1920 whole", "sharp -"},
		{"by the key", "<attributes><key><fifths>1</fifths></key></attributes>;F#4 960 half;F4 960 half", "- natural"},
		{"the file has some", signed("F4 960 half", "<accidental>natural</accidental>") + "F#4 960 half", "natural -"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			n := notationFrom(t, strings.Split(test.bars, "|")...)
			var got []string
			for _, c := range n.Chords {
				for _, note := range c.Notes {
					if note.Accidental == "" {
						note.Accidental = "-"
					}
					got = append(got, note.Accidental)
				}
			}
			if s := strings.Join(got, " "); s != test.want {
				t.Errorf("got %s, want %s", s, test.want)
			}
		})
	}
}

// beamsOf prints the beams of the chords that have any, "b" for begin, "c", "e",
// "f" and "k" for hooks that point forward and back, level by level.
func beamsOf(n *notation.Score) string {
	letters := map[string]string{"begin": "b", "continue": "c", "end": "e", "forward hook": "f", "backward hook": "k"}
	var groups []string
	for _, c := range n.Chords {
		s := "-"
		for _, mark := range c.Beams {
			s = strings.TrimPrefix(s, "-") + letters[mark]
		}
		groups = append(groups, s)
	}
	return strings.Join(groups, " ")
}

func TestBeamsByRule(t *testing.T) {
	tests := []struct{ name, bar, want string }{
		{"two to a quarter", "time 2/4;" + repeated("C5 240 eighth", 4), "b e b e"},
		{"three to a dotted quarter", "time 6/8;" + repeated("C5 240 eighth", 6), "b c e b c e"},
		{"dotted", "time 2/4;C5 360 eighth dot;C5 120 16th;C5 120 16th;C5 360 eighth dot", "b ek bf e"},
		{"a hook in the middle", "time 3/8;C5 360 eighth dot;C5 120 16th;C5 240 eighth", "b ck e"},
		{"levels", "time 2/4;C5 240 eighth;C5 120 16th;C5 120 16th;C5 480 quarter", "b cb ee -"},
		{"a rest parts them", "time 2/4;C5 120 16th;r 120 16th;C5 120 16th;C5 120 16th;C5 480 quarter", "- - bb ee -"},
		{"a sum", "time 3+2/8;" + repeated("C5 240 eighth", 5), "b c e b e"},
		{"seven", "time 7/8;" + repeated("C5 240 eighth", 7), "b e b e b c e"},
		{"cut time", "time 2/2;" + repeated("C5 240 eighth", 8), "b c c e b c c e"},
		{"grace notes", "time 2/4;C5 16th grace;D5 16th grace;C5 960 half", "bb ee -"},
		{"a long tuplet", "time 2/4;" + repeated("C5 192 eighth 5:4", 5), "b c c c e"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := beamsOf(notationFrom(t, test.bar)); got != test.want {
				t.Errorf("got %s, want %s", got, test.want)
			}
		})
	}
}

// A pickup is the end of a bar: its beats are counted from there.
func TestBeamsOfAPickup(t *testing.T) {
	n := notationFrom(t, "time 6/8;"+repeated("C5 240 eighth", 4), repeated("C5 240 eighth", 6))
	if got, want := beamsOf(n), "- b c e b c e b c e"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// beamed is an eighth, or a shorter note, with the beams that the file gives it.
func beamed(kind, duration string, marks ...string) string {
	xml := ""
	for i, m := range marks {
		xml += fmt.Sprintf("<beam number=\"%d\">%s</beam>", i+1, m)
	}
	return signed("C5 "+duration+" "+kind, xml)
}

func TestBeamsOfTheFile(t *testing.T) {
	tests := []struct{ name, bar, want string }{
		{"as they are", beamed("eighth", "240", "begin") + beamed("eighth", "240", "end") + "C5 240 eighth", "b e -"},
		{"over a rest", beamed("eighth", "240", "begin") + "r 240 eighth;" + beamed("eighth", "240", "end"), "b - e"},
		{"never ended", beamed("eighth", "240", "begin") + beamed("eighth", "240", "continue") + "C5 480 quarter", "b e -"},
		{"begun twice", beamed("eighth", "240", "begin") + beamed("eighth", "240", "begin") + beamed("eighth", "240", "end"), "- b e"},
		{"never begun", beamed("eighth", "240", "continue") + beamed("eighth", "240", "end") + "C5 480 quarter", "b e -"},
		{"alone", beamed("eighth", "240", "end") + "C5 480 quarter", "- -"},
		{"levels parted", beamed("16th", "120", "begin", "begin") + beamed("16th", "120", "continue", "end") +
			beamed("16th", "120", "continue", "begin") + beamed("16th", "120", "end", "end"), "bb ce cb ee"},
		{"a level not written", beamed("16th", "120", "begin") + beamed("16th", "120", "end"), "bb ee"},
		{"over the barline", "time 1/4;C5 240 eighth;" + beamed("eighth", "240", "begin") + "|" + beamed("eighth", "240", "end") + "C5 240 eighth", "- b e -"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := beamsOf(notationFrom(t, strings.Split(test.bar, "|")...)); got != test.want {
				t.Errorf("got %s, want %s", got, test.want)
			}
		})
	}
}

// tupletsOf prints the tuplets: first and last chord, text, depth, "[" with a bracket.
func tupletsOf(n *notation.Score) string {
	var out []string
	for _, u := range n.Tuplets {
		bracket := ""
		if u.Bracket {
			bracket = "["
		}
		out = append(out, fmt.Sprintf("%d-%d %q%s %d", u.From, u.To, u.Text, bracket, u.Depth))
	}
	return strings.Join(out, "; ")
}

func TestTuplets(t *testing.T) {
	eighth, quarter := "C5 160 eighth 3:2", "C5 320 quarter 3:2"
	start, stop := `<tuplet type="start"/>`, `<tuplet type="stop"/>`
	tests := []struct{ name, bar, want string }{
		{"by rule, under a beam", repeated(eighth, 6), `0-2 "3" 0; 3-5 "3" 0`},
		{"by rule, of two values", quarter + ";" + eighth + ";" + eighth + ";" + quarter, `0-1 "3"[ 0; 2-3 "3"[ 0`},
		{"by rule, a longer one", repeated("C5 192 eighth 5:4", 5), `0-4 "5" 0`},
		{"signed", noted(eighth, start) + eighth + ";" + noted(eighth, stop) + eighth, `0-2 "3" 0`},
		{"signed, both numbers", noted(eighth, `<tuplet type="start" show-number="both" bracket="yes"/>`) + eighth + ";" + noted(eighth, stop), `0-2 "3:2"[ 0`},
		{"hidden number", noted(eighth, `<tuplet type="start" show-number="none"/>`) + eighth + ";" + noted(eighth, stop), `0-2 "" 0`},
		{"without beams", noted(quarter, start) + quarter + ";" + noted(quarter, stop), `0-2 "3"[ 0`},
		{"never ended", noted(eighth, start) + eighth + ";" + eighth + ";C5 480 quarter", `0-2 "3" 0`},
		{"nested", noted(quarter, `<tuplet type="start" number="1"/>`) +
			noted("C5 107 eighth 9:4", `<tuplet type="start" number="2"/>`) + "C5 107 eighth 9:4;" +
			noted("C5 106 eighth 9:4", `<tuplet type="stop" number="2"/>`) +
			noted(quarter, `<tuplet type="stop" number="1"/>`), `0-4 "3"[ 0; 1-3 "3" 1`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := tupletsOf(notationFrom(t, test.bar)); got != test.want {
				t.Errorf("got %s, want %s", got, test.want)
			}
		})
	}
}

func TestSlurs(t *testing.T) {
	start, stop := `<slur type="start" number="1"/>`, `<slur type="stop" number="1"/>`
	quarter := "C5 480 quarter"
	tests := []struct{ name, bar, want string }{
		{"one", noted(quarter, start) + quarter + ";" + noted(quarter, stop), "0-2"},
		{"one after the other", noted(quarter, start) + noted(quarter, stop+start) + noted(quarter, stop), "0-1 1-2"},
		{"from a grace note", noted("D5 eighth grace", start) + noted(quarter, stop), "0-1"},
		{"one number in two voices", noted(quarter, start) + noted(quarter, stop) + "back 960;" +
			noted("E4 480 quarter v2", start) + noted("E4 480 quarter v2", stop), "0-2 1-3"},
		{"to another staff, written before", noted("C3 960 half v5 s2", stop) + "back 960;" + noted("C5 480 quarter", start) + "C5 480 quarter", "0--1 -1-1"},
		{"from one staff to the other", noted(quarter, start) + quarter + ";back 480;" + noted("C3 480 quarter v5 s2", stop), "0-2"},
		{"an older one left open", noted(quarter, start) + quarter + ";" + quarter + ";" + noted(quarter, stop) + "back 960;" +
			noted("E4 480 quarter v2", start), "0--1 3-4"},
		{"a long one over short ones of its number", noted(quarter, start) + quarter + ";" + quarter + ";" + noted(quarter, stop) + "back 960;" +
			noted("E4 240 eighth v2", start) + noted("E4 240 eighth v2", stop), "0-5 3-4"},
		{"no end", noted(quarter, start) + quarter, "0--1"},
		{"no beginning", quarter + ";" + noted(quarter, stop), "-1-1"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var got []string
			for _, s := range notationFrom(t, test.bar).Slurs {
				got = append(got, fmt.Sprintf("%d-%d", s.From, s.To))
			}
			if s := strings.Join(got, " "); s != test.want {
				t.Errorf("got %s, want %s", s, test.want)
			}
		})
	}
}

func TestWrittenTies(t *testing.T) {
	tests := []struct{ name, bars, want string }{
		{"two", "C5 1920 whole start|C5 1920 whole stop", "0-1"},
		{"three", "C5 1920 whole start|C5 1920 whole stop start|C5 1920 whole stop", "0-1 1-2"},
		{"to nowhere", "C5 1920 whole start|D5 1920 whole", "0--1"},
		{"from nowhere", "D5 1920 whole|C5 1920 whole stop", "-1-1"},
		{"over a rest", "C5 480 quarter start;r 480 quarter;C5 960 half stop", "0-2"},
		{"a chord broken and held", "C4 240 eighth start;E4 240 eighth start;G4 240 eighth;back 240;C4 480 quarter chord stop;E4 480 quarter chord stop", "0-3 1-4"},
		{"too far apart", "C5 1920 whole start|D5 1920 whole|C5 1920 whole stop", "0--1 -1-2"},
		{"let ring", noted("C5 1920 whole", `<tied type="let-ring"/>`), "0--1"},
		{"hidden", "C5 1920 whole start hidden|C5 1920 whole stop hidden", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var got []string
			for _, s := range notationFrom(t, strings.Split(test.bars, "|")...).Ties {
				got = append(got, fmt.Sprintf("%d-%d", s.From, s.To))
			}
			if s := strings.Join(got, " "); s != test.want {
				t.Errorf("got %s, want %s", s, test.want)
			}
		})
	}
}

func TestWrittenGraceNotes(t *testing.T) {
	n := notationFrom(t,
		"C5 eighth grace;E5 eighth grace chord;D5 eighth grace;C5 1920 whole;B4 eighth grace;A4 eighth grace",
		"G4 eighth grace;C5 1920 whole")
	var got []string
	for _, c := range n.Chords {
		got = append(got, fmt.Sprintf("%d+%s %d %v", c.Bar, c.At, c.Grace, c.GraceAfter))
	}
	want := []string{"0+0 1 false", "0+0 2 false", "0+0 0 false", "0+4 1 true", "0+4 2 true", "1+4 1 false", "1+4 0 false"}
	wantLines(t, got, want...)
}

func TestWrittenHeads(t *testing.T) {
	n := notationFrom(t, signed("G5 1920 whole", `<stem>up</stem><notehead>diamond</notehead>`)+
		signed("C5 1920 whole chord", `<accidental parentheses="yes">natural</accidental>`)+
		"E5 1920 whole chord hidden")
	c := n.Chords[0]
	var got []string
	for _, note := range c.Notes {
		got = append(got, fmt.Sprintf("%d %s %q %q %v", note.ID, note.Written, note.Head, note.Accidental, note.Bracketed))
	}
	wantLines(t, got, `1 C5 "" "natural" true`, `2 E5 "none" "" false`, `0 G5 "diamond" "" false`)
	if c.Stem != notation.StemUp || c.Hidden {
		t.Errorf("the stem is %d, hidden %v", c.Stem, c.Hidden)
	}
}

// Under an octave line the file has the sounding pitch, and the staff another one.
func TestWrittenUnderAnOctaveLine(t *testing.T) {
	n := notationFrom(t, typed(`<octave-shift type="down" size="8"/>`)+"C7 960 half;"+typed(`<octave-shift type="stop" size="8"/>`)+"C6 960 half")
	if a, b := n.Chords[0].Notes[0].Written, n.Chords[1].Notes[0].Written; a.String() != "C6" || b.String() != "C6" {
		t.Errorf("written are %s and %s, want C6 twice", a, b)
	}
	if len(n.Lines) != 1 || n.Lines[0].Kind != notation.OctaveUp || n.Lines[0].Text != "8" || n.Lines[0].To.String() != "2" {
		t.Errorf("the lines are %+v", n.Lines)
	}
}

func TestRests(t *testing.T) {
	n := notationFrom(t, "time 3/4;R 1440;back 1440;r 480 v5 s2;"+
		`<note><rest><display-step>D</display-step><display-octave>5</display-octave></rest><duration>960</duration><voice>5</voice><staff>2</staff></note>`,
		"r 1440 whole;back 1440;r 1440 whole hidden v2;back 1440;C3 1440 half dot v5 s2")
	var got []string
	for _, c := range n.Chords {
		got = append(got, fmt.Sprintf("%s %s %d whole bar %v at %d hidden %v", c.At, c.Value.Type, c.Value.Dots, c.WholeBar, c.RestAt, c.Hidden))
	}

	wantLines(t, got,
		"0 whole 0 whole bar true at 0 hidden false",
		"0 quarter 0 whole bar false at 0 hidden false",
		"1 half 0 whole bar false at 36 hidden false",
		"3 whole 0 whole bar true at 0 hidden false",
		"3 whole 0 whole bar true at 0 hidden true",
		"3 half 1 whole bar false at 0 hidden false")
}

func TestValuesWithoutAType(t *testing.T) {
	n := notationFrom(t, "C5 480;C5 720;C5 160 3:2;C5 160;C5 400")
	var got []string
	for _, c := range n.Chords {
		got = append(got, fmt.Sprintf("%s %d", c.Value.Type, c.Value.Dots))
	}
	wantLines(t, got, "quarter 0", "quarter 1", "eighth 0", "eighth 0", "quarter 0") // the last as part of a triplet
	if len(n.LeftOut) != 1 || !strings.Contains(n.LeftOut[0].What, "5/6 quarters") {
		t.Errorf("left out are %v", n.LeftOut)
	}
}

func TestBarlines(t *testing.T) {
	bar := "C5 1920 whole;"
	n := notationFrom(t,
		`<barline location="left"><bar-style>heavy-light</bar-style><repeat direction="forward"/></barline>;`+bar,
		`<barline location="left"><ending number="1" type="start"/></barline>;`+bar+`<barline location="right"><ending number="1" type="stop"/><repeat direction="backward" times="3"/></barline>;`,
		`<barline location="left"><ending number="2" type="start">last time</ending></barline>;`+bar+`<barline location="right"><ending number="2" type="discontinue"/></barline>;`,
		bar+`<barline location="right"><bar-style>light-light</bar-style></barline>;`,
		`<barline location="left"><repeat direction="backward"/></barline>;`+bar)
	type barline = notation.Barline
	lines := []notation.Barline{n.Bars[0].Left, n.Bars[1].Right, n.Bars[2].Right, n.Bars[3].Right, n.Bars[4].Left}
	want := []barline{{Style: "heavy-light", Repeat: true}, {Style: "light-heavy", Repeat: true, Times: 3}, {}, {Style: "light-heavy", Repeat: true}, {}}
	if !slices.Equal(lines, want) {
		t.Errorf("the barlines are %+v, want %+v", lines, want)
	}
	if e := n.Bars[1].Ending; e == nil || *e != (notation.Ending{Text: "1.", Start: true, Stop: true}) {
		t.Errorf("the first ending is %+v", e)
	}
	if e := n.Bars[2].Ending; e == nil || *e != (notation.Ending{Text: "last time", Start: true, Stop: true, Open: true}) {
		t.Errorf("the second ending is %+v", e)
	}
	if n.Bars[0].Ending != nil || n.Bars[3].Ending != nil {
		t.Error("bars outside of endings have one")
	}
}

func TestSignatures(t *testing.T) {
	clef := func(attributes, sign, line string) string {
		return "<clef " + attributes + "><sign>" + sign + "</sign><line>" + line + "</line></clef>"
	}
	key := func(fifths string) string { return "<key><fifths>" + fifths + "</fifths></key>" }
	n := notationFrom(t,
		"<attributes>"+key("2")+`<time symbol="common"><beats>4</beats><beat-type>4</beat-type></time>`+clef(`number="1"`, "G", "2")+"</attributes>;"+
			"C5 960 half;<attributes>"+clef(`number="1"`, "F", "4")+"</attributes>;C5 960 half;<attributes>"+clef(`number="1"`, "G", "2")+"</attributes>",
		"<attributes>"+key("2")+clef(`number="1"`, "G", "2")+"</attributes>;C5 1920 whole;<attributes>"+clef(`number="2" after-barline="yes"`, "F", "4")+"</attributes>",
		"<attributes>"+key("-1")+`<time><beats>3</beats><beat-type>4</beat-type><beats>2</beats><beat-type>8</beat-type></time></attributes>;C5 1920 whole`)
	var got []string
	for _, c := range n.Clefs {
		got = append(got, fmt.Sprintf("clef %s bar %d staff %d %s%d end %v", c.At, c.Bar, c.Staff, c.Sign, c.Line, c.AtEnd))
	}
	for _, k := range n.Keys {
		got = append(got, fmt.Sprintf("key %s staff %d %d", k.At, k.Staff, k.Fifths))
	}
	for _, k := range n.Times {
		got = append(got, fmt.Sprintf("time %s %v %v %s", k.At, k.Beats, k.Types, k.Symbol))
	}
	wantLines(t, got,
		"clef 0 bar 0 staff 1 G2 end false",
		"clef 0 bar 0 staff 2 G2 end false", // it changes to the bass clef later
		"clef 2 bar 0 staff 1 F4 end false",
		"clef 4 bar 0 staff 1 G2 end true",
		"clef 8 bar 1 staff 2 F4 end false",
		"key 0 staff 0 2", "key 8 staff 0 -1",
		"time 0 [4] [4] common", "time 8 [3 2] [4 8] ")
}

func TestSigns(t *testing.T) {
	metronome := `<metronome parentheses="yes"><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>66</per-minute></metronome>`
	tests := []struct{ name, direction, want string }{
		{"words", `<direction-type><words>dolce</words></direction-type>`, `words "dolce" italic`},
		{"upright words", `<direction-type><words font-style="normal">m.s.</words></direction-type>`, `words "m.s."`},
		{"a pace", `<direction-type><words font-weight="bold">Allegro</words></direction-type>`, `tempo "Allegro"`},
		{"a pace and a figure", `<direction-type><words>Allegro</words></direction-type><direction-type>` + metronome + `</direction-type>`, `tempo "Allegro (" quarter 1 "66)"`},
		{"a figure in words", `<direction-type><words>Lento (♩ = 40)</words></direction-type>`, `tempo "Lento (" quarter 0 "40)"`},
		{"a change of the beat", `<direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit>eighth</beat-unit></metronome></direction-type>`, `tempo "♩ = ♪"`},
		{"a gradual change", `<direction-type><words>rit.</words></direction-type>`, `words "rit." italic`},
		{"a dynamic", `<direction-type><dynamics><sfz/></dynamics></direction-type>`, `dynamic "sfz"`},
		{"a dynamic in words", `<direction-type><dynamics><other-dynamics>cresc.</other-dynamics></dynamics></direction-type>`, `words "cresc." italic`},
		{"a dynamic between words", `<direction-type><words>più</words></direction-type><direction-type><dynamics><f/></dynamics></direction-type>`, `words "più" italic|dynamic "f"`},
		{"a dynamic in brackets", "<direction-type><words>(</words><words>\uE522\uE522</words><words>)</words></direction-type>", `dynamic "(ff)"`},
		{"a rehearsal mark", `<direction-type><rehearsal>B</rehearsal></direction-type>`, `rehearsal "B"`},
		{"a pedal sign", `<direction-type><pedal type="start"/></direction-type>`, `down "Ped."`},
		{"its end", `<direction-type><pedal type="stop"/></direction-type>`, `up "*"`},
		{"a pedal sign as words", "<direction-type><words>\uE650</words></direction-type>", `down "Ped."`},
		{"a picture", `<direction-type><image source="x.png" type="image/png"/></direction-type>`, `left out a picture`},
	}
	kinds := [...]string{"dynamic", "words", "tempo", "rehearsal", "segno", "coda", "down", "up"}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			n := notationFrom(t, directed(test.direction)+"C5 1920 whole")
			var got []string
			for _, s := range n.Signs {
				line := fmt.Sprintf("%s %q", kinds[s.Kind], s.Text)
				if s.Beat.Type != "" {
					line += fmt.Sprintf(" %s %d %q", s.Beat.Type, s.Beat.Dots, s.After)
				}
				if s.Italic {
					line += " italic"
				}
				got = append(got, line)
			}
			for _, l := range n.LeftOut {
				got = append(got, "left out "+l.What)
			}
			if s := strings.Join(got, "|"); s != test.want {
				t.Errorf("got %s, want %s", s, test.want)
			}
		})
	}
}

// A line break within words is kept; what follows one is a sign of its own.
func TestWordsInLines(t *testing.T) {
	for words, want := range map[string]string{
		"<words>con↵delicatezza</words>":                    `1 "con\ndelicatezza"`,
		"<words>con</words><words>delicatezza</words>":      `1 "con delicatezza"`,
		"<words>Adagio↵</words><words>molto legato</words>": `2 "Adagio"|1 "molto legato"`,
	} {
		file := sketch(directed("<direction-type>BREAK</direction-type>") + "C5 1920 whole")
		broken := strings.ReplaceAll(words, "↵", "\n")
		n, err := mustRead(t, strings.Replace(file, "BREAK", broken, 1)).Notation(Options{})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, s := range n.Signs {
			got = append(got, fmt.Sprintf("%d %q", s.Kind, s.Text))
		}
		if s := strings.Join(got, "|"); s != want {
			t.Errorf("%s: got %s, want %s", words, s, want)
		}
	}
}

func TestLines(t *testing.T) {
	pedal := func(kind string) string { return typed(`<pedal type="` + kind + `" line="yes"/>`) }
	wedge := func(kind string) string { return typed(`<wedge type="` + kind + `" number="1"/>`) }
	quarter := "C5 480 quarter;"
	kinds := [...]string{"cresc", "dim", "8va", "8vb", "pedal", "trill", "dashes", "bracket"}
	tests := []struct{ name, bar, want string }{
		{"hairpins meet", wedge("crescendo") + quarter + wedge("stop") + wedge("diminuendo") + quarter + wedge("stop"), "cresc 0-1 []|dim 1-2 []"},
		{"a hairpin without an end", quarter + wedge("crescendo") + quarter, "cresc 1-2 []"},
		{"a pedal line", pedal("start") + quarter + pedal("change") + quarter + pedal("stop"), "pedal 0-2 [1]"},
		{"pedal lines that meet", pedal("start") + quarter + pedal("stop") + pedal("start") + quarter + pedal("stop"), "pedal 0-2 [1]"},
		{"a pedal pressed afresh", pedal("start") + quarter + pedal("start") + quarter + pedal("stop"), "pedal 0-2 [1]"},
		{"pedal lines apart", pedal("start") + quarter + pedal("stop") + quarter + pedal("start") + quarter + pedal("stop"), "pedal 0-1 []|pedal 2-3 []"},
		{"a pedal line without an end", pedal("start") + quarter, "sign 0|left out a pedal line that has no end"},
		{"a pedal line without a beginning", quarter + pedal("stop"), "left out a pedal line that has no beginning"},
		{"dashes", typed(`<words>cresc.</words>`) + typed(`<dashes type="start"/>`) + quarter + typed(`<dashes type="stop"/>`), "sign 0|dashes 0-1 []"},
		{"a trill's line", noted("C5 480 quarter", `<ornaments><trill-mark/><wavy-line type="start"/></ornaments>`) +
			noted("C5 480 quarter", `<ornaments><wavy-line type="stop"/></ornaments>`), "trill 0-2 []"},
		{"a trill's line inside another", noted("C5 960 half", `<ornaments><wavy-line type="start"/><wavy-line type="stop"/></ornaments>`) + "back 960;" +
			noted("C5 480 quarter v2", `<ornaments><wavy-line number="2" type="start"/></ornaments>`) +
			noted("C5 480 quarter v2", `<ornaments><wavy-line number="2" type="stop"/></ornaments>`), "trill 0-2 []"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			n := notationFrom(t, test.bar)
			var got []string
			for _, s := range n.Signs {
				got = append(got, "sign "+s.At.String())
			}
			for _, l := range n.Lines {
				got = append(got, fmt.Sprintf("%s %s-%s %v", kinds[l.Kind], l.From, l.To, l.Changes))
			}
			for _, l := range n.LeftOut {
				got = append(got, "left out "+l.What)
			}
			if s := strings.Join(got, "|"); s != test.want {
				t.Errorf("got %s, want %s", s, test.want)
			}
		})
	}
}

func TestMarks(t *testing.T) {
	n := notationFrom(t,
		noted("C5 960 half", `<articulations><staccato placement="below"/><accent/></articulations><fermata type="inverted">square</fermata>`)+
			noted("E5 960 half chord", `<articulations><staccato placement="below"/></articulations><technical><fingering>3</fingering><fingering substitution="yes">1</fingering></technical>`)+
			noted("D5 960 half", `<ornaments><turn/><accidental-mark placement="above">flat</accidental-mark><accidental-mark placement="below">sharp</accidental-mark><tremolo type="single">2</tremolo></ornaments>`))
	want := []notation.Mark{{Name: "staccato", Side: notation.Below}, {Name: "accent"}, {Name: "fermata", Side: notation.Below, Shape: "square"}}
	if got := n.Chords[0].Marks; !slices.Equal(got, want) {
		t.Errorf("the marks are %+v, want %+v", got, want)
	}
	if got := n.Chords[0].Notes[1].Fingering; len(got) != 1 || got[0].Text != "3-1" {
		t.Errorf("the fingering is %+v", got)
	}
	turn := n.Chords[1]
	if want := []notation.Mark{{Name: "turn", AboveIt: "flat", BelowIt: "sharp"}}; !slices.Equal(turn.Marks, want) {
		t.Errorf("the marks are %+v, want %+v", turn.Marks, want)
	}
	if turn.Tremolo != 2 || turn.TremoloPart != "single" {
		t.Errorf("the tremolo is %d, %q", turn.Tremolo, turn.TremoloPart)
	}
}

func TestSpreadsAndSlides(t *testing.T) {
	n := notationFrom(t,
		noted("G4 960 half", `<arpeggiate/>`)+noted("E5 960 half", `<glissando type="start"/>`)+"back 1920;"+noted("C3 960 half v5 s2", `<arpeggiate/>`)+"C4 960 half v5 s2 chord;C3 960 half v5 s2",
		noted("E6 1920 whole", `<glissando type="stop"/>`))
	if len(n.Arpeggios) != 1 || !slices.Equal(n.Arpeggios[0].Chords, []int{0, 1}) || !slices.Equal(n.Arpeggios[0].Notes, []int{0, 2, 3}) {
		t.Errorf("the spreads are %+v", n.Arpeggios)
	}
	if len(n.Slides) != 1 || n.Slides[0] != (notation.Slide{From: 1, To: 5, Wavy: true}) {
		t.Errorf("the slides are %+v", n.Slides)
	}
}

// One name for a voice on each staff, or none, does not make one voice of them.
func TestVoicesOnTwoStaves(t *testing.T) {
	for _, voice := range []string{"v1", "v"} {
		n := notationFrom(t, "time 2/4;"+repeated("C5 240 eighth "+voice, 4)+"back 960;"+repeated("C3 240 eighth s2 "+voice, 4))
		if got, want := beamsOf(n), "b b e e b b e e"; got != want {
			t.Errorf("%s: got %s, want %s", voice, got, want)
		}
		if n.Chords[0].Voice == n.Chords[1].Voice {
			t.Errorf("both staves have the voice %q", n.Chords[0].Voice)
		}
	}
}

func TestCueNotesAreWritten(t *testing.T) {
	n := notationFrom(t, "C5 960 half;D5 960 half cue")
	if len(n.Chords) != 2 || n.Chords[0].Cue || !n.Chords[1].Cue || n.Chords[1].Notes[0].Written.String() != "D5" {
		t.Errorf("the chords are %+v", n.Chords)
	}
}

func FuzzNotation(f *testing.F) {
	for _, bar := range []string{
		"C5 160 eighth 3:2;C5 160 eighth 3:2;C5 160 eighth 3:2;F#4 eighth grace;C5 480 quarter start",
		beamed("16th", "120", "continue", "forward hook") + noted("C5 480 quarter", `<slur type="stop"/><tuplet type="start"/><arpeggiate/><glissando type="stop"/>`),
		typed(`<pedal type="change" line="yes"/>`) + typed(`<wedge type="crescendo"/>`) + typed(`<octave-shift type="up" size="15"/>`) + "R 1920",
	} {
		f.Add(sketch(bar))
	}
	f.Fuzz(func(t *testing.T, text string) {
		file, err := Read(strings.NewReader(text), "fuzz.xml")
		if err != nil {
			return
		}
		_, bad := file.Score(Options{})
		n, err := file.Notation(Options{})
		if (bad == nil) != (err == nil) {
			t.Errorf("Score says %v and Notation %v", bad, err)
		}
		if err == nil {
			checkTables(t, n)
		}
	})
}

// What stands on a staff that the part does not have is not drawn.
func TestSignsOffThePage(t *testing.T) {
	n, err := mustRead(t, sketch(`<attributes><clef number="3"><sign>F</sign></clef><key number="9"><fifths>2</fifths></key></attributes>
		C5 1920; back 1920; C3 1920 v5 s2`)).Notation(Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n.Staves != 2 || len(n.Clefs) != 2 {
		t.Errorf("%d staves, clefs %+v", n.Staves, n.Clefs)
	}
	for _, k := range n.Keys {
		if k.Staff > 2 {
			t.Errorf("key %+v", k)
		}
	}
}
