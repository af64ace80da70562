package sheet

import (
	"encoding/binary"
	"strings"
	"unicode"

	"github.com/go-fonts/dejavu/dejavusanscondensed"
	"github.com/go-fonts/dejavu/dejavusanscondensedbold"
	"golang.org/x/text/unicode/norm"
)

// The sheet is set in DejaVu Sans Condensed, plain and bold: two faces with
// large lower-case letters, every accent of the Latin, Greek and Cyrillic
// alphabets, and the signs ♭ ♮ ♯ ♩ ♪. The fonts may be embedded and passed on
// freely; their licence comes with the module github.com/go-fonts/dejavu.
var (
	plainTTF = dejavusanscondensed.TTF
	boldTTF  = dejavusanscondensedbold.TTF
)

// lacking stands where the typeface has no sign.
const lacking = '?'

// printable composes accents and puts a question mark where the typeface has no sign or the sheet could not set it
// in the right order, so that no empty box is ever printed.
func printable(s string) string {
	if isASCII(s) {
		return s
	}
	return strings.Map(func(r rune) rune {
		if !hasSign(r) {
			return lacking
		}
		return r
	}, norm.NFC.String(strings.ToValidUTF8(s, string(lacking))))
}

// forReaders is a text for the PDF's own title and author, which a PDF reader
// shows in its own typeface: all scripts, but in the one encoding that the PDF
// writer knows, up to U+FFFF.
func forReaders(s string) string {
	return strings.Map(func(r rune) rune {
		if r > 0xFFFF {
			return lacking
		}
		return r
	}, strings.ToValidUTF8(s, string(lacking)))
}

// lacksSigns reports whether printable has to put a question mark somewhere.
func lacksSigns(s string) bool {
	return strings.Count(printable(s), string(lacking)) > strings.Count(s, string(lacking))
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// hasSign reports whether both faces can print r. Scripts written from right to
// left need an order and joined letters that the PDF writer does not know.
func hasSign(r rune) bool {
	if unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko) {
		return false
	}
	return r < 128 || inFont(plainTTF, r) && inFont(boldTTF, r)
}

// inFont looks r up in the character map of a TrueType font: the Unicode
// subtable of format 4, which holds the characters up to U+FFFF.
// Source: the OpenType specification, chapter cmap.
func inFont(ttf []byte, r rune) bool {
	if r > 0xFFFE {
		return false
	}
	segments, ok := unicodeMap(ttf)
	if !ok {
		return false
	}
	u16 := func(at int) int { return int(binary.BigEndian.Uint16(segments[at:])) }
	size := u16(6) // twice the number of segments
	ends, starts, deltas, offsets := 14, 16+size, 16+2*size, 16+3*size
	for i := 0; i < size; i += 2 {
		if int(r) > u16(ends+i) {
			continue
		}
		if int(r) < u16(starts+i) {
			return false
		}
		if u16(offsets+i) == 0 {
			return (int(r)+u16(deltas+i))&0xFFFF != 0
		}
		return u16(offsets+i+u16(offsets+i)+2*(int(r)-u16(starts+i))) != 0
	}
	return false
}

// unicodeMap returns the format 4 subtable for platform 3, encoding 1.
func unicodeMap(ttf []byte) ([]byte, bool) {
	u16 := func(at int) int { return int(binary.BigEndian.Uint16(ttf[at:])) }
	u32 := func(at int) int { return int(binary.BigEndian.Uint32(ttf[at:])) }
	for table := range u16(4) {
		record := 12 + 16*table
		if string(ttf[record:record+4]) != "cmap" {
			continue
		}
		cmap := u32(record + 8)
		for i := range u16(cmap + 2) {
			entry := cmap + 4 + 8*i
			if sub := cmap + u32(entry+4); u16(entry) == 3 && u16(entry+2) == 1 && u16(sub) == 4 {
				return ttf[sub:], true
			}
		}
	}
	return nil, false
}
