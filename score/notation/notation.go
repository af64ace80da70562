// Package notation holds what is written on the staves of a piano score, sign
// by sign, at exact places on the time line of a score.Score, and the rules of
// writing: note values, rests, beams, accidentals, fingering. Readers, engravers
// and whoever writes music anew go by the same rules.
//
// How a sign sounds, who plays it, and how it is stored or drawn is kept out: a
// tie is a bow between two heads here, and one long note in score.Score.
package notation

import (
	"strings"

	"hardbars/score"
)

// Score is the written side of one piano piece. Staves count from 1 at the
// top. Every place is in quarters from the start of the piece, as in
// score.Score, and every table is sorted by place, then staff, then as in the
// file.
type Score struct {
	Title    string
	Composer string

	Staves int
	Bars   []Bar   // one for each of score.Score.Bars, by the same index
	Chords []Chord // notes on stems, and rests; grace notes before their main note

	Clefs []Clef // the clef in force at the start of each staff, and every change
	Keys  []Key  // the same for key signatures
	Times []Time // the same for time signatures

	Ties      []Tie
	Slurs     []Slur
	Tuplets   []Tuplet
	Arpeggios []Arpeggio // arpeggio signs, and brackets for notes that are not to be spread
	Slides    []Slide    // glissandi

	Signs []Sign // what stands at one place: dynamics, words, tempo, pedal signs
	Lines []Line // what reaches from one place to another: hairpins, octave lines, pedal lines, trills

	LeftOut []LeftOut // what the file writes and this package has no place for
}

// Bar is what a measure shows that is not a note.
type Bar struct {
	Number   string // as printed at the bar; "" where the score prints none
	Implicit bool   // a pickup or a bar without a number of its own
	Start    score.Rat
	Length   score.Rat
	Time     score.Time // in force
	Left     Barline
	Right    Barline
	Ending   *Ending // the ending that begins or goes on here; nil outside
	Break    Break   // before the bar
}

// End is where the bar ends.
func (b Bar) End() score.Rat { return b.Start.Add(b.Length) }

// Break is a place where the page as printed goes on elsewhere.
type Break uint8

const (
	NoBreak Break = iota
	LineBreak
	PageBreak
)

// Barline is one side of a bar. The zero value is an ordinary thin line on the
// right and none on the left.
type Barline struct {
	Style  string // MusicXML bar-style: "light-light", "light-heavy", "heavy-light", "dashed", "dotted", "none", …; "" ordinary
	Repeat bool   // with repeat dots
	Times  int    // how often the repeat is played, where the score says so; 0 otherwise
}

// Ending is a first, second, … ending.
type Ending struct {
	Text  string // as printed: "1.", "1, 2."
	Start bool   // it begins at this bar's start
	Stop  bool   // it ends at this bar's end
	Open  bool   // where it stops, without a hook downwards
}

// Stem is the way a stem goes.
type Stem uint8

const (
	StemAuto Stem = iota // by rule
	StemUp
	StemDown
	StemNone
)

// Side is where a sign stands, as the file says.
type Side uint8

const (
	Auto Side = iota // by rule
	Above
	Below
)

// Chord is one or more heads on one stem, or a rest.
type Chord struct {
	Bar    int       // index into Bars
	At     score.Rat // from the start of the piece; of its main note for a grace note
	Length score.Rat // exact, as sounding in time; 0 for grace notes
	Value  Value     // of a rest for a whole bar: "whole"
	Ratio  Ratio     // of the tuplets that it is in
	Voice  string    // as in the file, with the staff after it, "1/2", where else two voices would share a name
	Staff  int       // of its first head, or of the rest
	Hand   score.Hand

	Rest     bool
	WholeBar bool // a rest that stands for the bar whatever its length
	RestAt   int  // a rest's place as score.Pitch.Staff counts, where the file gives one; 0 otherwise

	Grace      int  // 0, or the place in the group of grace notes: 1 is played first
	GraceAfter bool // the group stands after the note before, at its end (a Nachschlag), and not before a main note
	Slashed    bool // a stroke through the stem of a grace note
	Cue        bool // in small notes
	Hidden     bool // not printed: it takes up time alone

	Stem  Stem
	Beams []string // by level from 1: "begin", "continue", "end", "forward hook", "backward hook"; nil without beams

	Notes []Note // low to high; none for a rest
	Marks []Mark // articulations, ornaments, fermatas, and technical signs other than fingering

	Lyrics []string // words under the notes, by line

	Tremolo     int    // strokes; 0 for none
	TremoloPart string // "single", "start" or "stop" of a tremolo between two chords; "" without one
}

// End is where its written length ends.
func (c *Chord) End() score.Rat { return c.At.Add(c.Length) }

