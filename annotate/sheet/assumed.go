package sheet

import "hardbars/detect"

// assumedBlock says what the sheet rests on.
func assumedBlock(c canvas, f frame, r *detect.Report) block {
	b := block{heading: "What was assumed or repaired"}
	for i, l := range assumed(r, 8) {
		if i == mostAssumed {
			b.parts = append(b.parts, bullet(c, f, "And more of the kind: hardbars spots lists all."))
			break
		}
		b.parts = append(b.parts, bullet(c, f, l))
	}
	return b
}

// mostAssumed is how many lines that takes at most.
const mostAssumed = 16

func bullet(c canvas, f frame, s string) part {
	p := paragraph(c, s, bodyFace, 5, f.inner()-5)
	return part{height: p.height, draw: func(c canvas, x, y float64) {
		c.text(x, y+bodyFace.mm(), "–", bodyFace)
		p.draw(c, x, y)
	}}
}

// cautionBlock is the one place for it.
func cautionBlock(c canvas, f frame) block {
	const inset = 4.0
	p := paragraph(c, caution, bodyFace, inset, f.inner()-2*inset)
	height := p.height + 2*inset - 1
	return block{parts: []part{{height: height, draw: func(c canvas, x, y float64) {
		c.box(x, y, f.inner(), height, none, medium)
		p.draw(c, x, y+inset)
	}}}}
}
