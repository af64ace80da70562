package detect

import (
	"fmt"
	"slices"
	"strings"
)

// Capacity is one thing that a player can do in comfort up to a figure.
type Capacity struct {
	Name    string // as a profile names it
	Unit    string
	Means   string     // what it is in plain words, so that a player can judge the figure
	ByLevel [4]float64 // in the order of Levels
	Source  string     // of the figures
}

// Capacities is the one table of what players do in comfort. How far a hand
// reaches is not in it: that follows from its span.
var Capacities = []*Capacity{
	LeapRate, HandsGap, ThirdsRate, SixthsRate, OctavesRate, RunRate, RepeatRate, SoftRate,
	SoftChord, SoftLanding, BesideRate, HeldRate, CrossedRate, GiveWay, TrillRate,
	RotationRate, StrokeRate, WorkRate, KeysKnown, GroupRate, CountRate, SignRate,
}

// LeapRate is the speed of aiming. Fitts 1954 measured 10.10 bits a second for
// practised, eyes-on tapping: the human limit, under which every level stays.
// An octave from one quarter note to the next at 126, as in a simple minuet,
// is 8: a returning player does it in comfort.
var LeapRate = &Capacity{
	Name: "leap-rate", Unit: "bits a second",
	Means:   "how surely a hand leaps: a leap of two octaves to a white key is 4.8 bits, to a black key 6",
	ByLevel: [4]float64{5, 8, 9, 9.8},
	Source:  "common practice, under the limit of 10.1 (Fitts 1954)",
}

// HandsGap is the smallest time between an attack of one hand and the next of
// the other, in two rhythms at once. Less is harder.
var HandsGap = &Capacity{
	Name: "hands-gap", Unit: "seconds",
	Means:   "how close a note of one hand may follow one of the other when each has a rhythm of its own; less is harder",
	ByLevel: [4]float64{0.15, 0.105, 0.08, 0.06},
	Source:  "common practice",
}

// ThirdsRate is how many thirds one hand plays in a row.
var ThirdsRate = &Capacity{
	Name: "thirds-rate", Unit: "thirds a second",
	Means:   "how fast one hand plays thirds that move, as in a scale of thirds",
	ByLevel: [4]float64{1.5, 3, 5, 8},
	Source:  "common practice",
}

// SixthsRate is how many sixths one hand plays in a row. The hand is wider open
// than for thirds and has fewer fingers to change to.
var SixthsRate = &Capacity{
	Name: "sixths-rate", Unit: "sixths a second",
	Means:   "how fast one hand plays sixths that move, as in a scale of sixths",
	ByLevel: [4]float64{1.2, 2.5, 4.5, 7},
	Source:  "common practice",
}

// OctavesRate is how many octaves one hand plays in a row, when they are few
// and lie well in the hand. A broken octave, two attacks, is one.
var OctavesRate = &Capacity{
	Name: "octaves-rate", Unit: "octaves a second",
	Means:   "how fast one hand plays octaves that move, a few in a row",
	ByLevel: [4]float64{1.2, 2.5, 4, 6},
	Source:  "common practice",
}

// RunRate is how many single notes one hand plays in a row, as in a scale:
// sixteenths at 100 to the quarter note are 6.7.
var RunRate = &Capacity{
	Name: "run-rate", Unit: "notes a second",
	Means:   "how fast one hand plays single notes that move, as in a scale: sixteenths at quarter = 100 are 6.7",
	ByLevel: [4]float64{3.5, 6.5, 9, 12},
	Source:  "common practice",
}

// RotationRate is how fast one hand goes to and fro between keys a sixth or more
// apart: the octave tremolo of an easy sonata, in eighths at 180, is 6.
var RotationRate = &Capacity{
	Name: "rotation-rate", Unit: "strokes a second",
	Means:   "how fast one hand goes to and fro between two keys an octave apart, as in a tremolo, for a second or two",
	ByLevel: [4]float64{4, 7, 9.5, 13},
	Source:  "common practice",
}

// RepeatRate is how often a second one key is struck with changing fingers.
var RepeatRate = &Capacity{
	Name: "repeat-rate", Unit: "strikes a second",
	Means:   "how fast you repeat one key with changing fingers",
	ByLevel: [4]float64{4, 7, 9, 12},
	Source:  "common practice",
}

// SoftRate is how fast one hand repeats a key when every note is very soft:
// less than it repeats one of any loudness.
var SoftRate = &Capacity{
	Name: "soft-rate", Unit: "soft attacks a second",
	Means:   "how fast one hand repeats a key at pp with every note sounding and none sticking out",
	ByLevel: [4]float64{3, 6, 8, 11},
	Source:  "common practice",
}

