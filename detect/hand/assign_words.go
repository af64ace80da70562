package hand

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"hardbars/score"
)

// followWords gives what stands by a word or bracket to the hand that it names.
func (a *assigner) followWords() {
	for i := range a.HandMarks {
		a.followMark(i)
	}
}

// followMark gives a mark's notes to its hand as far as that hand can take them.
// Where it can take none, the mark was misread and is said to be.
func (a *assigner) followMark(i int) {
	mark := a.HandMarks[i]
	line := a.lineAt(mark)
	if len(line) == 0 {
		return
	}
	line = line[:a.holdsFor(line, i)]
	why := "“" + mark.Text + "”"
	if mark.Text == "bracket" {
		why = "a bracket"
	}
	given := 0
	for len(line) > 0 {
		chord := a.chordOf(line)
		line = line[len(chord):]
		part := a.possible(chord, mark.Hand)
		a.give(part, mark.Hand, why)
		for _, n := range part {
			a.fixed[n] = true
		}
		given += len(part)
		if len(part) < len(chord) {
			break
		}
	}
	if given == 0 {
		a.Warnings = append(a.Warnings, score.Warning{Bar: a.Bars[a.BarAt(mark.At)].Number,
			Text: fmt.Sprintf("the %s cannot take what stands by %s; the notes stay with the other hand", mark.Hand.Name(), why)})
	}
}

// lineAt is the voice that a mark stands by, from its first notes on: the voice
// that the file names, or else of those that strike first the one nearest to the hand.
func (a *assigner) lineAt(mark score.HandMark) []int {
	bar := a.Bars[a.BarAt(mark.At)]
	first := sort.Search(len(a.Notes), func(n int) bool { return !a.Notes[n].Onset.Less(mark.At) })
	voices := map[string][]int{}
	var order []string
	for n := first; n < len(a.Notes) && a.Notes[n].Onset.Less(bar.End()); n++ {
		note := &a.Notes[n]
		if note.Staff != mark.Staff {
			continue
		}
		if voices[note.Voice] == nil {
			order = append(order, note.Voice)
		}
		voices[note.Voice] = append(voices[note.Voice], n)
	}
	if len(order) == 0 {
		return nil
	}
	voice := mark.Voice
	if voices[voice] == nil {
		at := a.Notes[voices[order[0]][0]].Onset
		order = slices.DeleteFunc(order, func(v string) bool { return a.Notes[voices[v][0]].Onset != at })
		slices.SortStableFunc(order, func(x, y string) int {
			d := a.key(voices[x][0]) - a.key(voices[y][0])
			if mark.Hand == score.Right {
				return -d
			}
			return d
		})
		voice = order[0]
	}
	start := voices[voice][0]
	line := voices[voice]
	for n := line[len(line)-1] + 1; n < len(a.Notes) && a.Notes[n].Bar <= a.Notes[start].Bar+longestWord; n++ {
		if a.Notes[n].Voice == voice && a.Notes[n].Staff == mark.Staff {
			line = append(line, n)
		}
	}
	return line
}

// longestWord is over how many barlines a word holds at most, where only the
// next word ends it. Common practice has no figure.
const longestWord = 3

// holdsFor is for how many of a line's notes a mark holds: to the end of its
// bracket; or to the next such word on its staff; or else to the end of the beam
// or slur that begins with it, and without these to the end of the bar; and never
// past a rest of the voice.
func (a *assigner) holdsFor(line []int, i int) int {
	mark := a.HandMarks[i]
	first := &a.Notes[line[0]]
	end := a.Bars[first.Bar].End()
	if beamed := first.Heads[0].Beam; beamed == "begin" || beamed == "continue" || first.SlurStart > 0 {
		end = a.endOfFigure(line)
	}
	for _, next := range a.HandMarks[i+1:] {
		same := next.Staff == mark.Staff && mark.At.Less(next.At)
		if same && (next.Hand != mark.Hand || next.At.Less(end)) && a.BarAt(next.At) <= first.Bar+longestWord {
			end = next.At
			break
		}
	}
	if mark.At.Less(mark.To) {
		end = mark.To
	} else {
		for _, rest := range a.Rests {
			if rest.Staff == mark.Staff && rest.Voice == first.Voice && first.Onset.Less(rest.Onset) {
				end = score.Min(end, rest.Onset)
			}
		}
	}
	n := 0
	for n < len(line) && (a.Notes[line[n]].Onset.Less(end) || a.Notes[line[n]].Onset == first.Onset) {
		n++
	}
	return n
}

