package engrave

import "hardbars/annotate/smufl"

// Role is what a mark of ink is: tests and style sheets tell items apart by it.
type Role string

const (
	RoleStaff      Role = "staff" // a line of a staff
	RoleLedger     Role = "ledger"
	RoleBarline    Role = "barline"
	RoleBrace      Role = "brace"
	RoleClef       Role = "clef"
	RoleKey        Role = "key"
	RoleTime       Role = "time"
	RoleHead       Role = "head"
	RoleAccidental Role = "accidental"
	RoleDot        Role = "dot"
	RoleStem       Role = "stem"
	RoleFlag       Role = "flag"
	RoleBeam       Role = "beam"
	RoleRest       Role = "rest"
	RoleTie        Role = "tie"
	RoleSlur       Role = "slur"
	RoleTuplet     Role = "tuplet"
	RoleArpeggio   Role = "spread"
	RoleMark       Role = "mark" // articulations, ornaments, fermatas
	RoleTremolo    Role = "tremolo"
	RoleFingering  Role = "fingering"
	RoleDynamic    Role = "dynamic"
	RoleWords      Role = "words"
	RoleLine       Role = "line" // hairpins, octave lines, pedal lines, trill lines, endings, glissandi
	RolePedal      Role = "pedal"
	RoleNumber     Role = "number" // bar numbers
	RolePick       Role = "pick"
	RoleOmission   Role = "omission" // where something was left out
)

// Item is one mark of ink: a glyph, a stroke, a filled shape or words,
// whichever of its fields is filled. While a system is being set all lengths
// are in staff spaces, x from the left edge of the system and y downwards from
// the top line of its first staff; in a Drawing they are millimetres from its
// top left corner.
type Item struct {
	Role   Role
	Note   int    // Note.ID that it belongs to, −1 for none
	Chord  int    // index into notation.Score.Chords, −1 for none
	Staff  int    // that it belongs to, from 1; 0 for none
	Colour string // "#D55E00"; "" for black

	Glyph string  // SMuFL name: "noteheadBlack"; its origin is at X, Y
	X, Y  float64 // of a glyph's origin, or of the left end of the baseline of Text
	Scale float64 // of a glyph: 1 in its own size for the staff

	Stroke *Stroke
	Shape  []Segment // a closed path, filled

	Text string
	Face Face

	Box Box // what it covers; filled in by layout.add
}

// Stroke is a straight line.
type Stroke struct {
	X1, Y1, X2, Y2 float64
	Width          float64
	Dash           float64 // length of dashes and of the gaps between; 0 for a whole line
}

// Segment is a part of a path.
type Segment = smufl.Segment

// Face is how words look.
type Face struct {
	Size         float64 // of the em; unit as for the item
	Italic, Bold bool
}

// Box is an upright rectangle; Top is less than Bottom.
type Box struct{ Left, Top, Right, Bottom float64 }

// Meets reports whether two boxes share more than an edge.
func (b Box) Meets(c Box) bool {
	return b.Left < c.Right && c.Left < b.Right && b.Top < c.Bottom && c.Top < b.Bottom
}
