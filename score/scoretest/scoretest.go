// Package scoretest builds small piano scores for tests from compact text.
//
//	s := scoretest.Piece{
//		Time: "3/4", QPM: 60,
//		Right: []string{"C5:1 D5:1/3 E5:1/3 F5:1/3 G5+B5:1^ | C6:3"},
//		Left:  []string{"@ped C3:2 r:1 | @change C2+C3:3~ | C2+C3:3 @lift"},
//	}.Score(t)
//
// Each string is one voice; " | " ends a bar. Tokens are separated by spaces:
//
//	C4:1 F#4:1/3 Bb3:3/2   a note and its length in quarters
//	C4+E4+G4:2             a chord
//	r:1                    a rest
//	C4:2~  C4~+E4:2        tied to the same key of the voice's next chord
//	C3+C4:1^  C3+C4:1v     under an arpeggio sign, upwards or with a downward arrow
//	gB4  gB4+D5            a grace note or chord before the next note
//	@ped @lift @change     damper pedal down, up, changed
//	@soft @softlift @sost @sostlift
//	@pp @mf @sfz           a dynamic mark
//	@"m.s."                words
//	@tempo=80              a metronome mark, quarters a minute
//
// A direction stands where it is written among the notes of its voice. A token
// that makes no sense panics: it is a mistake in the test.
//
// What a score means is kept out, and bars may be short or over-full.
package scoretest

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/notation"
)

// Piece is a small score for one piano.
type Piece struct {
	Title, Composer string
	Time            string   // "6/8"; "" is 4/4
	Fifths          int      // sharps of the key signature, or flats when negative
	QPM             float64  // metronome mark at the start in quarters a minute; 0 for none
	Pickup          string   // length of the first bar in quarters, when it is a pickup: implicit, numbered 0; "" for none
	Right, Left     []string // one string a voice; see the package comment
}

// Score reads the piece back through the MusicXML reader.
func (p Piece) Score(t testing.TB) *score.Score {
	t.Helper()
	f, err := musicxml.Read(bytes.NewReader(p.MusicXML()), "piece.musicxml")
	if err != nil {
		t.Fatalf("scoretest: reading the piece: %v", err)
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatalf("scoretest: scoring the piece: %v", err)
	}
	return s
}

// MusicXML writes the piece as MusicXML 4.0, valid against its schema: one
// part with two staves, right-hand voices from 1 and left-hand voices from 5.
func (p Piece) MusicXML() []byte {
	var voices []voice
	for i, text := range p.Right {
		voices = append(voices, parseVoice(text, 1, 1+i))
	}
	for i, text := range p.Left {
		voices = append(voices, parseVoice(text, 2, 5+i))
	}
	w := writer{divisions: 1}
	bars := 0
	for _, v := range voices {
		bars = max(bars, len(v.bars))
		for _, bar := range v.bars {
			for _, it := range bar {
				w.divisions = lcm(w.divisions, it.length.Den())
			}
		}
	}
	w.head(p)
	for i := range bars {
		w.bar(p, i, voices)
	}
	w.put("</part></score-partwise>")
	return w.Bytes()
}

// voice is one voice's items, bar by bar.
type voice struct {
	staff, number int
	bars          [][]item
}

// item is a note, chord, rest or direction.
type item struct {
	pitches   []pitch // none for a rest
	length    score.Rat
	rest      bool
	grace     bool
	arpeggio  byte // '^', 'v' or 0
	direction string
}

type pitch struct {
	step, alter, octave string
	tied, tieStop       bool
}

var (
	tokens = regexp.MustCompile(`@"[^"]*"|\S+`)
	key    = regexp.MustCompile(`^([A-G])(#|x|bb|b|)(-?\d)(~?)$`)
	alters = map[string]string{"": "", "#": "1", "x": "2", "b": "-1", "bb": "-2"}
)

func parseVoice(text string, staff, number int) voice {
	v := voice{staff: staff, number: number, bars: [][]item{nil}}
	tied := map[string]bool{} // keys tied from the chord before
	for _, token := range tokens.FindAllString(text, -1) {
		if token == "|" {
			v.bars = append(v.bars, nil)
			continue
		}
		it := parseItem(token)
		if it.length.Sign() > 0 {
			tied = joinTies(it, tied)
		}
		last := len(v.bars) - 1
		v.bars[last] = append(v.bars[last], it)
	}
	return v
}

// joinTies ends the ties of the chord before and returns those that go on.
func joinTies(it item, before map[string]bool) map[string]bool {
	after := map[string]bool{}
	for i := range it.pitches {
		p := &it.pitches[i]
		name := p.step + p.alter + "/" + p.octave
		p.tieStop = before[name]
		after[name] = p.tied
	}
	return after
}

