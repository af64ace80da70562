// Package longpedal finds one pedal that lasts over more than one harmony.
package longpedal

import (
	"fmt"
	"math/bits"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// Detector finds the kind long-pedal.
var Detector = &detect.Detector{
	Kind: "long-pedal",
	Name: "one pedal over changing harmony",
	Doc: `The score keeps the damper pedal down while the harmony changes, and notes a second or a ninth apart, which the
hands do not hold together, sound together under it. The harmony changes where the notes struck no longer belong to one
triad or seventh chord with those before, and two pitch classes are new, or where the bass moves by a step; the top notes
of the right hand, which may be passing notes of a melody, do not decide this. A pedal that the player may change at will ("con pedale") is no long pedal. The way out is to lift the
pedal by part where the harmony changes, so that it thins what rang before and keeps the bass. Demand is 0.5 and more for
each clash: 0.2 where its lower note lies below C3, where it is muddiest, 0.1 below C5, 0.03 above; at most 1.5.`,
	Limits: []detect.Limit{
		{Name: "demand", Value: fmt.Sprintf("%g to %g", longPedal, mostLongPedal), Source: "common practice"},
		{Name: "demand added by a clash", Value: "0.2 below C3, 0.1 below C5, 0.03 above", Source: "common practice"},
	},
	Basis:    detect.CommonPractice,
	Rests:    "common practice. Recorded performances cannot tell: what blurs is no missed note.",
	Telling:  []string{"pitch_classes", "harmonies", "register", "part_lifts"},
	Run:      findLongPedals,
	Speech:   speech,
	Practise: practise,
}

// Demand of a long pedal: common practice.
const (
	longPedal     = 0.5
	mostLongPedal = 1.5
)

// Detail is the JSON detail of a long pedal.
type Detail struct {
	PitchClasses []PitchClass      `json:"pitch_classes"` // what piles up, by its first attack
	Harmonies    int               `json:"harmonies"`
	Clashes      []detect.Clash    `json:"clashes"`
	Register     string            `json:"register"`   // of the lowest clash: "low", "middle", "high"
	PartLifts    []detect.Position `json:"part_lifts"` // where to let the pedal up by part
}

func findLongPedals(p *detect.Pass) {
	for _, pedal := range p.Score.Pedals {
		if pedal.Kind != score.Damper || pedal.AdLib {
			continue
		}
		from := pedal.From
		for _, c := range pedal.Changes {
			findLongPedal(p, from, c.Lift)
			from = c.Press
		}
		findLongPedal(p, from, pedal.To)
	}
}

// findLongPedal looks at the time from the pedal's press to its lift.
func findLongPedal(p *detect.Pass, from, to score.Rat) {
	starts := harmonies(p, from, to)
	if len(starts) < 2 {
		return
	}
	found := p.Clashes(from, to, func(a, b int) bool { return harmonyOf(p.Score, starts, a) != harmonyOf(p.Score, starts, b) })
	if len(found) > 0 {
		l := pedalling{from, to, starts, found}
		p.Report(l.occurrence(p))
	}
}

// harmonies returns where each harmony under one pedal begins. Notes that
// bring a single new pitch class pass by and make no new harmony, unless the
// bass moves by a step.
func harmonies(p *detect.Pass, from, to score.Rat) []score.Rat {
	var chords, kept []support
	for _, sup := range supports(p, from, to) {
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

// bassSteps reports whether the bass moves from one key to the next or next but one.
func bassSteps(a, b support) bool {
	return a.bass > 0 && b.bass > 0 && a.bass != b.bass && detect.Abs(a.bass-b.bass) <= 2
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
func supports(p *detect.Pass, from, to score.Rat) []support {
	s := p.Score
	var all []support
	for _, n := range p.Ringing(from, to) {
		note := &s.Notes[n]
		if note.Grace > 0 || inMelody(s, n) {
			continue
		}
		at := score.Max(note.Onset, from)
		if len(all) == 0 || all[len(all)-1].at != at {
			all = append(all, support{at: at})
		}
		sup := &all[len(all)-1]
		sup.classes |= 1 << hand.PitchClass(note.Pitch.MIDI())
		if beat := s.Bars[note.Bar].Time.Beat(); note.Hand == score.Left && !note.Length.Less(beat) && (sup.bass == 0 || note.Pitch.MIDI() < sup.bass) {
			sup.bass = note.Pitch.MIDI()
		}
	}
	return all
}

// inMelody reports whether a note is the highest that the right hand strikes at
// its instant, or the same an octave or more below.
func inMelody(s *score.Score, note int) bool {
	n := &s.Notes[note]
	top := n.Pitch.MIDI()
	for i := note; i < len(s.Notes) && s.Notes[i].Onset == n.Onset; i++ {
		if s.Notes[i].Hand == score.Right {
			top = max(top, s.Notes[i].Pitch.MIDI())
		}
	}
	return n.Hand == score.Right && hand.PitchClass(top) == hand.PitchClass(n.Pitch.MIDI())
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

// oneChord reports whether pitch classes belong to one triad or seventh chord.
func oneChord(classes int) bool {
	return slices.ContainsFunc(chords, func(chord int) bool { return classes&^chord == 0 })
}

// pedalling is one pedal over several harmonies.
type pedalling struct {
	from, to score.Rat
	starts   []score.Rat // of the harmonies
	clashes  []detect.Clashing
}

func (l *pedalling) occurrence(p *detect.Pass) detect.Occurrence {
	s := p.Score
	lowest := p.LowestClash(l.clashes)
	lifts := []detect.Position{}
	for _, at := range l.starts[1:] {
		lifts = append(lifts, p.Position(at))
	}
	return detect.Occurrence{
		Hand: score.Both, From: l.from, To: l.to, Notes: l.notes(),
		Demand: min(mostLongPedal, longPedal+p.Blur(l.clashes)),
		Shape:  l.shape(p),
		Label:  "pedal blurs " + p.ClashNames([]detect.Clashing{lowest}),
		Why:    l.why(p),
		Detail: Detail{
			PitchClasses: pitchClasses(s, p.Ringing(l.from, l.to)), Harmonies: len(l.starts),
			Clashes: p.JsonClashes(l.clashes), Register: detect.Register(detect.Key(s, lowest.Low)), PartLifts: lifts,
		},
		Picture: l.picture(p),
	}
}

// notes are those that clash, in the score's order.
func (l *pedalling) notes() []int {
	var notes []int
	for _, c := range l.clashes {
		notes = append(notes, c.Low, c.High)
	}
	slices.Sort(notes)
	return slices.Compact(notes)
}

func (l *pedalling) why(p *detect.Pass) string {
	s := p.Score
	var lifts []string
	for _, at := range l.starts[1:] {
		lifts = append(lifts, detect.PositionName(s, at))
	}
	const most = 4
	if more := len(lifts) - most; more > 0 {
		lifts = append(lifts[:most], fmt.Sprintf("%d more", more))
	}
	return fmt.Sprintf("One pedal from %s to %s holds %d harmonies: %s pile up, and %s clash, the lowest in the %s register; lift the pedal by part at %s.",
		detect.PositionName(s, l.from), detect.EndPositionName(s, l.to), len(l.starts), detect.Enumerate(detect.AllPretty(pitchClasses(s, p.Ringing(l.from, l.to)))),
		p.ClashNames(l.clashes), detect.Register(detect.Key(s, p.LowestClash(l.clashes).Low)), detect.Enumerate(lifts))
}

// PitchClass is a pitch without its octave.
type PitchClass struct {
	Step  byte
	Alter int
}

func (c PitchClass) name(name func(score.Pitch) string) string {
	return strings.TrimSuffix(name(score.Pitch{Step: c.Step, Alter: c.Alter}), "0")
}

// MarshalText is the pitch class in JSON: "F#".
func (c PitchClass) MarshalText() ([]byte, error) { return []byte(c.name(score.Pitch.String)), nil }

// Pretty prints the pitch class with the signs of music: "F♯".
func (c PitchClass) Pretty() string { return c.name(score.Pitch.Pretty) }

// pitchClasses are those of notes, each once, in the order in which they come.
func pitchClasses(s *score.Score, notes []int) []PitchClass {
	var all []PitchClass
	for _, n := range notes {
		class := PitchClass{s.Notes[n].Pitch.Step, s.Notes[n].Pitch.Alter}
		if !slices.Contains(all, class) {
			all = append(all, class)
		}
	}
	return all
}

// shape is when the harmonies begin, and which keys clash, from the lowest.
func (l *pedalling) shape(p *detect.Pass) string {
	var b strings.Builder
	for _, at := range append(l.starts[1:], l.to) {
		fmt.Fprintf(&b, "%s ", at.Sub(l.from))
	}
	lowest := detect.Key(p.Score, p.LowestClash(l.clashes).Low)
	for _, c := range l.clashes {
		fmt.Fprintf(&b, " %d/%d", detect.Key(p.Score, c.Low)-lowest, detect.Key(p.Score, c.High)-lowest)
	}
	return b.String()
}

// picture shows the pedal up to the bar after the first clash, with the places for part-lifts.
func (l *pedalling) picture(p *detect.Pass) detect.PianoRoll {
	bar := min(p.Score.BarAt(l.clashes[0].At)+1, len(p.Score.Bars)-1)
	to := score.Min(l.to, p.Score.Bars[bar].End())
	r := p.PianoRoll(l.from, to, l.notes())
	for _, at := range l.starts[1:] {
		if at.Less(to) {
			r.Lines = append(r.Lines, at.Sub(l.from))
		}
	}
	return r
}
