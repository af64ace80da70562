package detect

import (
	"fmt"
	"math/bits"
	"slices"
	"strings"

	"hardbars/score"
)

// LongPedal finds one pedal that lasts over more than one harmony.
var LongPedal = &Detector{
	Kind: "long-pedal",
	Name: "one pedal over changing harmony",
	Doc: `The score keeps the damper pedal down while the harmony changes, and notes a second or a ninth apart, which the
hands do not hold together, sound together under it. The harmony changes where the notes struck no longer belong to one
triad or seventh chord with those before, and two pitch classes are new, or where the bass moves by a step; the top notes
of the right hand, which may be passing notes of a melody, do not decide this. A pedal that the player may change at will ("con pedale") is no long pedal. The way out is to lift the
pedal by part where the harmony changes, so that it thins what rang before and keeps the bass. Demand is 0.5 and more for
each clash: 0.2 where its lower note lies below C3, where it is muddiest, 0.1 below C5, 0.03 above; at most 1.5.`,
	Limits: []Limit{
		{Name: "demand", Value: fmt.Sprintf("%g to %g", longPedal, mostLongPedal), Source: "common practice"},
		{Name: "demand added by a clash", Value: "0.2 below C3, 0.1 below C5, 0.03 above", Source: "common practice"},
	},
	Run: findLongPedals,
}

// Demand of a long pedal: common practice.
const (
	longPedal     = 0.5
	mostLongPedal = 1.5
)

// LongPedalDetail is the JSON detail of a long pedal.
type LongPedalDetail struct {
	PitchClasses []string `json:"pitch_classes"` // what piles up, by its first attack
	Harmonies    int      `json:"harmonies"`
	Clashes      []Clash  `json:"clashes"`
	Register     string   `json:"register"`   // of the lowest clash: "low", "middle", "high"
	PartLifts    []Place  `json:"part_lifts"` // where to let the pedal up by part
}

// Clash is two notes a second or a ninth apart that only the pedal keeps together.
type Clash struct {
	Pitches [2]string `json:"pitches"` // lower first
	At      Place     `json:"at"`      // the attack of the later
}

// clashing is a clash by its notes, indices into Score.Notes.
type clashing struct {
	low, high int
	at        score.Rat
}

func findLongPedals(p *Pass) {
	for _, pedal := range p.Score.Pedals {
		if pedal.Kind != score.Damper || pedal.AdLib {
			continue
		}
		from := pedal.From
		for _, c := range pedal.Changes {
			p.longPedal(from, c.Lift)
			from = c.Press
		}
		p.longPedal(from, pedal.To)
	}
}

// longPedal looks at the time from the pedal's press to its lift.
func (p *Pass) longPedal(from, to score.Rat) {
	starts := p.harmonies(from, to)
	if len(starts) < 2 {
		return
	}
	found := p.clashes(from, to, func(a, b int) bool { return harmonyOf(p.Score, starts, a) != harmonyOf(p.Score, starts, b) })
	if len(found) > 0 {
		l := pedalling{from, to, starts, found}
		p.Report(l.occurrence(p))
	}
}

// harmonies returns where each harmony under one pedal begins. Notes that
// bring a single new pitch class pass by and make no new harmony, unless the
// bass moves by a step.
func (p *Pass) harmonies(from, to score.Rat) []score.Rat {
	var chords, kept []support
	for _, sup := range p.supports(from, to) {
		chords = follow(chords, sup)
	}
	for _, chord := range chords {
		if n := len(kept) - 1; n < 0 || bassSteps(kept[n], chord) || size(chord.classes&^kept[n].classes) >= newHarmony {
			kept = follow(kept, chord)
		}
	}
	starts := make([]score.Rat, len(kept))
	for i, chord := range kept {
		starts[i] = chord.at
	}
	return starts
}

// newHarmony is how many pitch classes a harmony has at least that the one
// before it has not. Common practice.
const newHarmony = 2

