// Package counting finds where the beat has to be counted: syncopations in a
// row, a beat divided in another way, hands of opposed touch, and meters that
// change.
package counting

import (
	"fmt"
	"slices"

	"hardbars/detect"
	"hardbars/score"
)

// Detector finds the kind counting.
var Detector = &detect.Detector{
	Kind: "counting",
	Name: "hard to count",
	Doc: `What has to be counted or kept apart while one plays. Syncopation: a hand strikes off the beat and holds over it, three
beats in a row or more; each beat is 1, and 2 where the other hand strikes fewer than half of them. Division: a line divides one beat in equal
notes and the next beat otherwise, where neither number divides the other, as twos before threes; each note of the two beats
is 1/3. Opposed touch: one hand plays four notes or more detached while the other plays under slurs; each detached stroke is
2/3. Meter: two changes of meter or more with at most four bars from one to the next; each is 3, and the two that come closest
count. Demand is what there is to count in a second, so weighed, divided by the comfortable rate.`,
	Limits: []detect.Limit{
		detect.CountRate.Limit(),
		{Name: "in a row", Value: fmt.Sprintf("%d beats held over, %d detached strokes, %d changes of meter", leastBeats, leastStrokes, leastChanges), Source: "common practice"},
		{Name: "weight of a note where the division changes", Value: "1/3", Source: "common practice"},
		{Name: "weight of a detached stroke against slurs", Value: "2/3", Source: "common practice"},
		{Name: "weight of a change of meter", Value: "3", Source: "common practice"},
	},
	Basis:    detect.CommonPractice,
	Rests:    "common practice. Recorded performances cannot tell: who miscounts strikes the right keys at the wrong time. Its places are ranked by eight tenths of their demand.",
	Ranked:   0.8,
	OfMind:   true,
	Telling:  []string{"what", "count", "divisions", "meters"},
	Run:      findCounting,
	Practise: practise,
	Speech:   speech,
}

// What there is to count.
const (
	Syncopation = "syncopation"
	Division    = "division"
	Touch       = "touch"
	Meter       = "meter"
)

// From how many on it counts, and what each weighs: common practice.
const (
	leastBeats   = 3
	leastStrokes = 4
	leastChanges = 2
	mostBars     = 4 // from one change of meter to the next

	unhelped   = 2.0 // a beat that the other hand leaves out
	perNote    = 1.0 / 3
	perStroke  = 2.0 / 3
	perChange  = 3.0
	helpedFrom = 0.5 // share of the beats that the other hand strikes
)

// Detail is the JSON detail of a place that is hard to count.
type Detail struct {
	What      string     `json:"what"`      // "syncopation", "division", "touch" or "meter"
	Count     int        `json:"count"`     // beats held over, notes in the two beats, detached strokes, changes
	Divisions []int      `json:"divisions"` // notes in the one beat and in the next
	Meters    []string   `json:"meters"`    // one after the other, from the one before the first change
	Helped    bool       `json:"helped"`    // the other hand strikes the beats held over
	Detached  score.Hand `json:"detached"`  // the hand that plays detached; both where this is not about touch
	PerSecond float64    `json:"per_second"`
}

func findCounting(p *detect.Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		syncopations(p, hand)
		divisions(p, hand)
		touches(p, hand)
	}
	meters(p)
}

// place is a finding before it is put in words.
type place struct {
	hand       score.Hand
	from, to   score.Rat
	notes      []int
	rate       float64 // weighed, a second
	label, why string
	detail     Detail
	shape      string
}

func report(p *detect.Pass, f place) {
	can := p.Player.Can(detect.CountRate)
	f.detail.PerSecond = detect.Round3(f.rate)
	if f.detail.What != Touch {
		f.detail.Detached = score.Both
	}
	f.detail.Divisions = append([]int{}, f.detail.Divisions...)
	f.detail.Meters = append([]string{}, f.detail.Meters...)
	slices.Sort(f.notes)
	f.notes = slices.Compact(f.notes)
	p.Report(detect.Occurrence{
		Hand: f.hand, From: f.from, To: f.to, Notes: f.notes,
		Demand: f.rate / can, Timed: true, Shape: f.detail.What + " " + f.shape, Label: f.label,
		Why:    fmt.Sprintf("%s: %.1f to count in a second, where %.1f are comfortable.", f.why, f.rate, can),
		Detail: f.detail, Picture: p.PianoRoll(f.from, f.to, f.notes),
	})
}

// span is a beat, or what is under a slur, from the start of the piece.
type span struct{ from, to score.Rat }

func (s span) holds(at score.Rat) bool { return s.from.Cmp(at) <= 0 && at.Less(s.to) }

