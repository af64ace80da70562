package detect

import (
	"hardbars/detect/hand"
	"hardbars/score"
)

// What makes a hand go to and fro. Common practice.
const (
	longestToAndFro = 1.0 / 3 // seconds from stroke to stroke at the written tempo
	leastToAndFro   = 5       // semitones of each move: a fourth
	wideToAndFro    = 8       // of one of each two moves: a sixth
	mostToAndFro    = 14      // a ninth; what is wider does not lie under the hand
)

// Rotations are the stretches in which a hand goes to and fro without a rest,
// LeastInTurn strokes or more: each stroke lies wholly on the other side of the
// one before, as in tremolos, and the forearm does it, not the fingers. Broken
// octaves that move on are not among them: they are octaves.
func (p *Pass) Rotations(side score.Hand) []AttackRange {
	attacks := p.Attacks(side)
	var found []AttackRange
	for i := 0; i < len(attacks); {
		last := i
		for last+1 < len(attacks) && p.turns(attacks[i:last+2]) {
			last++
		}
		s := AttackRange{i, last}
		if s.Count() >= LeastInTurn && !movingOctaves(attacks[i:last+1]) {
			found = append(found, s)
		}
		i = max(last, i+1)
	}
	return found
}

// turns reports whether the last of some attacks goes back from the one before
// as far as a hand does that goes to and fro.
func (p *Pass) turns(attacks []Attack) bool {
	n := len(attacks) - 1
	a, b := &attacks[n-1], &attacks[n]
	way, wide := toOtherSide(a, b)
	if a.Rest || way == 0 || Abs(way) < leastToAndFro || wide > mostToAndFro || p.Clock.Written(a.At, b.At) > longestToAndFro {
		return false
	}
	if n == 1 {
		return true
	}
	before, widest := toOtherSide(&attacks[n-2], a)
	return before > 0 != (way > 0) && max(wide, widest) >= wideToAndFro
}

// toOtherSide is the way between the nearest keys of two attacks, 0 where neither lies
// wholly above the other, and how far their outer keys lie apart, in semitones.
func toOtherSide(a, b *Attack) (way, wide int) {
	wide = max(Edge(a.Keys, true), Edge(b.Keys, true)) - min(Edge(a.Keys, false), Edge(b.Keys, false))
	if up := Edge(b.Keys, false) - Edge(a.Keys, true); up > 0 {
		return up, wide
	}
	return min(0, Edge(b.Keys, true)-Edge(a.Keys, false)), wide
}

// movingOctaves reports whether attacks are octaves, each broken the same way,
// that do not stay where they are.
func movingOctaves(attacks []Attack) bool {
	for first := range 2 {
		octaves, changes := true, 0
		for i := first; i+1 < len(attacks); i += 2 {
			way, wide := toOtherSide(&attacks[i], &attacks[i+1])
			octaves = octaves && wide == OctaveKeys && Abs(way) == OctaveKeys
			if i > first && attacks[i].Keys[0] != attacks[i-2].Keys[0] {
				changes++
			}
		}
		if octaves && changes >= 2 {
			return true
		}
	}
	return false
}

// WidestOf is how far apart the outer keys of any two successive attacks are, in mm.
func WidestOf(attacks []Attack) float64 {
	widest := 0.0
	for i := 1; i < len(attacks); i++ {
		widest = max(widest, hand.Extent(JoinKeys(attacks[i-1].Keys, attacks[i].Keys)))
	}
	return widest
}

// In reports whether an attack, by its index, is in one of some ranges.
func In(ranges []AttackRange, attack int) bool {
	for _, r := range ranges {
		if r.First <= attack && attack <= r.Last {
			return true
		}
	}
	return false
}
