// Package melodyoveraccompaniment finds one hand that sings and accompanies
// itself.
package melodyoveraccompaniment

import (
	"fmt"
	"slices"

	"hardbars/detect"
	"hardbars/score"
)

// Detector finds the kind melody-over-accompaniment.
var Detector = &detect.Detector{
	Kind: "melody-over-accompaniment",
	Name: "a melody and its accompaniment in one hand",
	Doc: `One hand carries a melody and something else. Either a slower voice above or below a quicker one: each note of
the melody is the highest, or the lowest, that the hand has down, it lasts on while the hand strikes two quicker notes or
more, at least one of them after it, and all of them on the same side. A lower voice counts only where three notes
of it or more move like a melody, by no more than a fourth, and what is above lies within a tenth. Or double notes whose top sings: four attacks or more
of two keys or more that make up one line under a slur, the top note moving and the distance to the note below it changing.
Two different notes of a slower melody in a row are the least, with less than a beat between. Demand is how often in a second the hand
strikes something beside the melody, at its densest over two successive notes of the melody, over the comfortable rate.
How many fingers are left, and the dynamic that the melody must stand out from, are told and not counted.`,
	Limits: []detect.Limit{
		{Name: "least melody", Value: "2 different notes; 3 notes below; 4 attacks of double notes", Source: "common practice"},
		detect.BesideRate.Limit(),
	},
	Basis: detect.CommonPractice,
	Rests: "common practice. Recorded performances cannot tell: balance is no missed note, and what is missed " +
		"here rises little with demand.",
	Telling:  []string{"voice", "melody", "fingers_left"},
	Run:      findMelodies,
	Speech:   speech,
	Practise: practise,
}

const (
	leastBass     = 3  // notes of a slower melody below
	leastSinging  = 4  // attacks of double notes
	mostBassStep  = 5  // semitones from one note of a lower melody to the next
	mostAboveBass = 16 // semitones from a lower melody to what is beside it
)

// melody is what one hand sings, and what it plays beside.
type melody struct {
	hand   score.Hand
	upper  bool
	double bool // double notes whose top sings
	notes  []sung
}

// sung is one note of a melody.
type sung struct {
	note    int
	at      score.Rat
	end     score.Rat // of the note, or of what counts as its time
	beside  []int     // what the hand strikes beside it
	attacks int       // in which it does so
	held    int       // other keys that the hand holds
}

// Detail is the JSON detail of a melody with its accompaniment.
type Detail struct {
	Voice       string        `json:"voice"`  // "upper" or "lower"
	Melody      []score.Pitch `json:"melody"` // its notes in order
	Double      bool          `json:"double_notes"`
	PerSecond   float64       `json:"per_second"`   // attacks beside the melody, where they are densest
	FingersLeft int           `json:"fingers_left"` // for what is beside the melody
	Dynamic     string        `json:"dynamic"`      // where the melody begins; "" where none is written
}

func findMelodies(p *detect.Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, upper := range []bool{true, false} {
			for _, m := range melodies(p, hand, upper) {
				p.Report(melodyFound(p, m))
			}
		}
		for _, m := range singingTops(p, hand) {
			p.Report(melodyFound(p, m))
		}
	}
}

// melodies returns each run of slower notes over, or under, quicker ones.
func melodies(p *detect.Pass, hand score.Hand, upper bool) []melody {
	var all []melody
	var m melody
	end := func() {
		if moves(p, m) && (upper || isBassMelody(p, m)) {
			all = append(all, m)
		}
		m = melody{hand: hand, upper: upper}
	}
	end()
	for i := range p.Events[hand] {
		note, ok := sungAt(p, hand, i, upper)
		if !ok {
			continue
		}
		if n := len(m.notes); n > 0 && !goesOn(p, m.notes[n-1], note) {
			end()
		}
		m.notes = append(m.notes, note)
	}
	end()
	return all
}

