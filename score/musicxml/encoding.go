package musicxml

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// declaration is the XML declaration up to the name of the encoding.
var declaration = regexp.MustCompile(`^\s*<\?xml\s[^>]*?encoding\s*=\s*["']([^"'<>]*)["']`)

// singleByte holds the encodings of older exporters. Text called ISO-8859-1 is
// read as Windows-1252, as is usual: the two differ only in 32 codes that
// ISO-8859-1 leaves to control characters.
var singleByte = map[string]encoding.Encoding{
	"iso-8859-1":   charmap.Windows1252,
	"latin1":       charmap.Windows1252,
	"windows-1252": charmap.Windows1252,
	"cp1252":       charmap.Windows1252,
	"us-ascii":     charmap.Windows1252,
	"ascii":        charmap.Windows1252,
	"iso-8859-2":   charmap.ISO8859_2,
	"iso-8859-15":  charmap.ISO8859_15,
	"windows-1250": charmap.Windows1250,
	"windows-1251": charmap.Windows1251,
	"macintosh":    charmap.Macintosh,
}

// decode returns the file as UTF-8 text whose declaration says so.
func (f *File) decode(data []byte) ([]byte, error) {
	text, wide, err := decodeUTF16(data)
	if err != nil {
		return nil, err
	}
	name := declared(text)
	switch table := singleByte[name]; {
	case wide || name == "utf-8" || name == "utf8" || name == "":
	case table != nil:
		if text, err = table.NewDecoder().Bytes(text); err != nil {
			return nil, err
		}
	case strings.HasPrefix(name, "utf-16"):
		f.warn("the file calls itself %s but is not; it was read as UTF-8", name)
	default:
		return nil, fmt.Errorf("the encoding %q is not read here; save the score in UTF-8", name)
	}
	return declareUTF8(f.repairUTF8(text)), nil
}

// decodeUTF16 tells UTF-16 by its byte-order mark, or by the zero byte beside
// the first "<", and takes a byte-order mark off UTF-8.
func decodeUTF16(data []byte) (text []byte, wide bool, err error) {
	order := unicode.BigEndian
	switch {
	case bytes.HasPrefix(data, []byte("\xfe\xff")), bytes.HasPrefix(data, []byte("\x00<")):
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("<\x00")):
		order = unicode.LittleEndian
	default:
		return bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), false, nil
	}
	text, err = unicode.UTF16(order, unicode.UseBOM).NewDecoder().Bytes(data)
	return text, true, err
}

// declared is the encoding that the XML declaration names, in lower case.
func declared(text []byte) string {
	m := declaration.FindSubmatch(text)
	if m == nil {
		return ""
	}
	return strings.ToLower(string(m[1]))
}

// declareUTF8 makes the declaration true of text that is UTF-8.
func declareUTF8(text []byte) []byte {
	m := declaration.FindSubmatchIndex(text)
	if m == nil || strings.EqualFold(string(text[m[2]:m[3]]), "utf-8") {
		return text
	}
	return bytes.Join([][]byte{text[:m[2]], []byte("UTF-8"), text[m[3]:]}, nil)
}

// repairUTF8 reads each byte that is not UTF-8 as Windows-1252: names typed
// into a file by another program are the usual cause.
func (f *File) repairUTF8(text []byte) []byte {
	if utf8.Valid(text) {
		return text
	}
	var repaired bytes.Buffer
	line, first, count := 1, 0, 0
	for len(text) > 0 {
		r, size := utf8.DecodeRune(text)
		if r == utf8.RuneError && size == 1 {
			r = charmap.Windows1252.DecodeByte(text[0])
			if count++; first == 0 {
				first = line
			}
		}
		if r == '\n' {
			line++
		}
		repaired.WriteRune(r)
		text = text[size:]
	}
	f.warn("%d bytes from line %d on are not UTF-8; they were read as Windows-1252", count, first)
	return repaired.Bytes()
}
