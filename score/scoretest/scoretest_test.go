package scoretest

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"
)

// waltz uses every token.
var waltz = Piece{
	Title: "Tiles & Slates", Composer: "Ada Fennimore", Time: "3/4", Fifths: -2, QPM: 66.5, Pickup: "1",
	Right: []string{
		`r:1 | @pp C5:1 D5:1/3 Eb5:1/3 F5:1/3 gA5 gB4+D5 G5+Bb5:1^ | C6:3~ | C6:1 @tempo=80 F#5:2/11 Bbb4:20/11`,
		` | C4~+E4:2 C4+F4:1 | C4+E4:3~ | C4+E4:3`,
	},
	Left: []string{`r:1 | @ped C3:2 r:1 | @change @"m.s." C2+C3:3v | C2+C3:3 @lift @soft @softlift`},
}

func TestMusicXMLHoldsWhatWasWritten(t *testing.T) {
	out := string(waltz.MusicXML())
	for _, want := range []string{
		"<work-title>Tiles &amp; Slates</work-title>",
		`<measure number="0" implicit="yes">`,
		`<measure number="3">`,
		"<divisions>33</divisions><key><fifths>-2</fifths></key>",
		"<beats>3</beats><beat-type>4</beat-type>",
		"<per-minute>66.5</per-minute>",
		`<direction><direction-type><dynamics><pp/></dynamics></direction-type><voice>1</voice><staff>1</staff></direction>`,
		"<step>E</step><alter>-1</alter><octave>5</octave></pitch><duration>11</duration><voice>1</voice><type>eighth</type>" +
			"<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>",
		"<step>F</step><alter>1</alter><octave>5</octave></pitch><duration>6</duration><voice>1</voice><type>16th</type>" +
			"<time-modification><actual-notes>11</actual-notes><normal-notes>8</normal-notes></time-modification>",
		`<note><grace slash="yes"/><chord/><pitch><step>D</step>`,
		`<arpeggiate direction="down"/>`,
		"<type>half</type><dot/><staff>1</staff><notations><tied type=\"start\"/></notations>",
		"<backup><duration>99</duration></backup>",
		"<words>m.s.</words>",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("no %s", want)
		}
	}
	if got, want := strings.Count(out, `<tie type="start"/>`), strings.Count(out, `<tie type="stop"/>`); got != want {
		t.Errorf("%d ties start and %d stop", got, want)
	}
}

func TestTieStopsOnlyAtTheSameKey(t *testing.T) {
	out := string(Piece{Right: []string{"C4~+E4:2 C4+E4:2 | C4:4~ | D4:4"}}.MusicXML())
	if n := strings.Count(out, `<tie type="stop"/>`); n != 1 {
		t.Errorf("%d ties stop, want 1: the C of bar 1", n)
	}
	if n := strings.Count(out, `<tie type="start"/>`); n != 2 {
		t.Errorf("%d ties start, want 2: the C of bar 1 and of bar 2", n)
	}
}

// Note values, dots and tuplets from common notation.
func TestNoteType(t *testing.T) {
	plain := func(name string) string { return "<type>" + name + "</type>" }
	tuplet := func(name, actual, normal string) string {
		return plain(name) + "<time-modification><actual-notes>" + actual + "</actual-notes><normal-notes>" + normal + "</normal-notes></time-modification>"
	}
	for length, want := range map[string]string{
		"4": plain("whole"), "1": plain("quarter"), "1/8": plain("32nd"),
		"3": plain("half") + "<dot/>", "7/4": plain("quarter") + "<dot/><dot/>",
		"1/3": tuplet("eighth", "3", "2"), "2/3": tuplet("quarter", "3", "2"), "1/6": tuplet("16th", "3", "2"),
		"4/5": tuplet("quarter", "5", "4"), "3/11": tuplet("eighth", "11", "6"), "3/7": tuplet("eighth", "7", "6"),
		"5/4": "", "5/3": "",
	} {
		if got := noteType(parseItem("C4:" + length).length); got != want {
			t.Errorf("%s quarters: %s, want %s", length, got, want)
		}
	}
}

func TestWrongTokensPanic(t *testing.T) {
	for _, token := range []string{"H4:1", "C4", "C4:0", "C4:x", "C:1", "@fff?", "@tempo=x", "C4+:1", "gr"} {
		func() {
			defer func() {
				if r := recover(); r == nil || !strings.Contains(r.(string), token) {
					t.Errorf("%s: recovered %v, want a panic that names the token", token, r)
				}
			}()
			parseItem(token)
		}()
	}
}

func TestMusicXMLIsWellFormed(t *testing.T) {
	d := xml.NewDecoder(strings.NewReader(string(waltz.MusicXML())))
	for {
		if _, err := d.Token(); err == io.EOF {
			return
		} else if err != nil {
			t.Fatal(err)
		}
	}
}
