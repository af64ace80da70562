// Package engrave sets a few bars of a piano score as music: staves, notes and
// every sign that a printed edition would show, spaced by duration, with what
// is hard picked out.
//
// Where the signs come from, what is hard and why are kept out: what is to be
// picked out is told, and the result is a list of strokes, shapes and words that any canvas can
// draw. What it cannot set it leaves out, with a small mark at the place and a
// warning.
package engrave

import (
	"fmt"

	"hardbars/score"
	"hardbars/score/notation"
)

// Options is what may be chosen about an excerpt.
type Options struct {
	From, To score.Rat // what is set, from the start of the piece; bars are shown whole unless Cut
	Cut      bool      // begin and end at From and To, not at the barlines around them; the meter that holds there is not told
	Width    float64   // of the drawing, in millimetres
	Space    float64   // between two lines of a staff, in millimetres; 0 for 1.75
	Systems  int       // at most so many; what is longer is shortened with a plain mark; 0 for as many as it takes
	Picks    Picks     // what is picked out
}

// Picks is what an excerpt picks out. Nothing rests on colour alone: a picked
// head has a ring or a mark of its own that is plain in grey too.
type Picks struct {
	Colour string // of all that is picked out, "#D55E00"
	Notes  []int  // Note.ID of heads
	Grid   []Tick // upright lines through both staves where hands strike
	Leaps  []Leap
	Held   []Held

	Fingers map[int]string // by Note.ID, suggested fingers: in italics, so that they stay apart from those of the score, which go before them
}

// Tick is one attack of a composite rhythm.
type Tick struct {
	At          score.Rat
	Right, Left bool // who strikes
}

// Leap is an arrow from one head to another.
type Leap struct {
	From, To int    // Note.ID
	Label    string // its width: "19 semitones, 260 mm"
}

// Held is a note held while pedal changes pass under it.
type Held struct {
	Notes   []int       // Note.ID of every head of the tied note
	Changes []score.Rat // the pedal changes, from the start of the piece
	Until   score.Rat   // where the note ends
}

// Drawing is a set excerpt, in millimetres from its top left corner.
type Drawing struct {
	Width, Height float64
	Items         []Item
	Systems       []Extent  // of each line of music, in order
	Warnings      []Warning // what was left out
}

// Extent is where a line of music lies in a Drawing, in millimetres, and what
// it holds.
type Extent struct {
	Top, Bottom float64
	From, To    score.Rat
	Bars        []BarExtent // in order
}

// BarExtent is where a bar, or the part of one that a line holds, lies on it:
// from barline to barline, in millimetres.
type BarExtent struct {
	Index       int // into notation.Score.Bars
	Left, Right float64
}

// Warning is something that could not be set.
type Warning struct {
	Bar  string // as printed
	Text string
}

// Set sets an excerpt. The same input gives the same items in the same order.
// The error is one sentence that names the bars: a fault of this package, which
// costs no more than the excerpt.
func Set(n *notation.Score, o Options) (d *Drawing, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			d, err = nil, fmt.Errorf("%s could not be set as music (%v)", barsOf(n, o), fault)
		}
	}()
	return set(n, o), nil
}

// barsOf names the bars of an excerpt as printed: "Bar 3", "Bars 3–6".
func barsOf(n *notation.Score, o Options) string {
	if len(n.Bars) == 0 {
		return "A piece without bars"
	}
	first, last := n.Bars[barAt(n.Bars, o.From)], n.Bars[barEnding(n.Bars, o.To)]
	if first.Number == last.Number {
		return "Bar " + first.Number
	}
	return "Bars " + first.Number + "–" + last.Number
}
