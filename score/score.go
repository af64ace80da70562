// Package score holds what is on the page of a piano score: exact time, bars,
// the notes of each hand, tempo, dynamics and pedal. Everything is laid out as
// flat tables on one time line, in quarter notes from the start, so that
// whatever is asked of a score is a scan of a sorted table.
//
// The package knows what the score says and which hand plays it. It does not
// know what is hard, who plays, or how the score is stored: reading MusicXML
// into a Score is the work of score/musicxml.
package score

import (
	"sort"
	"strconv"
	"strings"
)

// Score is one piano piece. All tables are sorted by time.
type Score struct {
	Title    string
	Composer string

	Bars  []Bar
	Notes []Note // by onset, grace notes before their main note, then right hand first, then low to high
	Rests []Rest // by onset; the written rests, cue and invisible ones left out

	Tempos    []Tempo    // never empty: the first is at 0
	Gradual   []Text     // gradual changes of tempo: "rit.", "accelerando"; named, not modelled
	Dynamics  []Dynamic  // marks that hold until the next
	Hairpins  []Hairpin  // hairpins, and words such as "dim."
	Pedals    []Pedal    // by start; one entry from the first press to the last lift
	Arpeggios []Arpeggio // arpeggio signs
	Words     []Text     // every other word on the page

	Staves    []Staff    // of the piano, from the top
	Clefs     []Clef     // by place; the first of each staff is where it begins
	HandMarks []HandMark // words and brackets that say which hand plays, by place

	Sources  [2]string // where each hand was read from, by Hand: "staff 1 of part P1"
	Warnings []Warning // what was assumed, repaired or skipped
}

// Hand is who plays a note.
type Hand uint8

const (
	Right Hand = iota
	Left
	Both // only of findings and marks; a note has one hand
)

func (h Hand) String() string { return [...]string{"right", "left", "both"}[h] }

// Name is the hand in a sentence: "right hand", "both hands".
func (h Hand) Name() string {
	if h == Both {
		return "both hands"
	}
	return h.String() + " hand"
}

// MarshalText makes a Hand "right", "left" or "both" in JSON.
func (h Hand) MarshalText() ([]byte, error) { return []byte(h.String()), nil }

// Bar is one measure.
type Bar struct {
	Number   string // as printed: "12", "0", "X1"; never empty
	Index    int    // counts from 1 in file order
	Start    Rat    // from the start of the piece
	Length   Rat    // where its longest part ends; more than 0
	Implicit bool   // a pickup or a bar without a printed number of its own
	Time     Time
	Key      Key

	RepeatStart bool
	RepeatEnd   int      // how often the passage is played in all; 0 where there is no sign
	Ending      string   // "1", "2", "1,2": the ending this bar belongs to, "" outside
	Jumps       []string // "segno", "coda", "fine", "da capo", "dal segno", "to coda"
}

// End is where the bar ends, from the start of the piece.
func (b Bar) End() Rat { return b.Start.Add(b.Length) }

// Time is a time signature in force.
type Time struct {
	Beats    string // "3", "3+2"; all of a composite signature: "2/4+3/8"; "" senza misura
	BeatType int    // 4 for quarters; the first one of a composite signature; 0 senza misura
	Length   Rat    // quarters in a full bar; 0 senza misura
}

// String is the signature as one reads it: "3/4", "3+2/8", "2/4+3/8", and ""
// senza misura.
func (t Time) String() string {
	if t.BeatType == 0 || strings.Contains(t.Beats, "/") {
		return t.Beats
	}
	return t.Beats + "/" + strconv.Itoa(t.BeatType)
}

// Beat is the length of the beat that a player counts, in quarters: the dotted
// value in 6/8, 9/8, 24/16 and the like, otherwise the unit of the signature.
func (t Time) Beat() Rat {
	switch {
	case t.BeatType == 0:
		return Int(1)
	case t.BeatType >= 8 && t.threes():
		return R(12, int64(t.BeatType))
	}
	return R(4, int64(t.BeatType))
}

// threes reports whether the upper figure is 6, 9, 12 or a further multiple of three.
func (t Time) threes() bool {
	n, err := strconv.Atoi(t.Beats)
	return err == nil && n > 3 && n%3 == 0
}

// Between these a beat can be counted and set on a metronome, in beats a minute;
// a beat shorter than a quarter is not counted so fast. Common practice.
const (
	SlowestBeat      = 30
	quickestBeat     = 240
	quickestPartBeat = 160
)

