package notation

import "strings"

// Fingering is a finger's number beside a note.
type Fingering struct {
	Text string // "3"; "3-1" for a change of finger on the held key, "(2)" for another choice
	Side Side
}

// AddFinger adds a finger to those of a note: by substitution it takes the key
// over from the finger before it, as an alternate it is another choice.
func AddFinger(fingers []Fingering, text string, side Side, substitution, alternate bool) []Fingering {
	last := len(fingers) - 1
	switch {
	case text == "":
		return fingers
	case substitution && last >= 0:
		fingers[last].Text += "-" + text
		return fingers
	case alternate:
		text = "(" + text + ")"
	}
	return append(fingers, Fingering{text, side})
}

// FingeringText is a note's fingering in one line: "3-1", "3 (2)".
func FingeringText(fingers []Fingering) string {
	var all []string
	for _, f := range fingers {
		all = append(all, f.Text)
	}
	return strings.Join(all, " ")
}
