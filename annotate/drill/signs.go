package drill

import (
	"cmp"
	"slices"

	"hardbars/score"
	"hardbars/score/musicxml"
)

// sign is one written note, chord or rest: a sound, or a tied piece of one.
type sign struct {
	sound
	value  musicxml.Value // without a type where no value has the length
	tuplet string         // "start" or "stop" at the ends of a tuplet
	beams  []string       // by level: "begin", "continue", "end", "forward hook", "backward hook"
}

// notate chooses the written values of a complete voice.
func notate(v voice, time score.Time) []sign {
	var signs []sign
	for len(v) > 0 {
		n := tupletFrom(v)
		group := v[:n]
		v = v[n:]
		actual, normal := ratio(group)
		first := len(signs)
		for _, s := range group {
			signs = append(signs, split(s, actual, normal, time.Beat())...)
		}
		if actual > 1 {
			signs[first].tuplet, signs[len(signs)-1].tuplet = "start", "stop"
		}
	}
	beam(signs, beamUnit(time))
	return signs
}

// tupletFrom is how many sounds make up the tuplet that begins a voice: up to
// where plain values can go on. It is 1 where there is none.
func tupletFrom(v voice) int {
	for i, s := range v {
		if !odd(s.end()) {
			return i + 1
		}
	}
	return len(v)
}

// ratio is the tuplet of some sounds, 1 in the time of 1 where there is none:
// the one in which they have the plainest values.
func ratio(group voice) (actual, normal int64) {
	actual = 1
	for _, s := range group {
		actual = lcm(actual, lcm(musicxml.TupletPart(s.at), musicxml.TupletPart(s.length)))
	}
	if actual == 1 || actual > mostInTuplet {
		return 1, 1
	}
	best := -1
	for m := actual - 1; m > actual/2; m-- {
		if cost := plainness(group, actual, m); best < 0 || cost < best {
			best, normal = cost, m
		}
	}
	return actual, normal
}

// mostInTuplet is more than any tuplet that is printed has.
const mostInTuplet = 1 << 10

// plainness counts dots, and much more for what has no value of its own.
func plainness(group voice, actual, normal int64) int {
	cost := 0
	for _, s := range group {
		v, ok := musicxml.ValueIn(s.length, actual, normal)
		cost += v.Dots
		if !ok {
			cost += 10
		}
	}
	return cost
}

// split divides a sound into writable values that are tied. What has a value of
// its own stays whole; the rest is cut at the beats.
func split(s sound, actual, normal int64, beat score.Rat) []sign {
	if v, ok := valueIn(s.length, actual, normal); ok {
		return []sign{{sound: s, value: v}}
	}
	first := largest(s.length, actual, normal)
	if next := beat.Mul(score.Int(int64(floor(s.at, beat) + 1))); next.Less(s.end()) && s.at.Div(beat).Den() != 1 {
		first = next.Sub(s.at)
	}
	if first.IsZero() {
		return []sign{{sound: s}}
	}
	a, b := s.cut(first)
	return append(split(a, actual, normal, beat), split(b, actual, normal, beat)...)
}

func valueIn(length score.Rat, actual, normal int64) (musicxml.Value, bool) {
	if actual == 1 {
		return musicxml.ValueOf(length)
	}
	return musicxml.ValueIn(length, actual, normal)
}

// largest is the longest undotted value that is shorter than a length; 0 where
// there is none.
func largest(length score.Rat, actual, normal int64) score.Rat {
	for size := score.Int(32); ; size = size.Div(score.Int(2)) {
		if _, ok := musicxml.ValueOf(size); !ok {
			return score.Rat{}
		}
		if in := size.Mul(score.R(normal, actual)); in.Less(length) {
			return in
		}
	}
}

// beamUnit is how much time one beam may cover: a beat, but a quarter where the
// beat is shorter and all of a bar of three such.
func beamUnit(time score.Time) score.Rat {
	beat := time.Beat()
	switch {
	case beat.Less(score.Int(1)) && time.Length == beat.Mul(score.Int(3)):
		return time.Length
	case beat.Less(score.Int(1)):
		return score.Int(1)
	}
	return beat
}

// beam joins the flags of notes in one beam unit, where no rest is between them.
func beam(signs []sign, unit score.Rat) {
	for i := 0; i < len(signs); {
		n := i
		for n < len(signs) && signs[n].flags() > 0 && floor(signs[n].at, unit) == floor(signs[i].at, unit) {
			n++
		}
		if n-i > 1 {
			join(signs[i:n])
		}
		i = max(n, i+1)
	}
}

func (s *sign) flags() int {
	if len(s.tones) == 0 || s.value.Type == "" {
		return 0
	}
	return s.value.Flags()
}

func join(signs []sign) {
	for i := range signs {
		for level := 1; level <= signs[i].flags(); level++ {
			before := i > 0 && signs[i-1].flags() >= level
			after := i+1 < len(signs) && signs[i+1].flags() >= level
			signs[i].beams = append(signs[i].beams, beamName(before, after, i == 0))
		}
	}
}

func beamName(before, after, first bool) string {
	switch {
	case before && after:
		return "continue"
	case before:
		return "end"
	case after:
		return "begin"
	case first:
		return "forward hook"
	}
	return "backward hook"
}

// addAccidentals puts accidentals before the tones of one staff in one bar
// where the key signature, or an accidental before them, says otherwise.
func addAccidentals(voices [][]sign, key score.Key) {
	var all []*sign
	for _, v := range voices {
		for i := range v {
			all = append(all, &v[i])
		}
	}
	slices.SortStableFunc(all, func(a, b *sign) int { return a.at.Cmp(b.at) })
	inForce := map[int]int{} // alteration by line or space
	for _, s := range all {
		for _, tones := range append(slices.Clone(s.grace), s.tones) {
			for i := range tones {
				tones[i].sign = accidental(&tones[i], key, inForce)
			}
		}
	}
}

func accidental(t *tone, key score.Key, inForce map[int]int) string {
	was, changed := inForce[t.pitch.Staff()]
	if !changed {
		was = key.Alter(t.pitch.Step)
	}
	if t.from || was == t.pitch.Alter {
		return ""
	}
	inForce[t.pitch.Staff()] = t.pitch.Alter
	return accidentals[t.pitch.Alter]
}

var accidentals = map[int]string{
	-3: "triple-flat", -2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp", 3: "triple-sharp",
}

// odd reports whether a place or length is one that only a tuplet has.
func odd(r score.Rat) bool { return musicxml.TupletPart(r) > 1 }

// floor is how often a positive unit goes into r, which is not negative.
func floor(r, unit score.Rat) int {
	n := r.Div(unit)
	return int(n.Num() / n.Den())
}

func lcm(a, b int64) int64 { return a / gcd(a, b) * b }

// byPitch sorts tones from low to high.
func byPitch(a, b tone) int {
	return cmp.Or(cmp.Compare(a.pitch.MIDI(), b.pitch.MIDI()), cmp.Compare(a.pitch.Staff(), b.pitch.Staff()))
}
