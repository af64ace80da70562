package mark

import (
	"hash/fnv"
	"strings"
)

// Notation programs drop processing instructions when they save, and some drop
// the colours of words and brackets. The text of words they keep, to the last
// character. So every text of ours begins with characters that nobody sees: a
// space of no width, and a checksum of the text in joiners and non-joiners of
// no width. A text that somebody has changed no longer agrees with it.
const (
	opening = '\u200b' // zero width space
	zero    = '\u200c' // zero width non-joiner
	one     = '\u200d' // zero width joiner
)

// sumBits is the length of a signature's checksum.
const sumBits = 12

// signed is a text with its signature before it; bracket says whether a bracket
// starts with it.
func signed(text string, bracket bool) string {
	h := fnv.New32a()
	h.Write([]byte(strings.Join(strings.Fields(text), " "))) // programs break lines as they like
	sum := h.Sum32()
	var b strings.Builder
	b.WriteRune(opening)
	b.WriteRune(bit(bracket))
	for i := range sumBits {
		b.WriteRune(bit(sum>>i&1 == 1))
	}
	b.WriteString(text)
	return b.String()
}

func bit(set bool) rune {
	if set {
		return one
	}
	return zero
}

// unsigned is a text without the signature before it, whether it had one that
// agrees, and whether a bracket starts with it.
func unsigned(text string) (plain string, ours, bracket bool) {
	rest, ok := strings.CutPrefix(strings.TrimSpace(text), string(opening))
	if !ok {
		return text, false, false
	}
	bracket = strings.HasPrefix(rest, string(one))
	plain = strings.TrimLeft(rest, string([]rune{zero, one}))
	return plain, strings.TrimSpace(text) == signed(plain, bracket), bracket
}
