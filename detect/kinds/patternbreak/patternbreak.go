// Package patternbreak finds where a hand departs from the figure that it has
// played for a while.
package patternbreak

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// Detector finds the kind pattern-break.
var Detector = &detect.Detector{
	Kind: "pattern-break",
	Name: "a figure that breaks off",
	Doc: `One hand has played the same accompaniment figure again and again, and here it departs from it: the fingers go
on by habit where the score does not. A figure fills a beat, half a bar or a bar. It is the same figure when it strikes
at the same places, single notes and chords alike, and each single note goes up, down or stays as before; in whatever key
and at whatever distance, and also where its end is left off. Broken chords and repeated keys, bass notes and chords
are figures, scales and melodies are not. It is established when it has filled two bars and come four times. The hand's
voices are looked at together and each by itself. No break is where the hand rests, where a repeat sign, a new key,
metre or tempo warns the eye, or where the piece ends. Demand is surprise, not speed: a tenth for each bar that the
figure held before, at most 0.75.`,
	Limits: []detect.Limit{
		{Name: "established after", Value: fmt.Sprintf("%d times, %d bars", leastTimes, leastBarsHeld), Source: "common practice"},
		{Name: "demand for each bar that the figure held", Value: fmt.Sprintf("%g, at most %g", surprisePerBar, mostSurprise), Source: "common practice"},
	},
	Basis: detect.CommonPractice,
	Rests: "common practice. Recorded performances do not bear it out: who knows a piece by heart is not " +
		"surprised by it. It is kept for those who read, and its demand is small.",
	Telling:  []string{"figure", "times", "pitches"},
	Run:      findPatternBreaks,
	Speech:   speech,
	Practise: practise,
}

// When a figure is established, and the demand of its break: common practice.
const (
	leastTimes     = 4
	leastBarsHeld  = 2
	surprisePerBar = 0.1
	mostSurprise   = 0.75
)

// Detail is the JSON detail of a figure that breaks off.
type Detail struct {
	Figure  string          `json:"figure"`  // its name: "broken chord, up"
	Length  score.Rat       `json:"length"`  // of the figure, in quarters
	Times   int             `json:"times"`   // how often it came before the break
	Departs detect.Position `json:"departs"` // where it first departs
	Pitches []score.Pitch   `json:"pitches"` // what is struck there
	How     string          `json:"how"`
	Holds   []Holding       `json:"holds"` // where this hand plays the figure in the whole piece
}

// Holding is a stretch in which a figure holds.
type Holding struct {
	From detect.Position `json:"from"`
	To   detect.Position `json:"to"`
}

func findPatternBreaks(p *detect.Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		held := figuresHeld(p, hand)
		for i := range held {
			if b, ok := breakAfter(p, &held[i]); ok {
				p.Report(b.occurrence(p, held))
			}
		}
	}
}

// patternNote is one attack of a figure.
type patternNote struct {
	at    score.Rat // from the figure's start
	chord bool
	way   int // from the attack before: 1 up, −1 down, 0 the same key, or from chord to chord
}

// pattern is what a line strikes in one stretch of time, in any key.
type pattern []patternNote

func figureOf(p *detect.Pass, l detect.Line, from score.Rat) pattern {
	f := make(pattern, len(l))
	for i, e := range l {
		f[i] = patternNote{at: e.At.Sub(from), chord: p.IsChord(e)}
		if i > 0 && !(f[i].chord && f[i-1].chord) {
			f[i].way = cmp.Compare(p.Lowest(e), p.Lowest(l[i-1]))
		}
	}
	return f
}

// agrees counts the attacks of g, from the first, that are those of f.
func (f pattern) agrees(g pattern) int {
	n := 0
	for n < len(f) && n < len(g) && f[n] == g[n] {
		n++
	}
	return n
}

// holdsIn reports whether g is f, or f with less than half left off at its end.
func (f pattern) holdsIn(g pattern) bool {
	return f.agrees(g) == len(g) && 2*len(g) > len(f)
}

