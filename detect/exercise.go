package detect

import (
	"slices"

	"hardbars/score"
	"hardbars/score/perform"
)

// Exercise is what is drilled of an occurrence, in one of a few general forms:
// whoever writes practice scores knows the forms and not the kinds. Notes are
// indices into Score.Notes.
//
// RhythmGrid is a form as well: both rhythms are tapped, counted and played.
type Exercise interface{ exercise() }

// Move is one movement of a hand from what it strikes to where it lands.
type Move struct {
	From, To []int
	Down     bool
}

// Edges is the top and the bottom of what a hand strikes, each alone, then both.
type Edges struct{}

// Rhythms is quick notes in changed rhythms and in groups.
type Rhythms struct {
	Hardest score.Rat // where they are hardest, from the start of the piece
}

// Layer is some of what a hand plays alone, then the rest of it, then both.
type Layer struct {
	Notes              []int
	Top, Bottom        bool   // the layer is the top, or the bottom, of all that the hand strikes, whatever Notes says
	Sings              bool   // over the rest, and is to be heard so
	Alone, Rest, Whole string // the titles of the three
}

// Rolled is notes that come one after the other, written out in time.
type Rolled struct {
	Groups [][]int // what is struck together, in the order of playing
}

// RolledSingly is notes, low to high, one after the other, or from the top down.
func RolledSingly(notes []int, down bool) Rolled {
	var r Rolled
	for _, n := range notes {
		r.Groups = append(r.Groups, []int{n})
	}
	if down {
		slices.Reverse(r.Groups)
	}
	return r
}

// Grasp is a wide chord: one note after the other, then struck together.
type Grasp struct {
	Notes []int // low to high
}

// WrittenOut is what stands for a sign, or for grace notes, as notes.
type WrittenOut struct {
	Chords [][]score.Pitch // one after the other
	Before score.Rat       // of grace notes, in quarters: how long before the main note they begin
	Signs  []perform.Sign  // what is struck for a sign, in time; none for what is written as it is played
}

func (RhythmGrid) exercise() {}
func (Move) exercise()       {}
func (Edges) exercise()      {}
func (Rhythms) exercise()    {}
func (Layer) exercise()      {}
func (Rolled) exercise()     {}
func (Grasp) exercise()      {}
func (WrittenOut) exercise() {}