// sungAt looks whether the outer note of an event is slower than what the hand
// strikes meanwhile on one side of it.
func sungAt(p *detect.Pass, hand score.Hand, event int, upper bool) (sung, bool) {
	events := p.Events[hand]
	e := events[event]
	m := sung{note: detect.Edge(e.Struck, upper), at: e.At}
	m.end = p.Score.Notes[m.note].End()
	for _, n := range e.Held {
		if beyond(p, n, m.note, upper) {
			return m, false
		}
		m.held++
	}
	for _, n := range e.Struck {
		switch {
		case n == m.note:
		case p.Score.Notes[n].End().Less(m.end):
			m.beside = append(m.beside, n)
		default:
			m.held++
		}
	}
	together := min(len(m.beside), 1)
	after := events[event+1:]
	meanwhile := 0
	for meanwhile < len(after) && after[meanwhile].At.Less(m.end) {
		for _, n := range after[meanwhile].Struck {
			if beyond(p, n, m.note, upper) || !quicker(p, n, m.note) {
				return m, false
			}
			m.beside = append(m.beside, n)
		}
		meanwhile++
	}
	m.attacks = together + meanwhile
	return m, meanwhile > 0 && m.attacks >= 2
}

// quicker reports whether a note is shorter than another.
func quicker(p *detect.Pass, n, than int) bool {
	return p.Score.Notes[n].Length.Less(p.Score.Notes[than].Length)
}

// beyond reports whether a note lies on the outer side of the melody.
func beyond(p *detect.Pass, n, melody int, upper bool) bool {
	if upper {
		return detect.Key(p.Score, n) >= detect.Key(p.Score, melody)
	}
	return detect.Key(p.Score, n) <= detect.Key(p.Score, melody)
}

// goesOn reports whether a note follows another in one melody: in its voice, and
// with less than a beat between.
func goesOn(p *detect.Pass, before, note sung) bool {
	s := p.Score
	beat := s.Bars[s.BarAt(note.at)].Time.Beat()
	return s.Notes[before.note].Voice == s.Notes[note.note].Voice && note.at.Less(before.end.Add(beat))
}

// moves reports whether a melody has two different notes.
func moves(p *detect.Pass, m melody) bool {
	return slices.ContainsFunc(m.notes, func(n sung) bool { return detect.Key(p.Score, n.note) != detect.Key(p.Score, m.notes[0].note) })
}

// isBassMelody reports whether the lowest notes move like a melody, and a hand
// has them and what is above in one position: they are not the basses of an
// accompaniment.
func isBassMelody(p *detect.Pass, m melody) bool {
	moves := 0
	for i, note := range m.notes {
		for _, n := range note.beside {
			if detect.Key(p.Score, n)-detect.Key(p.Score, note.note) > mostAboveBass {
				return false
			}
		}
		if i == 0 {
			continue
		}
		switch step := detect.Key(p.Score, note.note) - detect.Key(p.Score, m.notes[i-1].note); {
		case max(step, -step) > mostBassStep:
			return false
		case step != 0:
			moves++
		}
	}
	return len(m.notes) >= leastBass && 2*moves >= len(m.notes)-1
}

// singingTops returns each line of double notes under a slur whose top sings.
func singingTops(p *detect.Pass, hand score.Hand) []melody {
	var all []melody
	slurs := 0
	m := melody{hand: hand, upper: true, double: true}
	end := func() {
		if sings(p, m) {
			all = append(all, m)
		}
		m.notes = nil
	}
	for i, e := range p.Events[hand] {
		begins, ends := slursAt(p, e)
		slurs = max(slurs+begins, 0)
		note, ok := doubleAt(p, hand, i)
		if !ok || slurs == 0 || len(m.notes) > 0 && !goesOn(p, m.notes[len(m.notes)-1], note) {
			end()
		}
		if ok && slurs > 0 {
			m.notes = append(m.notes, note)
		}
		if slurs = max(slurs-ends, 0); slurs == 0 {
			end()
		}
	}
	end()
	return all
}

// slursAt counts the slurs that begin and end at an event.
func slursAt(p *detect.Pass, e detect.Event) (begins, ends int) {
	for _, n := range slices.Concat(e.Grace, e.Struck) {
		begins += p.Score.Notes[n].SlurStart
		ends += p.Score.Notes[n].SlurEnd
	}
	return begins, ends
}

// doubleAt takes an event of two keys or more as a top note that sings, with
// the others beside it. It lasts until the hand's next attack.
func doubleAt(p *detect.Pass, hand score.Hand, event int) (sung, bool) {
	e := p.Events[hand][event]
	top := len(e.Struck) - 1
	if top == 0 || len(e.Held) > 0 {
		return sung{}, false
	}
	m := sung{note: e.Struck[top], at: e.At, end: p.EndOf(e.Struck), beside: e.Struck[:top], attacks: 1}
	if event+1 < len(p.Events[hand]) {
		m.end = score.Min(m.end, p.Events[hand][event+1].At)
	}
	return m, true
}

