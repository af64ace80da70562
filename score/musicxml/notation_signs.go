package musicxml

import (
	"slices"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// writeDirections fills in the signs and lines of the directions. Of another
// part, whose tempo marks hold for all, these alone are shown.
func (w *writer) writeDirections() {
	all := slices.DeleteFunc(directions(w.items), func(d *direction) bool { return d.elem.Tag != "direction" })
	lines := lineReader{writer: w, hairpins: hairpinEnds(all, w.score.Bars), open: map[lineKey][]int{}, down: map[int]bool{}}
	for here := range byPlace(all, func(d *direction) score.Rat { return d.at }) {
		for _, d := range here {
			lines.end(d)
		}
		for _, d := range here {
			w.direction(d)
			lines.begin(d)
		}
	}
	lines.finish()
	w.dropRepeatedTempos()
	for _, item := range w.items {
		switch item.elem.Tag {
		case "harmony":
			w.leaveOut(item.bar, item.at, w.staffOf(item), "a chord symbol")
		case "figured-bass":
			w.leaveOut(item.bar, item.at, w.staffOf(item), "a figured bass")
		}
	}
}

// staffOf is the staff that something stands at: the top one where it names none.
func (w *writer) staffOf(item placed) int { return min(max(1, item.staff), w.Staves) }

// direction reads what stands at one place. Words that follow each other on one
// line are one sign, and a metronome mark belongs to the words before it.
func (w *writer) direction(d *direction) {
	var here []notation.Sign
	newLine := false // the words before end with a line break
	for _, elem := range d.signs {
		if hidden(elem) {
			continue
		}
		sign, ok := w.sign(d, elem)
		switch last := len(here) - 1; {
		case !ok:
		case last >= 0 && !newLine && joins(here[last], sign):
			here[last] = join(here[last], sign)
		default:
			here = append(here, sign)
		}
		newLine = strings.HasSuffix(wordsOf(elem), "\n")
	}
	for _, s := range here {
		if s.Kind == notation.Words {
			s = w.tempoWords(d, s)
		}
		if d.staff >= 0 || s.Kind == notation.Tempo {
			w.Signs = append(w.Signs, s)
		}
	}
}

// sign reads one child of a <direction-type> that stands at one place.
func (w *writer) sign(d *direction, elem *etree.Element) (s notation.Sign, ok bool) {
	s = notation.Sign{At: d.at, Staff: w.staffOf(d.placed), Side: d.side(elem)}
	switch elem.Tag {
	case "words", "symbol":
		s.Kind, s.Text = wordsKind(wordsOf(elem))
		s.Bold = elem.SelectAttrValue("font-weight", "") == "bold"
		// Words are slanted unless the file says how they look (common practice).
		s.Italic = s.Kind == notation.Words &&
			(elem.SelectAttrValue("font-style", "") == "italic" || elem.SelectAttr("font-style") == nil && !s.Bold)
		return s, s.Text != ""
	case "dynamics":
		s = dynamicSign(elem, s.At, s.Staff)
		s.Side = d.side(elem)
		return s, s.Text != ""
	case "metronome":
		return w.metronome(s, elem, d)
	case "rehearsal":
		s.Kind, s.Text = notation.Rehearsal, plain(elem.Text())
		return s, s.Text != ""
	case "segno":
		s.Kind = notation.Segno
		return s, true
	case "coda":
		s.Kind = notation.Coda
		return s, true
	case "pedal", "wedge", "dashes", "bracket", "octave-shift":
		return s, false // lines, or parts of them
	case "image":
		w.leaveOut(d.bar, d.at, s.Staff, "a picture")
	case "other-direction":
		w.leaveOut(d.bar, d.at, s.Staff, "a sign of the writer's own")
	default:
		w.leaveOut(d.bar, d.at, s.Staff, "a sign for other instruments ("+elem.Tag+")")
	}
	return s, false
}

// dynamicSign is a dynamic at a place. Words that the file calls one, such as
// "cresc.", are words.
func dynamicSign(elem *etree.Element, at score.Rat, staff int) notation.Sign {
	s := notation.Sign{Kind: notation.Dynamic, At: at, Staff: staff, Side: sideOf(elem), Text: dynamicsText(elem)}
	if strings.Trim(s.Text, dynamicLetters) != "" {
		s.Kind, s.Italic = notation.Words, true
	}
	return s
}

// dynamicLetters are those that have a sign of their own in a music font.
const dynamicLetters = "pmfrszn"

// side is where a sign of the direction stands.
func (d *direction) side(sign *etree.Element) notation.Side {
	if d.elem.SelectAttr("placement") == nil && strings.TrimSpace(sign.SelectAttrValue("default-y", "")) == "" {
		return notation.Auto
	}
	if d.above(sign) {
		return notation.Above
	}
	return notation.Below
}

// wordsKind tells words from dynamics and pedal signs that are written as words
// in a music font.
func wordsKind(text string) (notation.SignKind, string) {
	text = strings.TrimSpace(text)
	inFont := text != "" && strings.Trim(text, musicLetters) == ""
	read := plainLines(text)
	switch {
	case inFont && read == "Ped.":
		return notation.PedalDown, read
	case inFont && read == "*":
		return notation.PedalUp, read
	case inFont && levelMark.MatchString(read):
		return notation.Dynamic, read
	case read == segnoSign:
		return notation.Segno, read
	case read == codaSign:
		return notation.Coda, read
	}
	return notation.Words, read
}

// plainLines is plain text that keeps its line breaks.
func plainLines(text string) string {
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = plain(lines[i])
	}
	return strings.Join(lines, "\n")
}

