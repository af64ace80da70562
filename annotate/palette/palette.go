// Package palette gives every kind of hot spot its colour, the same in the
// marked score and on the study sheet.
//
// It knows colours alone. No meaning rests on them: whoever draws has to say
// the same in words or shapes as well.
package palette

import (
	"slices"

	"hardbars/detect"
	"hardbars/detect/kinds"
)

// colours are the palette of Okabe & Ito (2008), which colour-blind readers can
// tell apart, the colours darkest on white first. Yellow is left out, since it
// can hardly be read on white, and so is the black of the score itself.
var colours = [...]string{"#D55E00", "#0072B2", "#009E73", "#CC79A7", "#E69F00", "#56B4E9"}

// Of is the colour of a kind, as "#D55E00". Kinds take the colours in turn; a
// kind that is not in kinds.All has the first.
func Of(k detect.Kind) string {
	i := slices.IndexFunc(kinds.All, func(d *detect.Detector) bool { return d.Kind == k })
	return colours[max(i, 0)%len(colours)]
}

// All are the colours that kinds have.
func All() []string { return slices.Clone(colours[:]) }
