package musicxml

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// Encode writes what is written as MusicXML 4.0: one part for piano. What is
// read from it again is the same, sign by sign. Bars without a printed number are
// numbered by their place.
//
// The error is ErrTooFine with the bar, or comes from w.
func Encode(w io.Writer, s *notation.Score) error {
	e := &encoder{Score: s, marks: map[int]*noteMarks{}}
	if err := e.setDivisions(); err != nil {
		return err
	}
	e.octaves = slices.DeleteFunc(slices.Clone(s.Lines), func(l notation.Line) bool {
		return l.Kind != notation.OctaveUp && l.Kind != notation.OctaveDown
	})
	e.hangBows()
	e.hangGroups()
	doc := etree.NewDocument()
	doc.CreateProcInst("xml", `version="1.0" encoding="UTF-8"`)
	root := doc.CreateElement("score-partwise")
	root.CreateAttr("version", "4.0")
	e.head(root)
	part := root.CreateElement("part")
	part.CreateAttr("id", "P1")
	for i := range s.Bars {
		e.bar(part.CreateElement("measure"), i)
	}
	doc.Indent(1)
	_, err := doc.WriteTo(w)
	return err
}

// ErrTooFine is of a score whose lengths are no whole numbers of any divisions.
var ErrTooFine = errors.New("has lengths too fine to be written with the others")

// encoder writes one score.
type encoder struct {
	*notation.Score
	divisions int64              // of a quarter
	marks     map[int]*noteMarks // by Note.ID
	at        []timed            // what stands between the notes, by bar; what is written is taken away
	octaves   []notation.Line    // the octave lines, by their beginning
	next      int                // index into Chords of the first of the bar to be written
}

// noteMarks is what hangs on one note and reaches to others.
type noteMarks struct {
	ties      []*etree.Element // <tied>
	notations []*etree.Element
}

// mostDivisions is as fine as other programs count: 2⁷·3³·5·7·11·13 and more.
const mostDivisions = 1 << 30

// setDivisions finds the number of divisions in which every place and length is
// whole.
func (e *encoder) setDivisions() error {
	e.divisions = 1
	fit := func(bar int, lengths ...score.Rat) error {
		for _, length := range lengths {
			finer := score.R(e.divisions, length.Den()).Den()
			if finer > mostDivisions/e.divisions {
				return fmt.Errorf("bar %d %w (%s quarters)", bar+1, ErrTooFine, length)
			}
			e.divisions *= finer
		}
		return nil
	}
	for i, b := range e.Bars {
		if err := fit(i, b.Start, b.Length); err != nil {
			return err
		}
	}
	for i := range e.Chords {
		if err := fit(e.Chords[i].Bar, e.Chords[i].At, e.Chords[i].Length); err != nil {
			return err
		}
	}
	for _, t := range e.between() {
		if err := fit(t.bar, t.at); err != nil {
			return err
		}
	}
	return nil
}

func (e *encoder) duration(length score.Rat) string {
	return length.Mul(score.Int(e.divisions)).String()
}

// head is the title and the composer of the piece, and the one part.
func (e *encoder) head(root *etree.Element) {
	if e.Title != "" {
		root.CreateElement("work").CreateElement("work-title").SetText(e.Title)
	}
	identification := root.CreateElement("identification")
	if e.Composer != "" {
		composer := identification.CreateElement("creator")
		composer.CreateAttr("type", "composer")
		composer.SetText(e.Composer)
	}
	identification.CreateElement("encoding").CreateElement("software").SetText("hardbars")
	part := root.CreateElement("part-list").CreateElement("score-part")
	part.CreateAttr("id", "P1")
	part.CreateElement("part-name").SetText("Piano")
}

// bar writes a bar: its voices one after the other, each from the bar's start.
func (e *encoder) bar(measure *etree.Element, index int) {
	b := &e.Bars[index]
	measure.CreateAttr("number", cmp.Or(b.Number, strconv.Itoa(index+1)))
	if b.Implicit {
		measure.CreateAttr("implicit", "yes")
	}
	e.layout(measure, index)
	e.barline(measure, "left", b)
	m := &measureWriter{encoder: e, measure: measure, bar: index, clock: b.Start}
	for len(e.at) > 0 && e.at[0].bar == index {
		m.waiting, e.at = append(m.waiting, e.at[0]), e.at[1:]
	}
	m.opening()
	voices := m.voices()
	for _, voice := range voices {
		m.moveTo(b.Start)
		m.voice(voice, m.fullest(voice, voices))
	}
	m.rest(func(timed) bool { return true })
	m.moveTo(b.End())
	e.barline(measure, "right", b)
}

// layout writes where the page goes on elsewhere, and that no bar is numbered.
func (e *encoder) layout(measure *etree.Element, index int) {
	numbered := slices.ContainsFunc(e.Bars, func(b notation.Bar) bool { return b.Number != "" })
	if brk := e.Bars[index].Break; brk != notation.NoBreak || index == 0 && !numbered {
		p := measure.CreateElement("print")
		switch brk {
		case notation.LineBreak:
			p.CreateAttr("new-system", "yes")
		case notation.PageBreak:
			p.CreateAttr("new-page", "yes")
		}
		if index == 0 && !numbered {
			p.CreateElement("measure-numbering").SetText("none")
		}
	}
}