func parseItem(token string) item {
	switch {
	case token[0] == '@':
		return item{direction: parseDirection(token)}
	case token[0] == 'g':
		return item{grace: true, pitches: parseKeys(token, token[1:])}
	}
	keys, length, ok := strings.Cut(token, ":")
	if !ok {
		panicOn(token, "no length")
	}
	number := strings.TrimRight(length, "~^v")
	signs := length[len(number):]
	n, err := score.ParseRat(number)
	if err != nil || n.Sign() <= 0 {
		panicOn(token, "length is not a positive number of quarters")
	}
	it := item{length: n, rest: keys == "r"}
	if !it.rest {
		it.pitches = parseKeys(token, keys)
	}
	for i := range it.pitches {
		it.pitches[i].tied = it.pitches[i].tied || strings.Contains(signs, "~")
	}
	if i := strings.IndexAny(signs, "^v"); i >= 0 {
		it.arpeggio = signs[i]
	}
	return it
}

func parseKeys(token, keys string) (ps []pitch) {
	for name := range strings.SplitSeq(keys, "+") {
		m := key.FindStringSubmatch(name)
		if m == nil {
			panicOn(token, strconv.Quote(name)+" is not a pitch")
		}
		ps = append(ps, pitch{step: m[1], alter: alters[m[2]], octave: m[3], tied: m[4] != ""})
	}
	return ps
}

var pedals = map[string]string{
	"ped": `<pedal type="start" line="no"/>`, "lift": `<pedal type="stop" line="no"/>`, "change": `<pedal type="change" line="yes"/>`,
	"sost": `<pedal type="sostenuto" line="no"/>`, "sostlift": `<pedal type="stop" line="no"/>`,
	"soft": `<words>una corda</words>`, "softlift": `<words>tre corde</words>`,
}

var dynamics = regexp.MustCompile(`^(p{1,6}|f{1,6}|m[pf]|s?fz|sf|fp|rfz?|sfp{1,2}|sffz|pf|n)$`)

// parseDirection returns the inside of <direction>, without its staff.
func parseDirection(token string) string {
	name := token[1:]
	switch {
	case pedals[name] != "":
		return directionType(pedals[name])
	case dynamics.MatchString(name):
		return directionType("<dynamics><" + name + "/></dynamics>")
	case strings.HasPrefix(name, `"`) && strings.HasSuffix(name, `"`) && len(name) > 2:
		return directionType("<words>" + escape(strings.Trim(name, `"`)) + "</words>")
	case strings.HasPrefix(name, "tempo="):
		return metronome(token, strings.TrimPrefix(name, "tempo="))
	}
	panicOn(token, "not a direction")
	return ""
}

func directionType(inside string) string {
	return "<direction-type>" + inside + "</direction-type>"
}

func metronome(token, qpm string) string {
	if n, err := strconv.ParseFloat(qpm, 64); err != nil || n <= 0 {
		panicOn(token, "not a tempo")
	}
	return directionType("<metronome><beat-unit>quarter</beat-unit><per-minute>" + qpm + "</per-minute></metronome>")
}

func panicOn(token, why string) {
	panic(fmt.Sprintf("scoretest: token %q: %s", token, why))
}

// writer writes MusicXML; divisions is the number of ticks in a quarter.
type writer struct {
	bytes.Buffer
	divisions int64
	at        score.Rat // place in the bar
}

func (w *writer) put(format string, args ...any) { fmt.Fprintf(w, format+"\n", args...) }

func (w *writer) head(p Piece) {
	w.put(`<?xml version="1.0" encoding="UTF-8"?>`)
	w.put(`<score-partwise version="4.0">`)
	if p.Title != "" {
		w.put("<work><work-title>%s</work-title></work>", escape(p.Title))
	}
	if p.Composer != "" {
		w.put(`<identification><creator type="composer">%s</creator></identification>`, escape(p.Composer))
	}
	w.put(`<part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list>`)
	w.put(`<part id="P1">`)
}

func (w *writer) bar(p Piece, index int, voices []voice) {
	switch {
	case p.Pickup == "":
		w.put(`<measure number="%d">`, index+1)
	case index == 0:
		w.put(`<measure number="0" implicit="yes">`)
	default:
		w.put(`<measure number="%d">`, index)
	}
	if index == 0 {
		w.attributes(p)
	}
	w.at = score.Rat{}
	for _, v := range voices {
		if index >= len(v.bars) || len(v.bars[index]) == 0 {
			continue
		}
		if w.at.Sign() > 0 {
			w.put("<backup><duration>%d</duration></backup>", w.ticks(w.at))
			w.at = score.Rat{}
		}
		for _, it := range v.bars[index] {
			w.item(it, v)
		}
		if index == 0 && p.Pickup != "" && w.at.String() != p.Pickup {
			panicOn(p.Pickup, "the pickup holds "+w.at.String()+" quarters")
		}
	}
	w.put("</measure>")
}

