package musicxml

import (
	"slices"
	"strconv"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// chord writes a chord or rest and moves the clock past it.
func (m *measureWriter) chord(index int) {
	c := &m.Chords[index]
	notes := c.Notes
	if c.Rest {
		notes = []notation.Note{{ID: m.headOf(index), Staff: c.Staff}}
	}
	for i := range notes {
		m.measure.AddChild(m.note(c, &notes[i], i == 0))
	}
	m.clock = c.End()
}

// note is one <note>. What belongs to the chord as a whole stands at its first.
func (m *measureWriter) note(c *notation.Chord, n *notation.Note, first bool) *etree.Element {
	note := etree.NewElement("note")
	hide(note, c.Hidden)
	if c.Grace > 0 {
		grace := note.CreateElement("grace")
		if c.Slashed {
			grace.CreateAttr("slash", "yes")
		}
	}
	if !first {
		note.CreateElement("chord")
	}
	if c.Rest {
		addRest(note, c)
	} else {
		addPitch(note, m.pitchOf(c, n))
	}
	if c.Grace == 0 {
		note.CreateElement("duration").SetText(m.duration(c.Length))
	}
	marks := m.marks[n.ID]
	if marks == nil {
		marks = &noteMarks{}
	}
	for _, tied := range marks.ties {
		if kind := tied.SelectAttrValue("type", ""); kind != "let-ring" {
			note.CreateElement("tie").CreateAttr("type", kind)
		}
	}
	note.CreateElement("voice").SetText(c.Voice)
	addValue(note, c, n)
	addStem(note, c.Stem)
	if n.Head != "" {
		note.CreateElement("notehead").SetText(n.Head)
	}
	note.CreateElement("staff").SetText(strconv.Itoa(n.Staff))
	if first {
		for level, name := range c.Beams {
			beam := note.CreateElement("beam")
			beam.CreateAttr("number", strconv.Itoa(level+1))
			beam.SetText(name)
		}
	}
	addNotations(note, c, n, marks, first)
	if first {
		addLyrics(note, c.Lyrics)
	}
	return note
}

func addRest(note *etree.Element, c *notation.Chord) {
	rest := note.CreateElement("rest")
	if c.WholeBar {
		rest.CreateAttr("measure", "yes")
	}
	if c.RestAt != 0 {
		p := score.PitchAt(c.RestAt, 0)
		rest.CreateElement("display-step").SetText(string(p.Step))
		rest.CreateElement("display-octave").SetText(strconv.Itoa(p.Octave))
	}
}

// pitchOf is a note's pitch without what an octave line moves on the page.
func (m *measureWriter) pitchOf(c *notation.Chord, n *notation.Note) score.Pitch {
	p := n.Written
	for i := len(m.octaves) - 1; i >= 0; i-- { // the line that began last is the one that counts
		l := m.octaves[i]
		if l.Staff != n.Staff || c.At.Less(l.From) || !c.At.Less(l.To) {
			continue
		}
		octaves := int(whole(l.Text)) / 7
		if l.Kind == notation.OctaveDown {
			octaves = -octaves
		}
		p.Octave += octaves
		break
	}
	return p
}

func addPitch(note *etree.Element, p score.Pitch) {
	pitch := note.CreateElement("pitch")
	pitch.CreateElement("step").SetText(string(p.Step))
	if p.Alter != 0 {
		pitch.CreateElement("alter").SetText(strconv.Itoa(p.Alter))
	}
	pitch.CreateElement("octave").SetText(strconv.Itoa(p.Octave))
}

// addValue writes the look of a note's length, with the accidental between, as the
// schema has it.
func addValue(note *etree.Element, c *notation.Chord, n *notation.Note) {
	if c.Value.Type != "" && !c.WholeBar {
		kind := note.CreateElement("type")
		if c.Cue {
			kind.CreateAttr("size", "cue")
		}
		kind.SetText(c.Value.Type)
		for range c.Value.Dots {
			note.CreateElement("dot")
		}
	}
	if n.Accidental != "" {
		accidental := note.CreateElement("accidental")
		if n.Bracketed {
			accidental.CreateAttr("parentheses", "yes")
		}
		accidental.SetText(n.Accidental)
	}
	if c.Ratio != (notation.Ratio{}) && !c.WholeBar {
		tuplet := note.CreateElement("time-modification")
		tuplet.CreateElement("actual-notes").SetText(strconv.FormatInt(c.Ratio.Actual, 10))
		tuplet.CreateElement("normal-notes").SetText(strconv.FormatInt(c.Ratio.Normal, 10))
	}
}

func addStem(note *etree.Element, stem notation.Stem) {
	if name := map[notation.Stem]string{notation.StemUp: "up", notation.StemDown: "down", notation.StemNone: "none"}[stem]; name != "" {
		note.CreateElement("stem").SetText(name)
	}
}

func addLyrics(note *etree.Element, lines []string) {
	for i, text := range lines {
		if text == "" {
			continue
		}
		lyric := note.CreateElement("lyric")
		lyric.CreateAttr("number", strconv.Itoa(i+1))
		lyric.CreateElement("syllabic").SetText("single")
		lyric.CreateElement("text").SetText(text)
	}
}

// addNotations writes the signs at a note.
func addNotations(note *etree.Element, c *notation.Chord, n *notation.Note, marks *noteMarks, first bool) {
	notations := etree.NewElement("notations")
	for _, elem := range slices.Concat(marks.ties, marks.notations) {
		notations.AddChild(elem)
	}
	if len(n.Fingering) > 0 {
		addFingering(notations, n.Fingering)
	}
	if first {
		addMarks(notations, c)
	}
	if len(notations.Child) > 0 {
		note.AddChild(notations)
	}
}

// addFingering writes "3", "3-1" for a change of finger, "(2)" for another choice.
func addFingering(notations *etree.Element, fingers []notation.Fingering) {
	technical := notations.CreateElement("technical")
	for _, f := range fingers {
		text, alternate := strings.CutPrefix(f.Text, "(")
		for i, finger := range strings.Split(strings.TrimSuffix(text, ")"), "-") {
			elem := technical.CreateElement("fingering")
			if i > 0 {
				elem.CreateAttr("substitution", "yes")
			}
			if alternate && i == 0 {
				elem.CreateAttr("alternate", "yes")
			}
			stand(elem, f.Side)
			elem.SetText(finger)
		}
	}
}

// These need nothing but their names. (MusicXML 4.0, complexTypes articulations,
// ornaments and technical.)
var (
	articulations = []string{
		"accent", "strong-accent", "staccato", "tenuto", "detached-legato", "staccatissimo", "spiccato", "scoop", "plop", "doit", "falloff",
		"breath-mark", "caesura", "stress", "unstress", "soft-accent", "other-articulation",
	}
	ornaments = []string{
		"trill-mark", "turn", "delayed-turn", "inverted-turn", "delayed-inverted-turn", "vertical-turn", "inverted-vertical-turn",
		"shake", "mordent", "inverted-mordent", "schleifer", "haydn", "other-ornament",
	}
	technicals = []string{
		"up-bow", "down-bow", "harmonic", "open-string", "thumb-position", "pluck", "double-tongue", "triple-tongue", "stopped",
		"snap-pizzicato", "heel", "toe", "fingernails", "brass-bend", "flip", "smear", "open", "half-muted", "golpe", "other-technical",
	}
)

// addMarks writes the signs at a chord, and the tremolo.
func addMarks(notations *etree.Element, c *notation.Chord) {
	in := func(group string) *etree.Element {
		if last := len(notations.Child) - 1; last >= 0 && notations.ChildElements()[last].Tag == group {
			return notations.ChildElements()[last]
		}
		return notations.CreateElement(group)
	}
	for _, m := range c.Marks {
		switch {
		case m.Name == "fermata":
			addFermata(notations, m)
		case slices.Contains(articulations, m.Name):
			stand(in("articulations").CreateElement(m.Name), m.Side)
		case slices.Contains(technicals, m.Name):
			stand(in("technical").CreateElement(m.Name), m.Side)
		case slices.Contains(ornaments, m.Name):
			outer := in("ornaments")
			stand(outer.CreateElement(m.Name), m.Side)
			addAccidentalMark(outer, m.AboveIt, notation.Above)
			addAccidentalMark(outer, m.BelowIt, notation.Below)
		}
	}
	if c.Tremolo > 0 {
		tremolo := in("ornaments").CreateElement("tremolo")
		tremolo.CreateAttr("type", c.TremoloPart)
		tremolo.SetText(strconv.Itoa(c.Tremolo))
	}
}

func addAccidentalMark(ornaments *etree.Element, name string, side notation.Side) {
	if name != "" {
		mark := ornaments.CreateElement("accidental-mark")
		stand(mark, side)
		mark.SetText(name)
	}
}

func addFermata(notations *etree.Element, m notation.Mark) {
	fermata := notations.CreateElement("fermata")
	switch m.Side {
	case notation.Above:
		fermata.CreateAttr("type", "upright")
	case notation.Below:
		fermata.CreateAttr("type", "inverted")
	}
	if m.Shape != "" {
		fermata.SetText(m.Shape)
	}
}

// on is what hangs on a note, by its ID.
func (e *encoder) on(id int) *noteMarks {
	if e.marks[id] == nil {
		e.marks[id] = &noteMarks{}
	}
	return e.marks[id]
}

// hang adds a sign to a note.
func (e *encoder) hang(id int, tag, kind string) *etree.Element {
	elem := etree.NewElement(tag)
	if kind != "" {
		elem.CreateAttr("type", kind)
	}
	e.on(id).notations = append(e.on(id).notations, elem)
	return elem
}

// orient says to which side a bow opens.
func orient(elem *etree.Element, side notation.Side) {
	switch side {
	case notation.Above:
		elem.CreateAttr("orientation", "over")
	case notation.Below:
		elem.CreateAttr("orientation", "under")
	}
}

// hangBows hangs ties, slurs and glissandi on the notes that they join.
func (e *encoder) hangBows() {
	tie := func(id int, kind string) *etree.Element {
		tied := etree.NewElement("tied")
		tied.CreateAttr("type", kind)
		e.on(id).ties = append(e.on(id).ties, tied)
		return tied
	}
	for _, t := range e.Ties {
		if t.To >= 0 {
			tie(t.To, "stop")
		}
		switch {
		case t.From >= 0 && t.To >= 0:
			orient(tie(t.From, "start"), t.Side)
		case t.From >= 0:
			orient(tie(t.From, "let-ring"), t.Side)
		}
	}
	var slurs numbering
	for _, s := range e.Slurs {
		from, to := e.chordPlace(s.From, s.To), e.chordPlace(s.To, s.From)
		number := strconv.Itoa(slurs.from(from, to))
		if s.From >= 0 {
			elem := e.hang(e.headOf(s.From), "slur", "start")
			elem.CreateAttr("number", number)
			stand(elem, s.Side)
			if s.Dashed {
				elem.CreateAttr("line-type", "dashed")
			}
		}
		if s.To >= 0 {
			elem := e.hang(e.headOf(s.To), "slur", "stop")
			elem.CreateAttr("number", number)
			if s.From < 0 {
				stand(elem, s.Side)
			}
		}
	}
	for i, s := range e.Slides {
		for _, end := range []struct {
			id   int
			kind string
		}{{s.From, "start"}, {s.To, "stop"}} {
			elem := e.hang(end.id, "glissando", end.kind)
			elem.CreateAttr("number", strconv.Itoa(i%mostNumbers+1))
			elem.CreateAttr("line-type", map[bool]string{true: "wavy", false: "solid"}[s.Wavy])
			elem.SetText(map[string]string{"start": s.Text}[end.kind])
		}
	}
}

// headOf is the ID of the first head of a chord, and a number of its own for a rest.
func (e *encoder) headOf(chord int) int {
	if notes := e.Chords[chord].Notes; len(notes) > 0 {
		return notes[0].ID
	}
	return -1 - chord
}

// chordPlace is where a chord stands, or another where there is none.
func (e *encoder) chordPlace(chord, other int) score.Rat {
	if chord < 0 {
		chord = other
	}
	return e.Chords[chord].At
}

// hangGroups hangs tuplets, arpeggios and the lines of trills on their notes.
func (e *encoder) hangGroups() {
	for _, t := range e.Tuplets {
		e.hangTuplet(t)
	}
	for i, s := range e.Arpeggios {
		number := strconv.Itoa(i%mostNumbers + 1)
		for k, id := range s.Notes {
			elem := etree.NewElement("arpeggiate")
			if s.Not {
				elem = etree.NewElement("non-arpeggiate")
				elem.CreateAttr("type", map[bool]string{true: "top", false: "bottom"}[k == len(s.Notes)-1])
			} else if s.Arrow != "" {
				elem.CreateAttr("direction", s.Arrow)
			}
			elem.CreateAttr("number", number)
			e.on(id).notations = append(e.on(id).notations, elem)
		}
	}
	for _, l := range e.Lines {
		if l.Kind == notation.TrillLine {
			e.hangTrill(l)
		}
	}
}

func (e *encoder) hangTuplet(t notation.Tuplet) {
	number := strconv.Itoa(t.Depth + 1)
	start := e.hang(e.headOf(t.From), "tuplet", "start")
	start.CreateAttr("number", number)
	start.CreateAttr("bracket", map[bool]string{true: "yes", false: "no"}[t.Bracket])
	stand(start, t.Side)
	actual, normal, both := strings.Cut(t.Text, ":")
	switch {
	case t.Text == "":
		start.CreateAttr("show-number", "none")
	case both:
		start.CreateAttr("show-number", "both")
	}
	if t.Text != "" {
		start.CreateElement("tuplet-actual").CreateElement("tuplet-number").SetText(actual)
		if both {
			start.CreateElement("tuplet-normal").CreateElement("tuplet-number").SetText(normal)
		}
	}
	e.hang(e.headOf(t.To), "tuplet", "stop").CreateAttr("number", number)
}

// hangTrill hangs a wavy line on the chords where it begins and ends.
func (e *encoder) hangTrill(l notation.Line) {
	wave := func(found func(c *notation.Chord) bool, kind string) {
		i := slices.IndexFunc(e.Chords, func(c notation.Chord) bool {
			return !c.Rest && c.Staff == l.Staff && found(&c)
		})
		if i < 0 {
			return
		}
		elem := e.hang(e.headOf(i), "ornaments", "").CreateElement("wavy-line")
		elem.CreateAttr("type", kind)
		elem.CreateAttr("number", strconv.Itoa(l.Staff))
		stand(elem, l.Side)
	}
	wave(func(c *notation.Chord) bool { return c.At == l.From && c.Grace == 0 }, "start")
	wave(func(c *notation.Chord) bool { return c.End() == l.To && c.Grace == 0 }, "stop")
}
