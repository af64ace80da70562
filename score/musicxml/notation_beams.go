package musicxml

import (
	"slices"
	"strconv"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
)

// writeBeams fills in the beams: as the file has them, or by rule where it has
// none at all. Either way a level is a run of chords from "begin" to "end".
func (w *writer) writeBeams() {
	if w.hasBeams() {
		for _, line := range w.voiceLines() {
			for _, g := range w.fileBeams(line) {
				w.setBeams(g)
			}
		}
		return
	}
	for _, line := range w.barLines() {
		for _, g := range w.ruledBeams(line) {
			w.setBeams(g)
		}
	}
}

func (w *writer) hasBeams() bool {
	return slices.ContainsFunc(w.sources, func(s source) bool {
		return slices.ContainsFunc(s.elems, func(e *etree.Element) bool { return e.SelectElement("beam") != nil })
	})
}

// beamGroup is the chords under one beam, with what the file says of each level
// at each of them; nothing where the beams go by rule.
type beamGroup struct {
	chords []int
	marks  []map[int]string
}

// setBeams gives the chords of a group their beams. A level that the file leaves
// out goes by the note values.
func (w *writer) setBeams(g beamGroup) {
	if len(g.chords) < 2 {
		return
	}
	for level := 1; ; level++ {
		has := func(k int) bool {
			return level == 1 || g.marks[k][level] != "" || Value{Type: w.Chords[g.chords[k]].Value.Type}.Flags() >= level
		}
		drawn := false
		for k, i := range g.chords {
			if !has(k) || len(w.Chords[i].Beams) < level-1 {
				continue
			}
			drawn = true
			before := k > 0 && has(k-1) && w.joined(g, k-1, level)
			after := k+1 < len(g.chords) && has(k+1) && w.joined(g, k, level)
			w.Chords[i].Beams = append(w.Chords[i].Beams, w.beamMark(g, k, level, before, after))
		}
		if !drawn {
			return
		}
	}
}

// joined reports whether a level goes on from the chord at k to the next.
func (w *writer) joined(g beamGroup, k, level int) bool {
	here, next := g.marks[k][level], g.marks[k+1][level]
	if level == 1 || here == "" && next == "" {
		return true
	}
	return (here == "begin" || here == "continue") && (next == "continue" || next == "end")
}

// beamMark is how a level stands at the chord at k: joined to the chord before,
// to the one after, or a hook. A hook of which the file does not say the side
// points into the beat that it belongs to.
func (w *writer) beamMark(g beamGroup, k, level int, before, after bool) string {
	switch mark := g.marks[k][level]; {
	case before && after:
		return "continue"
	case before:
		return "end"
	case after:
		return "begin"
	case strings.HasSuffix(mark, "hook"):
		return mark
	case k == 0:
		return "forward hook"
	case k == len(g.chords)-1:
		return "backward hook"
	}
	c := &w.Chords[g.chords[k]]
	offset := c.At.Sub(w.Bars[c.Bar].Start)
	if c.Length.Sign() > 0 && offset.Div(c.Length.Mul(score.Int(2))).Den() == 1 {
		return "forward hook"
	}
	return "backward hook"
}

// fileBeams groups the chords of one voice by the file's first-level beams. A
// group that is not begun or not ended is taken as far as it goes; rests may lie
// within one.
func (w *writer) fileBeams(line []int) []beamGroup {
	var groups []beamGroup
	open := false
	for _, i := range line {
		if w.Chords[i].Rest {
			continue
		}
		marks := w.sources[i].beams()
		switch marks[1] {
		case "begin", "continue", "end":
			if !open || marks[1] == "begin" {
				groups = append(groups, beamGroup{})
			}
			g := &groups[len(groups)-1]
			g.chords, g.marks = append(g.chords, i), append(g.marks, marks)
			open = marks[1] != "end"
		default:
			open = false
		}
	}
	return groups
}

