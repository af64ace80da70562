// Package regrouping finds even notes that are grouped against the beat.
package regrouping

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// Detector finds the kind regrouping.
var Detector = &detect.Detector{
	Kind: "regrouping",
	Name: "notes grouped against the beat",
	Doc: `One hand plays even notes in groups that do not fit the beat or the bar: fours where the beat has six, threes
across a beat of four or two, twos over the barlines of a triple bar (a hemiola). The groups are read from beams, slurs
and accents, and from contour: the same steps in each group, with a turn in it, or single notes and chords in turn. Even
notes of two beats or more that cross the barlines are groups of one. Three groups in a row are enough; four, if they are twos or threes of single notes
that only the contour shows. A group fits, and is left out, when it divides the beat, when it is a whole number of beats and divides the
bar, and when it is a whole number of bars. The hand's voices are looked at together and each by itself. Demand is the
number of groups a second divided by the comfortable rate.`,
	Basis:    detect.CommonPractice,
	Rests:    "common practice; recorded performances have too few of them to tell.",
	Limits:   []detect.Limit{detect.GroupRate.Limit()},
	Telling:  []string{"group", "per_beat", "groups", "hemiola"},
	Run:      findRegroupings,
	Speech:   speech,
	Practise: practise,
}

// Detail is the JSON detail of notes grouped against the beat.
type Detail struct {
	Group     int               `json:"group"`    // notes in a group
	PerBeat   score.Rat         `json:"per_beat"` // notes of this length in a beat
	Length    score.Rat         `json:"length"`   // of a group, in quarters
	Beat      score.Rat         `json:"beat"`     // in quarters
	Hemiola   bool              `json:"hemiola"`  // groups of whole beats that cross the barlines
	ReadFrom  []string          `json:"read_from"`
	Groups    int               `json:"groups"`
	Starts    []detect.Position `json:"starts"` // of the groups
	PerSecond float64           `json:"groups_per_second"`
}

// How many groups in a row are enough, and how many notes a group may have:
// common practice.
const (
	leastGroups = 3
	leastSmall  = 4 // of groups of two or three that only the contour shows
	mostInGroup = 12
)

func findRegroupings(p *detect.Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		var all []grouping
		for _, l := range p.Lines(hand) {
			for _, run := range evenRuns(l) {
				all = append(all, groupings(p, run)...)
			}
		}
		for _, g := range longest(all) {
			p.Report(g.occurrence(p, hand))
		}
	}
}

// evenRuns are the longest runs of a line in which each event comes as long
// after the one before.
func evenRuns(l detect.Line) []detect.Line {
	var runs []detect.Line
	for len(l) >= leastGroups {
		n := 2
		for n < len(l) && l[n].At.Sub(l[n-1].At) == l[1].At.Sub(l[0].At) {
			n++
		}
		runs = append(runs, l[:n])
		l = l[n-1:]
	}
	return runs
}

// grouping is groups of one size, one after the other.
type grouping struct {
	line     detect.Line // the notes of all groups
	size     int         // notes in a group
	step     score.Rat
	readFrom []string
}

func (g *grouping) from() score.Rat { return g.line[0].At }

func (g *grouping) to() score.Rat { return g.from().Add(g.step.Mul(score.Int(int64(len(g.line))))) }

func (g *grouping) length() score.Rat { return g.step.Mul(score.Int(int64(g.size))) }

func (g *grouping) groups() int { return len(g.line) / g.size }

// isHemiola reports whether a group is a number of whole beats.
func (g *grouping) isHemiola(p *detect.Pass) bool { return g.length().Div(g.beat(p)).Den() == 1 }

// beat is the beat where the groups begin.
func (g *grouping) beat(p *detect.Pass) score.Rat {
	return p.Score.Bars[p.Score.BarAt(g.from())].Time.Beat()
}

// groupings are the groups of one run of even notes that are against the beat.
func groupings(p *detect.Pass, run detect.Line) []grouping {
	var all []grouping
	for _, read := range []struct {
		from   string
		groups []group
	}{
		{"beams", beamed(p, run)},
		{"slurs", slurred(p, run)},
		{"accents", accented(p, run)},
		{"contour", repeated(p, run)},
		{"lengths", long(p, run)},
	} {
		for _, row := range rows(read.groups) {
			g := grouping{run[row.first:row.end], row.size, run[1].At.Sub(run[0].At), []string{read.from}}
			if read.from == "contour" && g.size == 2 && g.isHemiola(p) && !mixed(p, g.line) {
				continue // a bass that goes up and down by turns is no hemiola yet
			}
			if against(p, g.length(), g.from()) && against(p, g.length(), g.line[len(g.line)-1].At) {
				all = append(all, g)
			}
		}
	}
	return all
}

// group is positions in a run of even notes.
type group struct{ first, end int } // end is not part of it

// row is groups of one size, one after the other.
type row struct{ first, end, size int }