// isFigure reports whether a line's attacks in one stretch are an accompaniment
// figure: a low note and chords above it, a chord or key again and again, or a
// broken chord: an Alberti figure, or what for the most part moves by thirds or
// more.
func isFigure(p *detect.Pass, l detect.Line) bool {
	if len(l) < 2 {
		return false
	}
	chords, wide, still := 0, 0, 0
	for i, e := range l {
		if p.IsChord(e) {
			chords++
		}
		if i == 0 {
			continue
		}
		switch d := p.Lowest(e) - p.Lowest(l[i-1]); {
		case d == 0:
			still++
		case d > 2 || d < -2:
			wide++
		}
	}
	switch moves := len(l) - 1; {
	case still == moves:
		return moves >= 2 && (chords == 0 || chords == len(l))
	case chords > 0:
		return isBassAndChords(p, l)
	default:
		return moves >= 2 && (2*wide >= moves || isAlberti(p, l))
	}
}

// isBassAndChords reports whether each single note is followed by a chord that
// lies a third or more above it.
func isBassAndChords(p *detect.Pass, l detect.Line) bool {
	if p.IsChord(l[0]) {
		return false
	}
	for i, e := range l {
		if p.IsChord(e) {
			continue
		}
		if i+1 == len(l) || !p.IsChord(l[i+1]) || p.Lowest(l[i+1])-p.Lowest(e) < 3 {
			return false
		}
	}
	return true
}

// shortestFigure bounds the beats that are looked at, in quarters: no one counts
// shorter ones.
var shortestFigure = score.R(1, 8)

// cell is one stretch of time that a figure may fill: a beat, half a bar or a bar.
type cell struct{ from, to score.Rat }

// cells cuts the piece into the parts of its bars; size is 0 for beats, 1 for
// half bars, 2 for bars. What is no full part is left out.
func cells(s *score.Score, size int) []cell {
	var all []cell
	for _, bar := range s.Bars {
		length := [...]score.Rat{bar.Time.Beat(), bar.Time.Length.Div(score.Int(2)), bar.Time.Length}[size]
		if length.Less(shortestFigure) || size == 1 && length.Div(bar.Time.Beat()).Den() != 1 {
			continue
		}
		for from := bar.Start; from.Add(length).Cmp(bar.End()) <= 0; from = from.Add(length) {
			all = append(all, cell{from, from.Add(length)})
		}
	}
	return all
}

// held is a figure that a hand plays several times in a row.
type held struct {
	hand   score.Hand
	figure pattern
	name   string
	length score.Rat
	times  int
	cell   cell // from the first to the last
	next   cell // the one after
	lines  []detect.Line
}

// figuresHeld are the established figures of a hand, by time; where several
// hold at once, the one that holds longest, the shorter on ties.
func figuresHeld(p *detect.Pass, hand score.Hand) []held {
	lines := p.Lines(hand)
	var all []held
	for size := range 3 {
		all = append(all, runsOf(p, hand, lines, cells(p.Score, size))...)
	}
	span := func(h held) score.Rat { return h.cell.to.Sub(h.cell.from) }
	slices.SortStableFunc(all, func(a, b held) int {
		return cmp.Or(span(b).Cmp(span(a)), a.length.Cmp(b.length), a.cell.from.Cmp(b.cell.from))
	})
	var kept []held
	for _, h := range all {
		overlaps := func(k held) bool { return h.cell.from.Less(k.cell.to) && k.cell.from.Less(h.cell.to) }
		if !slices.ContainsFunc(kept, overlaps) {
			kept = append(kept, h)
		}
	}
	slices.SortFunc(kept, func(a, b held) int { return a.cell.from.Cmp(b.cell.from) })
	return kept
}

// runsOf finds the figures that hold in cells one after the other.
func runsOf(p *detect.Pass, hand score.Hand, lines []detect.Line, cells []cell) []held {
	parts := partsIn(p, lines, cells)
	var all []held
	for first := 0; first < len(cells); {
		h := held{hand: hand, cell: cells[first], lines: lines, length: cells[first].to.Sub(cells[first].from)}
		for _, part := range parts[first] {
			if !isFigure(p, part.line) {
				continue
			}
			if times := repeats(part.pattern, parts, cells, first); times > h.times {
				h.figure, h.times, h.name = part.pattern, times, figureName(p, part.line)
			}
		}
		if h.times == 0 {
			first++
			continue
		}
		h.cell.to = cells[first+h.times-1].to
		first += h.times
		if first < len(cells) {
			h.next = cells[first]
		}
		if h.times >= leastTimes && barsOf(p, h.cell) >= leastBarsHeld {
			all = append(all, h)
		}
	}
	return all
}