// Note is one head.
type Note struct {
	ID         int         // as score.Head.ID
	Written    score.Pitch // as it stands on the staff: without what an octave line moves; clefs with an 8 are the clef's own
	Staff      int
	Head       string // MusicXML notehead: "x", "diamond", "none", …; "" for the ordinary one
	Accidental string // MusicXML accidental in front of it: "sharp", "natural", "flat-flat", …; "" for none
	Bracketed  bool   // the accidental in parentheses or brackets, or small above: an editor's
	Fingering  []Fingering
}

// Mark is a sign at a chord.
type Mark struct {
	Name string // the MusicXML element: "staccato", "accent", "strong-accent", "tenuto", "trill-mark", "turn", "inverted-turn", "mordent", "inverted-mordent", "fermata", "wavy-line", "up-bow", …
	Side Side
	// Accidentals beside an ornament, as Note.Accidental: above and below it.
	AboveIt, BelowIt string
	Shape            string // of a fermata: "angled", "square"; "" ordinary
}

// Clef is a clef from At on.
type Clef struct {
	At     score.Rat
	Bar    int // index into Bars of the bar that it is written in
	Staff  int
	Sign   string // "G", "F", "C", "percussion", …
	Line   int    // of the staff, counted from 1 at the bottom
	Octave int    // octaves up that the clef's own 8 moves what is written: −1 for an 8 below
	AtEnd  bool   // drawn before the barline at At, not after
	Hidden bool
}

// Key is a key signature from At on.
type Key struct {
	At     score.Rat
	Staff  int    // 0 for all
	Fifths int    // sharps, or flats when negative
	Mode   string // "major", "minor", or "" where the file does not say
	Hidden bool
}

// Time is a time signature from At on.
type Time struct {
	At     score.Rat
	Beats  []string // upper figures, one for each fraction: "3", "3+2"
	Types  []string // lower figures
	Symbol string   // "common", "cut"; "" for figures
	Hidden bool
}

// Fractions are the figures of a time signature, as Time.Beats and Time.Types:
// "3+2/8+2/4" is 3+2 over 8, then 2 over 4.
func Fractions(t score.Time) (beats, types []string) {
	var upper []string
	for term := range strings.SplitSeq(t.String(), "+") {
		beat, lower, whole := strings.Cut(term, "/")
		if upper = append(upper, beat); whole {
			beats, types, upper = append(beats, strings.Join(upper, "+")), append(types, lower), nil
		}
	}
	return beats, types
}

// Tie is a bow between two heads of one pitch.
type Tie struct {
	From, To int // Note.ID; From is −1 where it comes from a note that the file does not hold, To −1 where it goes nowhere (let ring)
	Side     Side
}

// Slur is a bow over chords.
type Slur struct {
	From, To int // indices into Chords; −1 where an end is missing in the file
	Side     Side
	Dashed   bool
}

// Tuplet is a group with a number.
type Tuplet struct {
	From, To int    // indices into Chords, first and last
	Text     string // what is printed: "3", "11:6"; "" where the file hides the number
	Bracket  bool   // as the file says, or by rule where the notes share no beam
	Side     Side
	Depth    int // 0 for the outermost
}

// Arpeggio is an arpeggio sign before chords at one place.
type Arpeggio struct {
	Chords []int  // indices into Chords, top to bottom as the file has them
	Notes  []int  // Note.ID of the heads that it stands before
	Arrow  string // "up", "down", ""
	Not    bool   // a bracket: not to be spread
}

// Slide is a glissando between two heads.
type Slide struct {
	From, To int // Note.ID
	Wavy     bool
	Text     string
}

// SignKind is what a Sign is.
type SignKind uint8

const (
	Dynamic   SignKind = iota // Text: "pp", "sfz", "(f)"
	Words                     // Text, in lines where it has line breaks
	Tempo                     // words or a metronome mark: Text, with the notes of music as in "♩ = 66"
	Rehearsal                 // Text in a box
	Segno
	Coda
	PedalDown // "Ped."
	PedalUp   // the star
)

// Sign stands at one place.
type Sign struct {
	Kind   SignKind
	At     score.Rat
	Staff  int
	Side   Side
	Text   string
	Italic bool
	Bold   bool
	Size   int // of the letters in points; 0 for the usual
	// Beat is the note value of a metronome mark before "=", the zero Value
	// for none, and After what stands behind the sign: "66", "60–66".
	Beat  Value
	After string
}

// LineKind is what a Line is.
type LineKind uint8

const (
	Crescendo LineKind = iota
	Diminuendo
	OctaveUp   // what is written sounds higher: 8va above
	OctaveDown // 8va below
	PedalLine
	TrillLine
	Dashes  // after words
	Bracket // of any use
)

// Line reaches from one place to another.
type Line struct {
	Kind     LineKind
	From, To score.Rat
	Staff    int
	Side     Side
	Text     string      // of an octave line the figure: "8", "15"
	Changes  []score.Rat // of a pedal line: where the pedal is changed, a notch in the line
	Niente   bool        // a hairpin from or to nothing
}

// LeftOut is something on the page that has no place in this package.
type LeftOut struct {
	At    score.Rat
	Staff int
	What  string // "a figured bass", "a chord diagram"
}
