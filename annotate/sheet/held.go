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
	if canCatch(h) {
		text += " The middle pedal saves it, where the piano has one that works; or change the pedal only half."
	}
	return text
}

// drawHeld sets over one another, in time: the held note, what else the hand
// strikes meanwhile, the pedal with its changes, and when the middle pedal has
// to go down to save the note.
func drawHeld(h detect.HeldNote) drawing {
	rows := []struct {
		name string
		y    float64
		draw func(c canvas, h detect.HeldNote, at func(score.Rat) float64, y float64)
	}{
		{"held", 5, drawHeldBar},
		{"same hand", 12, drawAttacks},
		{"pedal", 20, drawPedal},
		{"middle pedal", 26.5, drawCatch},
		{"quarters", 33, drawQuarters},
	}
	if !canCatch(h) {
		rows[4].y = rows[3].y
		rows = append(rows[:3], rows[4])
	}
	return drawing{rows[len(rows)-1].y + 3, func(c canvas, x, y, width float64) {
		const gutter = 23.0
		scale := (width - gutter - 2) / h.Length.Float()
		at := func(t score.Rat) float64 { return x + gutter + t.Float()*scale }
		for _, change := range h.Changes {
			c.line(at(change), y+2, at(change), y+rows[2].y, pen{weight: 0.3, shade: 110, dashed: true})
		}
		for _, row := range rows {
			c.text(x, y+row.y+1.1, row.name, smallFace)
			row.draw(c, h, at, y+row.y)
		}
	}}
}

// canCatch reports whether the middle pedal can save the note.
func canCatch(h detect.HeldNote) bool { return h.Lost && h.CatchBy.Sign() > 0 }

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

// drawAttacks has a disc for each thing that the same hand strikes meanwhile.
func drawAttacks(c canvas, h detect.HeldNote, at func(score.Rat) float64, y float64) {
	c.line(at(score.Rat{}), y, at(h.Length), y, hairline)
	for _, attack := range h.Attacks {
		disc(c, at(attack), y, 1.3)
	}
}

// drawCatch frames the time in which the middle pedal has to go down, after
// the attack and before the damper changes; from there on it stays down.
func drawCatch(c canvas, h detect.HeldNote, at func(score.Rat) float64, y float64) {
	const afterAttack = 0.8
	start, by, end := at(score.Rat{})+afterAttack, at(h.CatchBy), at(h.Length)
	c.box(start, y-2.2, by-start, 4.4, white, medium)
	c.line(by, y+2.2, end, y+2.2, medium)
	words := "press in the frame, then keep down"
	if w := c.width("press", numberFace); by-start > w+1 {
		centred(c, (start+by)/2, y+1.1, "press", numberFace)
		words = "keep down"
	}
	if end-by > c.width(words, smallFace)+2 {
		c.text(by+1.5, y+1.1, words, smallFace)
	}
}

// drawQuarters counts the quarters from 1, at most as close as can be read.
func drawQuarters(c canvas, h detect.HeldNote, at func(score.Rat) float64, y float64) {
	step := int64(1)
	for at(score.Int(step))-at(score.Rat{}) < 5 {
		step *= 2
	}
	for q := int64(0); score.Int(q).Less(h.Length); q += step {
		centred(c, at(score.Int(q)), y+1.1, fmt.Sprint(q+1), smallFace)
	}
}
