// Package softcontrol finds places so soft that notes fail to sound or stick
// out.
package softcontrol

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind soft-control.
var Detector = &detect.Detector{
	Kind: "soft-control",
	Name: "playing softly",
	Doc: `At pp or softer, or while the sound dies away, notes easily fail to sound or stick out. Dying away is a diminuendo
that begins at p or where no mark stands and lasts a bar, or one from mp or softer that arrives at pp or softer. Four things
count. A figure: the same keys again and again in the same rhythm, at least twice and four attacks or more, no wait
between them more than three times another; its demand is a rate between
the attacks a second and the strikes a second of the key that comes again soonest, their geometric mean, over the comfortable
rate: one key struck again and again asks for all of it, keys that have time to rise between for less. A chord: three keys or more struck together by one hand, not under an arpeggio
sign; its demand is the keys over the number that this player sounds together in comfort, at most 1, and tempo does not
change it. The landing of a leap, and the note before a leap: the demand is the time that this player likes to have for a
soft landing over the time that there is, in proportion where the hand travels less than half an octave. The note most at risk is, in a figure, the
key that must rise and go down again soonest; in a chord, the one under the fifth finger; at a landing, the key that is
aimed at; before a leap, the key that the hand hurries away from.`,
	Limits: []detect.Limit{
		{Name: "soft", Value: "pp and softer, or dying away", Source: "common practice"},
		detect.SoftRate.Limit(), detect.SoftChord.Limit(), detect.SoftLanding.Limit(),
	},
	Basis: detect.Calibrated,
	Rests: "common practice, and recorded performances: its notes are missed half as often as others at the " +
		"least demand and more than twice as often at the greatest.",
	Telling:  []string{"cause", "dynamic", "at_risk"},
	Run:      findSoftControl,
	Speech:   speech,
	Practise: practise,
}

// What makes a soft place.
const (
	softFigure  = "repeated figure"
	softChord   = "chord"
	softLanding = "landing"
	beforeLeap  = "before a leap"
)

const (
	leastRepeated = 4 // attacks of a repeated figure
	longestTurn   = 8 // attacks after which a figure comes again
	leastChord    = 3 // keys of a chord
)

// Detail is the JSON detail of a soft place.
type Detail struct {
	Cause     string        `json:"cause"`   // "repeated figure", "chord", "landing" or "before a leap"
	Dynamic   string        `json:"dynamic"` // the mark in force, "" where none is written
	DyingAway bool          `json:"dying_away"`
	AtRisk    []score.Pitch `json:"at_risk"`                    // the notes that fail or stick out first, low to high
	Count     int           `json:"count,omitempty"`            // attacks of the figure, or chords
	PerSecond float64       `json:"per_second,omitempty"`       // attacks of the figure
	Asked     float64       `json:"asked_per_second,omitempty"` // between that and how often the key most at risk is struck
	Keys      int           `json:"keys,omitempty"`             // of the fullest chord
	Seconds   float64       `json:"seconds,omitempty"`          // that there are for the leap
}

func findSoftControl(p *detect.Pass) {
	spread := p.UnderSigns()
	for _, hand := range []score.Hand{score.Right, score.Left} {
		soft := softly(p, hand)
		softFigures(p, hand, soft)
		softChords(p, hand, soft, spread)
		if len(soft) > 0 {
			softLeaps(p, hand)
		}
	}
}

// softness is how softly a hand plays at an instant.
type softness struct {
	mark  string // the dynamic in force, "" where none is written
	dying bool
}

// String is the softness as one says it: "pp", "p, dying away".
func (s softness) String() string {
	switch {
	case !s.dying:
		return s.mark
	case s.mark == "":
		return "the sound dying away"
	}
	return s.mark + " and dying away"
}