// BeatFor is the beat in which a tempo is counted, in quarters: that of the
// signature, or where it would be too slow to count a part of it, and where it
// would be too quick the bar of three, or twice the beat.
func (t Time) BeatFor(qpm float64) Rat {
	beat := t.Beat()
	for qpm < SlowestBeat*beat.Float() && beat.Cmp(R(1, 4)) > 0 {
		if beat.Num() == 3 {
			beat = beat.Div(Int(3))
		} else {
			beat = beat.Div(Int(2))
		}
	}
	for tooQuick(qpm, beat) {
		switch {
		case t.Beats == "3" && beat == R(4, int64(t.BeatType)):
			beat = beat.Mul(Int(3))
		case ValueName(beat.Mul(Int(2))) != "":
			beat = beat.Mul(Int(2))
		default:
			return beat
		}
	}
	return beat
}

func tooQuick(qpm float64, beat Rat) bool {
	most := float64(quickestBeat)
	if beat.Less(Int(1)) && beat.Num() == 1 {
		most = quickestPartBeat
	}
	return qpm > most*beat.Float()
}

// Key is a key signature in force.
type Key struct {
	Fifths int    // sharps, or flats when negative
	Mode   string // "major", "minor", or "" when the file does not say
}

// Staff is one staff of the piano.
type Staff struct {
	Part   string // id of the part that it belongs to
	Number int    // within that part, from 1
	Hand   Hand   // whose it is where nothing else says who plays
}

// HandSources names the staves of each hand: "staff 1 of part P1".
func HandSources(staves []Staff) (names [2]string) {
	for _, staff := range staves {
		if names[staff.Hand] != "" {
			names[staff.Hand] += " and "
		}
		names[staff.Hand] += "staff " + strconv.Itoa(staff.Number) + " of part " + staff.Part
	}
	return names
}

// Clef is in force on its staff from At until the next.
type Clef struct {
	At    Rat
	Staff int
	Sign  byte // 'G', 'F' or 'C'; 0 for others
}

// HandMark is a word such as "m.s.", or a hooked bracket, that gives notes to a hand.
type HandMark struct {
	At    Rat
	To    Rat // where its bracket or dashes end; At where it has none
	Staff int
	Voice string // as written; "" where the file names none
	Hand  Hand
	Text  string // as printed: "m.s."; "bracket" for a bracket without words
}

// Note is one sounding note: written notes joined by ties are one.
type Note struct {
	Hand   Hand   // who plays it; as read, the hand of the staff where its voice is at home
	Reason string // why it does not follow its staff; "" where it does
	Bar    int    // index into Score.Bars of the attack
	Onset  Rat    // from the start of the piece
	Length Rat    // to the end of the last tied note; 0 for a grace note
	Pitch  Pitch
	Voice  string // as written at the attack
	Staff  int    // at the attack; counts from 1 at the top staff of the piano
	Grace  int    // 0, or the place in the group of grace notes before the main note: 1 is played first
	Heads  []Head // the written notes, first the attack; at least one

	Fingering     string   // "3", "3-1", as written
	Articulations []string // MusicXML element names: "staccato", "accent"
	Ornaments     []string // MusicXML element names: "trill-mark", "turn", "mordent", and "wavy-line" where one begins
	AuxAbove      string   // accidental written with an ornament for the note above: "sharp", "flat", "natural"; "" for none
	AuxBelow      string   // the same for the note below
	Tremolo       int      // beams of a tremolo on the note, 0 for none
	TremoloPair   bool     // the tremolo alternates with a neighbour
	SlurStart     int      // slurs that begin here
	SlurEnd       int      // slurs that end here
	OctaveShift   int      // octaves from written to sounding under an 8va line: 1, −1, 2; Pitch is the sounding one
}

// End is where the sound's written length ends.
func (n *Note) End() Rat { return n.Onset.Add(n.Length) }

// Tied reports whether the note was written as several tied ones.
func (n *Note) Tied() bool { return len(n.Heads) > 1 }

// Head is one written note on the page.
type Head struct {
	ID     int // which <note> element of the file, counted from 0 in document order
	Bar    int // index into Score.Bars
	Onset  Rat
	Length Rat
	Voice  string
	Staff  int
	Hidden bool   // print-object="no"
	Beam   string // first-level beam: "begin", "continue", "end" or ""
}

// Rest is one written rest.
type Rest struct {
	Hand   Hand
	Onset  Rat
	Length Rat
	Voice  string
	Staff  int
}

