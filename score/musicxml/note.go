package musicxml

import (
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
)

// pageNote is one <note> as it stands on the page: a note or a rest.
type pageNote struct {
	score.Head            // Onset counts from the bar's start until the bars are laid out
	note       score.Note // pitch and what is marked at the note

	part  int  // 0, or 1 for the lower of two one-staff parts
	run   int  // numbers the passages that the file writes without going back
	clef  byte // of its staff: 'G', 'F', 'C' or 0
	hand  score.Hand
	chord int // numbers the chords: equal for notes on one stem
	sign  *arpeggio

	written score.Pitch // as the file has it, before a transposition

	rest, wholeBar, grace bool
	cue                   bool
	why                   string // it is not played; "" where it is
	tieStart, tieStop     bool
	wavyStart, wavyStop   bool
	wavyNumber            string
}

// noteElement is a <note> taken apart, before it has found its place.
type noteElement struct {
	pageNote
	symbol
	duration         string
	inChord, pitched bool
}

// chord is where the last note not in a chord stands, for those stacked on it.
type chord struct {
	open, grace bool
	at          score.Rat
	number      int
}

// note reads one <note>, finds its place and moves the clock past it.
func (p *partReader) note(elem *etree.Element) {
	n := p.takeApart(elem)
	n.Bar, n.run, n.part = p.bar, p.run, p.part
	if n.inChord && !p.chord.open {
		p.warn("a note is marked as part of a chord that is not there; read as a note of its own")
	}
	stacked := n.inChord && p.chord.open && p.chord.grace == n.grace
	if !stacked {
		p.chord = chord{open: true, grace: n.grace, at: p.clock.exact, number: p.chord.number + 1}
	}
	n.Onset, n.chord = p.chord.at, p.chord.number
	if !n.grace {
		var file score.Rat
		file, n.Length = p.lengths(&n)
		switch {
		case stacked:
			p.reach(&n)
		case n.wholeBar:
			p.bars[p.bar].rested = score.Max(p.bars[p.bar].rested, file)
			p.clock.pass(file)
		default:
			p.clock.advance(file, n.Length)
			p.reach(&n)
		}
	}
	p.keep(&n, elem)
}

// reach lets the bar last to the end of a note; hidden small notes and rests
// fill a bar, but do not make it longer than its time signature.
func (p *partReader) reach(n *noteElement) {
	end := n.Onset.Add(n.Length)
	if n.Hidden && (n.rest || n.cue) && p.time.Length.Sign() > 0 {
		end = score.Min(end, p.time.Length)
	}
	p.clock.reach(end)
}

// keep adds a note to those of the piano, unless it is none.
func (p *partReader) keep(n *noteElement, elem *etree.Element) {
	switch {
	case !p.piano, n.rest && n.Hidden && !n.wholeBar && n.Length.IsZero():
		return
	case n.why == unpitched || n.rest:
	case !n.pitched:
		p.warn("a note whose pitch cannot be read was left out")
		return
	default:
		n.note.Pitch = p.transposition(n.Staff).sounding(n.written)
		if key := n.note.Pitch.MIDI(); key < lowestKey || key > highestKey {
			p.warn("%s is not on the piano's keyboard", n.note.Pitch)
		}
	}
	p.notes = append(p.notes, p.placedNote(n, elem))
}

// maxUndeclared is how many staves a part may have without saying so.
const maxUndeclared = 3

// placedNote is a note with its number and its staff in the piano.
func (p *partReader) placedNote(n *noteElement, elem *etree.Element) pageNote {
	p.staves = max(p.staves, min(n.Staff, maxUndeclared))
	if n.Staff > p.staves {
		p.warn("a note stands on staff %d, which the part does not have; read on staff %d", n.Staff, p.staves)
		n.Staff = p.staves
	}
	n.clef = p.clefs[n.Staff]
	n.Staff += p.upperStaves
	n.ID = p.ids[elem]
	return n.pageNote
}

// The keys of a piano, A0 to C8, as MIDI numbers.
const lowestKey, highestKey = 21, 108