// rows joins groups of one size that follow each other, where there are enough.
func rows(groups []group) []row {
	var all []row
	for len(groups) > 0 {
		n, size := 1, groups[0].end-groups[0].first
		for n < len(groups) && groups[n].first == groups[n-1].end && groups[n].end-groups[n].first == size {
			n++
		}
		if n >= leastGroups && size <= mostInGroup {
			all = append(all, row{groups[0].first, groups[n-1].end, size})
		}
		groups = groups[n:]
	}
	return all
}

// beamed are the groups under one beam.
func beamed(p *detect.Pass, run detect.Line) []group {
	return bracketed(p, run,
		func(n *score.Note) bool { return n.Heads[0].Beam == "begin" },
		func(n *score.Note) bool { return n.Heads[len(n.Heads)-1].Beam == "end" })
}

// slurred are the groups under one slur.
func slurred(p *detect.Pass, run detect.Line) []group {
	return bracketed(p, run,
		func(n *score.Note) bool { return n.SlurStart > 0 },
		func(n *score.Note) bool { return n.SlurEnd > 0 })
}

// bracketed are the groups from a note that begins one to the next that ends one.
func bracketed(p *detect.Pass, run detect.Line, begins, ends func(*score.Note) bool) []group {
	var groups []group
	first := -1
	for i, e := range run {
		if anyOf(p, e, begins) {
			first = i
		}
		if first >= 0 && i > first && anyOf(p, e, ends) {
			groups = append(groups, group{first, i + 1})
			first = -1
		}
	}
	return groups
}

func anyOf(p *detect.Pass, e detect.Event, is func(*score.Note) bool) bool {
	return slices.ContainsFunc(e.Struck, func(n int) bool { return is(&p.Score.Notes[n]) })
}

// accented are the groups from one accent to the next. The last is taken to be
// as long as the one before, if the run goes on for so long.
func accented(p *detect.Pass, run detect.Line) []group {
	var groups []group
	last := -1
	for i, e := range run {
		if !anyOf(p, e, isAccented) {
			continue
		}
		if last >= 0 {
			groups = append(groups, group{last, i})
		}
		last = i
	}
	if n := len(groups) - 1; n >= 0 {
		if end := last + groups[n].end - groups[n].first; end <= len(run) {
			groups = append(groups, group{last, end})
		}
	}
	return groups
}

func isAccented(n *score.Note) bool {
	return slices.Contains(n.Articulations, "accent") || slices.Contains(n.Articulations, "strong-accent")
}

// long are notes held for two beats or more, less than a bar, until the next.
func long(p *detect.Pass, run detect.Line) []group {
	bar := p.Score.Bars[p.Score.BarAt(run[0].At)]
	step := run[1].At.Sub(run[0].At)
	if step.Less(bar.Time.Beat().Mul(score.Int(2))) || !step.Less(bar.Time.Length) {
		return nil
	}
	var groups []group
	for i, e := range run {
		if anyOf(p, e, func(n *score.Note) bool { return n.Length == step }) {
			groups = append(groups, group{i, i + 1})
		}
	}
	return groups
}

// repeated are groups that repeat the contour of the one before.
func repeated(p *detect.Pass, run detect.Line) []group {
	var groups []group
	for first := 0; first < len(run); {
		n, size := 0, 0
		for s := 2; s <= mostInGroup && leastGroups*s <= len(run)-first && n == 0; s++ {
			if groups := groupsAlike(p, run[first:], s); groups >= leastGroups && (s > 3 || groups >= leastSmall || mixed(p, run[first:first+s])) {
				n, size = groups, s
			}
		}
		for i := range n {
			groups = append(groups, group{first + i*size, first + (i+1)*size})
		}
		first += max(1, n*size)
	}
	return groups
}

// groupsAlike counts the groups of one size, from the first note on, that are
// alike. The smallest size that has enough is the group: larger ones only
// repeat it.
func groupsAlike(p *detect.Pass, l detect.Line, size int) int {
	if !turns(p, l[:size+1]) {
		return 0
	}
	n := 1
	for (n+1)*size <= len(l) && alike(p, l, size, n) {
		n++
	}
	return n
}

// turns reports whether a line goes both up and down.
func turns(p *detect.Pass, l detect.Line) bool {
	up, down := false, false
	for i := 1; i < len(l); i++ {
		up = up || p.Lowest(l[i-1]) < p.Lowest(l[i])
		down = down || p.Lowest(l[i]) < p.Lowest(l[i-1])
	}
	return up && down
}

// alike reports whether group n of a line is like group 0: single notes and
// chords come at the same places, and if it is all one or the other it goes by
// the same staff steps, groups of two in the same directions.
func alike(p *detect.Pass, l detect.Line, size, n int) bool {
	for i := range size {
		if p.IsChord(l[i]) != p.IsChord(l[n*size+i]) {
			return false
		}
	}
	if mixed(p, l[:size]) {
		return true
	}
	for i := 1; i < size; i++ {
		a, b := step(p, l[i-1], l[i]), step(p, l[n*size+i-1], l[n*size+i])
		if a != b && (size > 2 || cmp.Compare(a, 0) != cmp.Compare(b, 0)) {
			return false
		}
	}
	return cmp.Compare(step(p, l[size-1], l[size]), 0) == cmp.Compare(step(p, l[n*size-1], l[n*size]), 0)
}

