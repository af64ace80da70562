package notation

import (
	"strconv"
	"strings"

	"hardbars/score"
)

// Beam gives all chords beams by rule (common practice): what has flags, stands
// in one beat, and follows without a gap in one voice. A tuplet longer than a
// beat is a group of its own.
func (s *Score) Beam() {
	long := s.longTuplets()
	for _, line := range s.VoicesByBar() {
		for _, group := range s.beamGroups(line, long) {
			s.SetBeams(group, make([]map[int]string, len(group)))
		}
	}
}

// SetBeams gives the chords under one beam, as indices into Chords, their beams.
// Marks is what a file says of each level at each of them; a level of which it
// says nothing goes by the note values.
func (s *Score) SetBeams(chords []int, marks []map[int]string) {
	if len(chords) < 2 {
		return
	}
	g := beamGroup{s, chords, marks}
	for level := 1; g.set(level); level++ {
	}
}

// beamGroup is the chords under one beam, with what the file says of each level
// at each of them.
type beamGroup struct {
	*Score
	chords []int
	marks  []map[int]string
}

// set gives the chords one level of beams, and reports whether any has it.
func (g beamGroup) set(level int) (drawn bool) {
	has := func(k int) bool {
		return level == 1 || g.marks[k][level] != "" || g.Chords[g.chords[k]].Value.Flags() >= level
	}
	for k, i := range g.chords {
		if !has(k) || len(g.Chords[i].Beams) < level-1 {
			continue
		}
		drawn = true
		before := k > 0 && has(k-1) && g.joined(k-1, level)
		after := k+1 < len(g.chords) && has(k+1) && g.joined(k, level)
		g.Chords[i].Beams = append(g.Chords[i].Beams, g.mark(k, level, before, after))
	}
	return drawn
}

// joined reports whether a level goes on from the chord at k to the next.
func (g beamGroup) joined(k, level int) bool {
	here, next := g.marks[k][level], g.marks[k+1][level]
	if level == 1 || here == "" && next == "" {
		return true
	}
	return (here == "begin" || here == "continue") && (next == "continue" || next == "end")
}

// mark is how a level stands at the chord at k: joined to the chord before, to
// the one after, or a hook. A hook of which the file does not say the side
// points into the beat that it belongs to.
func (g beamGroup) mark(k, level int, before, after bool) string {
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
	c := &g.Chords[g.chords[k]]
	offset := c.At.Sub(g.Bars[c.Bar].Start)
	if c.Length.Sign() > 0 && offset.Div(c.Length.Mul(score.Int(2))).Den() == 1 {
		return "forward hook"
	}
	return "backward hook"
}

// beamGroups groups the chords of one voice in one bar that go under one beam
// each.
func (s *Score) beamGroups(line []int, long map[int]int) [][]int {
	var groups [][]int
	var end score.Rat
	none := beamed{-1, -1}
	last := none
	for _, i := range line {
		c := &s.Chords[i]
		if c.Rest || c.Hidden || c.Value.Flags() == 0 {
			last = none
			continue
		}
		here := s.beamedIn(i, long)
		if here != last || c.At != end {
			groups = append(groups, nil)
		}
		g := len(groups) - 1
		groups[g] = append(groups[g], i)
		last, end = here, c.End()
	}
	return groups
}

// beamed is what chords are beamed within: a beat of the bar, or else a long
// tuplet, by its index.
type beamed struct{ beat, tuplet int }

// longTuplets are the outermost tuplets that are longer than a beat, as indices,
// by chord.
func (s *Score) longTuplets() map[int]int {
	long := map[int]int{}
	for k, t := range s.Tuplets {
		first, last := &s.Chords[t.From], &s.Chords[t.To]
		if t.Depth > 0 || !s.Bars[first.Bar].Time.Beat().Less(last.End().Sub(first.At)) {
			continue
		}
		for i := t.From; i <= t.To; i++ {
			if _, known := long[i]; !known && s.Chords[i].Voice == first.Voice {
				long[i] = k
			}
		}
	}
	return long
}

