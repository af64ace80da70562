package drill

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/beevik/etree"

	"hardbars/detect"
	"hardbars/score"
)

// Write writes the drills of some hot spots of a report, in their order, as one
// MusicXML 4.0 score for piano. The right hand has the upper staff, whichever
// it is on in the piece. Bars are numbered by their place in this score, and
// the headings name those of the piece.
//
// The error says which lengths are too fine to be written, or comes from w.
func Write(w io.Writer, r *detect.Report, spots []*detect.Spot) error {
	p := newPiece(r)
	b := &book{piece: p}
	for _, spot := range spots {
		b.addSpot(newPassage(p, spot))
	}
	if err := b.setDivisions(); err != nil {
		return err
	}
	_, err := b.document().WriteTo(w)
	return err
}

// book is the bars of a practice score, as they will be written.
type book struct {
	*piece
	measures  []measure
	divisions int64 // of a quarter
}

// measure is one bar with its signs chosen.
type measure struct {
	bar
	staves  [2][][]sign // by score.Hand
	clefs   [2]clef
	octaves [2]int      // that each staff is printed below its sound, by score.Hand
	heading string      // of a hot spot that begins here
	title   string      // of an exercise that begins here
	pace    detect.Pace // of that exercise
	newLine bool
	begins  bool // an exercise
	ends    bool
}

func (b *book) addSpot(g *passage) {
	for i, e := range g.exercises() {
		for j, music := range e.bars {
			m := measure{bar: music, begins: j == 0, ends: j == len(e.bars)-1}
			if m.begins {
				m.title, m.pace, m.newLine = e.title, e.pace, !e.sameLine
			}
			if m.begins && i == 0 {
				m.heading = g.heading()
			}
			for hand, voices := range music.hands {
				for _, v := range voices {
					m.staves[hand] = append(m.staves[hand], notate(v, music.time))
				}
				addAccidentals(m.staves[hand], music.key)
				m.clefs[hand] = b.clefBefore(score.Hand(hand)).next(score.Hand(hand), m.staves[hand])
				m.octaves[hand] = m.clefs[hand].octaves(m.staves[hand])
			}
			b.measures = append(b.measures, m)
		}
	}
}

// clefBefore is the clef of a staff where the next measure begins.
func (b *book) clefBefore(hand score.Hand) clef {
	if len(b.measures) == 0 {
		return [2]clef{treble, bass}[hand]
	}
	return b.measures[len(b.measures)-1].clefs[hand]
}

// heading names a hot spot as the study sheet and the marked score do.
func (g *passage) heading() string {
	hand := g.spot.Hand.String() + " hand"
	if g.spot.Hand == score.Both {
		hand = "both hands"
	}
	bars := g.barsNamed(g.spot.FirstBar, g.spot.LastBar)
	if g.first != g.spot.FirstBar || g.last != g.spot.LastBar {
		bars = fmt.Sprintf("%s, the hardest of %s", g.barsNamed(g.first, g.last), strings.TrimPrefix(bars, "bars "))
	}
	return fmt.Sprintf("%s · %s, %s: %s", g.spot.ID, sentence(bars), hand, g.spot.Label)
}

// mostDivisions is as fine as other programs count: 2⁷·3³·5·7·11·13 and more.
const mostDivisions = 1 << 30

// setDivisions finds the number of divisions in which every length is whole.
func (b *book) setDivisions() error {
	b.divisions = 1
	for i, m := range b.measures {
		for _, length := range m.lengths() {
			b.divisions = lcm(b.divisions, length.Den())
			if b.divisions > mostDivisions {
				return fmt.Errorf("practice bar %d has lengths too fine to be written with the others (%s quarters); ask for fewer places at a time with --spot", i+1, length)
			}
		}
	}
	return nil
}

// lengths are all places and lengths in a measure.
func (m *measure) lengths() []score.Rat {
	all := []score.Rat{m.time.Length}
	for _, voices := range m.staves {
		for _, s := range slices.Concat(voices...) {
			all = append(all, s.at, s.length)
		}
	}
	for _, mark := range m.marks {
		all = append(all, mark.at)
	}
	return all
}

func (b *book) document() *etree.Document {
	doc := etree.NewDocument()
	doc.CreateProcInst("xml", `version="1.0" encoding="UTF-8"`)
	root := doc.CreateElement("score-partwise")
	root.CreateAttr("version", "4.0")
	b.head(root)
	part := root.CreateElement("part")
	part.CreateAttr("id", "P1")
	for i := range b.measures {
		b.measure(part, i)
	}
	doc.Indent(1)
	return doc
}