// beats are all of the piece, the last of a bar cut short where the bar is. A bar
// that is longer than its meter is in free time and has none.
func beats(s *score.Score) []span {
	var all []span
	for _, bar := range s.Bars {
		length := bar.Time.Beat()
		if length.Sign() <= 0 || bar.Time.Length.Less(bar.Length) {
			continue
		}
		for at := bar.Start; at.Less(bar.End()); at = at.Add(length) {
			all = append(all, span{at, score.Min(at.Add(length), bar.End())})
		}
	}
	return all
}

// syncopations are beats in a row over which a hand holds what it has struck
// off the beat.
func syncopations(p *detect.Pass, hand score.Hand) {
	all := beats(p.Score)
	events, other := detect.Line(p.Events[hand]), detect.Line(p.Events[1-hand])
	over := func(i int) (held []int) { // notes held over beat i, struck within the beat before
		if i == 0 || all[i-1].to != all[i].from || strikes(events, all[i].from) {
			return nil
		}
		for _, e := range events.Between(all[i-1].from, all[i].from) {
			for _, n := range e.Struck {
				if all[i-1].from.Less(e.At) && all[i].from.Less(p.Score.Notes[n].End()) {
					held = append(held, n)
				}
			}
		}
		return held
	}
	for i := 0; i < len(all); i++ {
		var notes []int
		first, helped := i, 0
		for ; i < len(all); i++ {
			held := over(i)
			if len(held) == 0 {
				break
			}
			notes = append(notes, held...)
			if strikes(other, all[i].from) {
				helped++
			}
		}
		count := i - first
		if count < leastBeats {
			continue
		}
		f := place{hand: hand, from: p.Score.Notes[notes[0]].Onset, to: p.EndOf(notes), notes: notes}
		f.rate = float64(count) / p.Clock.Seconds(all[first].from, all[i-1].to)
		f.detail = Detail{What: Syncopation, Count: count, Helped: float64(helped) >= helpedFrom*float64(count)}
		help := "with the other hand on the beat"
		if !f.detail.Helped {
			f.rate *= unhelped
			help = "with no hand on the beat"
		}
		f.label = fmt.Sprintf("%d beats held over", count)
		f.why = fmt.Sprintf("The %s hand strikes off the beat and holds over it, %d beats in a row from %s, %s",
			hand, count, detect.PositionName(p.Score, all[first].from), help)
		f.shape = fmt.Sprintf("%d %t", count, f.detail.Helped)
		report(p, f)
	}
}

// strikes reports whether a line strikes something at an instant.
func strikes(line detect.Line, at score.Rat) bool {
	_, ok := slices.BinarySearchFunc(line, at, func(e detect.Event, at score.Rat) int { return e.At.Cmp(at) })
	return ok
}

// divisions are beats in equal notes next to a beat in others.
func divisions(p *detect.Pass, hand score.Hand) {
	all := beats(p.Score)
	seen := map[score.Rat]bool{}
	for _, line := range p.Lines(hand) {
		before := 0
		for i, b := range all {
			parts := equalParts(p.Score, line, b)
			if changes(before, parts) && all[i-1].to == b.from && !seen[b.from] {
				seen[b.from] = true
				f := place{hand: hand, from: all[i-1].from, to: b.to}
				f.notes = detect.StruckIn(line.Between(f.from, f.to))
				f.rate = perNote * float64(before+parts) / p.Clock.Seconds(f.from, f.to)
				f.label = fmt.Sprintf("%d notes, then %d in a beat", before, parts)
				f.why = fmt.Sprintf("The %s hand goes from %d equal notes in a beat to %d at %s", hand, before, parts, detect.PositionName(p.Score, b.from))
				f.detail = Detail{What: Division, Count: before + parts, Divisions: []int{before, parts}}
				f.shape = fmt.Sprintf("%d %d", before, parts)
				report(p, f)
			}
			before = parts
		}
	}
}

// changes reports whether one division is not had by dividing the other.
func changes(a, b int) bool { return a > 1 && b > 1 && a%b != 0 && b%a != 0 }

// equalParts is in how many equal notes a line divides a beat, all struck and
// the last held no longer than the beat; 0 where it does not.
func equalParts(s *score.Score, line detect.Line, b span) int {
	events := line.Between(b.from, b.to)
	if len(events) < 2 {
		return 0
	}
	step := b.to.Sub(b.from).Div(score.Int(int64(len(events))))
	for i, e := range events {
		if e.At != b.from.Add(step.Mul(score.Int(int64(i)))) || b.to.Less(s.Notes[e.Struck[0]].End()) && i == len(events)-1 {
			return 0
		}
	}
	return len(events)
}