// softAt reports whether a hand plays so softly that notes are at risk.
func softAt(p *detect.Pass, hand score.Hand, at score.Rat) (softness, bool) {
	mark := p.Score.DynamicAt(hand, at)
	if pianissimo(mark) {
		return softness{mark: mark}, true
	}
	hairpin, ok := hairpinAt(p, hand, at)
	if !ok || hairpin.Growing || p.Score.DynamicAt(hand, hairpin.From) != mark {
		return softness{}, false
	}
	return softness{mark, true}, diesAway(p, hand, hairpin, mark)
}

func pianissimo(mark string) bool { return strings.HasPrefix(mark, "pp") }

// hairpinAt is the last hairpin that began for a hand, where it still goes on. One
// without a written end is given its own bar and the next.
func hairpinAt(p *detect.Pass, hand score.Hand, at score.Rat) (score.Hairpin, bool) {
	s := p.Score
	next := sort.Search(len(s.Hairpins), func(i int) bool { return at.Less(s.Hairpins[i].From) })
	for i := next - 1; i >= 0; i-- {
		hairpin := s.Hairpins[i]
		if hairpin.Hand != hand && hairpin.Hand != score.Both {
			continue
		}
		if hairpin.To == hairpin.From {
			hairpin.To = s.Bars[min(s.BarAt(hairpin.From)+1, len(s.Bars)-1)].End()
		}
		return hairpin, at.Cmp(hairpin.To) <= 0
	}
	return score.Hairpin{}, false
}

// diesAway reports whether a diminuendo under a mark goes down to almost nothing,
// and is not the small rise and fall of a phrase.
func diesAway(p *detect.Pass, hand score.Hand, hairpin score.Hairpin, mark string) bool {
	bar := p.Score.Bars[p.Score.BarAt(hairpin.From)]
	long := bar.Length.Sub(bar.Time.Beat()) // a hairpin ends at the last beat of its bar
	switch mark {
	case "p", "":
		return long.Cmp(hairpin.To.Sub(hairpin.From)) <= 0 || arrives(p, hand, hairpin)
	case "mp":
		return arrives(p, hand, hairpin)
	}
	return false
}

// arrives reports whether a diminuendo ends at pp or softer, by a mark no more
// than a bar after it.
func arrives(p *detect.Pass, hand score.Hand, hairpin score.Hairpin) bool {
	bar := p.Score.Bars[p.Score.BarAt(hairpin.To)]
	return pianissimo(p.Score.DynamicAt(hand, hairpin.To.Add(bar.Length)))
}

// softRun is attacks in a row that are all very soft.
type softRun struct {
	softness
	events []detect.Event
}

// softly cuts what a hand plays into its soft runs.
func softly(p *detect.Pass, hand score.Hand) []softRun {
	var runs []softRun
	was := false
	for _, e := range p.Events[hand] {
		how, soft := softAt(p, hand, e.At)
		switch last := len(runs) - 1; {
		case soft && was && runs[last].softness == how:
			runs[last].events = append(runs[last].events, e)
		case soft:
			runs = append(runs, softRun{how, []detect.Event{e}})
		}
		was = soft
	}
	return runs
}

// softFigures reports each figure that a hand repeats softly.
func softFigures(p *detect.Pass, hand score.Hand, soft []softRun) {
	for _, run := range soft {
		for events := run.events; len(events) > 0; {
			turn, n := figure(p, events)
			if n == 0 {
				events = events[1:]
				continue
			}
			p.Report(softFigureFound(p, hand, run.softness, events[:n], turn))
			events = events[n:]
		}
	}
}

// figure returns how many of events, from the first on, repeat a figure, and
// after how many of them it comes again: the longest that there is, with the
// shortest turn. n is 0 where nothing is repeated.
func figure(p *detect.Pass, events []detect.Event) (turn, n int) {
	for try := 1; try <= longestTurn && 2*try <= len(events); try++ {
		if !even(events[:try+1]) {
			break
		}
		again := try
		for again < len(events) && comesAgain(p, events, again, try) {
			again++
		}
		if again >= max(2*try, leastRepeated) && again > n {
			turn, n = try, again
		}
	}
	return turn, n
}