func (w *writer) attributes(p Piece) {
	beats, unit, ok := strings.Cut(p.Time, "/")
	if !ok {
		beats, unit = "4", "4"
	}
	w.put("<attributes><divisions>%d</divisions><key><fifths>%d</fifths></key>", w.divisions, p.Fifths)
	w.put("<time><beats>%s</beats><beat-type>%s</beat-type></time><staves>2</staves>", beats, unit)
	w.put(`<clef number="1"><sign>G</sign><line>2</line></clef><clef number="2"><sign>F</sign><line>4</line></clef></attributes>`)
	if p.QPM > 0 {
		qpm := strconv.FormatFloat(p.QPM, 'f', -1, 64)
		w.put("<direction>%s<staff>1</staff></direction>", metronome(qpm, qpm))
	}
}

func (w *writer) item(it item, v voice) {
	switch {
	case it.direction != "":
		w.put("<direction>%s<voice>%d</voice><staff>%d</staff></direction>", it.direction, v.number, v.staff)
	case it.rest:
		w.put("<note><rest/><duration>%d</duration>%s<staff>%d</staff></note>",
			w.ticks(it.length), voiceAndType(it, v), v.staff)
	default:
		for i, p := range it.pitches {
			w.note(it, p, i > 0, v)
		}
	}
	w.at = w.at.Add(it.length)
}

func (w *writer) note(it item, p pitch, chord bool, v voice) {
	var b strings.Builder
	b.WriteString("<note>" + when(it.grace, `<grace slash="yes"/>`) + when(chord, "<chord/>"))
	b.WriteString("<pitch><step>" + p.step + "</step>" + when(p.alter != "", "<alter>"+p.alter+"</alter>") + "<octave>" + p.octave + "</octave></pitch>")
	b.WriteString(when(!it.grace, fmt.Sprintf("<duration>%d</duration>", w.ticks(it.length))))
	b.WriteString(when(p.tieStop, `<tie type="stop"/>`) + when(p.tied, `<tie type="start"/>`))
	fmt.Fprintf(&b, "%s<staff>%d</staff>", voiceAndType(it, v), v.staff)
	notations := when(p.tieStop, `<tied type="stop"/>`) + when(p.tied, `<tied type="start"/>`) +
		when(it.arpeggio == '^', "<arpeggiate/>") + when(it.arpeggio == 'v', `<arpeggiate direction="down"/>`)
	b.WriteString(when(notations != "", "<notations>"+notations+"</notations>") + "</note>")
	w.put("%s", b.String())
}

func (w *writer) ticks(length score.Rat) int64 {
	return length.Mul(score.Int(w.divisions)).Num()
}

func voiceAndType(it item, v voice) string {
	if it.grace {
		return fmt.Sprintf("<voice>%d</voice><type>eighth</type>", v.number)
	}
	return fmt.Sprintf("<voice>%d</voice>%s", v.number, noteType(it.length))
}

// noteType returns <type>, <dot> and <time-modification> for a length, or ""
// where no single sign has it.
//
// A length whose denominator has an odd factor n is a plain note value in a
// tuplet of n in the time of m, n/2 < m < n; there is at most one such pair.
func noteType(length score.Rat) string {
	var in notation.Ratio
	value, ok := notation.ValueOf(length)
	n := notation.TupletPart(length)
	for m := n/2 + 1; m < n && !ok; m++ {
		in = notation.Ratio{Actual: n, Normal: m}
		value, ok = notation.ValueOf(in.Written(length))
		ok = ok && value.Dots == 0
	}
	if !ok {
		return ""
	}
	text := "<type>" + value.Type + "</type>" + strings.Repeat("<dot/>", value.Dots)
	if in.Actual > 0 {
		text += fmt.Sprintf("<time-modification><actual-notes>%d</actual-notes><normal-notes>%d</normal-notes></time-modification>", in.Actual, in.Normal)
	}
	return text
}

func when(ok bool, text string) string {
	if ok {
		return text
	}
	return ""
}

func escape(text string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(text)
}

func lcm(a, b int64) int64 {
	x, y := a, b
	for y != 0 {
		x, y = y, x%y
	}
	return a / x * b
}