// head is the title and the composer of the piece, and the one part.
func (b *book) head(root *etree.Element) {
	title := b.Score.Title
	if title == "" {
		title = "Drills"
	}
	root.CreateElement("work").CreateElement("work-title").SetText(title)
	identification := root.CreateElement("identification")
	if b.Score.Composer != "" {
		composer := identification.CreateElement("creator")
		composer.CreateAttr("type", "composer")
		composer.SetText(b.Score.Composer)
	}
	identification.CreateElement("encoding").CreateElement("software").SetText("hardbars")
	part := root.CreateElement("part-list").CreateElement("score-part")
	part.CreateAttr("id", "P1")
	part.CreateElement("part-name").SetText("Piano")
}

func (b *book) measure(part *etree.Element, index int) {
	m := &b.measures[index]
	measure := part.CreateElement("measure")
	measure.CreateAttr("number", strconv.Itoa(index+1))
	b.layout(measure, index)
	if m.begins {
		addBarline(measure, "left", "heavy-light", "forward")
	}
	b.attributes(measure, index)
	if m.begins { // the nearest to the staff first
		addMetronome(measure, m.pace)
		addWords(measure, m.title, "10")
	}
	if m.heading != "" {
		addWords(measure, m.heading, "13")
	}
	b.music(measure, index)
	if m.ends {
		addBarline(measure, "right", "light-heavy", "backward")
	}
}

// layout breaks lines and pages before exercises and hot spots.
func (b *book) layout(measure *etree.Element, index int) {
	m := &b.measures[index]
	if index == 0 {
		measure.CreateElement("print").CreateElement("measure-numbering").SetText("none")
		return
	}
	switch {
	case m.heading != "":
		measure.CreateElement("print").CreateAttr("new-page", "yes")
	case m.newLine:
		measure.CreateElement("print").CreateAttr("new-system", "yes")
	}
}

// attributes writes what is no longer as it was in the measure before.
func (b *book) attributes(parent *etree.Element, index int) {
	m, was := &b.measures[index], &measure{}
	if index > 0 {
		was = &b.measures[index-1]
	}
	a := etree.NewElement("attributes")
	if index == 0 {
		a.CreateElement("divisions").SetText(strconv.FormatInt(b.divisions, 10))
	}
	if index == 0 || m.key != was.key {
		addKey(a, m.key)
	}
	if index == 0 || m.time != was.time {
		addTime(a, m.time)
	}
	if index == 0 {
		a.CreateElement("staves").SetText("2")
	}
	for hand, clef := range m.clefs {
		if index == 0 || clef != was.clefs[hand] {
			addClef(a, hand+1, clef)
		}
	}
	if len(a.Child) > 0 {
		parent.AddChild(a)
	}
}

// music writes the voices one after the other, those of the right hand from 1
// and those of the left from 5 on, or behind the right hand's.
func (b *book) music(parent *etree.Element, index int) {
	m := &b.measures[index]
	voice := 0
	written := false
	for hand, voices := range m.staves {
		voice = max(voice, 4*hand)
		if len(voices) == 0 {
			voices = [][]sign{nil}
		}
		if b.octavesTurn(index, hand, index-1) {
			addOctaves(parent, hand+1, m.octaves[hand])
		}
		for i, signs := range voices {
			if written {
				parent.CreateElement("backup").CreateElement("duration").SetText(b.duration(m.time.Length))
			}
			voice, written = voice+1, true
			line := &line{book: b, measure: parent, hand: score.Hand(hand), voice: strconv.Itoa(voice)}
			if i == fullest(voices) {
				line.marks = m.marksOf(score.Hand(hand))
			}
			line.write(signs, m.time.Length)
		}
		if b.octavesTurn(index, hand, index+1) {
			addOctaves(parent, hand+1, 0)
		}
	}
}

// octavesTurn reports whether an octave line stands over a staff in a measure and
// not in its neighbour.
func (b *book) octavesTurn(index, hand, neighbour int) bool {
	m := &b.measures[index]
	if m.octaves[hand] == 0 {
		return false
	}
	edge := neighbour < index && m.begins || neighbour > index && m.ends
	return edge || b.measures[neighbour].octaves[hand] != m.octaves[hand]
}

// fullest is the voice with most signs: marks find a note near their place there.
func fullest(voices [][]sign) int {
	best := 0
	for i, v := range voices {
		if len(v) > len(voices[best]) {
			best = i
		}
	}
	return best
}

func (b *book) duration(length score.Rat) string {
	return length.Mul(score.Int(b.divisions)).String()
}

func (m *measure) marksOf(hand score.Hand) []mark {
	return slices.DeleteFunc(slices.Clone(m.marks), func(k mark) bool { return k.hand != hand })
}
