package sheet

import (
	"fmt"

	"hardbars/detect"
	"hardbars/score"
)

const (
	rollGutter  = 9.0  // left of the notes, for the names of keys and for grace notes
	rollMost    = 38.0 // height of the notes
	mostKeyStep = 1.7  // height of one key
	graceStep   = 1.7  // from one grace note to the next
	octave      = 12
)

func pianoRollCaption(r detect.PianoRoll) string {
	text := fmt.Sprintf("The notes over %s: a bar for each, as long as it is held. Black is what this is about, pale the rest", quarters(r.Span))
	if bothHands(r) {
		text += ", framed in the right hand and plain in the left"
	}
	text += "; thin lines are beats."
	if len(r.Lines) > 0 {
		text += " The thick dashed line shows where."
	}
	return text
}

func bothHands(r detect.PianoRoll) bool {
	var hands [2]bool
	for _, n := range r.Notes {
		if n.Hand <= score.Left {
			hands[n.Hand] = true
		}
	}
	return hands[score.Right] && hands[score.Left]
}

// pianoRoll is where a Roll's notes stand on the page.
type pianoRoll struct {
	x, y      float64 // of the left edge and of the highest key's top
	width     float64
	step      float64 // height of a key
	low, high int     // keys
	span      float64 // quarters
}

func pianoRollFor(r detect.PianoRoll) pianoRoll {
	g := pianoRoll{low: r.Notes[0].Key, high: r.Notes[0].Key, span: r.Span.Float()}
	for _, n := range r.Notes {
		g.low, g.high = min(g.low, n.Key), max(g.high, n.Key)
	}
	g.step = min(mostKeyStep, rollMost/float64(g.high-g.low+1))
	return g
}

func (g pianoRoll) height() float64               { return float64(g.high-g.low+1) * g.step }
func (g pianoRoll) at(quarters score.Rat) float64 { return g.x + quarters.Float()/g.span*g.width }
func (g pianoRoll) top(key int) float64           { return g.y + float64(g.high-key)*g.step }

// drawPianoRoll draws notes as bars over time, from the lowest key up.
func drawPianoRoll(r detect.PianoRoll) drawing {
	if len(r.Notes) == 0 || r.Span.Sign() <= 0 {
		return drawing{0, func(canvas, float64, float64, float64) {}}
	}
	g := pianoRollFor(r)
	return drawing{g.height() + 4, func(c canvas, x, y, width float64) {
		g.x, g.y, g.width = x+rollGutter, y+2, width-rollGutter-1
		g.octaves(c)
		for _, beat := range r.Beats {
			c.line(g.at(beat), g.y, g.at(beat), g.y+g.height(), hairline)
		}
		g.notes(c, r.Notes)
		for _, line := range r.Lines {
			c.line(g.at(line), y, g.at(line), g.y+g.height()+2, pen{weight: 0.5, dashed: true})
		}
	}}
}

// octaves names each C within the notes.
func (g pianoRoll) octaves(c canvas) {
	for key := (g.low + octave - 1) / octave * octave; key <= g.high; key += octave {
		y := g.top(key) + g.step/2
		c.line(g.x, y, g.x+g.width, y, hairline)
		c.text(g.x-rollGutter, y+1.1, fmt.Sprintf("C%d", key/octave-1), smallFace)
	}
}

// notes draws the picked ones over the rest.
func (g pianoRoll) notes(c canvas, notes []detect.PianoRollNote) {
	for _, picked := range []bool{false, true} {
		for i, n := range notes {
			switch {
			case n.Picked != picked:
			case n.Length.Sign() > 0:
				g.note(c, n)
			default:
				g.grace(c, n, graceAfter(notes[i:]))
			}
		}
	}
}

// ink is how a note is painted.
func ink(n detect.PianoRollNote) (fill grey, outline pen) {
	switch {
	case n.Picked:
		return black, noPen
	case n.Hand == score.Right:
		return 235, thin
	}
	return 205, noPen
}

func (g pianoRoll) note(c canvas, n detect.PianoRollNote) {
	const least, apart = 0.5, 0.35 // mm; a gap parts notes that follow on one key
	fill, outline := ink(n)
	left := g.at(n.At)
	width := max(least, g.at(n.At.Add(n.Length))-left-apart)
	height := min(g.step*0.85, 1.6)
	c.box(left, g.top(n.Key)+(g.step-height)/2, width, height, fill, outline)
}

// grace draws a grace note as a small disc; after counts those of its group
// from it on to the main note.
func (g pianoRoll) grace(c canvas, n detect.PianoRollNote, after int) {
	fill, outline := ink(n)
	c.oval(g.at(n.At)-float64(after)*graceStep+0.6, g.top(n.Key)+g.step/2, 0.65, 0.65, 0, fill, outline)
}

// graceAfter counts the grace notes of the first one's hand and instant from it on.
func graceAfter(notes []detect.PianoRollNote) int {
	count := 0
	for _, n := range notes {
		if n.At != notes[0].At || n.Length.Sign() > 0 {
			break
		}
		if n.Hand == notes[0].Hand {
			count++
		}
	}
	return count
}
