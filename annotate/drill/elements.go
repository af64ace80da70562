package drill

import (
	"slices"
	"strconv"
	"strings"

	"github.com/beevik/etree"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/musicxml"
)

// line writes one voice of a measure, with the marks that stand at its staff.
type line struct {
	*book
	measure *etree.Element
	hand    score.Hand
	voice   string
	marks   []mark // still to be written, by place
}

func (l *line) write(signs []sign, length score.Rat) {
	if len(signs) == 0 {
		l.marksBefore(score.Rat{}, length)
		l.wholeRest(length)
	}
	for i := range signs {
		l.marksBefore(signs[i].at, signs[i].end())
		l.sign(&signs[i])
	}
	for _, m := range l.marks {
		l.mark(m, score.Rat{})
	}
}

// marksBefore writes the marks that stand before the end of what comes next.
func (l *line) marksBefore(at, end score.Rat) {
	for len(l.marks) > 0 && l.marks[0].at.Less(end) {
		l.mark(l.marks[0], l.marks[0].at.Sub(at))
		l.marks = l.marks[1:]
	}
}

// mark writes a direction so far after the place in hand.
func (l *line) mark(m mark, after score.Rat) {
	d := l.measure.CreateElement("direction")
	d.CreateAttr("placement", "below")
	kind := d.CreateElement("direction-type")
	if m.pedal != "" {
		pedal := kind.CreateElement("pedal")
		pedal.CreateAttr("type", m.pedal)
		pedal.CreateAttr("line", "yes")
	} else {
		addDynamic(kind.CreateElement("dynamics"), m.dynamic)
	}
	if after.Sign() > 0 {
		offset := d.CreateElement("offset")
		offset.CreateAttr("sound", "yes")
		offset.SetText(l.duration(after))
	}
	d.CreateElement("staff").SetText(l.staff())
}

func (l *line) staff() string { return strconv.Itoa(int(l.hand) + 1) }

func (l *line) wholeRest(length score.Rat) {
	note := l.measure.CreateElement("note")
	note.CreateElement("rest").CreateAttr("measure", "yes")
	note.CreateElement("duration").SetText(l.duration(length))
	note.CreateElement("voice").SetText(l.voice)
	note.CreateElement("staff").SetText(l.staff())
}

func (l *line) sign(s *sign) {
	l.graceNotes(s.grace)
	if len(s.tones) == 0 {
		note := l.measure.CreateElement("note")
		if s.unseen {
			note.CreateAttr("print-object", "no")
		}
		note.CreateElement("rest")
		l.body(note, s, nil)
		return
	}
	for i := range s.tones {
		note := l.measure.CreateElement("note")
		if i > 0 {
			note.CreateElement("chord")
		}
		addPitch(note, s.tones[i].pitch)
		l.body(note, s, &s.tones[i])
	}
}

// body is a note after its pitch; t is nil for a rest. What belongs to a chord
// as a whole stands at its first note.
func (l *line) body(note *etree.Element, s *sign, t *tone) {
	first := note.SelectElement("chord") == nil
	note.CreateElement("duration").SetText(l.duration(s.length))
	accidental := ""
	if t != nil {
		addTies(note, "tie", t)
		accidental = t.sign
	}
	note.CreateElement("voice").SetText(l.voice)
	if s.value.Type != "" {
		s.value.Add(note, accidental)
	}
	if s.tap {
		note.CreateElement("notehead").SetText("x")
	}
	note.CreateElement("staff").SetText(l.staff())
	if first {
		addBeams(note, s.beams)
	}
	notations := etree.NewElement("notations")
	if t != nil {
		addTies(notations, "tied", t)
	}
	if first && s.tuplet != "" {
		tuplet := notations.CreateElement("tuplet")
		tuplet.CreateAttr("type", s.tuplet)
	}
	if t != nil {
		addSigns(notations, t)
	}
	if first && s.fermata {
		notations.CreateElement("fermata")
	}
	if len(notations.Child) > 0 {
		note.AddChild(notations)
	}
	if first {
		addLyrics(note, s.lyrics)
	}
}

