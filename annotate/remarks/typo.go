package remarks

import (
	"regexp"
	"strings"
)

// barLike is what may follow the word "bar" or "skip": "9", "12a:", "30-37".
var barLike = regexp.MustCompile(`^\d+[a-z]?(?:[-–—,:(]|$)`)

// slip is a line that was meant for a statement wherever it stands: bars, or a
// word where their number should be, at most one word more and the colon; or
// skip and one word.
var slip = regexp.MustCompile(`(?i)^(?:(?:add\s+)?bars?(?:\s+[^\s:]*\d[^\s:]*(?:\s+[^\s:]+)?|\s+[^\s:]+\s+(?:left|right|both|lh|rh))?\s*:|skip(?:\s+\w+)?$)`)

// begins reports whether a line that is no statement was meant for one: it begins
// with one of the words of the grammar, or nearly, and goes on as it would.
func begins(text string) bool {
	first, rest, _ := strings.Cut(strings.ToLower(text), " ")
	second, _, _ := strings.Cut(rest, " ")
	if name, colon := strings.CutSuffix(first, ":"); colon || second == ":" || strings.HasPrefix(second, ":") {
		return near(name, "for", "from", "date") || near(name, "bar", "bars", "skip")
	}
	switch {
	case near(first, "bar", "bars", "skip"):
		return barLike.MatchString(second)
	case near(first, "add"):
		return near(strings.TrimSuffix(second, ":"), "bar", "bars")
	}
	return false
}

// near reports whether a word is one of some names, or one slip away: a letter
// too many, missing, wrong, or two changed about.
func near(word string, names ...string) bool {
	w := []rune(word)
	for _, name := range names {
		n := []rune(name)
		same := 0 // letters from the beginning
		for same < min(len(w), len(n)) && w[same] == n[same] {
			same++
		}
		a, b := w[same:], n[same:]
		switch {
		case string(a) == string(b):
			return true
		case len(a) > 0 && string(a[1:]) == string(b): // one too many
			return true
		case len(b) > 0 && string(a) == string(b[1:]): // one missing
			return true
		case len(a) > 0 && len(b) > 0 && string(a[1:]) == string(b[1:]): // one wrong
			return true
		case len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] && string(a[2:]) == string(b[2:]): // changed about
			return true
		}
	}
	return false
}
