// Package reading finds bars in which much stands that is not in the key
// signature and on the five lines: what slows the eye, not the hand.
package reading

import (
	"fmt"
	"slices"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/form"
)

// Detector finds the kind reading.
var Detector = &detect.Detector{
	Kind: "reading",
	Name: "much to read",
	Doc: `In one bar one hand has at least six signs that are out of the ordinary. Counted are: each accidental that the key
signature and the bar so far make necessary, 1, a double one, 2, but none within a chromatic scale, which is read at a glance; each pitch on three ledger lines or more, 1, once in a bar
and of a chord the outermost alone; each new clef on a staff that the hand plays from, 2. An octave line takes ledger lines
away. Bars that one hand has played before are read already and do not count. Demand is the number of signs a second,
divided by the comfortable rate.`,
	Limits: []detect.Limit{
		detect.SignRate.Limit(),
		{Name: "least number", Value: fmt.Sprintf("%d in a bar", leastSigns), Source: "common practice"},
		{Name: "ledger lines that slow the eye", Value: fmt.Sprintf("%d", manyLines), Source: "common practice"},
		{Name: "a double accidental, a new clef", Value: fmt.Sprintf("%d and %d signs", doubleSign, clefSign), Source: "common practice"},
	},
	Basis:    detect.CommonPractice,
	Rests:    "common practice. Recorded performances have nothing to say: who records a piece reads it no longer. Its places are ranked by half of their demand.",
	Ranked:   0.5,
	OfMind:   true,
	Telling:  []string{"accidentals", "doubles", "ledgers", "clefs"},
	Run:      findReading,
	Practise: practise,
	Speech:   speech,
}

// What counts, and from how much on: common practice.
const (
	leastSigns = 6
	manyLines  = 3
	doubleSign = 2
	clefSign   = 2
)

// Detail is the JSON detail of a bar with much to read.
type Detail struct {
	Accidentals []score.Pitch `json:"accidentals"` // that stand in the bar, naturals too, doubles apart
	Doubles     []score.Pitch `json:"doubles"`     // with a double accidental
	Ledgers     []score.Pitch `json:"ledgers"`     // on three ledger lines or more
	Clefs       int           `json:"clefs"`       // new ones
	Signs       int           `json:"signs"`       // all, weighed
	PerSecond   float64       `json:"signs_per_second"`
}

func findReading(p *detect.Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		known := map[int]bool{}
		bars := form.NewBars(p.Score, hand)
		events := detect.Line(p.Events[hand])
		for i, bar := range p.Score.Bars {
			if known[bars.Number(i)] {
				continue
			}
			known[bars.Number(i)] = true
			if o, ok := read(p, hand, i, events.Between(bar.Start, bar.End())); ok {
				p.Report(o)
			}
		}
	}
}

// read counts what one hand has to read in a bar.
func read(p *detect.Pass, hand score.Hand, index int, events detect.Line) (o detect.Occurrence, ok bool) {
	bar := p.Score.Bars[index]
	d := Detail{Accidentals: []score.Pitch{}, Doubles: []score.Pitch{}, Ledgers: []score.Pitch{}}
	inForce, ledgers, staves := map[written]int{}, map[int]bool{}, map[int]bool{}
	var notes []int
	for i, e := range events {
		for _, n := range slices.Concat(e.Grace, e.Struck) {
			note := &p.Score.Notes[n]
			staves[note.Staff] = true
			w := written{note.Pitch.Staff(), note.Staff}
			alter, known := inForce[w]
			if !known {
				alter = bar.Key.Alter(note.Pitch.Step)
			}
			inForce[w] = note.Pitch.Alter
			switch {
			case note.Pitch.Alter == alter || chromatic(p, events, i):
				continue
			case detect.Abs(note.Pitch.Alter) == 2:
				d.Doubles = append(d.Doubles, note.Pitch)
			default:
				d.Accidentals = append(d.Accidentals, note.Pitch)
			}
			notes = append(notes, n)
		}
		for _, n := range slices.Compact([]int{e.Struck[0], e.Struck[len(e.Struck)-1]}) {
			if pitch := p.Pitch(n); lines(p.Score, n) >= manyLines && !ledgers[pitch.Staff()] {
				ledgers[pitch.Staff()] = true
				d.Ledgers = append(d.Ledgers, pitch)
				notes = append(notes, n)
			}
		}
	}
	d.Clefs = newClefs(p.Score, bar, staves)
	d.Signs = len(d.Accidentals) + doubleSign*len(d.Doubles) + len(d.Ledgers) + clefSign*d.Clefs
	if d.Signs < leastSigns || len(notes) == 0 {
		return o, false
	}
	slices.Sort(notes)
	notes = slices.Compact(notes)
	rate, can := float64(d.Signs)/p.Clock.Seconds(bar.Start, bar.End()), p.Player.Can(detect.SignRate)
	d.PerSecond = detect.Round3(rate)
	return detect.Occurrence{
		Hand: hand, From: bar.Start, To: bar.End(), Notes: notes,
		Demand: rate / can, Timed: true,
		Shape: p.ShapeOf(events),
		Label: fmt.Sprintf("%d signs to read", d.Signs),
		Why: fmt.Sprintf("The %s hand has to read %s: %.1f signs a second, where %.1f are comfortable.",
			hand, detect.Enumerate(d.words()), rate, can),
		Detail: d, Picture: p.PianoRoll(bar.Start, bar.End(), notes),
	}, true
}