// even reports whether no wait from one event to the next is more than three
// times another.
func even(events []detect.Event) bool {
	shortest := events[1].At.Sub(events[0].At)
	longest := shortest
	for i := 2; i < len(events); i++ {
		wait := events[i].At.Sub(events[i-1].At)
		shortest, longest = score.Min(shortest, wait), score.Max(longest, wait)
	}
	return longest.Cmp(shortest.Mul(score.Int(3))) <= 0
}

// comesAgain reports whether the event i strikes the keys of the event turn
// places before it, as long after it as the figure's first return.
func comesAgain(p *detect.Pass, events []detect.Event, i, turn int) bool {
	return events[i].At.Sub(events[i-turn].At) == events[turn].At.Sub(events[0].At) &&
		slices.Equal(p.Keys(events[i].Struck), p.Keys(events[i-turn].Struck))
}

func softFigureFound(p *detect.Pass, hand score.Hand, how softness, events []detect.Event, turn int) detect.Occurrence {
	rate, comfortable := p.Fastest(detect.Instants(events)), p.Player.Can(detect.SoftRate)
	risk, soonest := soonestAgain(p, events[:2*turn])
	again := p.Clock.Seconds(events[0].At, events[0].At.Add(soonest))
	asked := math.Sqrt(rate / again)
	notes := detect.StruckIn(events)
	return detect.Occurrence{
		Hand: hand, From: events[0].At, To: p.EndOf(notes), Notes: notes,
		Demand: asked / comfortable, Timed: true,
		Shape: "figure " + p.ShapeOf(events[:turn+1]),
		Label: "soft figure",
		Why: fmt.Sprintf("At %s the %s hand repeats a figure, %d attacks, %.1f a second; first to fail or stick out: %s, due again after %.2f s. That counts as %.1f a second, where %.3g are comfortable.",
			how, hand, len(events), rate, p.PrettyNames(risk), again, asked, comfortable),
		Detail: Detail{
			Cause: softFigure, Dynamic: how.mark, DyingAway: how.dying,
			AtRisk: p.Pitches(risk), Count: len(events), PerSecond: detect.Round3(rate), Asked: detect.Round3(asked),
		},
		Picture: p.PianoRoll(events[0].At, p.EndOf(detect.StruckIn(events[:2*turn])), risk),
	}
}

// soonestAgain returns the notes whose keys are struck again soonest, low to
// high, one for each key, and how soon in quarters.
func soonestAgain(p *detect.Pass, events []detect.Event) (notes []int, soonest score.Rat) {
	for i, e := range events {
		for _, n := range e.Struck {
			wait, again := againAfter(p, n, e.At, events[i+1:])
			switch {
			case !again || len(notes) > 0 && soonest.Less(wait):
				continue
			case len(notes) > 0 && wait.Less(soonest):
				notes = nil
			}
			notes, soonest = append(notes, n), wait
		}
	}
	return detect.OneForEachKey(p.Score, notes), soonest
}

// againAfter is how soon a note's key is struck again by one of events.
func againAfter(p *detect.Pass, n int, at score.Rat, events []detect.Event) (wait score.Rat, again bool) {
	for _, e := range events {
		if slices.Contains(p.Keys(e.Struck), detect.Key(p.Score, n)) {
			return e.At.Sub(at), true
		}
	}
	return score.Rat{}, false
}

// softChords reports each run of soft chords in a hand.
func softChords(p *detect.Pass, hand score.Hand, soft []softRun, spread func(detect.Event) bool) {
	for _, run := range soft {
		chord := func(e detect.Event) bool { return len(e.Struck) >= leastChord && !spread(e) }
		for events := run.events; len(events) > 0; {
			n := 0
			for n < len(events) && chord(events[n]) {
				n++
			}
			if n > 0 {
				p.Report(softChordsFound(p, hand, run.softness, events[:n]))
			}
			events = events[max(n, 1):]
		}
	}
}

