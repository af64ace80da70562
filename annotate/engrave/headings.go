package engrave

import (
	"regexp"
	"strings"

	"hardbars/score"
	"hardbars/score/notation"
)

// Lengths of headings, in staff spaces (common practice).
const (
	headingGap   = 0.8  // from a heading to what lies under it
	headingSize  = 2.4  // the em of tempo words and rehearsal marks
	beatSize     = 0.8  // of the note in a metronome mark
	boxWhite     = 0.45 // around a rehearsal mark
	boxLine      = 0.16
	barWhite     = 0.3 // from a barline
	headingApart = 0.9 // between two headings at one place
)

// headings draws what stands above all else: tempo, rehearsal marks, segno and
// coda, and what is to be played next at the end of a bar.
func (l *layout) headings() {
	for staff := 1; staff <= l.score.Staves; staff++ {
		for _, above := range [2]bool{false, true} {
			l.setRow(l.headingsOf(staff, above), staff, above, headingGap)
		}
	}
}

// headingsOf makes the headings on one side of a staff.
func (l *layout) headingsOf(staff int, above bool) (row []sign) {
	for i, s := range l.signsHere() {
		if l.headingStaff(s) != staff || (s.Side != notation.Below) != above {
			continue
		}
		next := sign{at: s.At, staff: s.Staff, chain: i}
		switch {
		case closesBar(s):
			right, ok := l.closeX(s.At)
			if !ok {
				continue
			}
			next.legend = l.words(RoleWords, s.Text, Face{Size: wordsSize, Italic: s.Italic, Bold: s.Bold}, l.width)
			next.move(right-next.box.Right, 0)
		case isHeading(s) && l.here(s.At):
			next.legend = l.heading(s)
			next.move(l.headingX(s)-next.box.Left, 0)
			if n := len(row); n > 0 && row[n-1].at == s.At && !closesBar(l.score.Signs[row[n-1].chain]) {
				next.chain = row[n-1].chain
				next.move(row[n-1].box.Right+headingApart-next.box.Left, 0)
			}
		default:
			continue
		}
		row = append(row, next)
	}
	l.keepInside(row)
	return row
}

func isHeading(s notation.Sign) bool {
	switch s.Kind {
	case notation.Tempo, notation.Rehearsal, notation.Segno, notation.Coda:
		return true
	}
	return false
}

// headingStaff is the staff that a heading stands at: what holds for all stands
// above the highest.
func (l *layout) headingStaff(s notation.Sign) int {
	if s.Side == notation.Below {
		return s.Staff
	}
	return 1
}

// closing is the words that say what to play next: they stand at the end of
// their bar.
var closing = regexp.MustCompile(`(?i)^\s*(d\. ?c\.|d\. ?s\.|da capo|dal segno|fine\b|to coda|al coda)`)

// closesBar reports whether a sign is such words.
func closesBar(s notation.Sign) bool { return s.Kind == notation.Words && closing.MatchString(s.Text) }

// closeX is the right end of the bar that words at its end belong to; ok is
// false where that is not on the system.
func (l *layout) closeX(at score.Rat) (x float64, ok bool) {
	for _, b := range l.bars {
		bar := l.score.Bars[b.index]
		if bar.Start.Less(at) && at.Cmp(bar.End()) <= 0 || at == bar.Start && b.index == 0 {
			return b.right - barWhite, true
		}
	}
	return 0, false
}

// headingX is where a heading begins: rehearsal marks and signs at the barline,
// tempo words at the time signature that stands at their place, and else at the
// notes.
func (l *layout) headingX(s notation.Sign) float64 {
	bar := l.barOf(s.At)
	atBar := l.score.Bars[bar.index].Start == s.At
	switch {
	case atBar && s.Kind != notation.Tempo:
		return bar.left + barWhite
	case atBar:
		for _, it := range l.items {
			if it.Role == RoleTime && it.Staff == 1 && it.Box.Right <= l.xAt(s.At) && (it.Box.Left >= bar.left || s.At == l.from) {
				return it.Box.Left
			}
		}
	}
	return l.xAt(s.At)
}

// heading makes a heading.
func (l *layout) heading(s notation.Sign) legend {
	switch s.Kind {
	case notation.Rehearsal:
		return l.boxed(s.Text)
	case notation.Segno:
		return l.newLegend(Item{Role: RoleWords, Note: -1, Chord: -1, Glyph: "segno", Scale: 0.9})
	case notation.Coda:
		return l.newLegend(Item{Role: RoleWords, Note: -1, Chord: -1, Glyph: "coda", Scale: 0.8})
	}
	return l.tempo(s)
}

// boxed is a text in a box.
func (l *layout) boxed(text string) legend {
	s := l.words(RoleWords, text, Face{Size: headingSize, Bold: true}, l.width)
	left, top := s.box.Left-boxWhite, s.box.Top-boxWhite
	right, bottom := s.box.Right+boxWhite, s.box.Bottom+boxWhite
	for _, side := range [4]Stroke{
		{X1: left, Y1: top, X2: right, Y2: top}, {X1: left, Y1: bottom, X2: right, Y2: bottom},
		{X1: left, Y1: top, X2: left, Y2: bottom}, {X1: right, Y1: top, X2: right, Y2: bottom},
	} {
		side.Width = boxLine
		s.items = append(s.items, Item{Role: RoleWords, Note: -1, Chord: -1, Stroke: &side})
	}
	return l.newLegend(s.items...)
}

// beatGlyphs are the notes of metronome marks by their MusicXML types.
var beatGlyphs = map[string]string{
	"breve": "metNoteDoubleWhole", "whole": "metNoteWhole", "half": "metNoteHalfUp", "quarter": "metNoteQuarterUp",
	"eighth": "metNote8thUp", "16th": "metNote16thUp", "32nd": "metNote32ndUp", "64th": "metNote64thUp",
}

// tempo is tempo words, a metronome mark, or both: "Allegro (♩ = 120)". The
// words are heavy, the mark is not.
func (l *layout) tempo(s notation.Sign) (mark legend) {
	plain := Face{Size: wordsSize}
	words, opens := cutOpening(s.Text)
	if words != "" {
		mark = mark.with(l.words(RoleWords, words, Face{Size: headingSize, Italic: s.Italic, Bold: true}, l.width), 0)
	}
	if opens != "" {
		mark = mark.with(l.words(RoleWords, opens, plain, l.width), 0.7)
	}
	beat, ok := beatGlyphs[s.Beat.Type]
	if !ok {
		return mark
	}
	gap := 0.7
	if opens != "" {
		gap = 0.1
	}
	mark = mark.with(l.newLegend(l.glyphRow(RoleWords, beatSize, beat)...), gap)
	for range s.Beat.Dots {
		mark = mark.with(l.newLegend(l.glyphRow(RoleWords, beatSize, "metAugmentationDot")...), 0.2)
	}
	mark = mark.with(l.words(RoleWords, "= "+s.After, plain, l.width), 0.6)
	return mark
}

// cutOpening parts tempo words from a bracket that opens before the note.
func cutOpening(text string) (words, opens string) {
	for _, bracket := range [2]string{"(", "["} {
		if rest, ok := strings.CutSuffix(strings.TrimSpace(text), bracket); ok {
			return strings.TrimSpace(rest), bracket
		}
	}
	return text, ""
}