// mixed reports whether a line has both single notes and chords.
func mixed(p *detect.Pass, l detect.Line) bool {
	return slices.ContainsFunc(l, func(e detect.Event) bool { return p.IsChord(e) != p.IsChord(l[0]) })
}

// step is from the lowest note of one event to that of another, in staff steps.
func step(p *detect.Pass, a, b detect.Event) int {
	return p.Pitch(b.Struck[0]).Staff() - p.Pitch(a.Struck[0]).Staff()
}

// against reports whether groups of a length do not fit the metre at an instant.
// In bars of five or seven beats no grouping of beats is against it, and in
// additive metres none at all.
func against(p *detect.Pass, length, at score.Rat) bool {
	time := p.Score.Bars[p.Score.BarAt(at)].Time
	whole := func(a, b score.Rat) bool { return a.Div(b).Den() == 1 }
	beat, bar := time.Beat(), time.Length
	switch {
	case bar.Sign() <= 0 || strings.Contains(time.Beats, "+") || whole(beat, length):
		return false
	case !whole(length, beat):
		return true
	}
	n := bar.Div(beat).Num()
	return (n%2 == 0 || n%3 == 0) && !whole(bar, length) && !whole(length, bar)
}

// longest leaves of groupings that overlap the longest, and notes all that it
// was read from. They come back by time.
func longest(all []grouping) []grouping {
	slices.SortStableFunc(all, func(a, b grouping) int {
		return cmp.Or(b.to().Sub(b.from()).Cmp(a.to().Sub(a.from())), a.from().Cmp(b.from()))
	})
	var kept []grouping
next:
	for _, g := range all {
		for i := range kept {
			k := &kept[i]
			if !g.from().Less(k.to()) || !k.from().Less(g.to()) {
				continue
			}
			if g.length() == k.length() && g.size == k.size && !slices.Contains(k.readFrom, g.readFrom[0]) {
				k.readFrom = append(k.readFrom, g.readFrom[0])
			}
			continue next
		}
		kept = append(kept, g)
	}
	slices.SortFunc(kept, func(a, b grouping) int { return a.from().Cmp(b.from()) })
	return kept
}

func (g *grouping) occurrence(p *detect.Pass, hand score.Hand) detect.Occurrence {
	notes := detect.StruckIn(g.line)
	slices.Sort(notes)
	beat := g.beat(p)
	rate := float64(g.groups()) / p.Clock.Seconds(g.from(), g.to())
	detail := Detail{
		Group: g.size, PerBeat: beat.Div(g.step), Length: g.length(), Beat: beat, Hemiola: g.isHemiola(p),
		ReadFrom: g.readFrom, Groups: g.groups(), PerSecond: detect.Round3(rate),
	}
	picture := p.PianoRoll(g.from(), g.to(), notes)
	for i := 0; i < len(g.line); i += g.size {
		detail.Starts = append(detail.Starts, p.Position(g.line[i].At))
		picture.Lines = append(picture.Lines, g.line[i].At.Sub(g.from()))
	}
	return detect.Occurrence{
		Hand: hand, From: g.from(), To: p.EndOf(g.line[len(g.line)-1].Struck), Notes: notes,
		Demand: rate / p.Player.Can(detect.GroupRate), Timed: true,
		Shape: fmt.Sprintf("%d of %s in %s", g.size, g.step, beat),
		Label: g.label(detail.Hemiola),
		Why: fmt.Sprintf("The %s hand plays %s, %d times from %s (read from %s): %.1f groups a second, where %.1f are comfortable.",
			hand, g.words(beat), g.groups(), detect.PositionName(p.Score, g.from()), detect.Enumerate(g.readFrom), rate, p.Player.Can(detect.GroupRate)),
		Detail: detail, Picture: picture, Exercise: detect.Rhythms{Hardest: g.from()},
	}
}

func (g *grouping) label(hemiola bool) string {
	if hemiola {
		return "hemiola"
	}
	return fmt.Sprintf("groups of %d across the beat", g.size)
}

// words says how the groups lie to the beat.
func (g *grouping) words(beat score.Rat) string {
	if beats := g.length().Div(beat); beats.Den() == 1 {
		return fmt.Sprintf("groups of %s beats across the barlines, a hemiola", beats)
	}
	if inBeat := beat.Div(g.step); inBeat.Den() == 1 {
		return fmt.Sprintf("groups of %d where a beat has %s notes", g.size, inBeat)
	}
	return fmt.Sprintf("groups of %s quarters where a beat has %s", g.length().Pretty(), beat.Pretty())
}
