package detect

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/score"
)

// Practice is a hot spot as its kind looks at it to say how it is practised.
type Practice struct {
	*Report
	Spot          *Spot
	Hardest       *Occurrence // of the spot
	Start, Target Pace        // the tempo to begin with and the one to reach, in one beat
}

// Lesson is what a kind has to say about one hot spot. Where no source is
// named, the ways to practise are common practice.
type Lesson struct {
	Steps    []string // sentences, in order; one at least
	Proof    string   // what the test asks for beside playing on: "with no note missing"
	Together int      // index of the step that brings in the other hand; 0 where none does
	Placed   bool     // the steps name their bars themselves
}

// NewPractice looks at a hot spot of a report.
func NewPractice(r *Report, spot *Spot) *Practice {
	p := &Practice{Report: r, Spot: spot, Hardest: &spot.Occurrences[spot.Hardest]}
	p.Start, p.Target = r.Paces(spot)
	return p
}

// Lesson is what the kind of the hot spot says about it; ok is false where it
// says nothing of its own, or has no detail to go by.
func (p *Practice) Lesson() (l Lesson, ok bool) {
	i := slices.IndexFunc(p.Kinds, func(d *Detector) bool { return d.Kind == p.Spot.Kind })
	if i < 0 || p.Kinds[i].Practise == nil || p.Hardest.Detail == nil {
		return Lesson{}, false
	}
	return p.Kinds[i].Practise(p), true
}

// Timed reports whether going slower makes it easier.
func (p *Practice) Timed() bool { return p.Spot.Comfortable > 0 }

// Many reports whether the spot is more than its hardest occurrence.
func (p *Practice) Many() bool {
	return len(p.Spot.Occurrences) > 1 && p.Spot.FirstBar != p.Spot.LastBar
}

// OtherPlays reports whether the other hand strikes anything in the spot.
func (p *Practice) OtherPlays() bool {
	return p.Spot.Hand != score.Both && len(p.Strikes(1-p.Spot.Hand, p.Spot.From, p.Spot.To)) > 0
}

// Strikes are the instants at which a hand strikes, from one instant until before another.
func (p *Practice) Strikes(hand score.Hand, from, to score.Rat) []score.Rat {
	var at []score.Rat
	for i := range p.Score.Notes {
		n := &p.Score.Notes[i]
		if n.Hand == hand && n.Grace == 0 && !n.Onset.Less(from) && n.Onset.Less(to) {
			at = append(at, n.Onset)
		}
	}
	return slices.Compact(at)
}

// StruckBy is what a hand strikes at an instant, low to high.
func (p *Practice) StruckBy(hand score.Hand, at score.Rat) []score.Pitch {
	var pitches []score.Pitch
	for i := range p.Score.Notes {
		if n := &p.Score.Notes[i]; n.Hand == hand && n.Grace == 0 && n.Onset == at {
			pitches = append(pitches, n.Pitch)
		}
	}
	return pitches
}

// PractisedTogether is how many of a run are practised at a time. Common practice.
const PractisedTogether = 4

// Endurance lengthens what tires, from four on; count is more.
func (p *Practice) Endurance(what string, count int, without string) string {
	return fmt.Sprintf("One more: four %s and a rest at %s, then five, until all %s go%s. Stop when the forearm hardens.",
		what, p.Start, NumberWords(count), without)
}

// AllPretty prints what has names, with the signs of music: "F♯4".
func AllPretty[T interface{ Pretty() string }](all []T) []string {
	names := make([]string, len(all))
	for i, a := range all {
		names[i] = a.Pretty()
	}
	return names
}

// Dashed joins pitches as they are struck together: "F2–C3–A3".
func Dashed(pitches []score.Pitch) string { return strings.Join(AllPretty(pitches), "–") }

// ChordName names what is struck together: "F2", or "the chord F2–C3–A3".
func ChordName(pitches []score.Pitch) string {
	if len(pitches) < 3 {
		return Dashed(pitches)
	}
	return "the chord " + Dashed(pitches)
}

// FirstOf joins words with spaces; of more than most the first ones.
func FirstOf(words []string, most int) string {
	if len(words) > most {
		return strings.Join(words[:most], " ") + " …"
	}
	return strings.Join(words, " ")
}

// SumOf writes 2, 2 and 1 as "2+2+1".
func SumOf(sizes []int) string {
	return strings.ReplaceAll(strings.Trim(fmt.Sprint(sizes), "[]"), " ", "+")
}

// Times counts strokes: "once", "twice", "three times".
func Times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return NumberWords(n) + " times"
}

// Counted is a number with its noun: "1 turn", "3 turns".
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Sentence begins text with a capital.
func Sentence(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// levels are the dynamic marks from soft to loud.
var levels = []string{"pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff"}

// Louder is the mark so many steps above another; mf where that one is unknown.
func Louder(mark string, steps int) string {
	i := slices.Index(levels, mark)
	if i < 0 {
		return "mf"
	}
	return levels[min(i+steps, len(levels)-1)]
}

// Softer is the mark two steps below another, ppp at the least; "" where that
// one is unknown.
func Softer(mark string) string {
	i := slices.Index(levels, mark)
	if i < 0 {
		return ""
	}
	return levels[max(i-2, 1)]
}