func (e *encoder) barline(measure *etree.Element, location string, b *notation.Bar) {
	line, direction := b.Left, "forward"
	ending := b.Ending != nil && b.Ending.Start
	if location == "right" {
		line, direction = b.Right, "backward"
		ending = b.Ending != nil && b.Ending.Stop
	}
	if line == (notation.Barline{}) && !ending {
		return
	}
	elem := measure.CreateElement("barline")
	elem.CreateAttr("location", location)
	if line.Style != "" {
		elem.CreateElement("bar-style").SetText(line.Style)
	}
	if ending {
		elem.AddChild(endingElement(b.Ending, location))
	}
	if line.Repeat {
		repeat := elem.CreateElement("repeat")
		repeat.CreateAttr("direction", direction)
		if line.Times > 0 {
			repeat.CreateAttr("times", strconv.Itoa(line.Times))
		}
	}
}

func endingElement(ending *notation.Ending, location string) *etree.Element {
	elem := etree.NewElement("ending")
	elem.CreateAttr("number", strings.Join(numbers.FindAllString(ending.Text, -1), ","))
	switch {
	case location == "left":
		elem.CreateAttr("type", "start")
		elem.SetText(ending.Text)
	case ending.Open:
		elem.CreateAttr("type", "discontinue")
	default:
		elem.CreateAttr("type", "stop")
	}
	return elem
}

// measureWriter writes the music of one bar.
type measureWriter struct {
	*encoder
	measure *etree.Element
	bar     int
	clock   score.Rat
	waiting []timed // still to be written, by place
}

// moveTo takes the file's clock to a place.
func (m *measureWriter) moveTo(at score.Rat) {
	switch gap := at.Sub(m.clock); gap.Sign() {
	case -1:
		m.measure.CreateElement("backup").CreateElement("duration").SetText(m.duration(score.Rat{}.Sub(gap)))
	case 1:
		m.measure.CreateElement("forward").CreateElement("duration").SetText(m.duration(gap))
	}
	m.clock = at
}

// voices are the chords of the bar, as indices, voice by voice from the top staff
// down, grace notes before their main note.
func (m *measureWriter) voices() [][]int {
	var names []string
	by := map[string][]int{}
	for ; m.next < len(m.Chords) && m.Chords[m.next].Bar == m.bar; m.next++ {
		i := m.next
		c := &m.Chords[i]
		if c.Grace == 0 && c.Length.Sign() <= 0 {
			continue // pushed over the barline by the rounding of its file
		}
		if by[c.Voice] == nil {
			names = append(names, c.Voice)
		}
		by[c.Voice] = append(by[c.Voice], i)
	}
	var voices [][]int
	for _, name := range names {
		slices.SortStableFunc(by[name], func(i, j int) int {
			a, b := &m.Chords[i], &m.Chords[j]
			return cmp.Or(a.At.Cmp(b.At), cmp.Compare(orderAt(a), orderAt(b)))
		})
		voices = append(voices, by[name])
	}
	slices.SortStableFunc(voices, func(a, b []int) int {
		return cmp.Compare(m.Chords[a[0]].Staff, m.Chords[b[0]].Staff)
	})
	return voices
}

// orderAt orders what one voice has at one place: grace notes, what they lead to,
// and grace notes that lead nowhere.
func orderAt(c *notation.Chord) int {
	switch {
	case c.GraceAfter:
		return 2
	case c.Grace == 0:
		return 1
	}
	return 0
}

// voice writes a voice, with what stands between the notes of its staff where it
// is the host.
func (m *measureWriter) voice(chords []int, hosts bool) {
	staff := m.Chords[chords[0]].Staff
	for _, i := range chords {
		c := &m.Chords[i]
		m.moveTo(c.At)
		if hosts {
			m.rest(func(t timed) bool { return t.staff == staff && t.at.Cmp(c.At) <= 0 })
			m.within(staff, c.End())
		}
		m.chord(i)
	}
	if hosts {
		m.rest(func(t timed) bool { return t.staff == staff && t.at.Cmp(m.clock) <= 0 })
	}
}

// fullest reports whether no other voice that begins on the same staff has more
// chords: signs are nearest to a note there.
func (m *measureWriter) fullest(voice []int, voices [][]int) bool {
	staff := m.Chords[voice[0]].Staff
	return !slices.ContainsFunc(voices, func(v []int) bool { return m.Chords[v[0]].Staff == staff && len(v) > len(voice) })
}

// rest writes what is waiting for its place and passes a test, at its place.
func (m *measureWriter) rest(now func(timed) bool) {
	home := m.clock
	var later []timed
	for _, t := range m.waiting {
		if !now(t) {
			later = append(later, t)
			continue
		}
		m.moveTo(t.at)
		m.measure.AddChild(t.elem)
	}
	m.waiting = later
	m.moveTo(home)
}

// within writes the directions that stand over what comes next, so far after its
// beginning.
func (m *measureWriter) within(staff int, end score.Rat) {
	m.waiting = slices.DeleteFunc(m.waiting, func(t timed) bool {
		if t.staff != staff || t.elem.Tag != "direction" || !m.clock.Less(t.at) || !t.at.Less(end) {
			return false
		}
		offset := etree.NewElement("offset")
		offset.CreateAttr("sound", "yes")
		offset.SetText(m.duration(t.at.Sub(m.clock)))
		t.elem.InsertChildAt(t.elem.SelectElement("staff").Index(), offset)
		m.measure.AddChild(t.elem)
		return true
	})
}
