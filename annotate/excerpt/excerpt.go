// Package excerpt chooses the music that shows a hot spot: which bars, and what
// is picked out in them.
//
// How music is set, and paper, are kept out.
package excerpt

import (
	"strconv"

	"hardbars/annotate/engrave"
	"hardbars/annotate/palette"
	"hardbars/detect"
	"hardbars/score"
)

// mostBars is how many bars of a place are shown unless the whole is asked for,
// and fewest how many attacks make a line of music that is no mere scrap.
// Common practice: what a hand repeats in one go.
const (
	mostBars = 4
	fewest   = 9
)

// Excerpt is a hot spot's music: the bars from First to Last, indices into
// Score.Bars, and which occurrences are picked out in them.
type Excerpt struct {
	First, Last int
	Cut         bool // what is picked out goes on beyond Last

	report *detect.Report
	kind   detect.Kind // whose colour is used
	shown  []detect.Occurrence
}

// Hardest is the hardest occurrence of a hot spot in whole bars, with the bar
// in which the hand arrives where it is in motion to a barline. Where these
// bars hold little music, those that follow come with them, or at the end of
// the piece those before. There are at most four bars.
func Hardest(r *detect.Report, spot *detect.Spot) Excerpt {
	o := spot.Occurrences[spot.Hardest]
	e := Excerpt{report: r, kind: spot.Kind, shown: []detect.Occurrence{o}}
	bars := r.Score.Bars
	e.First = r.Score.BarAt(o.From)
	e.Last = max(e.First, r.Score.BarEnding(o.To))
	if moving(o.Picture) && o.To == bars[e.Last].End() {
		e.Last = min(e.Last+1, len(bars)-1)
	}
	e.Last = min(e.Last, e.First+mostBars-1)
	e.Cut = bars[e.Last].End().Less(o.To)
	for e.Last-e.First+1 < mostBars && e.attacks() < fewest {
		switch {
		case e.Last+1 < len(bars):
			e.Last++
		case e.First > 0:
			e.First--
		default:
			return e
		}
	}
	return e
}

// moving reports whether a picture is of hands in motion, not of one thing that
// they take, hold or reach.
func moving(p detect.Picture) bool {
	switch p.(type) {
	case detect.KeyMove, detect.HeldNote, detect.KeyChord:
		return false
	}
	return true
}

// attacks counts the instants at which either hand strikes.
func (e Excerpt) attacks() int {
	count := 0
	var last score.Rat
	for i := range e.report.Score.Notes {
		n := &e.report.Score.Notes[i]
		if e.First <= n.Bar && n.Bar <= e.Last && (count == 0 || n.Onset != last) {
			count, last = count+1, n.Onset
		}
	}
	return count
}

// Whole is all bars of a hot spot, with every occurrence picked out that makes
// it hard.
func Whole(r *detect.Report, spot *detect.Spot) Excerpt {
	return Excerpt{First: spot.FirstBar, Last: spot.LastBar, report: r, kind: spot.Kind, shown: spot.Hard()}
}

// Passage is all bars of a passage, with what makes its troubles hard picked
// out, the hardest first.
func Passage(r *detect.Report, p *detect.Passage) Excerpt {
	e := Excerpt{First: p.First, Last: p.Last, report: r, kind: p.Troubles[0].Kind}
	for _, t := range p.Troubles {
		sp := r.Spot(t.Spot)
		if sp == nil || t.Hardest.Demand < leastPicked*p.Troubles[0].Hardest.Demand {
			continue
		}
		for _, o := range sp.Hard() {
			if o.From.Less(p.To) && p.From.Less(o.To) {
				e.shown = append(e.shown, o)
			}
		}
	}
	return e
}

// leastPicked is how hard a trouble must be to be picked out, as a share of the
// hardest in its passage: what is everywhere is seen nowhere. Common practice.
const leastPicked = 0.75

// Line is the bars of a passage that fit on one line of music: those from its
// hardest bar on, or up to it where the passage ends there, with the hardest
// place picked out.
func Line(r *detect.Report, p *detect.Passage) Excerpt {
	spot := r.Spot(p.Troubles[0].Spot)
	o := p.Troubles[0].Hardest
	e := Excerpt{report: r, kind: spot.Kind, shown: []detect.Occurrence{*o}}
	e.First = min(max(r.Score.BarAt(o.From), p.First), p.Last)
	e.Last = e.First
	for e.Last-e.First+1 < mostBars {
		switch more := e; {
		case e.Last < p.Last:
			more.Last++
			if more.attacks() > mostOnLine {
				return e
			}
			e = more
		case e.First > p.First:
			more.First--
			if more.attacks() > mostOnLine {
				return e
			}
			e = more
		default:
			return e
		}
	}
	return e
}