// support is what is struck at one instant, or a chord that was gathered from
// several.
type support struct {
	at      score.Rat
	classes int // pitch classes, one bit each
	bass    int // the lowest key of the left hand that is held for a beat; 0 for none
}

// size is how many pitch classes there are.
func size(classes int) int { return bits.OnesCount(uint(classes)) }

// bassSteps tells whether the bass moves from one key to the next or next but one.
func bassSteps(a, b support) bool {
	return a.bass > 0 && b.bass > 0 && a.bass != b.bass && abs(a.bass-b.bass) <= 2
}

// follow adds notes to the last of the chords if they belong to it, otherwise
// as a new chord. A bass note by itself goes with what follows it.
func follow(chords []support, next support) []support {
	n := len(chords) - 1
	if n < 0 || bassSteps(chords[n], next) || size(chords[n].classes) > 1 && !oneChord(chords[n].classes|next.classes) {
		return append(chords, next)
	}
	chords[n].classes |= next.classes
	if chords[n].bass == 0 || next.bass > 0 && next.bass < chords[n].bass {
		chords[n].bass = next.bass
	}
	return chords
}

// harmonyOf is the last harmony that begins no later than a note.
func harmonyOf(s *score.Score, starts []score.Rat, note int) int {
	n, _ := slices.BinarySearchFunc(starts, s.Notes[note].Onset, func(start, at score.Rat) int {
		if at.Less(start) {
			return 1
		}
		return -1
	})
	return max(n-1, 0)
}

// supports are what rings under a pedal from its press to its lift, without
// the melody and grace notes.
func (p *Pass) supports(from, to score.Rat) []support {
	s := p.Score
	var all []support
	for _, n := range p.ringing(from, to) {
		note := &s.Notes[n]
		if note.Grace > 0 || inMelody(s, n) {
			continue
		}
		at := score.Max(note.Onset, from)
		if len(all) == 0 || all[len(all)-1].at != at {
			all = append(all, support{at: at})
		}
		sup := &all[len(all)-1]
		sup.classes |= 1 << pitchClass(note.Pitch.MIDI())
		if beat := s.Bars[note.Bar].Time.Beat(); note.Hand == score.Left && !note.Length.Less(beat) && (sup.bass == 0 || note.Pitch.MIDI() < sup.bass) {
			sup.bass = note.Pitch.MIDI()
		}
	}
	return all
}

// inMelody tells whether a note is the highest that the right hand strikes at
// its instant, or the same an octave or more below.
func inMelody(s *score.Score, note int) bool {
	n := &s.Notes[note]
	top := n.Pitch.MIDI()
	for i := note; i < len(s.Notes) && s.Notes[i].Onset == n.Onset; i++ {
		if s.Notes[i].Hand == score.Right {
			top = max(top, s.Notes[i].Pitch.MIDI())
		}
	}
	return n.Hand == score.Right && pitchClass(top) == pitchClass(n.Pitch.MIDI())
}

// ringing returns the notes that a pedal from one instant to another keeps
// sounding: those struck in it and those held when it is pressed.
func (p *Pass) ringing(from, to score.Rat) []int {
	notes := p.Score.Notes
	var all []int
	for _, hand := range []score.Hand{score.Right, score.Left} {
		last := p.lastBefore(hand, from)
		for _, n := range slices.Concat(last.Struck, last.Held) {
			if from.Less(notes[n].End()) {
				all = append(all, n)
			}
		}
	}
	slices.Sort(all)
	first, _ := slices.BinarySearchFunc(notes, from, func(n score.Note, at score.Rat) int { return n.Onset.Cmp(at) })
	for i := first; i < len(notes) && notes[i].Onset.Less(to); i++ {
		all = append(all, i)
	}
	return all
}

// lastBefore is what a hand strikes last before an instant, the zero Event
// where there is nothing.
func (p *Pass) lastBefore(hand score.Hand, at score.Rat) Event {
	n, _ := slices.BinarySearchFunc(p.Events[hand], at, func(e Event, at score.Rat) int { return e.At.Cmp(at) })
	if n == 0 {
		return Event{}
	}
	return p.Events[hand][n-1]
}

