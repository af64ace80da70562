package detect

import (
	"fmt"
	"slices"

	"hardbars/score"
)

// MelodyOverAccompaniment finds one hand that sings and accompanies itself.
var MelodyOverAccompaniment = &Detector{
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
	Limits: []Limit{
		{"least melody", "2 different notes; 3 notes below; 4 attacks of double notes", "common practice"},
		BesideRate.Limit(),
	},
	Run: findMelodies,
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

// MelodyDetail is the JSON detail of a melody with its accompaniment.
type MelodyDetail struct {
	Voice       string   `json:"voice"`  // "upper" or "lower"
	Melody      []string `json:"melody"` // its notes in order
	Double      bool     `json:"double_notes"`
	PerSecond   float64  `json:"per_second"`   // attacks beside the melody, where they are densest
	FingersLeft int      `json:"fingers_left"` // for what is beside the melody
	Dynamic     string   `json:"dynamic"`      // where the melody begins; "" where none is written
}

func findMelodies(p *Pass) {
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, upper := range []bool{true, false} {
			for _, m := range p.melodies(hand, upper) {
				p.Report(p.melodyFound(m))
			}
		}
		for _, m := range p.singingTops(hand) {
			p.Report(p.melodyFound(m))
		}
	}
}

// melodies returns each run of slower notes over, or under, quicker ones.
func (p *Pass) melodies(hand score.Hand, upper bool) []melody {
	var all []melody
	var m melody
	end := func() {
		if p.moves(m) && (upper || p.isBassMelody(m)) {
			all = append(all, m)
		}
		m = melody{hand: hand, upper: upper}
	}
	end()
	for i := range p.Events[hand] {
		note, ok := p.sungAt(hand, i, upper)
		if !ok {
			continue
		}
		if n := len(m.notes); n > 0 && !p.goesOn(m.notes[n-1], note) {
			end()
		}
		m.notes = append(m.notes, note)
	}
	end()
	return all
}

// sungAt looks whether the outer note of an event is slower than what the hand
// strikes meanwhile on one side of it.
func (p *Pass) sungAt(hand score.Hand, event int, upper bool) (sung, bool) {
	events := p.Events[hand]
	e := events[event]
	m := sung{note: edge(e.Struck, upper), at: e.At}
	m.end = p.Score.Notes[m.note].End()
	for _, n := range e.Held {
		if p.beyond(n, m.note, upper) {
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
			if p.beyond(n, m.note, upper) || !p.quicker(n, m.note) {
				return m, false
			}
			m.beside = append(m.beside, n)
		}
		meanwhile++
	}
	m.attacks = together + meanwhile
	return m, meanwhile > 0 && m.attacks >= 2
}

// quicker tells whether a note is shorter than another.
func (p *Pass) quicker(n, than int) bool {
	return p.Score.Notes[n].Length.Less(p.Score.Notes[than].Length)
}

// beyond tells whether a note lies on the outer side of the melody.
func (p *Pass) beyond(n, melody int, upper bool) bool {
	if upper {
		return key(p.Score, n) >= key(p.Score, melody)
	}
	return key(p.Score, n) <= key(p.Score, melody)
}

// goesOn tells whether a note follows another in one melody: in its voice, and
// with less than a beat between.
func (p *Pass) goesOn(before, note sung) bool {
	s := p.Score
	beat := s.Bars[s.BarAt(note.at)].Time.Beat()
	return s.Notes[before.note].Voice == s.Notes[note.note].Voice && note.at.Less(before.end.Add(beat))
}

// moves tells whether a melody has two different notes.
func (p *Pass) moves(m melody) bool {
	return slices.ContainsFunc(m.notes, func(n sung) bool { return key(p.Score, n.note) != key(p.Score, m.notes[0].note) })
}

// isBassMelody tells whether the lowest notes move like a melody, and a hand
// has them and what is above in one position: they are not the basses of an
// accompaniment.
func (p *Pass) isBassMelody(m melody) bool {
	moves := 0
	for i, note := range m.notes {
		for _, n := range note.beside {
			if key(p.Score, n)-key(p.Score, note.note) > mostAboveBass {
				return false
			}
		}
		if i == 0 {
			continue
		}
		switch step := key(p.Score, note.note) - key(p.Score, m.notes[i-1].note); {
		case max(step, -step) > mostBassStep:
			return false
		case step != 0:
			moves++
		}
	}
	return len(m.notes) >= leastBass && 2*moves >= len(m.notes)-1
}

