package proof

import (
	"math"
	"slices"
	"testing"

	"hardbars/annotate/engrave"
	"hardbars/score/musicxml"
	"hardbars/score/notation"
	"hardbars/score/scoretest/library"
)

const space = 1.75 // millimetres

// set reads a score of the project and sets some of its bars.
func set(t *testing.T, name string, first, last int) (*notation.Score, *engrave.Drawing) {
	t.Helper()
	for _, path := range library.Own(t, name) {
		f, err := musicxml.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		n, err := f.Notation(musicxml.Options{})
		if err != nil {
			t.Fatal(err)
		}
		d, err := engrave.Set(n, engrave.Options{From: n.Bars[first].Start, To: n.Bars[last].End(), Width: 180, Space: space})
		if err != nil {
			t.Fatal(err)
		}
		return n, d
	}
	return nil, nil
}

// What is drawn is what is written; and where any sign that is read is taken
// away or moved, that is told.
func TestReadBack(t *testing.T) {
	n, d := set(t, "lantern-barcarolle.musicxml", 0, 15)
	for _, problem := range ReadBack(n, d, space) {
		t.Error(problem)
	}
	for _, role := range []engrave.Role{engrave.RoleHead, engrave.RoleAccidental, engrave.RoleDot, engrave.RoleStem, engrave.RoleFlag, engrave.RoleBeam, engrave.RoleTie, engrave.RoleSlur, engrave.RoleClef} {
		i := slices.IndexFunc(d.Items, func(it engrave.Item) bool {
			return it.Role == role && (role != engrave.RoleDot && role != engrave.RoleStem || it.Note >= 0 || it.Chord >= 0 && !n.Chords[it.Chord].Rest)
		})
		if i < 0 {
			t.Errorf("the score has no %s", role)
			continue
		}
		without := *d
		without.Items = slices.Delete(slices.Clone(d.Items), i, i+1)
		if len(ReadBack(n, &without, space)) == 0 {
			t.Errorf("a %s is missing, and that is not told", role)
		}
	}
	moved := *d
	moved.Items = slices.Clone(d.Items)
	i := slices.IndexFunc(d.Items, func(it engrave.Item) bool { return it.Role == engrave.RoleHead })
	moved.Items[i].Y += space / 2
	if len(ReadBack(n, &moved, space)) == 0 {
		t.Error("a head is one place too low, and that is not told")
	}
}

// Two squares of a space, half over each other, share half a square space; what
// belongs together may lie on each other.
func TestCollisions(t *testing.T) {
	square := func(role engrave.Role, x float64) engrave.Item {
		box := engrave.Box{Left: x, Right: x + space, Bottom: space}
		return engrave.Item{Role: role, Chord: -1, Note: -1, Box: box, Shape: []engrave.Segment{
			{Op: 'M', X: box.Left, Y: box.Top}, {Op: 'L', X: box.Right, Y: box.Top}, {Op: 'L', X: box.Right, Y: box.Bottom}, {Op: 'L', X: box.Left, Y: box.Bottom},
		}}
	}
	for _, tt := range []struct {
		a, b engrave.Role
		x    float64
		area float64 // square spaces
	}{
		{engrave.RoleHead, engrave.RoleBeam, space / 2, 0.5},
		{engrave.RoleMark, engrave.RoleHead, space / 2, 0.5},
		{engrave.RoleHead, engrave.RoleBeam, space, 0},
		{engrave.RoleStaff, engrave.RoleHead, 0, 0},
		{engrave.RoleStem, engrave.RoleBeam, 0, 0},
	} {
		d := &engrave.Drawing{Items: []engrave.Item{square(tt.a, 0), square(tt.b, tt.x)}}
		found, area := Collisions(&notation.Score{}, d, space), 0.0
		for _, c := range found {
			area += c.Area
		}
		if math.Abs(area-tt.area) > 0.01 {
			t.Errorf("%s and %s, %v mm apart, share %.2f square spaces", tt.a, tt.b, tt.x, area)
		}
	}
}

// Every four bars of the project's own scores read back as they are written.
func TestOwnScoresReadBack(t *testing.T) {
	for _, path := range library.Own(t, ".musicxml") {
		f, err := musicxml.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		n, err := f.Notation(musicxml.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := 0; i < len(n.Bars); i += 4 {
			d, err := engrave.Set(n, engrave.Options{From: n.Bars[i].Start, To: n.Bars[min(i+3, len(n.Bars)-1)].End(), Width: 180, Space: space})
			if err != nil {
				t.Fatal(err)
			}
			for _, problem := range ReadBack(n, d, space) {
				t.Errorf("%s: %s", path, problem)
			}
			for _, c := range Collisions(n, d, space) {
				t.Errorf("%s, bar %s: %v", path, n.Bars[i].Number, c)
			}
		}
	}
}
