package notation

import (
	"math/bits"

	"hardbars/score"
)

// Value is a written note value.
type Value struct {
	Type string // MusicXML note type: "quarter", "eighth", "16th", …; never empty
	Dots int
}

// lengths are the note types, in quarters. (MusicXML 4.0, simpleType
// note-type-value.)
var lengths = map[string]score.Rat{
	"1024th": score.R(1, 256), "512th": score.R(1, 128), "256th": score.R(1, 64), "128th": score.R(1, 32),
	"64th": score.R(1, 16), "32nd": score.R(1, 8), "16th": score.R(1, 4), "eighth": score.R(1, 2),
	"quarter": score.Int(1), "half": score.Int(2), "whole": score.Int(4),
	"breve": score.Int(8), "long": score.Int(16), "maxima": score.Int(32),
}

var types = func() map[score.Rat]string {
	names := map[score.Rat]string{}
	for name, length := range lengths {
		names[length] = name
	}
	return names
}()

// TypeLength is a note type without dots, in quarters; ok is false where
// MusicXML has no such type.
func TypeLength(name string) (length score.Rat, ok bool) {
	length, ok = lengths[name]
	return length, ok
}

// mostDots is how many dots a note is given, and maxDots more than any edition
// prints.
const mostDots, maxDots = 2, 8

// Dotted is a value lengthened by dots.
func Dotted(value score.Rat, dots int) score.Rat {
	dots = min(dots, maxDots)
	return value.Mul(score.R(1<<(dots+1)-1, 1<<dots))
}

// ValueOf is the one sign for a length in quarters, with two dots at most; ok is
// false where there is none.
func ValueOf(length score.Rat) (v Value, ok bool) {
	for dots := range mostDots + 1 {
		if name, ok := types[length.Div(Dotted(score.Int(1), dots))]; ok {
			return Value{name, dots}, true
		}
	}
	return Value{}, false
}

// Longest is the longest value without a dot that a length holds.
func Longest(length score.Rat) Value {
	longest := score.R(1, 256)
	for _, value := range lengths {
		if value.Cmp(length) <= 0 {
			longest = score.Max(longest, value)
		}
	}
	return Value{Type: types[longest]}
}

// Length is what the value lasts outside of tuplets, in quarters.
func (v Value) Length() score.Rat { return Dotted(lengths[v.Type], v.Dots) }

// Flags is how many flags or beams the value has: 1 for an eighth.
func (v Value) Flags() int {
	value, flags := lengths[v.Type], 0
	for ; value.Sign() > 0 && value.Less(score.Int(1)); flags++ {
		value = value.Mul(score.Int(2))
	}
	return flags
}

// Ratio is so many notes in the time of so many; the zero value outside of
// tuplets. For a tuplet within a tuplet it is the product of the two.
type Ratio struct{ Actual, Normal int64 }

// TupletPart is the odd part of a length's denominator: 1 for what plain values
// can make up, otherwise the number that a tuplet divides its time into.
func TupletPart(length score.Rat) int64 {
	return length.Den() >> bits.TrailingZeros64(uint64(length.Den()))
}

// UsualRatio is so many notes in the time of the next lower power of two (common
// practice).
func UsualRatio(actual int64) Ratio {
	normal := int64(1)
	for 2*normal < actual {
		normal *= 2
	}
	return Ratio{actual, normal}
}

// Written is how long something looks that lasts a length.
func (r Ratio) Written(length score.Rat) score.Rat {
	if r.Actual < 1 || r.Normal < 1 {
		return length
	}
	return length.Mul(score.R(r.Actual, r.Normal))
}

// Played is how long something lasts that looks a length long.
func (r Ratio) Played(length score.Rat) score.Rat {
	if r.Actual < 1 || r.Normal < 1 {
		return length
	}
	return length.Mul(score.R(r.Normal, r.Actual))
}