// graceNotes are eighths where there is one, otherwise sixteenths under a beam.
func (l *line) graceNotes(groups [][]tone) {
	value := musicxml.Value{Type: "eighth"}
	if len(groups) > 1 {
		value.Type = "16th"
	}
	for i, tones := range groups {
		for j := range tones {
			note := l.measure.CreateElement("note")
			grace := note.CreateElement("grace")
			if len(groups) == 1 {
				grace.CreateAttr("slash", "yes")
			}
			if j > 0 {
				note.CreateElement("chord")
			}
			addPitch(note, tones[j].pitch)
			note.CreateElement("voice").SetText(l.voice)
			value.Add(note, tones[j].sign)
			note.CreateElement("staff").SetText(l.staff())
			if len(groups) > 1 && j == 0 {
				name := beamName(i > 0, i+1 < len(groups), i == 0)
				addBeams(note, []string{name, name})
			}
			notations := etree.NewElement("notations")
			if addSigns(notations, &tones[j]); len(notations.Child) > 0 {
				note.AddChild(notations)
			}
		}
	}
}

func addPitch(note *etree.Element, p score.Pitch) {
	pitch := note.CreateElement("pitch")
	pitch.CreateElement("step").SetText(string(p.Step))
	if p.Alter != 0 {
		pitch.CreateElement("alter").SetText(strconv.Itoa(p.Alter))
	}
	pitch.CreateElement("octave").SetText(strconv.Itoa(p.Octave))
}

func addTies(parent *etree.Element, tag string, t *tone) {
	if t.from {
		parent.CreateElement(tag).CreateAttr("type", "stop")
	}
	if t.to {
		parent.CreateElement(tag).CreateAttr("type", "start")
	}
}

func addBeams(note *etree.Element, beams []string) {
	for i, name := range beams {
		beam := note.CreateElement("beam")
		beam.CreateAttr("number", strconv.Itoa(i+1))
		beam.SetText(name)
	}
}

func addLyrics(note *etree.Element, lines []string) {
	for i, text := range lines {
		lyric := note.CreateElement("lyric")
		lyric.CreateAttr("number", strconv.Itoa(i+1))
		lyric.CreateElement("syllabic").SetText("single")
		lyric.CreateElement("text").SetText(text)
	}
}

// addSigns adds the ornaments, fingering and articulations of the piece.
func addSigns(notations *etree.Element, t *tone) {
	if t.note == nil {
		return
	}
	addOrnaments(notations, t.note)
	if t.note.Fingering != "" {
		addFingering(notations.CreateElement("technical"), t.note.Fingering)
	}
	addEach(notations, "articulations", t.note.Articulations, articulations)
	if t.spread != "" {
		arpeggiate := notations.CreateElement("arpeggiate")
		if t.spread == "down" {
			arpeggiate.CreateAttr("direction", "down")
		}
	}
}

// These need nothing but their names. (MusicXML 4.0, complexTypes articulations
// and ornaments.)
var (
	articulations = []string{
		"accent", "strong-accent", "staccato", "tenuto", "detached-legato", "staccatissimo", "spiccato", "stress", "unstress", "soft-accent",
	}
	ornaments = []string{
		"trill-mark", "turn", "delayed-turn", "inverted-turn", "delayed-inverted-turn", "vertical-turn", "inverted-vertical-turn",
		"shake", "mordent", "inverted-mordent", "schleifer", "haydn",
	}
)

// addEach adds an element for each of some names, inside another one.
func addEach(parent *etree.Element, tag string, names, known []string) {
	outer := etree.NewElement(tag)
	for _, name := range names {
		if slices.Contains(known, name) {
			outer.CreateElement(name)
		}
	}
	if len(outer.Child) > 0 {
		parent.AddChild(outer)
	}
}

// addOrnaments adds the signs over a note with their accidentals, and the
// tremolo of a single one.
func addOrnaments(notations *etree.Element, n *score.Note) {
	addEach(notations, "ornaments", n.Ornaments, ornaments)
	outer := notations.SelectElement("ornaments")
	if outer != nil {
		for _, aux := range []struct{ name, placement string }{{n.AuxAbove, "above"}, {n.AuxBelow, "below"}} {
			if aux.name != "" {
				mark := outer.CreateElement("accidental-mark")
				mark.CreateAttr("placement", aux.placement)
				mark.SetText(aux.name)
			}
		}
	}
	if n.Tremolo > 0 && !n.TremoloPair {
		if outer == nil {
			outer = notations.CreateElement("ornaments")
		}
		tremolo := outer.CreateElement("tremolo")
		tremolo.CreateAttr("type", "single")
		tremolo.SetText(strconv.Itoa(n.Tremolo))
	}
}

// addFingering writes "3", "3-1" for a change of finger, "2 4" for two.
func addFingering(technical *etree.Element, text string) {
	for _, one := range strings.Fields(text) {
		for i, finger := range strings.Split(one, "-") {
			f := technical.CreateElement("fingering")
			if i > 0 {
				f.CreateAttr("substitution", "yes")
			}
			f.SetText(finger)
		}
	}
}

