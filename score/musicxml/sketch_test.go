package musicxml

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hardbars/score"
)

// sketch writes a score for one piano of two staves, bars numbered from 1, in
// which 480 divisions make a quarter and 90 quarters a minute. Each string is a
// bar; its lines, which semicolons may part, are elements of MusicXML as they
// stand or in short:
//
//	C5 480 quarter          a note, its duration and its type
//	F#4 130 eighth 11:6     eleven in the time of six
//	r 960   R 1920          a rest, a rest of a whole bar
//	back 480   forward 10
//	words m.s.              a direction
//
// After the pitch may stand in any order: a duration, a type, a tuplet, "dot",
// v2 and s2 for voice and staff (1 where they are not named), "chord", "grace",
// "cue", "hidden", "start" and "stop" for ties.
func sketch(bars ...string) string {
	var b strings.Builder
	b.WriteString(`<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list><part id="P1">`)
	for i, bar := range bars {
		fmt.Fprintf(&b, "<measure number=\"%d\">", i+1)
		if i == 0 {
			b.WriteString("<attributes><divisions>480</divisions><staves>2</staves></attributes><sound tempo=\"90\"/>\n")
		}
		b.WriteString(elements(bar))
		b.WriteString("</measure>\n")
	}
	b.WriteString("</part></score-partwise>\n")
	return b.String()
}

func elements(bar string) string {
	var b strings.Builder
	for _, line := range strings.FieldsFunc(bar, func(r rune) bool { return r == '\n' || r == ';' }) {
		line = strings.TrimSpace(line)
		first, rest, _ := strings.Cut(line, " ")
		switch {
		case line == "" || line[0] == '<':
			b.WriteString(line)
		case first == "back":
			fmt.Fprintf(&b, "<backup><duration>%s</duration></backup>", rest)
		case first == "forward":
			fmt.Fprintf(&b, "<forward><duration>%s</duration></forward>", rest)
		case first == "words":
			b.WriteString(wordsXML(strings.Fields(rest)))
		case first == "time":
			beats, kind, _ := strings.Cut(rest, "/")
			fmt.Fprintf(&b, "<attributes><time><beats>%s</beats><beat-type>%s</beat-type></time></attributes>", beats, kind)
		default:
			b.WriteString(noteXML(strings.Fields(line)))
		}
		b.WriteString("\n")
	}
	return b.String()
}

// wordsXML is the words of a direction and then its voice and staff, in short.
func wordsXML(fields []string) string {
	text, voice, staff := "", "", ""
	for _, f := range fields {
		switch f {
		case "v1", "v2", "v5":
			voice = "<voice>" + f[1:] + "</voice>"
		case "s1", "s2":
			staff = "<staff>" + f[1:] + "</staff>"
		default:
			text += f + " "
		}
	}
	return "<direction><direction-type><words>" + text + "</words></direction-type>" + voice + staff + "</direction>"
}

func noteXML(fields []string) string {
	parts := map[string]string{"voice": "<voice>1</voice>", "staff": "<staff>1</staff>"}
	attributes := ""
	for _, f := range fields[1:] {
		switch {
		case f == "chord" || f == "grace" || f == "cue":
			parts[f] = "<" + f + "/>"
		case f == "dot":
			parts[f] += "<dot/>"
		case f == "hidden":
			attributes = ` print-object="no"`
		case f == "start" || f == "stop":
			parts["tie"] += `<tie type="` + f + `"/>`
		case strings.Contains(f, ":"):
			actual, normal, _ := strings.Cut(f, ":")
			parts["tuplet"] = "<time-modification><actual-notes>" + actual + "</actual-notes><normal-notes>" + normal + "</normal-notes></time-modification>"
		case f[0] == 'v':
			parts["voice"] = strings.Replace("<voice>"+f[1:]+"</voice>", "<voice></voice>", "", 1)
		case f[0] == 's' && len(f) == 2:
			parts["staff"] = "<staff>" + f[1:] + "</staff>"
		case (symbol{noteType: f}).lengths() != nil:
			parts["type"] = "<type>" + f + "</type>"
		default:
			parts["duration"] = "<duration>" + f + "</duration>"
		}
	}
	parts["pitch"] = pitchXML(fields[0])
	xml := "<note" + attributes + ">"
	for _, name := range []string{"grace", "cue", "chord", "pitch", "duration", "tie", "voice", "type", "dot", "tuplet", "staff"} {
		xml += parts[name]
	}
	return xml + "</note>"
}

func pitchXML(name string) string {
	switch name {
	case "r":
		return "<rest/>"
	case "R":
		return `<rest measure="yes"/>`
	}
	alter := strings.Count(name, "#") - strings.Count(name, "b")
	return fmt.Sprintf("<pitch><step>%c</step><alter>%d</alter><octave>%c</octave></pitch>", name[0], alter, name[len(name)-1])
}

// scoreFrom reads a score that the test wrote.
func scoreFrom(t *testing.T, text string) *score.Score {
	t.Helper()
	s, err := mustRead(t, text).Score(Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// table prints the notes in order: hand, bar, offset in the bar, length, pitch.
func table(s *score.Score) []string {
	var lines []string
	for i := range s.Notes {
		n := &s.Notes[i]
		bar := s.Bars[n.Bar]
		grace := ""
		if n.Grace > 0 {
			grace = fmt.Sprintf(" grace %d", n.Grace)
		}
		lines = append(lines, fmt.Sprintf("%s %s %s+%s %s%s", n.Hand, bar.Number, n.Onset.Sub(bar.Start), n.Length, n.Pitch, grace))
	}
	return lines
}

// wantLines compares what was read with what was meant.
func wantLines(t *testing.T, got []string, want ...string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("got\n\t%s\nwant\n\t%s", strings.Join(got, "\n\t"), strings.Join(want, "\n\t"))
	}
}

// warned lists the reader's warnings that hold a text.
func warned(s *score.Score, text string) []string {
	var found []string
	for _, w := range s.Warnings {
		if strings.Contains(w.String(), text) {
			found = append(found, w.String())
		}
	}
	return found
}
