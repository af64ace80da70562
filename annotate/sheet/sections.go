package sheet

import (
	"fmt"

	"hardbars/annotate/practice"
	"hardbars/detect"
	"hardbars/score/form"
)

// waysPart is the box with the ways of practising that steps name.
func waysPart(c canvas, f frame) part {
	const inset = 4.0
	var lines []string
	for _, way := range practice.Ways {
		lines = append(lines, wrap(c, sentence(way.Name)+": "+way.Words, noteFace, f.inner()-2*inset, 3)...)
	}
	p := text(lines, noteFace, inset)
	height := p.height + 2*inset - 2
	return part{height: height, draw: func(c canvas, x, y float64) {
		c.box(x, y, f.inner(), height, none, thin)
		p.draw(c, x, y+inset-1)
	}}
}

// habitsBlock names the figures that go through the piece.
func habitsBlock(c canvas, f frame, r *detect.Report) block {
	b := block{heading: "Habits: what goes through the piece"}
	for i := range r.Passages {
		if p := &r.Passages[i]; p.Habit {
			words := fmt.Sprintf("%s: learn it in %s.", sentence(practice.ForPassage(r, p).Title), barRange(r, p.First, p.Last))
			if len(p.Harder) > 0 {
				words += " It gets harder in " + barList(r, p.Harder, 10) + "."
			}
			b.parts = append(b.parts, bullet(c, f, words))
		}
	}
	return b
}

// formBlock is how the piece is put together, so that nobody practises a bar
// twice.
func formBlock(c canvas, f frame, r *detect.Report) block {
	const letter, where = 16.0, 44.0
	found := form.Find(r.Score)
	b := block{heading: "How the piece is put together"}
	if found.Through() {
		b.parts = append(b.parts, paragraph(c, found.ThroughWords(), bodyFace, 0, f.inner()))
	}
	for i, sec := range found.Sections {
		if found.Through() || i >= mostSections {
			break
		}
		words := text(wrap(c, found.SectionWords(sec), bodyFace, f.inner()-where, 3), bodyFace, where)
		height := max(words.height, bodyFace.leading())
		bars := clip(c, barRange(r, sec.First, sec.Last), bodyFace, where-letter-2)
		b.parts = append(b.parts, part{height: height, close: true, draw: func(c canvas, x, y float64) {
			c.text(x, y+bodyFace.mm(), sec.Name, strongFace)
			c.text(x+letter, y+bodyFace.mm(), bars, bodyFace)
			words.draw(c, x, y)
		}})
	}
	if more := len(found.Sections) - mostSections; more > 0 {
		b.parts = append(b.parts, paragraph(c, count(more, "section follows", "sections follow")+".", bodyFace, 0, f.inner()))
	}
	if !found.Through() && len(found.Played) > len(found.Sections) {
		b.parts = append(b.parts, gap(1), paragraph(c, "In play: "+found.PlayedWords(), bodyFace, 0, f.inner()))
	}
	return b
}

// mostSections is how many sections are listed.
const mostSections = 40

// otherPassages are those off the shortlist, a row each.
func otherPassages(c canvas, f frame, r *detect.Report) block {
	const where, tempo = 62.0, 38.0
	b := block{heading: "The other passages, by place"}
	for i := range r.Passages {
		p := &r.Passages[i]
		if p.Shortlist || p.Habit {
			continue
		}
		l := practice.ForPassage(r, p)
		place := clip(c, sentence(barRange(r, p.First, p.Last))+", "+p.Hand.Name(), testFace, where-3)
		what := clip(c, sentence(l.Title), noteFace, f.inner()-where-tempo-3)
		pace := paceStep(l.Start, l.Target, p.Comfortable > 0)
		b.parts = append(b.parts, part{height: 5.6, close: true, draw: func(c canvas, x, y float64) {
			c.text(x, y+4, place, testFace)
			c.text(x+where, y+4, what, noteFace)
			flushRight(c, x+f.inner(), y+4, pace, noteFace)
		}})
	}
	return b
}

// figuresBlock is the numbers behind the passages and what they rest on, in small print.
func figuresBlock(c canvas, f frame, r *detect.Report) block {
	b := block{heading: "The figures behind this sheet"}
	for i := range r.Passages {
		p := &r.Passages[i]
		if !p.Shortlist {
			continue
		}
		for n, t := range p.Troubles {
			if n == mostFigures {
				break
			}
			words := fmt.Sprintf("%d, bar %s: %s (%.2f times what is comfortable)", p.Order,
				r.Score.Bars[r.Score.BarAt(t.Hardest.From)].Number, trimStop(t.Hardest.Why), t.Hardest.Demand)
			b.parts = append(b.parts, paragraph(c, words+".", smallFace, 0, f.inner()))
			b.parts[len(b.parts)-1].close = true
		}
	}
	b.parts = append(b.parts, paragraph(c, rests(r), smallFace, 0, f.inner()))
	return b
}

// mostFigures is how many troubles of a passage the figures tell of.
const mostFigures = 3