// beams is what the file says of each level of beams at the chord, by level.
func (s source) beams() map[int]string {
	for _, elem := range s.elems {
		if elem.SelectElement("beam") == nil {
			continue
		}
		marks := map[int]string{}
		for b := range elem.SelectElementsSeq("beam") {
			level, _ := strconv.Atoi(b.SelectAttrValue("number", "1"))
			marks[level] = token(b)
		}
		return marks
	}
	return nil
}

// ruledBeams groups the chords of one voice in one bar by beats (common
// practice): what has flags, stands in one beat, and follows without a gap.
// A tuplet longer than a beat is a group of its own.
func (w *writer) ruledBeams(line []int) []beamGroup {
	var groups []beamGroup
	var end score.Rat
	last := beat{-1, -1}
	for _, i := range line {
		c := &w.Chords[i]
		flagged := !c.Rest && !c.Hidden && Value{Type: c.Value.Type}.Flags() > 0
		if !flagged {
			last = beat{-1, -1}
			continue
		}
		here := w.beatOf(i)
		if here != last || c.At != end {
			groups = append(groups, beamGroup{})
		}
		g := &groups[len(groups)-1]
		g.chords, g.marks = append(g.chords, i), append(g.marks, nil)
		last, end = here, c.End()
	}
	return groups
}

// beat is a place that chords are beamed within: a beat of the bar, or else a
// long tuplet, by its index.
type beat struct{ number, tuplet int }

// beatOf is the beat that a chord stands in.
func (w *writer) beatOf(i int) beat {
	c := &w.Chords[i]
	bar := w.score.Bars[c.Bar]
	for k, t := range w.Tuplets {
		if t.Depth == 0 && t.From <= i && i <= t.To && w.sources[t.From].voice == w.sources[i].voice &&
			bar.Time.Beat().Less(w.Chords[t.To].End().Sub(w.Chords[t.From].At)) {
			return beat{-1, k}
		}
	}
	offset := c.At.Sub(bar.Start)
	if bar.Length.Less(bar.Time.Length) && (bar.Index == 1 || bar.Implicit) {
		offset = offset.Add(bar.Time.Length.Sub(bar.Length)) // a pickup is the end of a bar
	}
	return beat{beatNumber(offset, beatsOf(bar.Time)), -1}
}

// beatNumber counts the beats before a place in a bar.
func beatNumber(offset score.Rat, beats []score.Rat) int {
	var round score.Rat
	for _, b := range beats {
		round = round.Add(b)
	}
	rounds := offset.Div(round)
	n := rounds.Num() / rounds.Den()
	offset = offset.Sub(round.Mul(score.Int(n)))
	number := int(n) * len(beats)
	for _, b := range beats {
		if offset.Less(b) {
			break
		}
		offset = offset.Sub(b)
		number++
	}
	return number
}

// beatsOf are the lengths of the beats that a bar is beamed in, to be repeated.
// Eighths and shorter go by threes; of five and seven the parts are 3+2 and
// 2+2+3 (common practice).
func beatsOf(time score.Time) []score.Rat {
	if time.BeatType == 0 {
		return []score.Rat{score.Int(1)}
	}
	var beats []score.Rat
	for term := range strings.SplitSeq(time.Beats, "+") {
		upper, lower, own := strings.Cut(term, "/")
		kind := int64(time.BeatType)
		if own {
			kind = whole(lower)
		}
		for _, n := range countedIn(whole(upper), kind, strings.Contains(time.Beats, "+")) {
			beats = append(beats, score.R(4*n, max(kind, 1)))
		}
	}
	return beats
}

// countedIn is how many units each beat has, of n units that a signature counts;
// a term of a sum is one beat when its units are short.
func countedIn(n, kind int64, term bool) []int64 {
	switch {
	case n < 1:
		return []int64{1}
	case kind < 8:
		return []int64{1}
	case term || n <= 3:
		return []int64{n}
	case n%3 == 0:
		return []int64{3}
	case n == 5:
		return []int64{3, 2}
	case n == 7:
		return []int64{2, 2, 3}
	}
	return []int64{2}
}
