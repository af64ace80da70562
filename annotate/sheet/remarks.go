package sheet

import (
	"slices"
	"strings"

	"hardbars/annotate/remarks"
	"hardbars/detect"
)

// letterBlock is what the teacher says to the player about the whole piece.
func letterBlock(c canvas, f frame, said *remarks.Remarks) block {
	var b block
	if said == nil {
		return b
	}
	var head []part
	for _, line := range said.Heading.Parts() {
		head = append(head, labelled(c, f, sentence(line[0]), line[1]))
	}
	if len(head) > 0 {
		b.parts = append(b.parts, stack(head...))
	}
	for _, text := range said.Paragraphs {
		b.parts = append(b.parts, long(c, f, text)...)
	}
	return b
}

// long is a text of any length, in parts that fit on a page.
func long(c canvas, f frame, s string) []part {
	var parts []part
	all := wrap(c, s, bodyFace, f.inner(), len(s)+1) // nothing cut off
	for lines := range slices.Chunk(all, mostLines) {
		parts = append(parts, text(lines, bodyFace, 0))
	}
	return parts
}

// remarksBlock lists the remarks that stand at none of the places above.
func remarksBlock(c canvas, f frame, all []remarks.Remark) block {
	b := block{heading: "Remarks, bar by bar"}
	for _, m := range all {
		b.parts = append(b.parts, remarkPart(c, f, sentence(m.String()), 0))
	}
	return b
}

// remarkPart is a remark beside a thick line, as on the margin of a page.
func remarkPart(c canvas, f frame, s string, indent float64) part {
	const inset, above = 3.0, 0.8
	p := text(wrap(c, s, bodyFace, f.inner()-indent-inset, len(s)+1), bodyFace, indent+inset)
	return part{height: p.height + 2*above, draw: func(c canvas, x, y float64) {
		c.line(x+indent+0.5, y+above+0.5, x+indent+0.5, y+p.height+above+0.3, thick)
		p.draw(c, x, y+above)
	}}
}

// skippedWords says which places the teacher has dropped; the strip still shows
// their bars as hard as they are.
func skippedWords(r *detect.Report, said *remarks.Remarks) string {
	if said == nil || len(said.Skipped) == 0 {
		return ""
	}
	var list []string
	for i := range said.Skipped {
		sp := &said.Skipped[i]
		list = append(list, barRange(r, sp.FirstBar, sp.LastBar)+", "+sp.Hand.Name())
	}
	return " Left out as the remarks ask: " + strings.Join(list, "; ") + "."
}