// lengths is how long a note lasts in the file and exactly. Where the file's
// duration cannot be used, the note's symbol or else the bar tells.
func (p *partReader) lengths(n *noteElement) (file, exact score.Rat) {
	if !p.divided {
		p.divided = true
		p.warn("the file does not say how many divisions make a quarter; %s fit its notes", p.divisions)
	}
	divisions, ok := number(n.duration)
	symbol := n.symbol
	if n.wholeBar {
		symbol.noteType = "" // a whole rest stands for a bar of any length
	}
	if ok && divisions.Sign() > 0 && divisions.Cmp(score.Int(maxDivisions)) <= 0 {
		file = divisions.Mul(p.clock.unit)
		if file.Less(score.Int(maxQuarters)) && !p.tooLong(file, symbol) {
			return file, symbol.exactLength(file, p.clock.unit)
		}
	}
	if n.rest && n.Hidden && ok && divisions.IsZero() {
		return score.Rat{}, score.Rat{}
	}
	exact = p.likelyLength(n, symbol)
	if n.duration != "" || !n.wholeBar {
		p.warn("%s; it was given %s", complaint(n.duration), quarters(exact))
	}
	if ok && divisions.IsZero() {
		return score.Rat{}, exact // the file's own clock stands still
	}
	return exact, exact
}

// tooLong reports whether a duration is far longer than both the note's symbol and the
// bar: neither a rounded value nor a cadenza.
func (p *partReader) tooLong(file score.Rat, s symbol) bool {
	lengths := s.lengths()
	return len(lengths) > 0 && score.Int(longest).Less(file) && lengths[0].Mul(score.Int(4)).Less(file) && p.time.Length.Mul(score.Int(2)).Less(file)
}

func (p *partReader) likelyLength(n *noteElement, s symbol) score.Rat {
	if lengths := s.lengths(); len(lengths) > 0 {
		return lengths[0]
	}
	if n.rest && p.time.Length.Sign() > 0 {
		return p.time.Length
	}
	return score.Int(1)
}

func complaint(duration string) string {
	if duration == "" {
		return "a note has no duration"
	}
	return "a note's duration of " + short(duration) + " cannot be right"
}

// quarters says a length in words.
func quarters(length score.Rat) string {
	if length == score.Int(1) {
		return "1 quarter"
	}
	return length.String() + " quarters"
}

func (p *partReader) takeApart(elem *etree.Element) noteElement {
	var n noteElement
	n.Staff = 1
	n.Hidden = elem.SelectAttrValue("print-object", "yes") == "no"
	for _, token := range elem.Child {
		child, ok := token.(*etree.Element)
		if !ok {
			continue
		}
		switch child.Tag {
		case "grace":
			n.grace = true
		case "cue":
			n.cue = true
		case "chord":
			n.inChord = true
		case "rest":
			n.rest = true
			n.wholeBar = child.SelectAttrValue("measure", "no") == "yes"
		case "unpitched":
			n.why = unpitched
		case "pitch":
			if p.piano {
				n.written, n.pitched = p.pitch(child)
			}
		case "duration":
			n.duration = strings.TrimSpace(child.Text())
		case "tie":
			n.tie(child.SelectAttrValue("type", ""))
		case "voice":
			n.Voice = strings.TrimSpace(child.Text())
		case "type":
			n.noteType = strings.TrimSpace(child.Text())
		case "dot":
			n.dots++
		case "time-modification":
			n.tuplet(child)
		case "staff":
			n.Staff = max(1, int(min(whole(child.Text()), maxStaves)))
		case "beam":
			if child.SelectAttrValue("number", "1") == "1" {
				n.Beam = beam(child.Text())
			}
		case "notations":
			if p.piano {
				n.notations(child)
			}
		}
	}
	return n
}

func beam(text string) string {
	switch text = strings.TrimSpace(text); text {
	case "begin", "continue", "end":
		return text
	}
	return ""
}

// tuplet reads <time-modification>. For a tuplet within a tuplet it is already
// the product of the two.
func (s *symbol) tuplet(elem *etree.Element) {
	for child := range elem.ChildElementsSeq() {
		switch child.Tag {
		case "actual-notes":
			s.actual = whole(child.Text())
		case "normal-notes":
			s.normal = whole(child.Text())
		case "normal-type":
			s.normalType = strings.TrimSpace(child.Text())
		case "normal-dot":
			s.normalDots++
		}
	}
}

// tie reads the type of a <tie> or <tied>; writers put either or both.
// "let-ring" leads to no other note and is not a tie.
func (w *pageNote) tie(kind string) {
	switch kind {
	case "start":
		w.tieStart = true
	case "stop":
		w.tieStop = true
	case "continue":
		w.tieStart, w.tieStop = true, true
	}
}