// touches are strokes in a row that a hand plays detached while the other is
// under a slur.
func touches(p *detect.Pass, hand score.Hand) {
	slurs := slurred(p, 1-hand)
	var run []detect.Event
	end := func() {
		if len(run) >= leastStrokes {
			touch(p, hand, run)
		}
		run = nil
	}
	for _, e := range p.Events[hand] {
		opposed := detached(p.Score, e) && slices.ContainsFunc(slurs, func(s span) bool { return s.holds(e.At) })
		if !opposed || len(run) > 0 && detect.LongestBreath.Less(e.At.Sub(run[len(run)-1].At)) {
			end()
		}
		if opposed {
			run = append(run, e)
		}
	}
	end()
}

func touch(p *detect.Pass, hand score.Hand, run []detect.Event) {
	first, last := run[0].At, run[len(run)-1].At
	other := detect.StruckIn(detect.Line(p.Events[1-hand]).Between(first, last))
	if len(other) < leastStrokes-1 {
		return // a long note asks for no touch
	}
	f := place{hand: score.Both, from: first, to: p.EndOf(run[len(run)-1].Struck), notes: append(detect.StruckIn(run), other...)}
	f.rate = perStroke * float64(len(run)-1) / p.Clock.Seconds(first, last)
	f.label = "detached against slurs"
	f.why = fmt.Sprintf("The %s hand plays %d strokes detached from %s while the %s plays legato", hand, len(run), detect.PositionName(p.Score, first), (1 - hand).Name())
	f.detail = Detail{What: Touch, Count: len(run), Detached: hand}
	f.shape = fmt.Sprintf("%s %d", hand, len(run))
	report(p, f)
}

// detached reports whether all that an event strikes is marked so.
func detached(s *score.Score, e detect.Event) bool {
	return !slices.ContainsFunc(e.Struck, func(n int) bool {
		return !slices.ContainsFunc(s.Notes[n].Articulations, func(a string) bool { return a == "staccato" || a == "staccatissimo" })
	})
}

// slurred are the stretches that a hand plays under slurs, up to the last note
// of each. A slur with no end within a bar's length or two holds for none.
func slurred(p *detect.Pass, hand score.Hand) []span {
	var all []span
	var from score.Rat
	depth := 0
	for i := range p.Score.Notes {
		n := &p.Score.Notes[i]
		if n.Hand != hand {
			continue
		}
		if depth > 0 && n.SlurEnd > 0 {
			if depth -= n.SlurEnd; depth <= 0 {
				all, depth = append(all, span{from, n.Onset}), 0
			}
		}
		if n.SlurStart > 0 {
			if depth == 0 {
				from = n.Onset
			}
			depth += n.SlurStart
		}
		if depth > 0 && p.Score.BarAt(n.Onset)-p.Score.BarAt(from) > mostBars {
			depth = 0
		}
	}
	return all
}

// meters are changes of meter close to each other.
func meters(p *detect.Pass) {
	s := p.Score
	var changes []int
	end := func() {
		if len(changes) >= leastChanges {
			meterChanges(p, changes)
		}
		changes = nil
	}
	for i := 1; i < len(s.Bars); i++ {
		a, b := s.Bars[i-1].Time, s.Bars[i].Time
		if a == b || a.Length.IsZero() || b.Length.IsZero() {
			continue
		}
		if n := len(changes); n > 0 && i-changes[n-1] > mostBars {
			end()
		}
		changes = append(changes, i)
	}
	end()
}

func meterChanges(p *detect.Pass, changes []int) {
	bars := p.Score.Bars
	first, last := changes[0], changes[len(changes)-1]
	f := place{hand: score.Both, from: bars[first].Start, to: bars[last].End()}
	f.detail = Detail{What: Meter, Count: len(changes), Meters: []string{bars[first-1].Time.String()}}
	for i, bar := range changes {
		f.detail.Meters = append(f.detail.Meters, bars[bar].Time.String())
		if i > 0 {
			f.rate = max(f.rate, perChange/p.Clock.Seconds(bars[changes[i-1]].Start, bars[bar].Start))
		}
	}
	for i := range p.Score.Notes {
		if n := &p.Score.Notes[i]; slices.Contains(changes, n.Bar) && n.Onset == bars[n.Bar].Start {
			f.notes = append(f.notes, i)
		}
	}
	if len(f.notes) == 0 {
		return
	}
	f.label = "changes of meter"
	f.why = fmt.Sprintf("The meter changes %d times from bar %s to bar %s (%s)", len(changes), bars[first].Number, bars[last].Number,
		detect.FirstOf(f.detail.Meters, 6))
	f.shape = fmt.Sprint(f.detail.Meters)
	report(p, f)
}