// chromatic reports whether what an event strikes is a step of a chromatic
// scale, in single notes, octaves or the like, with the one before and the one
// after: that is read at a glance.
func chromatic(p *detect.Pass, events detect.Line, i int) bool {
	if i == 0 || i+1 == len(events) {
		return false
	}
	before, here, after := p.Keys(events[i-1].Struck), p.Keys(events[i].Struck), p.Keys(events[i+1].Struck)
	if len(before) != len(here) || len(here) != len(after) {
		return false
	}
	step := here[0] - before[0]
	for k := range here {
		if here[k]-before[k] != step || after[k]-here[k] != step {
			return false
		}
	}
	return detect.Abs(step) == 1
}

// written is where a note stands: an accidental holds for its line or space.
type written struct{ place, staff int }

// words are what there is to read.
func (d *Detail) words() []string {
	var all []string
	for _, w := range []struct {
		count     int
		one, many string
	}{
		{len(d.Accidentals), "accidental", "accidentals"},
		{len(d.Doubles), "double accidental", "double accidentals"},
		{len(d.Ledgers), "note far off the staff", "notes far off the staff"},
		{d.Clefs, "new clef", "new clefs"},
	} {
		if w.count > 0 {
			all = append(all, detect.Counted(w.count, w.one, w.many))
		}
	}
	return all
}

// outerLines are the lowest and the highest line of a staff in each clef at its
// usual place, as score.Pitch.Staff counts.
var outerLines = map[byte][2]int{'G': {30, 38}, 'F': {18, 26}, 'C': {24, 32}}

// lines is how many ledger lines a note needs as written, 0 in other clefs.
func lines(s *score.Score, note int) int {
	n := &s.Notes[note]
	outer, ok := outerLines[clefAt(s, n.Staff, n.Onset)]
	if !ok {
		return 0
	}
	place := n.Pitch.Staff() - 7*n.OctaveShift
	return max((outer[0]-place)/2, (place-outer[1])/2, 0)
}

// clefAt is the sign of the clef in force on a staff, 0 for none.
func clefAt(s *score.Score, staff int, at score.Rat) byte {
	var sign byte
	for _, c := range s.Clefs {
		if at.Less(c.At) {
			break
		}
		if c.Staff == staff {
			sign = c.Sign
		}
	}
	return sign
}

// newClefs counts those in a bar on some staves that change what is in force.
func newClefs(s *score.Score, bar score.Bar, staves map[int]bool) int {
	count := 0
	inForce := map[int]byte{}
	for _, c := range s.Clefs {
		if !c.At.Less(bar.End()) {
			break
		}
		if !c.At.Less(bar.Start) && staves[c.Staff] && inForce[c.Staff] != 0 && inForce[c.Staff] != c.Sign {
			count++
		}
		inForce[c.Staff] = c.Sign
	}
	return count
}
