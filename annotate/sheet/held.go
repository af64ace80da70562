package sheet

import (
	"fmt"

	"hardbars/detect"
	"hardbars/score"
)

func heldCaption(h detect.HeldNote) string {
	text := fmt.Sprintf("%s held for %s across %s of the pedal.",
		names(h.Held), quarters(h.Length), count(len(h.Changes), "change", "changes"))
	if !h.Lost {
		return text + " A finger can hold on through it all."
	}
	text += " No finger can stay: where the bar turns dashed the sound is lost."
	if h.CatchBy.Sign() > 0 {
		text += " To save it, press the middle pedal inside the frame, after the attack and before the damper changes, if this piano's works."
	}
	return text
}

// drawHeld sets over one another, in time: the held note, what else the hand
// strikes meanwhile, and the pedal with its changes.
func drawHeld(h detect.HeldNote) drawing {
	const noteRow, handRow, pedalRow, timeRow, height = 9.5, 17.0, 25.5, 32.0, 34.0
	return drawing{height, func(c canvas, x, y, width float64) {
		const gutter = 15.0
		scale := (width - gutter - 2) / h.Length.Float()
		at := func(t score.Rat) float64 { return x + gutter + t.Float()*scale }

		for i, name := range []string{"held", "same hand", "pedal", "quarters"} {
			c.text(x, y+[]float64{noteRow, handRow, pedalRow, timeRow}[i]+1.1, name, smallFace)
		}
		for _, change := range h.Changes {
			c.line(at(change), y+noteRow-4, at(change), y+pedalRow+2, pen{weight: 0.3, shade: 110, dashed: true})
		}
		drawHeldBar(c, h, at, y+noteRow)
		c.line(at(score.Rat{}), y+handRow, at(h.Length), y+handRow, hairline)
		for _, attack := range h.Attacks {
			disc(c, at(attack), y+handRow)
		}
		drawPedal(c, h, at, y+pedalRow)
		if h.Lost && h.CatchBy.Sign() > 0 {
			drawCatch(c, at(score.Rat{}), at(h.CatchBy), y)
		}
		drawQuarters(c, h.Length, at, y+timeRow+1.1)
	}}
}

// drawHeldBar is solid as long as the note sounds and dashed once it is lost.
func drawHeldBar(c canvas, h detect.HeldNote, at func(score.Rat) float64, y float64) {
	start, end := at(score.Rat{}), at(h.Length)
	sounding := end
	if h.Lost && len(h.Changes) > 0 {
		sounding = at(h.Changes[0])
		c.box(sounding, y-1.8, end-sounding, 3.6, none, pen{weight: 0.3, dashed: true})
	}
	c.box(start, y-1.8, sounding-start, 3.6, 70, noPen)
}

// drawPedal is a line that dips up where the dampers fall and rise again.
func drawPedal(c canvas, h detect.HeldNote, at func(score.Rat) float64, y float64) {
	const half, up = 1.4, 3.2
	x := at(score.Rat{})
	c.line(x, y-up, x, y, medium)
	for _, change := range h.Changes {
		peak := at(change)
		c.line(x, y, peak-half, y, medium)
		c.line(peak-half, y, peak, y-up, medium)
		c.line(peak, y-up, peak+half, y, medium)
		x = peak + half
	}
	c.line(x, y, max(x, at(h.Length)), y, medium)
}

// drawCatch frames the time in which the middle pedal has to go down.
func drawCatch(c canvas, start, by, y float64) {
	c.box(start+0.6, y+5.4, by-start-1.2, 8, none, medium)
	c.text(start+0.6, y+4, "catch here", numberFace)
}

// drawQuarters counts the quarters, as long as there is room.
func drawQuarters(c canvas, length score.Rat, at func(score.Rat) float64, y float64) {
	step := int64(1)
	for at(score.Int(step))-at(score.Rat{}) < 5 {
		step *= 2
	}
	for q := int64(0); score.Int(q).Less(length); q += step {
		centred(c, at(score.Int(q)), y, fmt.Sprint(q+1), smallFace)
	}
}
