package musicxml

import (
	"math"
	"strconv"
	"strings"

	"hardbars/score"
	"hardbars/score/notation"
)

// symbol is a note's length as its look says it: <type>, <dot> and <time-modification>.
type symbol struct {
	noteType       string
	dots           int
	actual, normal int64 // so many in the time of so many; 0 without a tuplet
	normalType     string
	normalDots     int
}

// ratio is the tuplets that the note is in; what makes no sense is none.
func (s symbol) ratio() notation.Ratio {
	if s.actual < 1 || s.normal < 1 {
		return notation.Ratio{}
	}
	return notation.Ratio{Actual: s.actual, Normal: s.normal}
}

// lengths are the exact lengths the symbol can mean, the likelier first; none
// without a <type>. A tuplet counts in notes of the note's own kind: actual of
// them in the time of normal. Where <normal-type> names another kind, some
// writers mean normal of those, and the note is one of actual equal parts.
func (s symbol) lengths() []score.Rat {
	value, ok := notation.TypeLength(s.noteType)
	if !ok {
		return nil
	}
	lengths := []score.Rat{s.ratio().Played(notation.Dotted(value, s.dots))}
	if normal, ok := notation.TypeLength(s.normalType); ok && s.ratio() != (notation.Ratio{}) {
		lengths = append(lengths, s.ratio().Played(notation.Dotted(normal, s.normalDots)))
	}
	return lengths
}

// exactLength is the length of a note that lasts duration in the file: the
// symbol's, where the difference is no more than rounding, or else the file's.
func (s symbol) exactLength(duration, unit score.Rat) score.Rat {
	for _, length := range s.lengths() {
		if rounded(length, duration, unit) {
			return length
		}
	}
	return duration
}

// rounded reports whether duration can be exact, rounded to whole units. Less
// than one unit is rounding. Up to two are where tuplets lie in tuplets and are
// rounded twice, or where a player's timing was cut to a grid; but then they must
// be small beside the note, since in coarse units they can be a value of their own.
func rounded(exact, duration, unit score.Rat) bool {
	off := distance(exact, duration)
	return off.Less(unit) ||
		off.Less(unit.Mul(score.Int(2))) && off.Mul(score.Int(16)).Less(exact)
}

// Beyond these a duration is taken for a mistake of the file. maxQuarters is
// several times the longest cadenza that is written as one bar, and longest the
// longest note.
const (
	maxDivisions = 1 << 40
	maxQuarters  = 512
	longest      = 32
)

// maxDigits is longer than any number of a file that means what it says.
const maxDigits = 40

// number reads a decimal number.
func number(text string) (score.Rat, bool) {
	text = strings.TrimSpace(text)
	if n, err := strconv.ParseInt(text, 10, 64); err == nil && n != math.MinInt64 {
		return score.Int(n), true
	}
	if strings.Contains(text, "/") || len(text) > maxDigits {
		return score.Rat{}, false
	}
	r, err := score.ParseRat(text)
	return r, err == nil
}

// whole reads a whole number, and 0 when it is none or beyond all use.
func whole(text string) int64 {
	n, _ := strconv.ParseInt(strings.TrimSpace(text), 10, 32)
	return n
}