// singingTops returns each line of double notes under a slur whose top sings.
func (p *Pass) singingTops(hand score.Hand) []melody {
	var all []melody
	slurs := 0
	m := melody{hand: hand, upper: true, double: true}
	end := func() {
		if p.sings(m) {
			all = append(all, m)
		}
		m.notes = nil
	}
	for i, e := range p.Events[hand] {
		begins, ends := p.slursAt(e)
		slurs = max(slurs+begins, 0)
		note, ok := p.doubleAt(hand, i)
		if !ok || slurs == 0 || len(m.notes) > 0 && !p.goesOn(m.notes[len(m.notes)-1], note) {
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
func (p *Pass) slursAt(e Event) (begins, ends int) {
	for _, n := range slices.Concat(e.Grace, e.Struck) {
		begins += p.Score.Notes[n].SlurStart
		ends += p.Score.Notes[n].SlurEnd
	}
	return begins, ends
}

// doubleAt takes an event of two keys or more as a top note that sings, with
// the others beside it. It lasts until the hand's next attack.
func (p *Pass) doubleAt(hand score.Hand, event int) (sung, bool) {
	e := p.Events[hand][event]
	top := len(e.Struck) - 1
	if top == 0 || len(e.Held) > 0 {
		return sung{}, false
	}
	m := sung{note: e.Struck[top], at: e.At, end: p.endOf(e.Struck), beside: e.Struck[:top], attacks: 1}
	if event+1 < len(p.Events[hand]) {
		m.end = score.Min(m.end, p.Events[hand][event+1].At)
	}
	return m, true
}

// sings tells whether double notes are a line of their own: long enough, the
// top moving, and not all in one interval, which is a run of thirds, sixths or
// octaves.
func (p *Pass) sings(m melody) bool {
	tops, intervals := map[int]bool{}, map[int]bool{}
	for _, note := range m.notes {
		below := note.beside[len(note.beside)-1]
		tops[key(p.Score, note.note)] = true
		intervals[p.pitch(note.note).Staff()-p.pitch(below).Staff()] = true
	}
	return len(m.notes) >= leastSinging && len(tops) > 2 && len(intervals) > 1
}

// densest is the most attacks beside the melody in a second, over two
// successive notes of it.
func (p *Pass) densest(m melody) float64 {
	most := 0.0
	for i := 1; i < len(m.notes); i++ {
		a, b := m.notes[i-1], m.notes[i]
		most = max(most, float64(a.attacks+b.attacks)/p.Clock.Seconds(a.at, b.end))
	}
	return most
}

func (p *Pass) melodyFound(m melody) Occurrence {
	rate, comfortable := p.densest(m), p.Player.Can(BesideRate)
	sings, all := m.split()
	first, left := m.notes[0], m.fingersLeft()
	dynamic := p.Score.DynamicAt(m.hand, first.at)
	voice := map[bool]string{true: "upper", false: "lower"}[m.upper]
	return Occurrence{
		Hand: m.hand, From: first.at, To: p.endOf(all), Notes: all,
		Demand: rate / comfortable, Timed: true,
		Shape: p.melodyShape(m, voice),
		Label: voice + " voice sings",
		Why: fmt.Sprintf("The %s hand sings %s in its %s voice%s, and strikes something beside it %.1f times a second with %d of its fingers left, where %.3g is comfortable.",
			m.hand, p.begin(sings), voice, played(dynamic), rate, left, comfortable),
		Detail: MelodyDetail{
			Voice: voice, Melody: p.names(sings), Double: m.double,
			PerSecond: round3(rate), FingersLeft: left, Dynamic: dynamic,
		},
		Picture: p.roll(first.at, score.Min(p.endOf(all), first.at.Add(score.Int(mostDrawn))), sings),
	}
}

// mostDrawn is how many quarters of a long melody are drawn.
const mostDrawn = 8

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
func (p *Pass) begin(notes []int) string {
	const most = 5
	if len(notes) <= most {
		return p.prettyNames(notes)
	}
	return fmt.Sprintf("%s and %d more", p.prettyNames(notes[:most]), len(notes)-most)
}

// melodyShape is the melody's steps and times, and how much is beside each note.
func (p *Pass) melodyShape(m melody, voice string) string {
	shape := voice
	for i, note := range m.notes {
		step, wait := 0, score.Rat{}
		if i > 0 {
			step = p.pitch(note.note).Staff() - p.pitch(m.notes[i-1].note).Staff()
			wait = note.at.Sub(m.notes[i-1].at)
		}
		shape += fmt.Sprintf(" %s:%+d/%d", wait, step, len(note.beside))
	}
	return shape
}
