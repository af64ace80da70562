package musicxml

import (
	"slices"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score/notation"
)

// marksOf lists the signs at a chord, each once however many of its notes have it.
func marksOf(s source) []notation.Mark {
	var marks []notation.Mark
	add := func(m notation.Mark) {
		if !slices.ContainsFunc(marks, func(n notation.Mark) bool { return n.Name == m.Name && n.Side == m.Side }) {
			marks = append(marks, m)
		}
	}
	for _, sign := range s.signs {
		switch sign.Tag {
		case "articulations":
			for elem := range sign.ChildElementsSeq() {
				add(notation.Mark{Name: elem.Tag, Side: sideOf(elem)})
			}
		case "technical":
			for elem := range sign.ChildElementsSeq() {
				if elem.Tag != "fingering" {
					add(notation.Mark{Name: elem.Tag, Side: sideOf(elem)})
				}
			}
		case "ornaments":
			for _, m := range ornamentsOf(sign) {
				add(m)
			}
		case "fermata":
			add(fermataOf(sign))
		}
	}
	return marks
}

// ornamentsOf lists the ornaments of an <ornaments>, each with the accidentals
// that follow it. Tremolos and wavy lines are none of them.
func ornamentsOf(ornaments *etree.Element) []notation.Mark {
	var marks []notation.Mark
	for elem := range ornaments.ChildElementsSeq() {
		switch elem.Tag {
		case "tremolo", "wavy-line":
		case "accidental-mark":
			if len(marks) > 0 {
				addAuxiliary(&marks[len(marks)-1], elem)
			}
		default:
			marks = append(marks, notation.Mark{Name: elem.Tag, Side: sideOf(elem)})
		}
	}
	return marks
}

// addAuxiliary puts an accidental to its ornament, on the side that
// pageNote.auxiliary takes it to be meant for.
func addAuxiliary(m *notation.Mark, accidental *etree.Element) {
	below := sideOf(accidental) == notation.Below ||
		sideOf(accidental) == notation.Auto && (m.AboveIt != "" || m.Name == "mordent")
	if below {
		m.BelowIt = token(accidental)
	} else {
		m.AboveIt = token(accidental)
	}
}

// fermataOf is a fermata: an inverted one stands below.
func fermataOf(sign *etree.Element) notation.Mark {
	m := notation.Mark{Name: "fermata", Side: sideOf(sign)}
	switch sign.SelectAttrValue("type", "") {
	case "upright":
		m.Side = notation.Above
	case "inverted":
		m.Side = notation.Below
	}
	if shape := token(sign); shape != "normal" {
		m.Shape = shape
	}
	return m
}

// readNoteSigns reads what belongs to one head: fingering, and an accidental above
// it where it belongs to no ornament.
func readNoteSigns(note *notation.Note, notations *etree.Element) {
	for sign := range notations.ChildElementsSeq() {
		switch sign.Tag {
		case "technical":
			for mark := range sign.SelectElementsSeq("fingering") {
				note.Fingering = addFinger(note.Fingering, mark)
			}
		case "accidental-mark":
			if notations.SelectElement("ornaments") == nil && note.Accidental == "" {
				note.Accidental, note.Bracketed = token(sign), true
			}
		}
	}
}

// tremoloPart is "single", or "start" or "stop" of a tremolo between two chords.
func tremoloPart(s source) string {
	for _, sign := range s.signs {
		if tremolo := sign.SelectElement("tremolo"); sign.Tag == "ornaments" && tremolo != nil {
			switch kind := tremolo.SelectAttrValue("type", ""); kind {
			case "start", "stop":
				return kind
			}
		}
	}
	return "single"
}

// mostLyrics is more lines of words than stand under any notes.
const mostLyrics = 16

// lyricsOf is the words under a chord, by line. A word that goes on at the next
// note has a hyphen.
func lyricsOf(s source) []string {
	var lines []string
	for _, elem := range s.elems {
		for lyric := range elem.SelectElementsSeq("lyric") {
			line := max(int(whole(lyric.SelectAttrValue("number", "1"))), 1)
			var words strings.Builder
			for part := range lyric.ChildElementsSeq() {
				if part.Tag == "text" || part.Tag == "elision" {
					words.WriteString(plain(part.Text()))
				}
			}
			if words.Len() == 0 || hidden(lyric) || line > mostLyrics {
				continue
			}
			if syllable := childText(lyric, "syllabic"); syllable == "begin" || syllable == "middle" {
				words.WriteString("-")
			}
			for len(lines) < line {
				lines = append(lines, "")
			}
			lines[line-1] = words.String()
		}
	}
	return lines
}

// leaveOutAt tells of what hangs on a chord and has no place in notation.
func (w *writer) leaveOutAt(s source) {
	n := s.notes[0]
	for _, sign := range s.signs {
		switch sign.Tag {
		case "dynamics":
			w.Signs = append(w.Signs, dynamicSign(sign, n.Onset, n.Staff))
		case "other-notation":
			w.leaveOut(n.Bar, n.Onset, n.Staff, "a sign of the writer's own")
		}
	}
}

// writeTrillLines makes lines of the wavy lines over notes. One on a single note
// lasts as long as the note; one that ends and never began is over the note it
// ends at. One inside another on its staff, as over notes written out and hidden,
// says nothing more and is dropped.
func (w *writer) writeTrillLines() {
	type line struct {
		part   int
		number string
	}
	open := map[line]int{} // index into Lines
	for i := range w.Chords {
		c := &w.Chords[i]
		for _, sign := range w.sources[i].signs {
			if sign.Tag != "ornaments" {
				continue
			}
			for elem := range sign.SelectElementsSeq("wavy-line") {
				at := line{w.sources[i].part, elem.SelectAttrValue("number", "1")}
				switch elem.SelectAttrValue("type", "") {
				case "start":
					open[at] = len(w.Lines)
					w.addTrillLine(c, sideOf(elem))
				case "stop":
					if k, ok := open[at]; ok {
						w.Lines[k].To = c.End()
					} else {
						w.addTrillLine(c, sideOf(elem))
					}
					delete(open, at)
				}
			}
		}
	}
	var trills []notation.Line
	w.Lines = slices.DeleteFunc(w.Lines, func(l notation.Line) bool {
		inside := l.Kind == notation.TrillLine && slices.ContainsFunc(trills, func(k notation.Line) bool {
			return k.Staff == l.Staff && !l.From.Less(k.From) && !k.To.Less(l.To)
		})
		if l.Kind == notation.TrillLine && !inside {
			trills = append(trills, l)
		}
		return inside
	})
}

func (w *writer) addTrillLine(c *notation.Chord, side notation.Side) {
	w.Lines = append(w.Lines, notation.Line{Kind: notation.TrillLine, From: c.At, To: c.End(), Staff: c.Staff, Side: side})
}
