package engrave

import (
	"math"

	"hardbars/score"
)

// piece is a part of the excerpt that no system break divides: a bar, or a
// part of a bar that is longer than a line.
type piece struct {
	from, to       score.Rat
	natural, least float64 // its width unstretched, and squeezed as far as it goes
}

// line is what one system holds.
type line struct{ from, to score.Rat }

// raggedFrom is the stretch at which the last line is left short instead.
const raggedFrom = 2.0

// lines breaks the excerpt into systems, so that the lines are as evenly
// filled as can be: the sum of their badness is least. More than limit lines
// (0 for no limit) are cut, and short is true.
func (e *excerpt) lines(limit int) (lines []line, short bool) {
	whole := e.measure(line{e.from, e.to})
	room := e.width - whole.music
	lines = breakLines(whole.pieces(room), room)
	if limit > 0 && len(lines) > limit {
		return lines[:limit], true
	}
	return lines, false
}

// breakLines finds the breaks with the least badness in all.
func breakLines(pieces []piece, room float64) []line {
	cost := make([]float64, len(pieces)+1) // of the best breaks of pieces[:i]
	prev := make([]int, len(pieces)+1)
	for end := 1; end <= len(pieces); end++ {
		cost[end] = math.Inf(1)
		natural, least := 0.0, 0.0
		for start := end - 1; start >= 0; start-- {
			natural, least = natural+pieces[start].natural, least+pieces[start].least
			if least > room && start < end-1 {
				break
			}
			c := cost[start] + badness(room/natural, end == len(pieces))
			if c < cost[end] {
				cost[end], prev[end] = c, start
			}
		}
	}
	var lines []line
	for end := len(pieces); end > 0; end = prev[end] {
		lines = append([]line{{pieces[prev[end]].from, pieces[end-1].to}}, lines...)
	}
	return lines
}

// badness is how far a line is from its natural width; squeezing is worse than
// stretching, and every line costs a little.
func badness(stretch float64, last bool) float64 {
	const perLine = 0.05
	b := math.Log(stretch)
	if last && b > 0 {
		b *= 0.3 // it may be left short
	}
	if b < 0 {
		b *= 1.5
	}
	return perLine + b*b
}

// pieces cuts the measured excerpt where systems may break.
func (l *layout) pieces(room float64) (pieces []piece) {
	natural, least := l.positions(1), l.positions(0)
	start := 0
	for i, c := range l.columns {
		if c.kind == noteColumn {
			continue
		}
		bar := l.span(start, i+1, natural, least)
		if bar.least > room {
			pieces = append(pieces, l.divide(start, i+1, room, natural, least)...)
		} else {
			pieces = append(pieces, bar)
		}
		start = i + 1
	}
	return pieces
}

// span is the piece from one column to before another.
func (l *layout) span(from, to int, natural, least []float64) piece {
	p := piece{from: l.columns[from].at, to: l.to}
	if to < len(l.columns) {
		p.to = l.columns[to].at
	}
	width := func(x []float64) float64 {
		if from == 0 {
			return x[to-1] - l.music
		}
		return x[to-1] - x[from-1]
	}
	p.natural, p.least = max(width(natural), cell), max(width(least), cell)
	return p
}

// divide cuts a bar that is longer than a line, at its beats where it can.
func (l *layout) divide(from, to int, room float64, natural, least []float64) (pieces []piece) {
	bar := l.columns[from].at
	start, cut := from, from
	for i := from + 1; i <= to; i++ {
		if i == to || l.span(start, i, natural, least).least > room {
			if i == to && l.span(start, to, natural, least).least <= room {
				break
			}
			if cut == start {
				cut = max(i-1, start+1)
			}
			pieces = append(pieces, l.span(start, cut, natural, least))
			start = cut
		}
		if i < to && l.columns[i].kind == noteColumn && l.columns[i].at.Sub(bar).Den() == 1 {
			cut = i
		}
	}
	if start < to {
		pieces = append(pieces, l.span(start, to, natural, least))
	}
	return pieces
}
