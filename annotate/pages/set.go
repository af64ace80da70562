package pages

import (
	"hardbars/annotate/engrave"
	"hardbars/annotate/excerpt"
	"hardbars/detect"
	"hardbars/score/notation"
)

// set sets the piece as blocks: its systems, and a line of words where bars could
// not be set.
func set(n *notation.Score, r *detect.Report, width, space float64, o Options) (blocks []block) {
	as := engrave.Options{Width: width, Space: space}
	if !o.Plain {
		as.Picks = picks(r)
	}
	for _, s := range stretches(n, as, 0, len(n.Bars)-1) {
		if s.drawing == nil {
			b := textBlock(wrapped(s.lost.Error()+" and is left out here; please play it from the printed score.", lossFace, 0, width), width)
			b.to = n.Bars[s.last].End()
			blocks = append(blocks, b)
			continue
		}
		for i := range s.drawing.Systems {
			part := s.drawing.System(i)
			if !o.Plain {
				mark(part, r, o.Page)
			}
			blocks = append(blocks, systemBlock(part))
		}
	}
	return blocks
}

// picks are the notes that make the passages of the shortlist hard.
func picks(r *detect.Report) (p engrave.Picks) {
	p.Colour = crayon
	for i := range r.Passages {
		if r.Passages[i].Shortlist {
			p.Notes = append(p.Notes, excerpt.Passage(r, &r.Passages[i]).Options().Picks.Notes...)
		}
	}
	return p
}

// systemBlock is a system, cut close to its ink.
func systemBlock(d *engrave.Drawing) block {
	top, bottom := d.Systems[0].Top, d.Systems[0].Bottom
	for _, it := range d.Items {
		top, bottom = min(top, it.Box.Top), max(bottom, it.Box.Bottom)
	}
	return block{height: bottom - top, to: d.Systems[0].To, draw: func(c engrave.Canvas, x, y float64) { d.Draw(c, x, y-top) }}
}

// stretch is bars that were set together, or a bar that could not be.
type stretch struct {
	first, last int
	drawing     *engrave.Drawing
	lost        error
}

// stretches sets the bars from first to last: together, or where that fails in
// halves, so that no more is lost than the bar at fault.
func stretches(n *notation.Score, o engrave.Options, first, last int) []stretch {
	if first > last {
		return nil
	}
	o.From, o.To = n.Bars[first].Start, n.Bars[last].End()
	d, err := engrave.Set(n, o)
	if err == nil {
		return []stretch{{first, last, d, nil}}
	}
	if first == last {
		return []stretch{{first, last, nil, err}}
	}
	middle := (first + last) / 2
	return append(stretches(n, o, first, middle), stretches(n, o, middle+1, last)...)
}
