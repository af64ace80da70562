package engrave

import (
	"hardbars/annotate/smufl"
	"hardbars/score"
	"hardbars/score/notation"
)

// layout is one system while it is being set. All lengths are in staff spaces,
// x from the left edge of the system and y downwards from the top line of the
// first staff.
//
// A system is set twice: the first time its staves stand at a guess, and tell
// how far apart they must be; see system.go.
type layout struct {
	font  *smufl.Font
	score *notation.Score
	picks Picks

	from, to score.Rat // what the system holds
	width    float64
	first    bool // the first system of the excerpt
	opens    bool // the meter is told at its start
	last     bool
	settled  bool // the second time: the staves stand where they will stay

	short bool // the music goes on where the last system of the excerpt ends

	start  float64        // where the staves begin, right of the brace
	music  float64        // where the music begins: after clef, key and time
	top    []float64      // y of the top line of each staff; index 0 is staff 1
	chords []*chord       // by time, then staff: what this system holds
	byID   map[int]*chord // the chord that holds a head, by Note.ID
	index  map[int]*chord // by index into score.Chords
	above  []*skyline     // of each staff: how high its ink reaches
	below  []*skyline     // of each staff: how low its ink reaches
	xs     []instant      // every column, by time; the end of the system is the last
	bars   []barPlace     // every bar on the system
	items  []Item
	told   []Warning

	columns   []*column    // what is spaced, in order
	stacks    []*stack     // heads with their accidentals and dots, grace notes included
	openSigns []placedSign // clefs, key and time at the left edge
	openBars  []barPart    // a repeat sign behind them, at openX
	openX     float64
}

// instant is where an onset stands: x is the left edge of heads that are not
// displaced, and the same for both hands.
type instant struct {
	at score.Rat
	x  float64
}

// barPlace is a bar on the system.
type barPlace struct {
	index       int     // into score.Bars
	left, right float64 // from behind its left barline to before its right one
	music       float64 // where its music begins, behind a change of key or time
}

// chord is a notation.Chord with its place.
type chord struct {
	*notation.Chord
	index   int     // into score.Chords
	x       float64 // the left edge of its heads that are not displaced
	scale   float64 // 1; less for grace and cue notes
	heads   []head  // low to high, as Notes
	up      bool    // the stem's direction
	stemX   float64 // the middle of the stem
	stemAt  float64 // y where the stem leaves its head
	stemEnd float64 // y of its free end; equal to stemAt without a stem
	beam    *beam   // nil where it has flags or none
	left    float64 // x of the left edge of all that belongs to it: accidentals, displaced heads
	right   float64 // x of the right edge: displaced heads, dots, flags
	settled bool    // of a rest: it has its height
	with    *chord  // of another voice, whose stem it shares; nil for a stem of its own
	voices  int     // how many voices share its staff in the bar
	upper   bool    // of two voices the upper one
	graceX  float64 // of a grace note: from the x of its column
}

// head is one note head, or the sign of a rest.
type head struct {
	note  *notation.Note // nil for a rest
	x, y  float64        // x is its left edge, y its middle
	pos   int            // half spaces below the top line of its staff: 0 the top line, 8 the bottom line
	staff int
	width float64
	glyph string
}

// beam is the beams over a group of chords; see beam.go.
type beam struct {
	chords []*chord
	up     bool    // stems go up; of stems on both sides, those of the first chord
	x1, y1 float64 // the middle of the outermost beam at the first stem
	x2, y2 float64 // the same at the last stem
	before bool    // it goes on to the left of the system
	after  bool    // it goes on to the right of the system
}

// The passes over a system, in order; each adds its ink to items and to the
// skylines of the staves it stands at. See the file of each.
//
//	staves, brace, numbers                                staff.go
//	clefs, key and time signatures, barlines              signature.go, barline.go
//	heads, ledger lines, accidentals, dots, rests         heads.go, stack.go, accidentals.go, dots.go, rests.go
//	stems, flags, beams, tremolos                         stem.go, flag.go, beam.go, slant.go, tremolo.go
//	ties, slides, arpeggio signs                          tie.go, arpeggio.go
//	articulations, fingering next to the notes            marks.go
//	tuplets                                               tuplet.go
//	slurs                                                 slur.go
//	ornaments, fermatas, what stands beyond slurs         marks.go
//	dynamics and hairpins, pedal, octave lines, words     signs.go, lines.go
//	endings, tempo, rehearsal marks                       lines.go, signs.go
//	picks                                                 pick.go

// add puts an item down and lets its box stand in the skylines of its staff.
func (l *layout) add(it Item) {
	it.Box = l.boxOf(it)
	l.items = append(l.items, it)
	if it.Staff > 0 && it.Role != RolePick && it.Role != RoleStaff {
		l.above[it.Staff-1].raiseInk(it)
		l.below[it.Staff-1].raiseInk(it)
	}
}

// xAt is the x of an instant; between two columns it goes evenly with time.
func (l *layout) xAt(at score.Rat) float64 { return columnX(l.xs, at) }

// omit leaves something out, with a small mark at its place and a warning.
func (l *layout) omit(at score.Rat, staff int, what string) { l.leaveOut(at, staff, what) }