// dynamics are the marks that have an element of their own. (MusicXML 4.0,
// complexType dynamics.)
var dynamics = []string{
	"p", "pp", "ppp", "pppp", "ppppp", "pppppp", "f", "ff", "fff", "ffff", "fffff", "ffffff", "mp", "mf",
	"sf", "sfp", "sfpp", "fp", "rf", "rfz", "sfz", "sffz", "fz", "n", "pf", "sfzp",
}

func addDynamic(parent *etree.Element, name string) {
	if slices.Contains(dynamics, name) {
		parent.CreateElement(name)
		return
	}
	parent.CreateElement("other-dynamics").SetText(name)
}

// addWords writes a heading above the upper staff, in letters of a size in points.
func addWords(measure *etree.Element, text, size string) {
	d := measure.CreateElement("direction")
	d.CreateAttr("placement", "above")
	words := d.CreateElement("direction-type").CreateElement("words")
	words.CreateAttr("font-size", size)
	words.CreateAttr("font-weight", "bold")
	words.SetText(text)
	d.CreateElement("staff").SetText("1")
}

func addMetronome(measure *etree.Element, pace detect.Pace) {
	d := measure.CreateElement("direction")
	d.CreateAttr("placement", "above")
	m := d.CreateElement("direction-type").CreateElement("metronome")
	beat, _ := musicxml.ValueOf(pace.Beat)
	m.CreateElement("beat-unit").SetText(beat.Type)
	for range beat.Dots {
		m.CreateElement("beat-unit-dot")
	}
	m.CreateElement("per-minute").SetText(strconv.Itoa(pace.PerMinute))
	d.CreateElement("staff").SetText("1")
	d.CreateElement("sound").CreateAttr("tempo", strconv.FormatFloat(pace.QPM(), 'f', -1, 64))
}

func addBarline(measure *etree.Element, location, style, direction string) {
	barline := measure.CreateElement("barline")
	barline.CreateAttr("location", location)
	barline.CreateElement("bar-style").SetText(style)
	barline.CreateElement("repeat").CreateAttr("direction", direction)
}

func addKey(attributes *etree.Element, k score.Key) {
	key := attributes.CreateElement("key")
	key.CreateElement("fifths").SetText(strconv.Itoa(k.Fifths))
	if k.Mode != "" {
		key.CreateElement("mode").SetText(k.Mode)
	}
}

func addClef(attributes *etree.Element, staff int, c clef) {
	clef := attributes.CreateElement("clef")
	clef.CreateAttr("number", strconv.Itoa(staff))
	clef.CreateElement("sign").SetText(c.sign)
	clef.CreateElement("line").SetText(strconv.Itoa(c.line))
}

// addOctaves begins a line over notes that are printed so many octaves below
// their sound, or above it where octaves is negative; 0 ends one.
func addOctaves(measure *etree.Element, staff, octaves int) {
	d := measure.CreateElement("direction")
	shift := d.CreateElement("direction-type").CreateElement("octave-shift")
	kind := "stop"
	switch {
	case octaves > 0:
		kind = "down"
	case octaves < 0:
		kind = "up"
	}
	shift.CreateAttr("type", kind)
	shift.CreateAttr("size", "8")
	d.CreateElement("staff").SetText(strconv.Itoa(staff))
}

// addTime writes a signature: plain, additive or composite.
func addTime(attributes *etree.Element, t score.Time) {
	time := attributes.CreateElement("time")
	for _, p := range timeParts(t) {
		time.CreateElement("beats").SetText(p.beats)
		time.CreateElement("beat-type").SetText(p.beatType)
	}
}

// timePart is one fraction of a time signature.
type timePart struct{ beats, beatType string }

// timeParts takes "3+2/8+2/4" apart: 3+2 over 8, then 2 over 4.
func timeParts(t score.Time) []timePart {
	var parts []timePart
	var beats []string
	for term := range strings.SplitSeq(t.String(), "+") {
		beat, beatType, whole := strings.Cut(term, "/")
		if beats = append(beats, beat); whole {
			parts = append(parts, timePart{strings.Join(beats, "+"), beatType})
			beats = nil
		}
	}
	return parts
}

// writable reports whether the lengths of a signature are note values.
func writable(t score.Time) bool {
	parts := timeParts(t)
	for _, p := range parts {
		if n, err := strconv.Atoi(p.beatType); err != nil || n < 1 || n&(n-1) != 0 {
			return false
		}
	}
	return len(parts) > 0
}
