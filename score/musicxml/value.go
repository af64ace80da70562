package musicxml

import (
	"math/bits"
	"strconv"

	"github.com/beevik/etree"

	"hardbars/score"
)

// Value is the length of a note as it looks: what MusicXML writes as <type>,
// <dot> and <time-modification>.
type Value struct {
	Type   string // "quarter", "16th"
	Dots   int
	Actual int64 // so many in the time of Normal; 0 outside of tuplets
	Normal int64
}

// mostDots is how many dots a note is given.
const mostDots = 2

var typeNames = func() map[score.Rat]string {
	names := map[score.Rat]string{}
	for name, length := range noteTypes {
		names[length] = name
	}
	return names
}()

// ValueOf is the one sign for a length in quarters, outside of tuplets and with
// two dots at most; ok is false where there is none.
func ValueOf(length score.Rat) (v Value, ok bool) {
	for dots := range mostDots + 1 {
		if name, ok := typeNames[length.Div(dotted(score.Int(1), dots))]; ok {
			return Value{Type: name, Dots: dots}, true
		}
	}
	return Value{}, false
}

// ValueIn is the one sign for a length in quarters within a tuplet of actual in
// the time of normal; ok is false where there is none.
func ValueIn(length score.Rat, actual, normal int64) (v Value, ok bool) {
	v, ok = ValueOf(length.Mul(score.R(actual, normal)))
	v.Actual, v.Normal = actual, normal
	return v, ok
}

// Length is what the value lasts, in quarters.
func (v Value) Length() score.Rat {
	length := dotted(noteTypes[v.Type], v.Dots)
	if v.Actual > 0 {
		length = length.Mul(score.R(v.Normal, v.Actual))
	}
	return length
}

// Flags is how many flags or beams the value has: 1 for an eighth.
func (v Value) Flags() int {
	value, flags := noteTypes[v.Type], 0
	for ; value.Sign() > 0 && value.Less(score.Int(1)); flags++ {
		value = value.Mul(score.Int(2))
	}
	return flags
}

// Add writes the value into a <note>, after what is there: the type and its
// dots, then accidental, which may be "", then the tuplet, as the schema has it.
func (v Value) Add(note *etree.Element, accidental string) {
	note.CreateElement("type").SetText(v.Type)
	for range v.Dots {
		note.CreateElement("dot")
	}
	if accidental != "" {
		note.CreateElement("accidental").SetText(accidental)
	}
	if v.Actual > 0 {
		tuplet := note.CreateElement("time-modification")
		tuplet.CreateElement("actual-notes").SetText(strconv.FormatInt(v.Actual, 10))
		tuplet.CreateElement("normal-notes").SetText(strconv.FormatInt(v.Normal, 10))
	}
}

// TupletPart is the odd part of a length's denominator: 1 for what plain values
// can make up, otherwise the number that a tuplet divides its time into.
func TupletPart(length score.Rat) int64 {
	return length.Den() >> bits.TrailingZeros64(uint64(length.Den()))
}
