package main

import (
	"strings"
	"unicode/utf8"
)

// wrap breaks text into lines of at most width characters, indent included.
func wrap(text string, width int, indent string) string {
	var out strings.Builder
	column := 0
	for i, word := range strings.Fields(text) {
		length := utf8.RuneCountInString(word)
		switch {
		case i == 0:
			out.WriteString(indent)
			column = utf8.RuneCountInString(indent)
		case column+1+length > width:
			out.WriteString("\n" + indent)
			column = utf8.RuneCountInString(indent)
		default:
			out.WriteString(" ")
			column++
		}
		out.WriteString(word)
		column += length
	}
	return out.String()
}
