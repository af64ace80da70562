package engrave

import (
	"hardbars/score"
	"hardbars/score/notation"
)

// Lengths of hairpins, in staff spaces (common practice).
const (
	hairpinOpen  = 1.2 // between the two strokes at the open end
	hairpinCut   = 0.4 // the least where the end of a system cuts it
	hairpinEnd   = 0.3 // from the next note or the barline
	hairpinNear  = 3.0 // a dynamic so near to an end belongs to it
	shortHairpin = 1.2 // none is shorter
)

// addHairpins makes the hairpins on one side of a staff, between the dynamics
// of its row.
func (l *layout) addHairpins(row *[]sign, staff int, above bool) {
	for i, line := range l.score.Lines {
		if line.Kind > notation.Diminuendo || !line.From.Less(l.to) || !l.from.Less(line.To) {
			continue
		}
		if of, up := l.rowOf(line.Staff, line.Side); of != staff || up != above {
			continue
		}
		left, right := l.hairpinEnds(line, *row)
		for k, s := range *row {
			if s.rank == dynamicRank && s.box.Left < right && left < s.box.Right {
				(*row)[k].rank = insideRank
			}
		}
		*row = append(*row, sign{
			legend: l.hairpin(line, left, right), at: line.From, staff: line.Staff, rank: hairpinRank, chain: len(l.score.Signs) + i,
		})
	}
}

// hairpinEnds is where a hairpin begins and ends: between its notes, clear of
// the dynamics at both ends.
func (l *layout) hairpinEnds(line notation.Line, row []sign) (left, right float64) {
	left, right = l.music-hairpinEnd, l.endX(score.Min(line.To, l.to))-hairpinEnd
	if l.here(line.From) {
		left = l.xAt(line.From)
	}
	from, to := left, right
	for _, s := range row {
		mid := (s.box.Left + s.box.Right) / 2
		switch {
		case s.rank != dynamicRank || s.box.Right < from || to < s.box.Left:
		case s.at.Cmp(line.From) <= 0 || mid < from+hairpinNear && mid-from < to-mid:
			left = max(left, s.box.Right+signApart)
		case s.at.Cmp(line.To) >= 0 || mid > to-hairpinNear:
			right = min(right, s.box.Left-signApart)
		}
	}
	if right-left < shortHairpin {
		right = left + shortHairpin
	}
	return left, right
}

// hairpin is the two strokes of a hairpin. One that is cut by the end of the
// system keeps the opening that it has there.
func (l *layout) hairpin(line notation.Line, left, right float64) legend {
	from, to := score.Max(line.From, l.from), score.Min(line.To, l.to)
	a, b := opening(line, from), opening(line, to)
	var items []Item
	if line.Niente {
		ring := Item{Role: RoleLine, Note: -1, Chord: -1, Glyph: "dynamicNienteForHairpin", Y: -signMiddle, Scale: 1}
		box := l.font.Glyph(ring.Glyph).Box
		switch {
		case line.Kind == notation.Crescendo && from == line.From:
			ring.X = left - box.Left
			items, left = append(items, ring), left+box.Right-box.Left
		case line.Kind == notation.Diminuendo && to == line.To:
			ring.X = right - box.Right
			items, right = append(items, ring), right-box.Right+box.Left
		}
	}
	for _, half := range [2]float64{-0.5, 0.5} {
		items = append(items, Item{Role: RoleLine, Note: -1, Chord: -1, Stroke: &Stroke{
			X1: left, Y1: half*a - signMiddle, X2: right, Y2: half*b - signMiddle, Width: l.font.Defaults.Hairpin,
		}})
	}
	return l.newLegend(items...)
}

// opening is how far apart the strokes of a hairpin are at an instant: nothing
// only at its closed end, so that what a system shows of it is never one line.
func opening(line notation.Line, at score.Rat) float64 {
	part := at.Sub(line.From).Div(line.To.Sub(line.From)).Float()
	if line.Kind == notation.Diminuendo {
		part = 1 - part
	}
	if part == 0 {
		return 0
	}
	return hairpinCut + part*(hairpinOpen-hairpinCut)
}
