package sheet

import (
	"fmt"
	"strings"

	"hardbars/detect"
)

// verdictBlock is what the sheet has to say of the piece as a whole.
func verdictBlock(c canvas, f frame, r *detect.Report, o Options) block {
	verdict := signed(o.Verdict)
	if verdict == "" {
		verdict = summary(r)
	}
	return block{parts: long(c, f, verdict+skippedWords(r, o.Remarks))}
}

// summary says how many passages there are and how much they teach.
func summary(r *detect.Report) string {
	listed, past := 0, 0
	share := 0.0
	for i := range r.Passages {
		if p := &r.Passages[i]; p.Shortlist {
			listed, share = listed+1, share+p.Share
			if p.Demand > 1 {
				past++
			}
		}
	}
	switch {
	case listed == 0:
		return "Nothing in this piece asks for more than is comfortable at this tempo for this hand."
	case past == 0:
		return fmt.Sprintf("All of this piece is within reach at this tempo. %s.",
			sentence(count(listed, "passage asks for the most care", "passages ask for the most care")))
	}
	return fmt.Sprintf("%s to learn first; with %s goes %s of what is hard in this piece.",
		sentence(detect.NumberWords(listed))+" "+plural(listed, "passage", "passages"), plural(listed, "it", "them"), shareWords(share))
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// shareWords is a share as one says it.
func shareWords(share float64) string {
	switch {
	case share > 0.93:
		return "nearly all"
	case share > 0.85:
		return "nine tenths"
	case share > 0.77:
		return "four fifths"
	case share > 0.7:
		return "three quarters"
	case share > 0.62:
		return "two thirds"
	case share > 0.45:
		return "half"
	}
	return "a good part"
}

// lessonEntry is a passage on the first page: where and what, one line of
// music, why and as many whole steps as stand in some lines, and the tempos to
// tick.
func lessonEntry(c canvas, f frame, e entry, line music, lines int) block {
	head := lessonHead(c, f, e)
	parts := []part{head}
	for _, d := range line.drawings {
		parts = append(parts, part{height: d.Height, close: true, draw: func(c canvas, x, y float64) { c.music(x, y, d) }})
	}
	for _, words := range line.notes() {
		parts = append(parts, paragraph(c, words, smallFace, 0, f.inner()))
	}
	words := e.why
	for i, step := range e.steps {
		more := fmt.Sprintf("%s %d. %s", words, i+1, step)
		if i > 0 && len(wrap(c, more, noteFace, f.inner(), mostLines)) > lines {
			break
		}
		words = more
	}
	parts = append(parts, paragraph(c, words, noteFace, 0, f.inner()), ladderPart(c, f, e.ladder))
	for _, remark := range e.said {
		parts = append(parts, remarkPart(c, f, remark, 0))
	}
	for i := range parts {
		parts[i].close = true
	}
	return block{parts: []part{stackClose(parts...)}}
}

// stackClose joins parts with a hair of space between.
func stackClose(parts ...part) part {
	const apart = 0.8
	var all []part
	for i, p := range parts {
		if i > 0 {
			all = append(all, gap(apart))
		}
		all = append(all, p)
	}
	joined := stack(all...)
	joined.spot = parts[0].spot
	joined.outline = parts[0].outline
	return joined
}

// lessonHead is a box to tick once the passage is learnt, its number, its bars
// and hand, and the tempos; what it is stands beside where there is room.
func lessonHead(c canvas, f frame, e entry) part {
	const number, where, apart = 11.0, 17.0, 3.0
	tempo := c.width(e.tempo, testFace)
	place := clip(c, e.place, strongFace, f.inner()-where-apart-tempo)
	room := f.inner() - where - c.width(place, strongFace) - 2*apart - tempo
	what := ""
	if room > leastWords {
		what = clip(c, strings.TrimSuffix(e.what, "."), noteFace, room)
	}
	return part{height: 6.6, spot: e.number, draw: func(c canvas, x, y float64) {
		line := y + 4.4
		c.box(x+0.3, y+0.8, 4.6, 4.6, none, medium)
		numberDisc(c, x+number, y+3.1, e.number)
		c.text(x+where, line, place, strongFace)
		c.text(x+where+c.width(place, strongFace)+apart, line, what, noteFace)
		flushRight(c, x+f.inner(), line, e.tempo, testFace)
	}}
}

// leastWords is the least room, in millimetres, in which words tell anything.
const leastWords = 20

// numberDisc is a passage's number in a ring.
func numberDisc(c canvas, x, y float64, number string) {
	r := max(3.1, c.width(number, numberFace)/2+1)
	c.oval(x, y, r, 3.1, 0, white, thin)
	centred(c, x, y+1.15, number, numberFace)
}

// shortCaution is the caution on the page that stands alone.
func shortCaution(c canvas, f frame) block {
	return block{parts: []part{paragraph(c, "First each hand alone, then both, with the bar before and after; up a tempo after three clean times. Warm up first; rest every 25 to 30 minutes; stop when something hurts, and never force a stretch. Your teacher's or clinician's judgement comes first.", smallFace, 0, f.inner())}}
}