func softChordsFound(p *detect.Pass, hand score.Hand, how softness, chords []detect.Event) detect.Occurrence {
	fullest := chords[0]
	for _, e := range chords {
		if len(e.Struck) > len(fullest.Struck) {
			fullest = e
		}
	}
	keys, comfortable, notes := len(fullest.Struck), p.Player.Can(detect.SoftChord), detect.StruckIn(chords)
	risk, place := fullest.Struck[keys-1:], "top"
	if hand == score.Left {
		risk, place = fullest.Struck[:1], "bottom"
	}
	begin := fmt.Sprintf("At %s the %s hand strikes %d keys together", how, hand, keys)
	if len(chords) > 1 {
		begin = fmt.Sprintf("At %s the %s hand strikes %d chords in a row, up to %d keys together", how, hand, len(chords), keys)
	}
	return detect.Occurrence{
		Hand: hand, From: chords[0].At, To: p.EndOf(notes), Notes: notes,
		Demand: math.Min(1, float64(keys)/comfortable),
		Shape:  fmt.Sprintf("chords %d: %s", len(chords), p.ShapeOf([]detect.Event{fullest})),
		Label:  "soft chord",
		Why: fmt.Sprintf("%s, where %.3g are comfortable; the %s note, %s at %s, is under the weakest finger and easily fails.",
			begin, comfortable, place, p.PrettyNames(risk), detect.PositionName(p.Score, fullest.At)),
		Detail: Detail{
			Cause: softChord, Dynamic: how.mark, DyingAway: how.dying,
			AtRisk: p.Pitches(risk), Count: len(chords), Keys: keys,
		},
		Picture: p.PianoRoll(fullest.At, p.EndOf(fullest.Struck), fullest.Struck),
	}
}

// softLeaps reports the leaps of a hand that land softly or leave a soft note.
func softLeaps(p *detect.Pass, hand score.Hand) {
	for _, l := range p.Leaps(hand) {
		if how, soft := softAt(p, hand, l.To.At); soft {
			p.Report(softLeap(p, l, how, softLanding))
		} else if how, soft := softAt(p, hand, l.From.At); soft {
			p.Report(softLeap(p, l, how, beforeLeap))
		}
	}
}

func softLeap(p *detect.Pass, l detect.Leap, how softness, cause string) detect.Occurrence {
	comfortable := p.Player.Can(detect.SoftLanding) * min(1, 2*l.Travel/hand.OctaveMM)
	left, aimed := detect.Edge(l.From.Notes, l.Top), detect.Edge(l.To.Notes, l.Top)
	risk, label, fails := aimed, "soft landing on ", "is easily missed or struck too hard"
	if cause == beforeLeap {
		risk, label, fails = left, "soft before the leap: ", "easily sticks out or is cut short as the hand hurries away"
	}
	return detect.Occurrence{
		Hand: l.Hand, From: l.From.At, To: l.To.End,
		Notes:  slices.Concat(l.From.Notes, l.To.Notes),
		Demand: comfortable / l.Seconds, Timed: true,
		Shape: fmt.Sprintf("%s %+d %d>%d in %s", cause, p.Pitch(aimed).Staff()-p.Pitch(left).Staff(),
			len(l.From.Keys), len(l.To.Keys), l.To.After),
		Label: label + p.Pitch(risk).Pretty(),
		Why: fmt.Sprintf("At %s the %s hand leaps %s from %s to %s in %.2f s, where %.3g s is comfortable for a soft landing; %s %s.",
			how, l.Hand, detect.UpDown(l.Semitones(l.Top)), p.Pitch(left).Pretty(), p.Pitch(aimed).Pretty(), l.Seconds, comfortable,
			p.Pitch(risk).Pretty(), fails),
		Detail: Detail{
			Cause: cause, Dynamic: how.mark, DyingAway: how.dying,
			AtRisk: p.Pitches([]int{risk}), Seconds: detect.Round3(l.Seconds),
		},
		Picture: detect.KeyMove{From: l.From.Keys, To: l.To.Keys, Top: l.Top, MM: l.Mm, Seconds: l.Seconds, Hand: l.Hand},
	}
}
