package remarks

import (
	"fmt"
	"strings"

	"hardbars/detect"
)

// Start is a first page for a report, to be filled in by hand: what can be
// written, and a line for each hot spot under a comment that says what was
// found there. As it stands it says nothing.
func Start(r *detect.Report) string {
	var b strings.Builder
	title := r.Score.Title
	if title == "" {
		title = "this piece"
	}
	fmt.Fprintf(&b, `<!-- Remarks on %s.

Write after the colons; what is left empty is left out. Between the marks
around this text, nothing is printed. Lines to add as you like:

  bar 9 left: try 2-5-3 and cross over
  bars 30-37: hands together, from the downbeat
  bar 12 right: 4 2 1                              (only fingers: a fingering)
  add bars 47-48 both: shared between the hands    (a hard place of your own)
  skip 7                                           (drop hot spot 7)

Every other line is a free paragraph for the head of the sheet. -->

for:
from:
date:

`, quoted(title))
	for i := range r.Spots {
		sp := &r.Spots[i]
		waiting := Line{Bars: named(r.Score, sp.FirstBar, sp.LastBar), Hand: sp.Hand}
		fmt.Fprintf(&b, "<!-- %s -->\n%s\n\n", quoted(sp.ID+" · "+sp.Label), waiting)
	}
	return b.String()
}

// quoted keeps a text of the score from ending a comment.
func quoted(text string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(text), " "), "-->", "-- >")
}