// beamedIn is what a chord is beamed within.
func (s *Score) beamedIn(i int, long map[int]int) beamed {
	if k, ok := long[i]; ok {
		return beamed{-1, k}
	}
	c := &s.Chords[i]
	bar := &s.Bars[c.Bar]
	offset := c.At.Sub(bar.Start)
	if bar.Length.Less(bar.Time.Length) && (c.Bar == 0 || bar.Implicit) {
		offset = offset.Add(bar.Time.Length.Sub(bar.Length)) // a pickup is the end of a bar
	}
	return beamed{BeatAt(bar.Time, offset), -1}
}

// BeatAt counts the beats, as Beats has them, before a place in a bar.
func BeatAt(time score.Time, offset score.Rat) int {
	beats := Beats(time)
	var round score.Rat
	for _, b := range beats {
		round = round.Add(b)
	}
	rounds := floor(offset, round)
	offset = offset.Sub(round.Mul(score.Int(rounds)))
	number := int(rounds) * len(beats)
	for _, b := range beats {
		if offset.Less(b) {
			break
		}
		offset = offset.Sub(b)
		number++
	}
	return number
}

// Beats are the lengths of the beats that a bar is beamed in, to be repeated.
// Eighths and shorter go by threes; of five and seven the parts are 3+2 and
// 2+2+3 (common practice).
func Beats(time score.Time) []score.Rat {
	if time.BeatType == 0 {
		return []score.Rat{score.Int(1)}
	}
	var beats []score.Rat
	for term := range strings.SplitSeq(time.Beats, "+") {
		upper, lower, own := strings.Cut(term, "/")
		unit := int64(time.BeatType)
		if own {
			unit = whole(lower)
		}
		for _, n := range countedIn(whole(upper), unit, strings.Contains(time.Beats, "+")) {
			beats = append(beats, score.R(4*n, max(unit, 1)))
		}
	}
	return beats
}

// countedIn is how many units each beat has, of n units that a signature counts;
// a term of a sum is one beat when its units are short.
func countedIn(n, unit int64, term bool) []int64 {
	switch {
	case n < 1:
		return []int64{1}
	case unit < 8:
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

// whole is a figure of a time signature, and 0 where it is none.
func whole(figure string) int64 {
	n, _ := strconv.ParseInt(strings.TrimSpace(figure), 10, 64)
	return n
}

// OneBeam reports whether one beam goes from one chord to another, as indices into
// Chords, and no further. A tuplet with such a beam needs no bracket.
func (s *Score) OneBeam(from, to int) bool {
	at := func(i int) string {
		if beams := s.Chords[i].Beams; len(beams) > 0 {
			return beams[0] // the outermost
		}
		return ""
	}
	return from < to && at(from) == "begin" && at(to) == "end"
}

// Voices lists the chords of each voice in the order of time, as indices into
// Chords. Grace notes are in lists of their own.
func (s *Score) Voices() [][]int {
	type key struct {
		voice string
		grace bool
	}
	index := map[key]int{}
	var voices [][]int
	for i := range s.Chords {
		k := key{s.Chords[i].Voice, s.Chords[i].Grace > 0}
		at, ok := index[k]
		if !ok {
			at = len(voices)
			index[k] = at
			voices = append(voices, nil)
		}
		voices[at] = append(voices[at], i)
	}
	return voices
}

// VoicesByBar is Voices cut at the barlines.
func (s *Score) VoicesByBar() [][]int {
	var cut [][]int
	for _, line := range s.Voices() {
		from := 0
		for to := range line {
			if s.Chords[line[to]].Bar != s.Chords[line[from]].Bar {
				cut = append(cut, line[from:to:to])
				from = to
			}
		}
		cut = append(cut, line[from:])
	}
	return cut
}