// part is what one line strikes in one cell.
type part struct {
	line    detect.Line
	pattern pattern
}

// partsIn are the parts of all lines in each cell.
func partsIn(p *detect.Pass, lines []detect.Line, cells []cell) [][]part {
	all := make([][]part, len(cells))
	for _, l := range lines {
		at := 0
		for i, c := range cells {
			for at < len(l) && l[at].At.Less(c.from) {
				at++
			}
			first := at
			for at < len(l) && l[at].At.Less(c.to) {
				at++
			}
			if at > first {
				all[i] = append(all[i], part{l[first:at], figureOf(p, l[first:at], c.from)})
			}
		}
	}
	return all
}

// repeats counts in how many cells from the first on a figure holds, in
// whatever line. Cells must follow each other without a gap.
func repeats(f pattern, parts [][]part, cells []cell, first int) int {
	holds := func(in part) bool { return f.holdsIn(in.pattern) }
	n := 1
	for i := first + 1; i < len(cells) && cells[i].from == cells[i-1].to && slices.ContainsFunc(parts[i], holds); i++ {
		n++
	}
	return n
}

// barsOf is how many bars a stretch is long, by the bar in which it begins.
func barsOf(p *detect.Pass, c cell) float64 {
	bar := p.Score.Bars[p.Score.BarAt(c.from)]
	return c.to.Sub(c.from).Div(score.Max(bar.Length, bar.Time.Length)).Float()
}

// figureName is what a figure is called.
func figureName(p *detect.Pass, l detect.Line) string {
	var ways []int
	chords := 0
	for i, e := range l {
		if p.IsChord(e) {
			chords++
		}
		if i > 0 {
			ways = append(ways, cmp.Compare(p.Lowest(e), p.Lowest(l[i-1])))
		}
	}
	turns := slices.Compact(slices.Clone(ways))
	switch {
	case chords == len(l):
		return "repeated chords"
	case chords > 0:
		return bassName(len(l)-chords, chords)
	case isAlberti(p, l):
		return "Alberti figure"
	case slices.Equal(turns, []int{0}):
		return "repeated notes"
	case slices.Equal(turns, []int{1}):
		return "broken chord, up"
	case slices.Equal(turns, []int{-1}):
		return "broken chord, down"
	case slices.Equal(turns, []int{1, -1}):
		return "broken chord, up and down"
	case slices.Equal(turns, []int{-1, 1}):
		return "broken chord, down and up"
	}
	return "broken chord, to and fro"
}

func bassName(basses, chords int) string {
	each := chords / basses
	switch {
	case chords%basses != 0:
		return "bass notes and chords"
	case each == 1:
		return "bass and chord"
	case each < len(numberWords):
		return "bass and " + numberWords[each] + " chords"
	}
	return fmt.Sprintf("bass and %d chords", each)
}

var numberWords = [...]string{"no", "one", "two", "three", "four", "five", "six"}

// isAlberti reports whether four notes, once or again and again, go low, high,
// middle, high.
func isAlberti(p *detect.Pass, l detect.Line) bool {
	if len(l)%4 != 0 {
		return false
	}
	for ; len(l) > 0; l = l[4:] {
		low, high, middle, again := p.Lowest(l[0]), p.Lowest(l[1]), p.Lowest(l[2]), p.Lowest(l[3])
		if !(low < middle && middle < high && high == again) {
			return false
		}
	}
	return true
}

// departure is where a figure breaks off.
type departure struct {
	from *held
	line detect.Line // what is struck in the cell after
	at   int         // the event of line that departs
	how  string
}

// breakAfter reports whether and where a hand departs from a figure.
func breakAfter(p *detect.Pass, h *held) (departure, bool) {
	if h.next.from != h.cell.to || warned(p, h.next.from) {
		return departure{}, false
	}
	var best detect.Line
	most := -1
	for _, l := range h.lines {
		part := l.Between(h.next.from, h.next.to)
		if n := h.figure.agrees(figureOf(p, part, h.next.from)); len(part) > 0 && n > most {
			best, most = part, n
		}
	}
	if len(best) == 0 || isLastStrike(p, h, best) {
		return departure{}, false
	}
	d := departure{from: h, line: best, at: min(most, len(best)-1)}
	d.how = howDeparts(p, h, best, most)
	return d, true
}

