package engrave

import (
	"fmt"
	"path/filepath"
	"testing"
)

// obstacles are the roles that nothing beside the notes may lie on.
var obstacles = map[Role]bool{
	RoleHead: true, RoleStem: true, RoleBeam: true, RoleFlag: true, RoleRest: true, RoleAccidental: true, RoleDot: true,
	RoleMark: true, RoleFingering: true, RoleDynamic: true, RoleWords: true, RoleTuplet: true,
}

// beside are the roles of what stands beside the notes.
var beside = map[Role]bool{RoleMark: true, RoleFingering: true, RoleDynamic: true, RoleWords: true}

// overlaps lists what beside the notes lies on other ink, by more than a hair.
func overlaps(items []Item, unit float64) (problems []string) {
	hair := 0.05 * unit
	for i, a := range items {
		if !beside[a.Role] {
			continue
		}
		for k, b := range items {
			if k == i || !obstacles[b.Role] || beside[b.Role] && k < i || b.Role == a.Role && oneSign(items, i, k) {
				continue
			}
			box := Box{a.Box.Left + hair, a.Box.Top + hair, a.Box.Right - hair, a.Box.Bottom - hair}
			if !box.Meets(b.Box) || a.Stroke != nil {
				continue
			}
			if top, bottom, ok := b.over(box.Left, box.Right); ok && top < box.Bottom && box.Top < bottom {
				problems = append(problems, fmt.Sprintf("%s %s%s at %.1f, %.1f lies on %s %s%s",
					a.Role, a.Glyph, a.Text, a.Box.Left, a.Box.Top, b.Role, b.Glyph, b.Text))
			}
		}
	}
	return problems
}

// oneSign reports whether two items of one role are parts of one sign: they follow
// each other.
func oneSign(items []Item, i, k int) bool {
	for j := min(i, k); j < max(i, k); j++ {
		if items[j].Role != items[i].Role {
			return false
		}
	}
	return max(i, k)-min(i, k) < 8 && (items[i].Role == RoleDynamic || items[i].Role == RoleWords || items[i].Role == RoleFingering) && items[i].Note == items[k].Note
}

// Every system of the real scores: words, dynamics, marks and fingers lie on
// nothing and not on each other.
func TestSignsStandClear(t *testing.T) {
	for _, name := range scoreFiles(t) {
		t.Run(filepath.Base(name), func(t *testing.T) {
			t.Parallel()
			n := readNotation(t, name)
			for i := 0; i < len(n.Bars); i += 8 {
				last := min(i+7, len(n.Bars)-1)
				d := set(n, Options{From: n.Bars[i].Start, To: n.Bars[last].End(), Width: 180})
				for _, problem := range overlaps(d.Items, defaultSpace) {
					t.Errorf("bars %s to %s: %s", n.Bars[i].Number, n.Bars[last].Number, problem)
				}
			}
		})
	}
}