// Tempo is in force from At until the next.
type Tempo struct {
	At   Rat
	QPM  float64     // quarter notes a minute
	Beat Rat         // the unit the mark names, in quarters: 3/2 for a dotted quarter
	From TempoSource // how the figure was come by
	Text string      // the mark as printed, where there is one: "Allegro", "♩. = 60–66"
}

// TempoSource says where a tempo came from.
type TempoSource string

const (
	FromMetronome TempoSource = "metronome"
	FromSound     TempoSource = "sound"
	FromWords     TempoSource = "words"
	FromPlayer    TempoSource = "player"
	Assumed       TempoSource = "assumed"
	Free          TempoSource = "free" // one bar in a time of its own: a cadenza
)

// Text is something written at a place on the page.
type Text struct {
	At    Rat
	Staff int // 0 when it belongs to none
	Text  string
}

// Dynamic is a dynamic mark.
type Dynamic struct {
	At   Rat
	Hand Hand   // Both when the mark stands between the staves and holds for both
	Mark string // "pp", "mf", "sfz"
}

// Hairpin is a gradual change of loudness: a hairpin, or a word such as "dim."
type Hairpin struct {
	From, To Rat // To equals From where the end is not written
	Hand     Hand
	Growing  bool
}

// PedalKind is one of the piano's pedals.
type PedalKind uint8

const (
	Damper PedalKind = iota
	Sostenuto
	Soft
)

func (k PedalKind) String() string { return [...]string{"damper", "sostenuto", "soft"}[k] }

// Pedal is one stretch with a pedal down.
type Pedal struct {
	Kind    PedalKind
	From    Rat
	To      Rat      // the last lift; the end of the piece when none is written
	Changes []Change // within From…To, in order; dampers fall and are lifted again
	AdLib   bool     // "con pedale": the player chooses when to change
}

// Change is a lift and a new press no more than a quarter note later.
type Change struct {
	Lift, Press Rat // equal where the score marks the change at one place
}

// Arpeggio is an arpeggio sign.
type Arpeggio struct {
	At    Rat
	Notes []int // indices into Score.Notes, low to high
	Down  bool  // an arrow downwards; upwards otherwise
	Hand  Hand  // Both when one sign spans both hands
}

// Warning is something that was assumed, repaired or skipped.
type Warning struct {
	Bar  string // as printed; "" when it holds for the whole file
	Text string
}

func (w Warning) String() string {
	if w.Bar == "" {
		return w.Text
	}
	return "bar " + w.Bar + ": " + w.Text
}

// End is where the last bar ends.
func (s *Score) End() Rat {
	if len(s.Bars) == 0 {
		return Rat{}
	}
	return s.Bars[len(s.Bars)-1].End()
}

// BarAt returns the index of the bar that holds the instant at, as the place
// where something begins: an instant on a barline is in the later bar.
func (s *Score) BarAt(at Rat) int {
	i := sort.Search(len(s.Bars), func(i int) bool { return at.Less(s.Bars[i].Start) })
	return max(i-1, 0)
}

// BarEnding returns the index of the bar that holds the instant at as the
// place where something ends: an instant on a barline is in the earlier bar.
func (s *Score) BarEnding(at Rat) int {
	i := sort.Search(len(s.Bars), func(i int) bool { return at.Cmp(s.Bars[i].Start) <= 0 })
	return max(i-1, 0)
}

// TempoAt returns the tempo in force.
func (s *Score) TempoAt(at Rat) Tempo {
	i := sort.Search(len(s.Tempos), func(i int) bool { return at.Less(s.Tempos[i].At) })
	return s.Tempos[max(i-1, 0)]
}

// MainTempo returns the tempo in force in the most bars, as it first stands: of a
// piece with a slow introduction not that of the introduction.
func (s *Score) MainTempo() Tempo {
	type figure struct {
		qpm  float64
		beat Rat
	}
	bars := map[figure]int{}
	main := s.Tempos[0]
	for i := range s.Bars {
		t := s.TempoAt(s.Bars[i].Start)
		bars[figure{t.QPM, t.Beat}]++
	}
	for _, t := range s.Tempos {
		if bars[figure{t.QPM, t.Beat}] > bars[figure{main.QPM, main.Beat}] {
			main = t
		}
	}
	return main
}

// DynamicAt returns the dynamic mark in force for a hand, "" before the first.
func (s *Score) DynamicAt(h Hand, at Rat) string {
	i := sort.Search(len(s.Dynamics), func(i int) bool { return at.Less(s.Dynamics[i].At) })
	for i--; i >= 0; i-- {
		if d := s.Dynamics[i]; d.Hand == h || d.Hand == Both {
			return d.Mark
		}
	}
	return ""
}