// The triads and seventh chords, as semitones above the root: major, minor,
// diminished, augmented; dominant, major, minor, half-diminished, diminished
// and minor-major seventh.
var chords = func() []int {
	var all []int
	for _, above := range [][]int{
		{4, 7}, {3, 7}, {3, 6}, {4, 8},
		{4, 7, 10}, {4, 7, 11}, {3, 7, 10}, {3, 6, 10}, {3, 6, 9}, {3, 7, 11},
	} {
		for root := range 12 {
			chord := 1 << root
			for _, semitones := range above {
				chord |= 1 << ((root + semitones) % 12)
			}
			all = append(all, chord)
		}
	}
	return all
}()

// oneChord tells whether pitch classes belong to one triad or seventh chord.
func oneChord(classes int) bool {
	return slices.ContainsFunc(chords, func(chord int) bool { return classes&^chord == 0 })
}

// clashes returns the notes a second or a ninth apart that a pedal from one
// instant to another keeps sounding together, though the first is over, as
// written, when the second is struck. between says which two notes count. Each
// pair of pitch classes comes once, where it is lowest.
func (p *Pass) clashes(from, to score.Rat, between func(a, b int) bool) []clashing {
	s := p.Score
	var all []clashing
	rings := map[int]int{} // by key, the note struck last
	for _, n := range p.ringing(from, to) {
		note, key := &s.Notes[n], key(s, n)
		if note.Grace > 0 {
			continue
		}
		for _, semitones := range []int{-14, -13, -2, -1, 1, 2, 13, 14} {
			other, ok := rings[key+semitones]
			if !ok || note.Onset.Less(s.Notes[other].End()) || !between(other, n) {
				continue
			}
			c := clashing{other, n, note.Onset}
			if semitones > 0 {
				c.low, c.high = n, other
			}
			all = p.addLowest(all, c)
		}
		rings[key] = n
	}
	return all
}

// addLowest adds a clash, or lets it replace one of the same two pitch classes
// that lies higher.
func (p *Pass) addLowest(all []clashing, c clashing) []clashing {
	classes := func(c clashing) [2]int {
		a, b := pitchClass(key(p.Score, c.low)), pitchClass(key(p.Score, c.high))
		return [2]int{min(a, b), max(a, b)}
	}
	i := slices.IndexFunc(all, func(known clashing) bool { return classes(known) == classes(c) })
	switch {
	case i < 0:
		return append(all, c)
	case key(p.Score, c.low) < key(p.Score, all[i].low):
		all[i] = c
	}
	return all
}

// Registers, by MIDI number: below C3 a clash is low, from C5 on it is high.
// Common practice: the lower, the muddier.
const (
	middleFrom = 48
	highFrom   = 72
)

func register(key int) string {
	switch {
	case key < middleFrom:
		return "low"
	case key < highFrom:
		return "middle"
	}
	return "high"
}

// blur is what clashes add to demand.
func (p *Pass) blur(found []clashing) float64 {
	sum := 0.0
	for _, c := range found {
		switch register(key(p.Score, c.low)) {
		case "low":
			sum += 0.2
		case "middle":
			sum += 0.1
		default:
			sum += 0.03
		}
	}
	return sum
}

// lowestClash is the clash whose lower note is lowest.
func (p *Pass) lowestClash(found []clashing) clashing {
	return slices.MinFunc(found, func(a, b clashing) int { return key(p.Score, a.low) - key(p.Score, b.low) })
}

// jsonClashes are clashes as JSON names them.
func (p *Pass) jsonClashes(found []clashing) []Clash {
	all := []Clash{}
	for _, c := range found {
		all = append(all, Clash{[2]string{p.Score.Notes[c.low].Pitch.String(), p.Score.Notes[c.high].Pitch.String()}, p.place(c.at)})
	}
	return all
}