// sings reports whether double notes are a line of their own: long enough, the
// top moving, and not all in one interval, which is a run of thirds, sixths or
// octaves.
func sings(p *detect.Pass, m melody) bool {
	tops, intervals := map[int]bool{}, map[int]bool{}
	for _, note := range m.notes {
		below := note.beside[len(note.beside)-1]
		tops[detect.Key(p.Score, note.note)] = true
		intervals[p.Pitch(note.note).Staff()-p.Pitch(below).Staff()] = true
	}
	return len(m.notes) >= leastSinging && len(tops) > 2 && len(intervals) > 1
}

// densest is the most attacks beside the melody in a second, over two
// successive notes of it.
func densest(p *detect.Pass, m melody) float64 {
	most := 0.0
	for i := 1; i < len(m.notes); i++ {
		a, b := m.notes[i-1], m.notes[i]
		most = max(most, float64(a.attacks+b.attacks)/p.Clock.Seconds(a.at, b.end))
	}
	return most
}

func melodyFound(p *detect.Pass, m melody) detect.Occurrence {
	rate, comfortable := densest(p, m), p.Player.Can(detect.BesideRate)
	sings, all := m.split()
	first, left := m.notes[0], m.fingersLeft()
	dynamic := p.Score.DynamicAt(m.hand, first.at)
	voice := map[bool]string{true: "upper", false: "lower"}[m.upper]
	return detect.Occurrence{
		Hand: m.hand, From: first.at, To: p.EndOf(all), Notes: all,
		Demand: rate / comfortable, Timed: true,
		Shape: melodyShape(p, m, voice),
		Label: voice + " voice sings",
		Why: fmt.Sprintf("The %s hand sings %s in its %s voice%s, and strikes something beside it %.1f times a second with %d of its fingers left, where %.3g is comfortable.",
			m.hand, begin(p, sings), voice, detect.PlayedWords(dynamic), rate, left, comfortable),
		Detail: Detail{
			Voice: voice, Melody: p.Pitches(sings), Double: m.double,
			PerSecond: detect.Round3(rate), FingersLeft: left, Dynamic: dynamic,
		},
		Picture:  p.PianoRoll(first.at, score.Min(p.EndOf(all), first.at.Add(score.Int(detect.MostDrawn))), sings),
		Exercise: layer(sings, voice, m.double),
	}
}

// split returns the notes of the melody, and all that the hand strikes.
func (m *melody) split() (sings, all []int) {
	for _, note := range m.notes {
		sings = append(sings, note.note)
		all = append(append(all, note.note), note.beside...)
	}
	slices.Sort(all)
	return sings, slices.Compact(all)
}

// fingersLeft is how many fingers play what is beside the melody, where they
// are fewest: five less the melody's and those that hold other keys.
func (m *melody) fingersLeft() int {
	least := 4
	for _, note := range m.notes {
		least = min(least, 4-note.held)
	}
	return max(least, 1)
}

// begin names the first notes of a melody.
func begin(p *detect.Pass, notes []int) string {
	const most = 5
	if len(notes) <= most {
		return p.PrettyNames(notes)
	}
	return fmt.Sprintf("%s and %d more", p.PrettyNames(notes[:most]), len(notes)-most)
}

// melodyShape is the melody's steps and times, and how much is beside each note.
func melodyShape(p *detect.Pass, m melody, voice string) string {
	shape := voice
	for i, note := range m.notes {
		step, wait := 0, score.Rat{}
		if i > 0 {
			step = p.Pitch(note.note).Staff() - p.Pitch(m.notes[i-1].note).Staff()
			wait = note.at.Sub(m.notes[i-1].at)
		}
		shape += fmt.Sprintf(" %s:%+d/%d", wait, step, len(note.beside))
	}
	return shape
}

// layer is the voice that sings; of double notes it is the top or the bottom of
// whatever the hand strikes.
func layer(sings []int, voice string, double bool) detect.Layer {
	return detect.Layer{
		Notes: sings, Sings: true, Top: double && voice == "upper", Bottom: double && voice != "upper",
		Alone: detect.Sentence(voice) + " voice alone: sing it",
		Rest:  "What is beside it alone: soft",
		Whole: "Both voices, the first one singing",
	}
}
