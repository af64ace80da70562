package musicxml

import (
	"regexp"
	"strconv"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// metronome is a metronome mark, "♩. = 60–66", or a metric modulation, "♩ = ♪".
type metronome struct {
	left      score.Rat // the note value before the equals sign, in quarters
	right     score.Rat // the note value after it; 0 in a metronome mark
	perMinute string    // as printed; "" in a modulation
	swing     bool      // groups of notes, not single values: no tempo, but how to play eighths
	brackets  bool      // it stands in parentheses
}

// metronomeOf reads the element. (MusicXML 4.0, complexType metronome.)
func metronomeOf(elem *etree.Element) metronome {
	m := metronome{brackets: elem.SelectAttrValue("parentheses", "no") == "yes"}
	side, step := &m.left, score.Rat{}
	tuplet := score.Int(1)
	for c := range elem.ChildElementsSeq() {
		switch c.Tag {
		case "beat-unit":
			if !side.IsZero() {
				side = &m.right
			}
			step, _ = notation.TypeLength(text(c))
			*side = side.Add(step)
		case "beat-unit-dot":
			step = step.Mul(score.R(1, 2))
			*side = side.Add(step)
		case "beat-unit-tied":
			*side = side.Add(metronomeOf(c).left)
		case "per-minute":
			m.perMinute = text(c)
		case "metronome-note":
			m.swing = m.swing || !side.IsZero() && c.SelectElement("metronome-tied") == nil
			*side = side.Add(metronomeNote(c, &tuplet))
		case "metronome-relation":
			side = &m.right
		}
	}
	return m
}

// metronomeNote is the length of one note of a modulation. Tuplet is the ratio
// in force, which lasts from the note that starts it to the one that stops it.
func metronomeNote(elem *etree.Element, tuplet *score.Rat) score.Rat {
	dots := len(elem.SelectElements("metronome-dot"))
	length := notation.Value{Type: childText(elem, "metronome-type"), Dots: dots}.Length()
	t := elem.SelectElement("metronome-tuplet").NotNil()
	if t.SelectAttrValue("type", "") == "start" {
		*tuplet = score.R(whole(childText(t, "normal-notes")), whole(childText(t, "actual-notes")))
	}
	length = length.Mul(*tuplet)
	if t.SelectAttrValue("type", "") == "stop" {
		*tuplet = score.Int(1)
	}
	return length
}

// readable reports whether the mark says something about the tempo, or may be
// left out without a word.
func (m metronome) readable() bool { return m.swing || len(m.marks(false)) > 0 }

// marks is what the metronome says about the tempo: nothing, or one mark. In
// "♩ = ♪" the left note is the old one: what was a quarter lasts as long as an
// eighth from here. (So read by music21 9, tempo.MetricModulation.)
func (m metronome) marks(hidden bool) []tempoMark {
	mark := tempoMark{trust: markTrust, beat: m.left, text: m.String()}
	if hidden {
		mark.trust, mark.text = hiddenTrust, ""
	}
	beats, ok := beatsPerMinute(m.perMinute)
	switch {
	case ok && m.left.Sign() > 0:
		mark.qpm = beats * m.left.Float()
	case !m.swing && m.left.Sign() > 0 && m.right.Sign() > 0:
		mark.trust, mark.beat, mark.ratio = ratioTrust, m.right, m.right.Div(m.left).Float()
	default:
		return nil
	}
	return []tempoMark{mark}
}

// String is the mark as printed.
func (m metronome) String() string {
	text := valueSign(m.left) + " = " + m.perMinute
	if m.perMinute == "" {
		text = valueSign(m.left) + " = " + valueSign(m.right)
	}
	if m.brackets {
		return "(" + text + ")"
	}
	return text
}

// valueSign is a note value in characters that every text font has.
func valueSign(length score.Rat) string {
	switch length {
	case score.Int(1):
		return "♩"
	case score.R(3, 2):
		return "♩."
	case score.R(1, 2):
		return "♪"
	case score.R(3, 4):
		return "♪."
	}
	if name := score.ValueName(length); name != "" {
		return name
	}
	return length.String()
}

const figurePattern = `(\d+(?:[.,]\d+)?)(?:\s*(?:[-–—]|to|bis|à)\s*(\d+(?:[.,]\d+)?))?`

var figure = regexp.MustCompile(figurePattern)

// beatsPerMinute reads "66", "60–66", "ca. 66", "(c. 80)". A range means its middle.
func beatsPerMinute(text string) (float64, bool) {
	m := figure.FindStringSubmatch(text)
	if m == nil || strings.HasPrefix(text, "-") {
		return 0, false
	}
	low := decimal(m[1])
	if m[2] == "" {
		return low, true
	}
	return (low + decimal(m[2])) / 2, true
}

// decimal reads digits with a decimal point or comma.
func decimal(digits string) float64 {
	f, _ := strconv.ParseFloat(strings.Replace(digits, ",", ".", 1), 64)
	return f
}

// A note value in words, and the letters that some music fonts draw it by.
const valuePattern = `(dotted )?(♩|♪|whole|half|quarter|eighth|8th|sixteenth|16th|minim|crotchet|semiquaver|quaver|\b[qhe]|m\. ?m\.|\bmm)(?:[- ]?note)?\s?(\.?)`

var markInWords = regexp.MustCompile(`(?i)` + valuePattern + `\s*[=≈]\s*(?:` + valuePattern +
	`|([(\s]*(?:circa|ca?\.?|about|approx\.?|etwa|env\.?|um|[~≈])?\s*` + figurePattern + `))`)

var valueNames = map[string]score.Rat{
	"♩": score.Int(1), "♪": score.R(1, 2), "whole": score.Int(4), "half": score.Int(2), "quarter": score.Int(1),
	"eighth": score.R(1, 2), "8th": score.R(1, 2), "sixteenth": score.R(1, 4), "16th": score.R(1, 4),
	"minim": score.Int(2), "crotchet": score.Int(1), "quaver": score.R(1, 2), "semiquaver": score.R(1, 4),
	"q": score.Int(1), "h": score.Int(2), "e": score.R(1, 2),
}

// metronomeInWords finds a metronome mark that was written as words:
// "Allegro (♩ = 120)", "dotted quarter = 60", "M.M. = 72". The last names no
// note value and means the beat.
func metronomeInWords(text string, beat score.Rat) metronome {
	m := markInWords.FindStringSubmatch(text)
	if m == nil {
		return metronome{}
	}
	left := valueInWords(m[1:4])
	if left.IsZero() {
		left = beat
	}
	return metronome{left: left, right: valueInWords(m[4:7]), perMinute: m[7]}
}

// valueInWords takes the three groups of valuePattern.
func valueInWords(m []string) score.Rat {
	dots := 0
	if m[0] != "" || m[2] != "" {
		dots = 1
	}
	return notation.Dotted(valueNames[strings.ToLower(m[1])], dots)
}