// musicLetters are the characters of a music font for dynamics and pedal signs
// (SMuFL 1.4).
const musicLetters = "\uE520\uE521\uE522\uE523\uE524\uE525\uE526\uE527\uE528\uE529\uE52A\uE52B\uE52C\uE52D\uE52E\uE52F\uE530\uE531\uE650\uE651\uE655"

// joins reports whether a sign is the continuation of the one before it. So are a
// dynamic and the brackets around it.
func joins(before, s notation.Sign) bool {
	switch {
	case s.Kind == notation.Dynamic:
		return before.Kind == notation.Words && before.Text == "("
	case before.Kind == notation.Dynamic:
		return strings.HasPrefix(before.Text, "(") && s.Kind == notation.Words && s.Text == ")"
	}
	running := before.Kind == notation.Words || before.Kind == notation.Tempo
	return running && (s.Kind == notation.Words || s.Kind == notation.Tempo && before.Beat == notation.Value{})
}

// join makes one sign of words and what follows them.
func join(before, s notation.Sign) notation.Sign {
	switch {
	case before.Kind == notation.Dynamic || s.Kind == notation.Dynamic:
		before.Kind, before.Text, before.Italic = notation.Dynamic, before.Text+s.Text, false
	case before.Beat != notation.Value{}:
		before.After = spaced(before.After, s.Text)
	default:
		before.Text = spaced(before.Text, s.Text)
		before.Kind, before.Beat, before.After = max(before.Kind, s.Kind), s.Beat, s.After
		before.Italic = before.Italic && before.Kind == notation.Words
	}
	return before
}

// spaced joins two texts, with a space where both have something and no bracket
// is between them.
func spaced(a, b string) string {
	if a == "" || b == "" || strings.HasSuffix(a, "(") || strings.HasPrefix(b, ")") {
		return a + b
	}
	return a + " " + b
}

// metronome reads a metronome mark, "♩ = 66", or a change of the beat, "♩ = ♪".
func (w *writer) metronome(s notation.Sign, elem *etree.Element, d *direction) (notation.Sign, bool) {
	m := metronomeOf(elem)
	s.Kind = notation.Tempo
	if m.swing {
		w.leaveOut(d.bar, d.at, s.Staff, "a mark of how to play groups of notes")
		return s, false
	}
	v, ok := notation.ValueOf(m.left)
	switch {
	case ok && m.perMinute != "":
		s.Beat, s.After = v, m.perMinute
		if m.brackets {
			s.Text, s.After = "(", s.After+")"
		}
	case m.left.Sign() > 0 && (m.perMinute != "" || m.right.Sign() > 0):
		s.Text = m.String()
	default:
		return s, false
	}
	return s, true
}

// tempoWords makes words about the tempo a tempo mark: those that name a pace and
// stand above the staff, and metronome marks written as words.
func (w *writer) tempoWords(d *direction, s notation.Sign) notation.Sign {
	if before, beat, after, ok := markOf(s.Text); ok {
		s.Kind, s.Text, s.Beat, s.After, s.Italic = notation.Tempo, before, beat, after, false
		return s
	}
	says := newPhrase(plain(s.Text))
	_, paced := says.pace(d.bar == 0)
	if s.Side != notation.Below && !says.gradual() && (paced || says.ratio() > 0 || says.begins("tempo")) {
		s.Kind, s.Italic = notation.Tempo, false
	}
	return s
}

// markOf takes a metronome mark out of words: "Allegro (♩ = 120)" is "Allegro (",
// a quarter, and "120)".
func markOf(text string) (before string, beat notation.Value, after string, ok bool) {
	at := markInWords.FindStringSubmatchIndex(text)
	m := markInWords.FindStringSubmatch(text)
	if m == nil || m[7] == "" {
		return "", beat, "", false
	}
	v, ok := notation.ValueOf(valueInWords(m[1:4]))
	return strings.TrimSpace(text[:at[0]]), v, strings.TrimSpace(text[at[14]:]), ok
}

// dropRepeatedTempos leaves out tempo marks that stand at the same place twice:
// in the piano's part and in the part above it.
func (w *writer) dropRepeatedTempos() {
	type mark struct {
		at   score.Rat
		text string
		beat notation.Value
	}
	seen := map[mark]bool{}
	w.Signs = slices.DeleteFunc(w.Signs, func(s notation.Sign) bool {
		m := mark{s.At, s.Text + s.After, s.Beat}
		again := s.Kind == notation.Tempo && seen[m]
		seen[m] = seen[m] || s.Kind == notation.Tempo
		return again
	})
}