// clashNames says which notes clash: "E4–F4, and 3 more".
func (p *Pass) clashNames(found []clashing) string {
	const most = 3
	var names []string
	for _, c := range found[:min(len(found), most)] {
		names = append(names, p.Score.Notes[c.low].Pitch.Pretty()+"–"+p.Score.Notes[c.high].Pitch.Pretty())
	}
	text := strings.Join(names, ", ")
	if more := len(found) - most; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// pedalling is one pedal over several harmonies.
type pedalling struct {
	from, to score.Rat
	starts   []score.Rat // of the harmonies
	clashes  []clashing
}

func (l *pedalling) occurrence(p *Pass) Occurrence {
	s := p.Score
	lowest := p.lowestClash(l.clashes)
	lifts := []Place{}
	for _, at := range l.starts[1:] {
		lifts = append(lifts, p.place(at))
	}
	return Occurrence{
		Hand: score.Both, From: l.from, To: l.to, Notes: l.notes(),
		Demand: min(mostLongPedal, longPedal+p.blur(l.clashes)),
		Shape:  l.shape(p),
		Label:  "pedal blurs " + p.clashNames([]clashing{lowest}),
		Why:    l.why(p),
		Detail: LongPedalDetail{
			PitchClasses: pitchClasses(s, p.ringing(l.from, l.to), score.Pitch.String), Harmonies: len(l.starts),
			Clashes: p.jsonClashes(l.clashes), Register: register(key(s, lowest.low)), PartLifts: lifts,
		},
		Picture: l.picture(p),
	}
}

// notes are those that clash, in the score's order.
func (l *pedalling) notes() []int {
	var notes []int
	for _, c := range l.clashes {
		notes = append(notes, c.low, c.high)
	}
	slices.Sort(notes)
	return slices.Compact(notes)
}

func (l *pedalling) why(p *Pass) string {
	s := p.Score
	var lifts []string
	for _, at := range l.starts[1:] {
		lifts = append(lifts, placeName(s, at))
	}
	const most = 4
	if more := len(lifts) - most; more > 0 {
		lifts = append(lifts[:most], fmt.Sprintf("%d more", more))
	}
	return fmt.Sprintf("One pedal from %s to %s holds %d harmonies: %s pile up, and %s clash, the lowest in the %s register; lift the pedal by part at %s.",
		placeName(s, l.from), endName(s, l.to), len(l.starts), Enumerate(pitchClasses(s, p.ringing(l.from, l.to), score.Pitch.Pretty)),
		p.clashNames(l.clashes), register(key(s, p.lowestClash(l.clashes).low)), Enumerate(lifts))
}

// pitchClasses are the names of notes without their octaves, each once, in the
// order in which they come.
func pitchClasses(s *score.Score, notes []int, name func(score.Pitch) string) []string {
	var all []string
	for _, n := range notes {
		class := strings.TrimRight(name(s.Notes[n].Pitch), "-0123456789")
		if !slices.Contains(all, class) {
			all = append(all, class)
		}
	}
	return all
}

// shape is when the harmonies begin, and which keys clash, from the lowest.
func (l *pedalling) shape(p *Pass) string {
	var b strings.Builder
	for _, at := range append(l.starts[1:], l.to) {
		fmt.Fprintf(&b, "%s ", at.Sub(l.from))
	}
	lowest := key(p.Score, p.lowestClash(l.clashes).low)
	for _, c := range l.clashes {
		fmt.Fprintf(&b, " %d/%d", key(p.Score, c.low)-lowest, key(p.Score, c.high)-lowest)
	}
	return b.String()
}

// picture shows the pedal up to the bar after the first clash, with the places for part-lifts.
func (l *pedalling) picture(p *Pass) Roll {
	bar := min(p.Score.BarAt(l.clashes[0].at)+1, len(p.Score.Bars)-1)
	to := score.Min(l.to, p.Score.Bars[bar].End())
	r := p.roll(l.from, to, l.notes())
	for _, at := range l.starts[1:] {
		if at.Less(to) {
			r.Lines = append(r.Lines, at.Sub(l.from))
		}
	}
	return r
}
