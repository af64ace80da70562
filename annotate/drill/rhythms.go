package drill

import (
	"fmt"
	"slices"

	"hardbars/score"
	"hardbars/score/notation"
)

// rhythms is the passage of one hand in changed rhythms, and in groups.
func (g *passage) rhythms() []exercise {
	run := g.bars(g.first, g.last, g.only(g.spot.Hand))
	var all []exercise
	for _, r := range []struct {
		title   string
		pattern pattern
	}{
		{"Long–short", pattern{{3, 1}, {2, 1, 1}}},
		{"Short–long", pattern{{1, 3}, {1, 1, 2}}},
	} {
		if bars, changed := r.pattern.apply(run, g.spot.Hand); changed {
			all = append(all, exercise{title: r.title, pace: g.start, bars: bars})
		}
	}
	further := g.bars(g.first, min(g.last+1, len(g.Score.Bars)-1), g.only(g.spot.Hand))
	if strikes, size := groups(run, further, g.spot.Hand); len(strikes) > 0 {
		first := run[0]
		all = append(all, exercise{
			title: fmt.Sprintf("Groups, up to %d notes and one over: stop, then on", size),
			pace:  g.start, bars: lay(first.time, first.key, strikes),
		})
	}
	return all
}

// pattern is how equal notes are lengthened and shortened, two by two, and
// three by three where they do not come in twos.
type pattern [2][]int64

// apply changes the rhythm of the voice of a hand that has most to play, and
// leaves its other voices out; changed is false where nothing comes in equal notes.
func (p pattern) apply(bars []bar, hand score.Hand) (out []bar, changed bool) {
	for _, b := range bars {
		c := bar{time: b.time, key: b.key}
		if v := b.busiest(hand); v != nil {
			v = slices.Clone(v)
			for from, to := range v.equal(b.time) {
				changed = p.change(v[from:to]) || changed
			}
			c.hands[hand] = []voice{v}
		}
		out = append(out, c)
	}
	return out, changed
}

// change gives equal notes other lengths that add up to the same.
func (p pattern) change(v voice) bool {
	for _, parts := range p {
		n := int64(len(parts))
		if int64(len(v))%n != 0 || n == 2 && odd(v[0].length.Mul(score.Int(n))) {
			continue
		}
		var sum int64
		for _, part := range parts {
			sum += part
		}
		all := v[0].length.Mul(score.Int(n))
		at := v[0].at
		for i := range v {
			v[i].at, v[i].length = at, all.Mul(score.R(parts[int64(i)%n], sum))
			at = v[i].end()
		}
		return true
	}
	return false
}

// busiest is the voice of a hand with most sounds, nil where it plays nothing.
func (b *bar) busiest(hand score.Hand) voice {
	var best voice
	for _, v := range b.hands[hand] {
		if v.sounding() > best.sounding() {
			best = v
		}
	}
	return best
}

// sounding counts what is struck in a voice.
func (v voice) sounding() int {
	n := 0
	for _, s := range v {
		if s.struck() {
			n++
		}
	}
	return n
}

// struck reports whether a sound begins here: it is no rest and not only held on.
func (s *sound) struck() bool {
	return slices.ContainsFunc(s.tones, func(t tone) bool { return !t.from })
}

// equal yields the runs of two or more notes of one length within a beat, as
// indices from one to before another.
func (v voice) equal(time score.Time) func(yield func(from, to int) bool) {
	free := func(s *sound) bool {
		return s.struck() && !slices.ContainsFunc(s.tones, func(t tone) bool { return t.from || t.to })
	}
	return func(yield func(from, to int) bool) {
		for i := 0; i < len(v); {
			n := i
			for n < len(v) && free(&v[n]) && v[n].length == v[i].length && notation.BeatAt(time, v[n].at) == notation.BeatAt(time, v[i].at) {
				n++
			}
			if n-i > 1 && !yield(i, n) {
				return
			}
			i = max(n, i+1)
		}
	}
}

// leastGroup is the fewest notes of a beat that are practised as a group.
const leastGroup = 3

// groups takes the notes of a hand beat by beat, each followed by the first note
// of the next as long as a beat, with a pause. Further bars begin with the same
// and hold the note after the last beat. The size is that of the largest group.
func groups(bars, further []bar, hand score.Hand) (strikes []strike, size int) {
	var at score.Rat
	beats := beatsOf(further, hand)
	for i, beat := range beats[:len(beatsOf(bars, hand))] {
		if beat.sounding() < leastGroup {
			continue
		}
		size = max(size, beat.sounding())
		for _, s := range beat.voice {
			s.at = s.at.Add(at)
			strikes = append(strikes, strike{hand, s})
		}
		at = at.Add(beat.length)
		if i+1 < len(beats) && len(beats[i+1].voice) > 0 && beats[i+1].voice[0].struck() && beats[i+1].voice[0].at.IsZero() {
			over := beats[i+1].voice[0]
			over.at, over.length, over.fermata, over.grace = at, beat.length, true, nil
			over.tones = untied(over.tones)
			strikes = append(strikes, strike{hand, over})
		}
		at = at.Add(beat.length)
	}
	return strikes, size
}

// untied are tones that stand alone.
func untied(tones []tone) []tone {
	tones = slices.Clone(tones)
	for i := range tones {
		tones[i].from, tones[i].to = false, false
	}
	return tones
}

// beat is one beat of a voice; at counts from the beat.
type beat struct {
	voice
	length score.Rat
}

// beatsOf cuts the busiest voice of bars at the beats that they are beamed in.
// What lies over a beat ends there.
func beatsOf(bars []bar, hand score.Hand) []beat {
	var beats []beat
	for _, b := range bars {
		lengths := notation.Beats(b.time)
		v := b.busiest(hand)
		var start score.Rat
		for n := 0; start.Less(b.time.Length); n++ {
			here := beat{length: score.Min(lengths[n%len(lengths)], b.time.Length.Sub(start))}
			for _, s := range v {
				if s.at.Less(start) || !s.at.Less(start.Add(here.length)) {
					continue
				}
				s.at = s.at.Sub(start)
				s.length = score.Min(s.length, here.length.Sub(s.at))
				s.tones = untied(s.tones)
				here.voice = append(here.voice, s)
			}
			beats = append(beats, here)
			start = start.Add(here.length)
		}
	}
	return beats
}