// mostOnLine is how many attacks stand on one line without crowding.
const mostOnLine = 26

// Suggested is which suggested fingers an excerpt shows.
type Suggested uint8

const (
	KeyFingers Suggested = iota // where a teacher writes them
	NoFingers
	AllFingers
)

// Fingers are the suggested fingers of the excerpt's heads, for engrave.Picks.
func (e Excerpt) Fingers(which Suggested) map[int]string {
	var chosen map[int]int
	switch fingering := e.report.Fingering(); which {
	case NoFingers:
		return nil
	case AllFingers:
		chosen = fingering.AllFingers(e.report.Score, e.First, e.Last)
	default:
		chosen = fingering.KeyFingers(e.report.Score, e.First, e.Last)
	}
	heads := map[int]string{}
	for n, finger := range chosen {
		if h := e.report.Score.Notes[n].Heads[0]; e.holds(h) {
			heads[h.ID] = strconv.Itoa(finger)
		}
	}
	return heads
}

// Options are those with which the excerpt is to be set, but for its width.
func (e Excerpt) Options() engrave.Options {
	bars := e.report.Score.Bars
	o := engrave.Options{From: bars[e.First].Start, To: bars[e.Last].End()}
	o.Picks.Colour = palette.Of(e.kind)
	picked := map[int]bool{}
	for _, occ := range e.shown {
		for _, n := range occ.Notes {
			for _, h := range e.report.Score.Notes[n].Heads {
				if e.holds(h) && !picked[h.ID] {
					picked[h.ID] = true
					o.Picks.Notes = append(o.Picks.Notes, h.ID)
				}
			}
		}
		e.point(&o.Picks, occ)
	}
	return o
}

// holds reports whether a head stands in the excerpt.
func (e Excerpt) holds(h score.Head) bool { return e.First <= h.Bar && h.Bar <= e.Last && !h.Hidden }

// point adds what an occurrence points at beside its notes.
func (e Excerpt) point(picks *engrave.Picks, o detect.Occurrence) {
	switch p := o.Picture.(type) {
	case detect.RhythmGrid:
		picks.Grid = append(picks.Grid, e.ticks(o, p)...)
	case detect.KeyMove:
		if leap, ok := e.leap(o, p); ok {
			picks.Leaps = append(picks.Leaps, leap)
		}
	case detect.HeldNote:
		held := engrave.Held{Notes: e.heads(o), Until: o.From.Add(p.Length)}
		for _, change := range p.Changes {
			held.Changes = append(held.Changes, o.From.Add(change))
		}
		picks.Held = append(picks.Held, held)
	case detect.PianoRoll:
		if p.Held {
			picks.Held = append(picks.Held, engrave.Held{Notes: e.heads(o), Until: o.To})
		}
	}
}

// ticks are the attacks of a cross-rhythm.
func (e Excerpt) ticks(o detect.Occurrence, g detect.RhythmGrid) []engrave.Tick {
	end := e.report.Score.Bars[e.Last].End()
	var ticks []engrave.Tick
	for _, s := range g.Strikes() {
		at := o.From.Add(g.Span.Mul(score.R(int64(s.At), int64(g.Grid))))
		if at.Less(end) {
			ticks = append(ticks, engrave.Tick{At: at, Right: s.Right, Left: s.Left})
		}
	}
	return ticks
}

// leap is the way from the key that is left to the key that is reached; not ok
// where one of them stands outside the excerpt, as when a repeat leads away.
func (e Excerpt) leap(o detect.Occurrence, m detect.KeyMove) (leap engrave.Leap, ok bool) {
	from, to := m.Travel()
	notes := e.report.Score.Notes
	for i, a := range o.Notes {
		for _, b := range o.Notes[i+1:] {
			heads := notes[a].Heads
			leaves, lands := heads[len(heads)-1], notes[b].Heads[0]
			if notes[a].Pitch.MIDI() != from || notes[b].Pitch.MIDI() != to || !e.holds(leaves) || !e.holds(lands) {
				continue
			}
			return engrave.Leap{From: leaves.ID, To: lands.ID, Label: label(from, to)}, true
		}
	}
	return engrave.Leap{}, false
}

// label is how wide a leap is: "a fifth", "two octaves and a third".
func label(from, to int) string { return score.Interval(to - from) }

// heads are the written notes of an occurrence that stand in the excerpt.
func (e Excerpt) heads(o detect.Occurrence) []int {
	var ids []int
	for _, n := range o.Notes {
		for _, h := range e.report.Score.Notes[n].Heads {
			if e.holds(h) {
				ids = append(ids, h.ID)
			}
		}
	}
	return ids
}
