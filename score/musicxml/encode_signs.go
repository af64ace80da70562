package musicxml

import (
	"cmp"
	"slices"
	"sort"
	"strconv"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// timed is an element that stands between the notes.
type timed struct {
	bar   int
	at    score.Rat
	staff int
	elem  *etree.Element
}

// between lists what stands between the notes, by bar and place: changes of clef,
// key and time, signs, and the ends of lines. What stands at a barline is the
// later bar's, but for the ends of lines.
func (e *encoder) between() []timed {
	e.at = nil
	e.changes()
	for _, s := range e.Signs {
		e.add(s.At, s.Staff, signElement(s))
	}
	e.lines()
	slices.SortStableFunc(e.at, func(a, b timed) int { return cmp.Or(cmp.Compare(a.bar, b.bar), a.at.Cmp(b.at)) })
	return e.at
}

// add keeps an element for its place.
func (e *encoder) add(at score.Rat, staff int, elem *etree.Element) {
	bar := sort.Search(len(e.Bars), func(i int) bool { return at.Less(e.Bars[i].Start) }) - 1
	e.at = append(e.at, timed{max(bar, 0), at, staff, elem})
}

// addEnding keeps an element that stands at a barline for the earlier bar.
func (e *encoder) addEnding(at score.Rat, staff int, elem *etree.Element) {
	e.add(at, staff, elem)
	if last := &e.at[len(e.at)-1]; last.bar > 0 && at == e.Bars[last.bar].Start {
		last.bar--
	}
}

// changes keeps the clefs, keys and times within the piece. Those at the start of
// a bar are in its opening.
func (e *encoder) changes() {
	for _, c := range e.Clefs {
		if b := e.Bars[c.Bar]; c.At != b.Start || c.AtEnd {
			e.at = append(e.at, timed{c.Bar, c.At, c.Staff, attributes(clefElement(c, !c.AtEnd && c.At == b.End()))})
		}
	}
	starts := func(at score.Rat) bool {
		_, found := slices.BinarySearchFunc(e.Bars, at, func(b notation.Bar, at score.Rat) int { return b.Start.Cmp(at) })
		return found
	}
	for _, k := range e.Keys {
		if !starts(k.At) {
			e.add(k.At, 1, attributes(keyElement(k)))
		}
	}
	for _, t := range e.Times {
		if !starts(t.At) {
			e.add(t.At, 1, attributes(timeElement(t)))
		}
	}
}

func attributes(elem *etree.Element) *etree.Element {
	a := etree.NewElement("attributes")
	a.AddChild(elem)
	return a
}

// opening writes the signatures at the start of the bar, in the schema's order.
func (m *measureWriter) opening() {
	b := &m.Bars[m.bar]
	a := etree.NewElement("attributes")
	if m.bar == 0 {
		a.CreateElement("divisions").SetText(strconv.FormatInt(m.divisions, 10))
	}
	for _, k := range m.Keys {
		if k.At == b.Start {
			a.AddChild(keyElement(k))
		}
	}
	for _, t := range m.Times {
		if t.At == b.Start {
			a.AddChild(timeElement(t))
		}
	}
	if m.bar == 0 {
		a.CreateElement("staves").SetText(strconv.Itoa(m.Staves))
	}
	for _, c := range m.Clefs {
		if c.Bar == m.bar && c.At == b.Start && !c.AtEnd {
			a.AddChild(clefElement(c, false))
		}
	}
	if len(a.Child) > 0 {
		m.measure.AddChild(a)
	}
}

func keyElement(k notation.Key) *etree.Element {
	key := etree.NewElement("key")
	if k.Staff > 0 {
		key.CreateAttr("number", strconv.Itoa(k.Staff))
	}
	hide(key, k.Hidden)
	key.CreateElement("fifths").SetText(strconv.Itoa(k.Fifths))
	if k.Mode != "" {
		key.CreateElement("mode").SetText(k.Mode)
	}
	return key
}

func timeElement(t notation.Time) *etree.Element {
	time := etree.NewElement("time")
	if t.Symbol != "" {
		time.CreateAttr("symbol", t.Symbol)
	}
	hide(time, t.Hidden)
	for i := range t.Beats {
		time.CreateElement("beats").SetText(t.Beats[i])
		time.CreateElement("beat-type").SetText(t.Types[i])
	}
	if len(t.Beats) == 0 {
		time.CreateElement("senza-misura")
	}
	return time
}

func clefElement(c notation.Clef, afterBarline bool) *etree.Element {
	clef := etree.NewElement("clef")
	clef.CreateAttr("number", strconv.Itoa(c.Staff))
	if afterBarline {
		clef.CreateAttr("after-barline", "yes")
	}
	hide(clef, c.Hidden)
	clef.CreateElement("sign").SetText(c.Sign)
	clef.CreateElement("line").SetText(strconv.Itoa(c.Line))
	if c.Octave != 0 {
		clef.CreateElement("clef-octave-change").SetText(strconv.Itoa(c.Octave))
	}
	return clef
}

func hide(elem *etree.Element, hidden bool) {
	if hidden {
		elem.CreateAttr("print-object", "no")
	}
}

// stand says on which side a sign stands.
func stand(elem *etree.Element, side notation.Side) {
	switch side {
	case notation.Above:
		elem.CreateAttr("placement", "above")
	case notation.Below:
		elem.CreateAttr("placement", "below")
	}
}

// direction is an empty one at a staff; what it shows goes before its <staff>.
func newDirectionElement(staff int, side notation.Side, shows ...*etree.Element) *etree.Element {
	d := etree.NewElement("direction")
	stand(d, side)
	for _, elem := range shows {
		d.CreateElement("direction-type").AddChild(elem)
	}
	d.CreateElement("staff").SetText(strconv.Itoa(staff))
	return d
}

// signElement is the direction of a sign.
func signElement(s notation.Sign) *etree.Element {
	var shows []*etree.Element
	switch s.Kind {
	case notation.Dynamic:
		shows = dynamicElements(s)
	case notation.Words:
		shows = []*etree.Element{wordsElement(s, s.Text)}
	case notation.Tempo:
		return tempoElement(s)
	case notation.Rehearsal:
		rehearsal := etree.NewElement("rehearsal")
		rehearsal.SetText(s.Text)
		shows = []*etree.Element{rehearsal}
	case notation.Segno:
		shows = []*etree.Element{etree.NewElement("segno")}
	case notation.Coda:
		shows = []*etree.Element{etree.NewElement("coda")}
	case notation.PedalDown, notation.PedalUp:
		pedal := pedalElement("start", "no")
		if s.Kind == notation.PedalUp {
			pedal = pedalElement("stop", "no")
		}
		pedal.CreateAttr("sign", "yes")
		shows = []*etree.Element{pedal}
	}
	return newDirectionElement(s.Staff, s.Side, shows...)
}

func wordsElement(s notation.Sign, text string) *etree.Element {
	words := etree.NewElement("words")
	if s.Italic {
		words.CreateAttr("font-style", "italic")
	} else {
		words.CreateAttr("font-style", "normal")
	}
	if s.Size > 0 {
		words.CreateAttr("font-size", strconv.Itoa(s.Size))
	}
	if s.Bold {
		words.CreateAttr("font-weight", "bold")
	}
	words.SetText(text)
	return words
}

// dynamicMarks are the marks that have an element of their own. (MusicXML 4.0,
// complexType dynamics.)
var dynamicMarks = []string{
	"p", "pp", "ppp", "pppp", "ppppp", "pppppp", "f", "ff", "fff", "ffff", "fffff", "ffffff", "mp", "mf",
	"sf", "sfp", "sfpp", "fp", "rf", "rfz", "sfz", "sffz", "fz", "n", "pf", "sfzp",
}

// dynamicElements are a dynamic, and the brackets around it.
func dynamicElements(s notation.Sign) []*etree.Element {
	mark := strings.TrimSuffix(strings.TrimPrefix(s.Text, "("), ")")
	dynamics := etree.NewElement("dynamics")
	if slices.Contains(dynamicMarks, mark) {
		dynamics.CreateElement(mark)
	} else {
		dynamics.CreateElement("other-dynamics").SetText(mark)
	}
	shows := []*etree.Element{dynamics}
	if strings.HasPrefix(s.Text, "(") {
		shows = slices.Insert(shows, 0, wordsElement(s, "("))
	}
	if strings.HasSuffix(s.Text, ")") {
		shows = append(shows, wordsElement(s, ")"))
	}
	return shows
}

// tempoElement is a tempo mark: words, a metronome mark or both, and what it
// means for playback where it names a figure.
func tempoElement(s notation.Sign) *etree.Element {
	text, after := s.Text, s.After
	m := etree.NewElement("metronome")
	if inner, closed := strings.CutSuffix(after, ")"); text == "(" && closed {
		m.CreateAttr("parentheses", "yes")
		text, after = "", inner
	}
	var shows []*etree.Element
	if text != "" {
		shows = append(shows, wordsElement(s, text))
	}
	figure, err := strconv.ParseFloat(after, 64)
	if s.Beat != (notation.Value{}) {
		m.CreateElement("beat-unit").SetText(s.Beat.Type)
		for range s.Beat.Dots {
			m.CreateElement("beat-unit-dot")
		}
		m.CreateElement("per-minute").SetText(after)
		shows = append(shows, m)
	}
	d := newDirectionElement(s.Staff, s.Side, shows...)
	if s.Beat != (notation.Value{}) && err == nil {
		qpm := figure * s.Beat.Length().Float()
		d.CreateElement("sound").CreateAttr("tempo", strconv.FormatFloat(qpm, 'f', -1, 64))
	}
	return d
}

func pedalElement(kind, line string) *etree.Element {
	pedal := etree.NewElement("pedal")
	pedal.CreateAttr("type", kind)
	pedal.CreateAttr("line", line)
	return pedal
}

// mostNumbers is how many of one kind MusicXML can tell apart that are open
// together. (MusicXML 4.0, simpleType number-level.)
const mostNumbers = 16

// numbering gives what is open at the same time different numbers.
type numbering struct{ busyUntil [mostNumbers]score.Rat }

// from is a number that is free before one place, and taken until another.
func (n *numbering) from(at, until score.Rat) int {
	free := 0
	for i, busy := range n.busyUntil {
		if busy.Less(at) {
			free = i
			break
		}
		if busy.Less(n.busyUntil[free]) {
			free = i
		}
	}
	n.busyUntil[free] = until
	return free + 1
}

// lines keeps the beginnings and ends of lines. A line over a trill hangs on its
// notes, and a pedal that is changed is lifted and pressed at one place.
func (e *encoder) lines() {
	numbers := map[string]*numbering{}
	for _, l := range e.Lines {
		if l.Kind == notation.TrillLine {
			continue
		}
		from := l.From
		for _, change := range l.Changes {
			e.line(l, from, change, numbers)
			from = change
		}
		e.line(l, from, l.To, numbers)
	}
}

// line keeps the beginning and the end of a line, or of what lies between two
// changes of the pedal.
func (e *encoder) line(l notation.Line, from, to score.Rat, numbers map[string]*numbering) {
	begin, end := lineElements(l)
	if begin.Tag != "pedal" {
		if numbers[begin.Tag] == nil {
			numbers[begin.Tag] = &numbering{}
		}
		number := strconv.Itoa(numbers[begin.Tag].from(from, to))
		begin.CreateAttr("number", number)
		end.CreateAttr("number", number)
	}
	e.add(from, l.Staff, newDirectionElement(l.Staff, l.Side, begin))
	e.addEnding(to, l.Staff, newDirectionElement(l.Staff, l.Side, end))
}

// lineElements are the signs that begin and end a line.
func lineElements(l notation.Line) (begin, end *etree.Element) {
	tag, kind := "", "start"
	switch l.Kind {
	case notation.Crescendo:
		tag, kind = "wedge", "crescendo"
	case notation.Diminuendo:
		tag, kind = "wedge", "diminuendo"
	case notation.OctaveUp:
		tag, kind = "octave-shift", "down" // printed an octave below its sound
	case notation.OctaveDown:
		tag, kind = "octave-shift", "up"
	case notation.Dashes:
		tag = "dashes"
	case notation.Bracket:
		tag = "bracket"
	case notation.PedalLine:
		return pedalElement("start", "yes"), pedalElement("stop", "yes")
	}
	begin, end = etree.NewElement(tag), etree.NewElement(tag)
	begin.CreateAttr("type", kind)
	end.CreateAttr("type", "stop")
	for _, elem := range []*etree.Element{begin, end} {
		switch tag {
		case "octave-shift":
			elem.CreateAttr("size", l.Text)
		case "bracket":
			elem.CreateAttr("line-end", "none")
		}
	}
	if l.Niente {
		begin.CreateAttr("niente", "yes")
	}
	return begin, end
}
