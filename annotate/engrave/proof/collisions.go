package proof

import (
	"fmt"

	"hardbars/annotate/engrave"
	"hardbars/score/notation"
)

// leastShared is the least ink that is told to lie on other ink, in square staff
// spaces: about what the eye sees on paper.
const leastShared = 0.02

// sharedByStem is what two heads of a second may share, which touch one stem from
// both sides.
const sharedByStem = 0.05

// Collision is ink that lies on other ink where an engraver lets none.
type Collision struct {
	A, B engrave.Item
	Area float64 // square staff spaces
}

// String says what lies on what, and where in the drawing.
func (c Collision) String() string {
	return fmt.Sprintf("%s on %s at %.0f, %.0f mm (%.2f square spaces)",
		called(c.A), called(c.B), c.A.Box.Left, c.A.Box.Top, c.Area)
}

func called(it engrave.Item) string {
	name := string(it.Role)
	if it.Glyph != "" || it.Text != "" {
		name += " " + it.Glyph + it.Text
	}
	return name
}

// group is items that may lie on each other where told, by what they are.
type group uint8

const (
	free   group = iota // staves, what is picked out: it may lie anywhere
	notes               // heads, accidentals, dots, rests
	stroke              // stems, flags, beams
	bow                 // ties and slurs
	sign                // what stands beside the notes
	frame               // barlines, clefs, signatures
)

var groups = map[engrave.Role]group{
	engrave.RoleHead: notes, engrave.RoleAccidental: notes, engrave.RoleDot: notes, engrave.RoleRest: notes,
	engrave.RoleStem: stroke, engrave.RoleFlag: stroke, engrave.RoleBeam: stroke, engrave.RoleTremolo: stroke,
	engrave.RoleTie: bow, engrave.RoleSlur: bow,
	engrave.RoleMark: sign, engrave.RoleFingering: sign, engrave.RoleDynamic: sign, engrave.RoleWords: sign, engrave.RoleTuplet: sign,
	engrave.RolePedal: sign, engrave.RoleNumber: sign, engrave.RoleArpeggio: sign, engrave.RoleLine: sign, engrave.RoleOmission: sign,
	engrave.RoleBarline: frame, engrave.RoleClef: frame, engrave.RoleKey: frame, engrave.RoleTime: frame,
}

// Collisions finds the ink of a drawing that lies on other ink. Space is between
// two lines of a staff, in millimetres.
func Collisions(n *notation.Score, d *engrave.Drawing, space float64) (found []Collision) {
	drawn := map[int]ink{}
	at := func(i int) ink {
		if _, ok := drawn[i]; !ok {
			drawn[i] = inkOf(d.Items[i], space)
		}
		return drawn[i]
	}
	for i, a := range d.Items {
		for k := i + 1; k < len(d.Items); k++ {
			b := d.Items[k]
			if !a.Box.Meets(b.Box) || mayMeet(n, a, b) {
				continue
			}
			least := leastShared
			if a.Role == engrave.RoleHead && b.Role == engrave.RoleHead {
				least = sharedByStem
			}
			if area := at(i).shared(at(k)); area > least {
				found = append(found, Collision{a, b, area})
			}
		}
	}
	return found
}

// mayMeet reports whether two items may lie on each other.
func mayMeet(n *notation.Score, a, b engrave.Item) bool {
	x, y := groups[a.Role], groups[b.Role]
	if x > y {
		a, b, x, y = b, a, y, x
	}
	same := a.Chord >= 0 && a.Chord == b.Chord
	switch {
	case x == free:
		return a.Role != engrave.RolePick || a.Text == "" || y == free || y == frame
	case x == notes && y == notes:
		return same && a.Role == b.Role || unison(n, a, b)
	case x == notes && y == stroke:
		return same && a.Role == engrave.RoleHead || partners(n, a, b)
	case x == notes && y == bow:
		return same && a.Role == engrave.RoleHead && b.Role == engrave.RoleTie
	case x == stroke && y == stroke:
		return a.Role != engrave.RoleFlag && b.Role != engrave.RoleFlag || same || oneStem(n, a, b)
	case x == stroke && y == bow, x == bow && y == bow:
		return true
	case x == stroke && y == frame, x == bow && y == frame:
		return b.Role == engrave.RoleBarline
	case x == sign && y == frame:
		return b.Role == engrave.RoleBarline
	case x == sign && y == sign:
		return a.Role == b.Role && (a.Role == engrave.RoleDynamic || a.Role == engrave.RolePedal || a.Role == engrave.RoleLine || a.Role == engrave.RoleArpeggio || same)
	case x == frame && y == frame:
		return a.Role == b.Role
	}
	return false
}

// oneStem reports whether two chords strike together and look like one.
func oneStem(n *notation.Score, a, b engrave.Item) bool {
	if a.Chord < 0 || b.Chord < 0 {
		return false
	}
	c, d := &n.Chords[a.Chord], &n.Chords[b.Chord]
	return c.At == d.At && c.Grace == d.Grace && c.Value == d.Value && c.Staff == d.Staff && c.Beams == nil && d.Beams == nil
}

// unison reports whether two items are the same sign at one place for two
// voices.
func unison(n *notation.Score, a, b engrave.Item) bool {
	return a.Role == b.Role && a.Glyph == b.Glyph && a.Staff == b.Staff && a.X == b.X && a.Y == b.Y
}

// partners reports whether a head and a stem belong to chords that share a stem,
// of one value, or a head: they strike together, and one head of each is at one
// place.
func partners(n *notation.Score, head, stem engrave.Item) bool {
	if head.Role != engrave.RoleHead || stem.Role != engrave.RoleStem || head.Chord < 0 || stem.Chord < 0 {
		return false
	}
	c, d := &n.Chords[head.Chord], &n.Chords[stem.Chord]
	if c.At != d.At || c.Grace != d.Grace {
		return false
	}
	if oneStem(n, head, stem) {
		return true
	}
	for _, x := range c.Notes {
		for _, y := range d.Notes {
			if x.Written == y.Written && x.Staff == y.Staff {
				return true
			}
		}
	}
	return false
}