// SoftChord is how many keys one hand sounds together very softly.
var SoftChord = &Capacity{
	Name: "soft-chord", Unit: "keys struck together softly",
	Means:   "how many keys of a chord one hand sounds at pp at the same instant, none missing",
	ByLevel: [4]float64{4, 5, 6, 7},
	Source:  "common practice",
}

// SoftLanding is the least time from the note before to a soft landing: the
// hand has to arrive before it plays. Less is harder. From the bass to the chord
// in a waltz at 120 it is half a second: a returning player does that softly.
var SoftLanding = &Capacity{
	Name: "soft-landing", Unit: "seconds",
	Means:   "how soon after the note before a hand lands a leap at pp without missing the key or striking too hard; less is harder",
	ByLevel: [4]float64{0.65, 0.4, 0.28, 0.2},
	Source:  "common practice",
}

// BesideRate is how much one hand plays beside a melody of its own.
var BesideRate = &Capacity{
	Name: "beside-rate", Unit: "attacks a second beside a melody",
	Means:   "how often in a second one hand strikes something quietly beside a melody that it sings itself",
	ByLevel: [4]float64{1.5, 3, 5, 8},
	Source:  "common practice",
}

// TrillRate is how fast two fingers of one hand play in turn.
var TrillRate = &Capacity{
	Name: "trill-rate", Unit: "notes a second",
	Means:   "how fast two neighbouring fingers trill evenly for a second or two",
	ByLevel: [4]float64{5, 8, 10, 13},
	Source:  "common practice",
}

// HeldRate is how fast the four other fingers play beside one held key.
var HeldRate = &Capacity{
	Name: "held-rate", Unit: "attacks a second beside a held key",
	Means:   "how fast the four other fingers of a hand play while one keeps its key down",
	ByLevel: [4]float64{2, 4, 6, 9},
	Source:  "common practice",
}

// CrossedRate is how fast both hands play in each other's way.
var CrossedRate = &Capacity{
	Name: "crossed-rate", Unit: "attacks a second of both hands",
	Means:   "how fast the hands strike, counted together, while they are crossed or interlocked",
	ByLevel: [4]float64{1.5, 3, 5, 8},
	Source:  "common practice",
}

// GiveWay is the least time from one hand's stroke on a key to the other
// hand's on the same key. Less is harder. A figure that wanders from hand to
// hand in sixteenths at 72, 0.21 s, is in comfort for a returning player.
var GiveWay = &Capacity{
	Name: "give-way", Unit: "seconds",
	Means:   "how soon after one hand has struck a key the other can strike the same key; less is harder",
	ByLevel: [4]float64{0.35, 0.2, 0.14, 0.09},
	Source:  "common practice",
}

// GroupRate is how many groups a second a player keeps against the beat.
var GroupRate = &Capacity{
	Name: "group-rate", Unit: "groups a second",
	Means:   "how fast groups of notes follow each other that go against the beat, as threes in a bar of sixteenths do",
	ByLevel: [4]float64{1, 1.5, 2.2, 3.5},
	Source:  "common practice",
}

// CountRate is how much a player counts in a second.
var CountRate = &Capacity{
	Name: "count-rate", Unit: "things to count a second",
	Means: "how much you count while you play: each beat that notes are held over in a row is 1, " +
		"so that a chain of syncopations at quarter = 120 is 2 a second",
	ByLevel: [4]float64{1, 2, 3, 4.5},
	Source:  "common practice",
}

// SignRate is how many signs a second a player reads in one hand beyond what
// the key signature and the five lines say.
var SignRate = &Capacity{
	Name: "sign-rate", Unit: "signs a second in one hand",
	Means: "how fast one hand reads what is out of the ordinary: accidentals, notes on three and more ledger lines, " +
		"a new clef; two in each beat at quarter = 90 are 3",
	ByLevel: [4]float64{1.5, 3, 4.5, 7},
	Source:  "common practice",
}

// Can is what this player does in comfort: the player's own figure where one
// is set, otherwise that of the level.
func (p Player) Can(c *Capacity) float64 {
	if own := p.Own[c.Name]; own > 0 {
		return own
	}
	return c.ByLevel[max(slices.Index(Levels, p.Level), 0)]
}

// Limit is the capacity as a detector's limit, for every level.
func (c *Capacity) Limit() Limit {
	var values []string
	for i, level := range Levels {
		values = append(values, fmt.Sprintf("%g %s", c.ByLevel[i], level))
	}
	return Limit{Name: "comfortable, in " + c.Unit, Value: strings.Join(values, ", "), Source: c.Source}
}

// capacityNamed finds a capacity, nil where there is none.
func capacityNamed(name string) *Capacity {
	if i := slices.IndexFunc(Capacities, func(c *Capacity) bool { return c.Name == name }); i >= 0 {
		return Capacities[i]
	}
	return nil
}
