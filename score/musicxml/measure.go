package musicxml

import (
	"github.com/beevik/etree"

	"hardbars/score"
)

// partReader walks through one part, bar by bar, in the order of the file.
type partReader struct {
	*reader
	piano       bool // notes and signs are kept; other parts only tell how long the bars are
	lead        bool // the part whose signatures are the bars'
	tempoOnly   bool // not the piano, but its tempo marks hold for all
	part        int  // 0, or 1 for the lower of two one-staff parts
	upperStaves int  // staves of the piano above this part

	bar   int
	clock clock
	chord chord
	run   int

	// what is in force
	divisions  score.Rat
	divided    bool // the file has said how many divisions make a quarter
	time       score.Time
	key        score.Key
	staves     int
	clefs      map[int]byte
	transposed map[int]transposition
	restUntil  int  // the bar after a rest over several bars
	repeating  bool // bars drawn as "the same again"
}

func (p *partReader) read(measures []measureView) {
	p.divisions = guessDivisions(measures)
	p.clefs, p.transposed = map[int]byte{}, map[int]transposition{}
	p.staves = 1
	for i, m := range measures {
		p.openBar(i, m.elem)
		p.bar, p.reading = i, i
		p.stampBar()
		if m.content != nil {
			p.measure(m.content)
		}
	}
}

func (p *partReader) measure(content *etree.Element) {
	p.clock = clock{unit: score.Int(1).Div(p.divisions)}
	p.newRun()
	before := len(p.notes)
	for _, token := range content.Child {
		elem, ok := token.(*etree.Element)
		if !ok {
			continue
		}
		switch elem.Tag {
		case "note":
			p.note(elem)
		case "backup":
			p.backup(elem)
		case "forward":
			p.forward(elem)
		case "attributes":
			p.attributes(elem)
			p.place(elem)
		default:
			p.place(elem)
		}
	}
	if p.piano && p.repeating && len(p.notes) == before {
		p.warn("the bar is drawn as a repetition and the file holds no notes for it; none are read")
	}
	p.closeBar()
}

// stampBar gives the bar the signatures in force.
func (p *partReader) stampBar() {
	bar := &p.bars[p.bar]
	if p.lead {
		bar.time, bar.key = p.time, p.key
	}
	bar.noNotes = bar.noNotes || p.piano && p.bar < p.restUntil
}

func (p *partReader) closeBar() {
	bar := &p.bars[p.bar]
	bar.end = score.Max(bar.end, p.clock.end)
	bar.slack = score.Max(bar.slack, p.clock.slack)
}

func (p *partReader) newRun() {
	p.chord.open = false
	p.run++
}

func (p *partReader) backup(elem *etree.Element) {
	p.newRun()
	gap, ok := p.gap(elem)
	if ok && p.clock.back(gap) {
		p.warn("the file goes back to before the bar's start; read from the start")
	}
}

func (p *partReader) forward(elem *etree.Element) {
	p.chord.open = false
	gap, ok := p.gap(elem)
	if !ok {
		return
	}
	// A bar is not twice as long as its time signature by a gap alone.
	most := score.Max(p.time.Length.Mul(score.Int(2)), p.clock.end)
	if p.time.Length.IsZero() {
		most = score.Int(maxQuarters)
	}
	if most.Less(p.clock.file.Add(gap)) {
		p.warn("a gap of %s cannot be right and was left out", quarters(gap))
		return
	}
	p.clock.forward(gap)
}

// gap is the duration of a <backup> or <forward>, in quarters.
func (p *partReader) gap(elem *etree.Element) (score.Rat, bool) {
	text := childText(elem, "duration")
	n, ok := number(text)
	if !ok || n.Sign() < 0 {
		p.warn("a <%s> of %q divisions cannot be right and was left out", elem.Tag, short(text))
		return score.Rat{}, false
	}
	return n.Mul(p.clock.unit), true
}

// place keeps what is not a note, with its place in the bar.
func (p *partReader) place(elem *etree.Element) {
	if p.tempoOnly && (elem.Tag == "direction" || elem.Tag == "sound") {
		p.items = append(p.items, placed{elem: elem, at: p.at(elem), soundAt: p.soundAt(elem), bar: p.bar, staff: -1})
	}
	if !p.piano {
		return
	}
	item := placed{elem: elem, at: p.at(elem), soundAt: p.soundAt(elem), bar: p.bar, voice: childText(elem, "voice")}
	if staff := elem.SelectElement("staff"); staff != nil {
		item.staff = p.upperStaves + max(1, int(min(whole(staff.Text()), maxStaves)))
	} else if p.pair {
		item.staff = p.upperStaves + 1
	}
	if elem.Tag == "barline" {
		p.barline(elem)
	}
	p.items = append(p.items, item)
}

// at is where an element stands, its own <offset> added.
func (p *partReader) at(elem *etree.Element) score.Rat {
	return p.moved(elem.SelectElement("offset"))
}

// soundAt is where what an element makes sound takes effect: a direction's
// offset counts only where it says so, and that of its <sound> comes first.
func (p *partReader) soundAt(elem *etree.Element) score.Rat {
	if sound := elem.SelectElement("sound"); sound != nil {
		if own := sound.SelectElement("offset"); own != nil {
			return p.moved(own)
		}
	}
	offset := elem.SelectElement("offset")
	if elem.Tag == "direction" && offset != nil && offset.SelectAttrValue("sound", "no") != "yes" {
		return p.clock.exact
	}
	return p.moved(offset)
}

// moved is the present place and an <offset>, which may be nil.
func (p *partReader) moved(offset *etree.Element) score.Rat {
	if offset == nil {
		return p.clock.exact
	}
	gap, _ := number(offset.Text())
	return score.Max(score.Rat{}, p.clock.exact.Add(gap.Mul(p.clock.unit)))
}

func (p *partReader) barline(elem *etree.Element) {
	switch elem.SelectElement("repeat").NotNil().SelectAttrValue("direction", "") {
	case "backward":
		p.bars[p.bar].repeatBack = true
	case "forward":
		p.bars[p.bar].repeatOpen = true
	}
}

// warn tells something about the bar being read, if it is the piano's.
func (p *partReader) warn(format string, args ...any) {
	if p.piano {
		p.warner.add(p.bar, format, args...)
	}
}