// endOfFigure is where the last note under the beam or slur of a line's first note
// ends, whichever is later.
func (a *assigner) endOfFigure(line []int) score.Rat {
	beamed, slurs := a.Notes[line[0]].Heads[0].Beam != "", 0
	var end score.Rat
	for _, n := range line {
		note := &a.Notes[n]
		slurs = max(slurs+note.SlurStart-note.SlurEnd, 0)
		beamed = beamed && note.Heads[0].Beam != "end"
		end = score.Max(end, note.End())
		if !beamed && slurs == 0 {
			break
		}
	}
	return end
}

// chordOf are the first notes of a line that are struck at once.
func (a *assigner) chordOf(line []int) []int {
	n := 1
	for n < len(line) && a.Notes[line[n]].Onset == a.Notes[line[0]].Onset && a.Notes[line[n]].Grace == a.Notes[line[0]].Grace {
		n++
	}
	return line[:n]
}

// possible are the notes of a chord that a hand can take beside what it strikes
// already: all of them, or where the other hand cannot take the whole chord
// alone, those nearest to the hand.
func (a *assigner) possible(chord []int, hand score.Hand) []int {
	step := a.stepOf[chord[0]]
	own := a.strikes(step, hand)
	if Largest(hand).Covers(union(own, a.keys(chord))) || a.Notes[chord[0]].Grace > 0 {
		return chord
	}
	if a.hands[1-hand].Covers(a.strikes(step, 1-hand)) {
		return nil
	}
	near := slices.Clone(chord)
	slices.SortFunc(near, func(x, y int) int {
		if hand == score.Right {
			x, y = y, x
		}
		return a.key(x) - a.key(y)
	})
	others := slices.DeleteFunc(a.inReach(step, 1-hand), func(n int) bool { return slices.Contains(chord, n) })
	for n := 1; n < len(near); n++ {
		if a.hands[1-hand].Covers(a.keys(slices.Concat(near[n:], others))) && Largest(hand).Covers(union(own, a.keys(near[:n]))) {
			return near[:n]
		}
	}
	return nil
}

// summarise says where notes have gone to the other hand, one sentence a reason.
// A voice that keeps its hand on the other staff is as it is written, and no assumption.
func (a *assigner) summarise() {
	type group struct {
		hand score.Hand
		kind string
	}
	bars := map[group][]int{}
	var order []group
	for n := range a.Notes {
		note := &a.Notes[n]
		if note.Reason == "" || strings.HasPrefix(note.Reason, "its voice") {
			continue
		}
		g := group{note.Hand, note.Reason}
		if strings.Contains(note.Reason, " would leap ") {
			g.kind = "the " + (1 - note.Hand).Name() + " could not be there in time"
		}
		if bars[g] == nil {
			order = append(order, g)
		}
		bars[g] = append(bars[g], note.Bar)
	}
	for _, g := range order {
		a.say(bars[g], fmt.Sprintf("the %s takes notes of the other staff: %s", g.hand.Name(), g.kind))
	}
}

// say adds a warning about some bars, given in order as indices.
func (a *assigner) say(bars []int, text string) {
	const most = 6 // stretches of bars that are named
	var runs []string
	bars = slices.Compact(slices.Clone(bars))
	if len(bars) == 1 {
		a.Warnings = append(a.Warnings, score.Warning{Bar: a.Bars[bars[0]].Number, Text: text})
		return
	}
	for i := 0; i < len(bars); {
		j := i
		for j+1 < len(bars) && bars[j+1] == bars[j]+1 {
			j++
		}
		run := a.Bars[bars[i]].Number
		if j > i {
			run += "–" + a.Bars[bars[j]].Number
		}
		runs = append(runs, run)
		i = j + 1
	}
	if more := len(runs) - most; more > 1 {
		runs = append(runs[:most], fmt.Sprintf("%d more places", more))
	}
	list := runs[0]
	if n := len(runs); n > 1 {
		list = strings.Join(runs[:n-1], ", ") + " and " + runs[n-1]
	}
	a.Warnings = append(a.Warnings, score.Warning{Text: "bars " + list + ": " + text})
}
