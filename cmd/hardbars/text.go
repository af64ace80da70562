package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// columnGap is the space between the columns of a table.
const columnGap = "  "

// printTable prints rows with their cells in columns, and no space at the ends
// of lines.
func printTable(w io.Writer, rows [][]string) {
	var widths []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range rows {
		var line strings.Builder
		for i, cell := range row {
			fmt.Fprintf(&line, "%-*s%s", widths[i], cell, columnGap)
		}
		fmt.Fprintln(w, strings.TrimRight(line.String(), " "))
	}
}

// short is a text of at most so many characters, with an ellipsis where
// something was cut off.
func short(text string, most int) string {
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	return strings.TrimRight(string([]rune(text)[:most-1]), " ,") + "…"
}

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