// warned reports whether the page itself warns of something new at an instant.
func warned(p *detect.Pass, at score.Rat) bool {
	s := p.Score
	n := s.BarAt(at)
	bar := &s.Bars[n]
	if n == 0 || bar.Start != at {
		return false
	}
	before := &s.Bars[n-1]
	return bar.RepeatStart || before.RepeatEnd > 0 || bar.Ending != before.Ending || bar.Key != before.Key || bar.Time != before.Time ||
		slices.ContainsFunc(s.Tempos, func(t score.Tempo) bool { return t.At == at })
}

// isLastStrike reports whether a hand strikes only once more in the piece.
func isLastStrike(p *detect.Pass, h *held, l detect.Line) bool {
	events := p.Events[h.hand]
	return len(l) == 1 && l[0].At == events[len(events)-1].At
}

// howDeparts says what is other than in the figure; same is how many attacks
// of the line are still those of the figure.
func howDeparts(p *detect.Pass, h *held, l detect.Line, same int) string {
	if same == len(l) {
		return "it stops where the figure goes on"
	}
	is := figureOf(p, l, h.next.from)[same]
	if same == len(h.figure) {
		return "it goes on where the figure ends"
	}
	was := h.figure[same]
	switch {
	case was.at.Less(is.at):
		return "it comes later than in the figure"
	case is.at.Less(was.at):
		return "it comes sooner than in the figure"
	case is.chord != was.chord && is.chord:
		return "a chord instead of a single note"
	case is.chord != was.chord:
		return "a single note instead of a chord"
	}
	words := map[int]string{1: "goes up", 0: "stays", -1: "goes down"}
	return fmt.Sprintf("it %s where the figure %s", words[is.way], words[was.way])
}

func (d *departure) occurrence(p *detect.Pass, all []held) detect.Occurrence {
	s, h := p.Score, d.from
	e := d.line[d.at]
	bars := barsOf(p, h.cell)
	detail := Detail{
		Figure: h.name, Length: h.length, Times: h.times, Departs: p.Position(e.At), Pitches: p.Pitches(e.Struck), How: d.how,
	}
	for _, other := range all {
		if slices.Equal(other.figure, h.figure) && other.length == h.length {
			detail.Holds = append(detail.Holds, Holding{p.Position(other.cell.from), p.EndPosition(other.cell.to)})
		}
	}
	first, last := s.Bars[s.BarAt(h.cell.from)].Number, s.Bars[s.BarEnding(h.cell.to)].Number
	return detect.Occurrence{
		Hand: h.hand, From: e.At, To: p.EndOf(e.Struck), Notes: slices.Clone(e.Struck),
		Demand: min(mostSurprise, surprisePerBar*bars),
		Shape:  d.shape(p),
		Label:  "leaves " + h.name,
		Why: fmt.Sprintf("The %s hand has played one figure (%s) %d times, in bars %s–%s; at %s it departs with %s: %s.",
			h.hand, h.name, h.times, first, last, detect.PositionName(s, e.At), p.PrettyNames(e.Struck), d.how),
		Detail: detail, Picture: d.picture(p), Exercise: detect.Rhythms{Hardest: e.At},
	}
}

// shape is the figure and what comes instead.
func (d *departure) shape(p *detect.Pass) string {
	var b strings.Builder
	for _, f := range []pattern{d.from.figure, figureOf(p, d.line, d.from.next.from)} {
		for _, st := range f {
			fmt.Fprintf(&b, "%s %t %+d ", st.at, st.chord, st.way)
		}
		b.WriteString("| ")
	}
	return b.String()
}

// picture shows the figure once more before the break, and what comes instead.
func (d *departure) picture(p *detect.Pass) detect.PianoRoll {
	from := d.from.cell.to.Sub(d.from.length)
	r := p.PianoRoll(from, d.from.next.to, d.line[d.at].Struck)
	r.Lines = []score.Rat{d.line[d.at].At.Sub(from)}
	return r
}
