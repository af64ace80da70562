package hand

import (
	"slices"

	"hardbars/score"
)

// moment is what one hand does at one instant: a chord, a note, a grace note,
// or the second key of an ornament. Keys are those of a right hand: the left
// hand is seen in a mirror that lies on D, where the keyboard is its own
// image, so that the thumb is always on the low side.
type moment struct {
	at     score.Rat
	keys   []int // low to high, seen from the thumb; one for each
	notes  []int // index into Score.Notes of each key; ornament for the second key of an ornament
	struck []bool
	lo, hi int     // places in keys of the outer struck ones
	gap    int     // how long the hand was free before: noGap, shortGap or longGap
	free   float64 // the same in seconds, 0 where it was not
	beat   int     // offBeat, onBeat or onBar
	signed bool    // an arpeggio sign: the keys are taken one after the other
	grips  []grip  // every way to take it
	wide   bool    // out of the hand's reach at once
	handbk int     // not 0 where a handbook's run gives a finger for its one key
}

// ornament stands for a note that is not written.
const ornament = -1

const (
	noGap = iota
	shortGap
	longGap
)

const (
	offBeat = iota
	onBeat
	onBar
)

// What counts as a gap in which the hand may move freely, in seconds. Common
// practice: a staccato lets go at once, a fifth of a second is time to lift.
const (
	leastGap = 0.04
	restGap  = 0.2
)

// mirrored is a key as the right hand of a pair of mirrored hands sees it.
func mirrored(side score.Hand, key int) int {
	if side == score.Left {
		const aboutD = 2 * 62
		return aboutD - key
	}
	return key
}

// moments lays out what a hand does in order.
func (r *reader) moments() []moment {
	var all []moment
	var down []int // notes that the hand still holds
	notes := r.score.Notes
	for i := 0; i < len(notes); {
		at := notes[i].Onset
		var struck, grace []int
		for ; i < len(notes) && notes[i].Onset == at; i++ {
			switch n := &notes[i]; {
			case n.Hand != r.hand.Side:
			case n.Grace > 0:
				grace = append(grace, i)
			default:
				struck = append(struck, i)
			}
		}
		for _, group := range byGrace(notes, grace) {
			all = append(all, r.moment(at, group, nil))
		}
		if len(struck) == 0 {
			continue
		}
		down = slices.DeleteFunc(down, func(n int) bool { return r.released(n).Cmp(at) <= 0 })
		m := r.moment(at, struck, down)
		m.signed = r.signed[at]
		all = append(all, m)
		if key, ok := r.ornamented(struck); ok {
			all = append(all, r.auxiliary(at, struck[0], key)...)
		}
		down = append(down, struck...)
	}
	r.time(all)
	return all
}

// byGrace groups grace notes that are played at once.
func byGrace(notes []score.Note, grace []int) [][]int {
	slices.SortStableFunc(grace, func(a, b int) int { return notes[a].Grace - notes[b].Grace })
	var groups [][]int
	for i, n := range grace {
		if i > 0 && notes[grace[i-1]].Grace == notes[n].Grace {
			groups[len(groups)-1] = append(groups[len(groups)-1], n)
			continue
		}
		groups = append(groups, []int{n})
	}
	return groups
}

// moment puts keys together; held keys that the hand has to leave, because it
// has no finger for them or does not reach so far, are left out.
func (r *reader) moment(at score.Rat, struck, held []int) moment {
	type down struct {
		key, note int
		struck    bool
	}
	var keys []down
	add := func(notes []int, struck bool) {
		for _, n := range notes {
			key := mirrored(r.hand.Side, r.score.Notes[n].Pitch.MIDI())
			if !slices.ContainsFunc(keys, func(d down) bool { return d.key == key }) {
				keys = append(keys, down{key, n, struck})
			}
		}
	}
	add(struck, true)
	add(held, false)
	slices.SortFunc(keys, func(a, b down) int { return a.key - b.key })
	wide := func() bool {
		return len(keys) > 5 || Distance(keys[0].key, keys[len(keys)-1].key) > r.hand.Reach()
	}
	for wide() {
		oldest := -1
		for i, d := range keys {
			if !d.struck && (oldest < 0 || d.note < keys[oldest].note) {
				oldest = i
			}
		}
		if oldest < 0 {
			break
		}
		keys = slices.Delete(keys, oldest, oldest+1)
	}
	m := moment{at: at, lo: -1}
	for i, d := range keys {
		m.keys, m.notes, m.struck = append(m.keys, d.key), append(m.notes, d.note), append(m.struck, d.struck)
		if d.struck {
			if m.lo < 0 {
				m.lo = i
			}
			m.hi = i
		}
	}
	return m
}

// ornamented is the second key of the ornament on a single note, mirrored.
func (r *reader) ornamented(struck []int) (key int, ok bool) {
	if len(struck) != 1 {
		return 0, false
	}
	n := &r.score.Notes[struck[0]]
	for _, sign := range n.Ornaments {
		switch sign {
		case "trill-mark", "wavy-line", "shake", "turn", "inverted-mordent":
			return mirrored(r.hand.Side, neighbour(n.Pitch, r.score.Bars[n.Bar].Key, n.AuxAbove, 1)), true
		case "mordent", "inverted-turn":
			return mirrored(r.hand.Side, neighbour(n.Pitch, r.score.Bars[n.Bar].Key, n.AuxBelow, -1)), true
		}
	}
	return 0, false
}

// auxiliary is the second key of an ornament and the return to the first.
func (r *reader) auxiliary(at score.Rat, note, key int) []moment {
	main := mirrored(r.hand.Side, r.score.Notes[note].Pitch.MIDI())
	one := func(key, note int) moment {
		return moment{at: at, keys: []int{key}, notes: []int{note}, struck: []bool{true}}
	}
	return []moment{one(key, ornament), one(main, note)}
}

// released is when the hand lets a note go.
func (r *reader) released(n int) score.Rat {
	note := &r.score.Notes[n]
	for _, sign := range note.Articulations {
		if sign == "staccato" || sign == "staccatissimo" || sign == "detached-legato" {
			return note.Onset.Add(note.Length.Mul(score.R(1, 2)))
		}
	}
	return note.End()
}

// time says of each moment how long the hand was free before it, and where it
// stands in the bar.
func (r *reader) time(all []moment) {
	var end score.Rat
	for i := range all {
		m := &all[i]
		if i > 0 && end.Less(m.at) {
			m.free = r.seconds(end, m.at)
		}
		switch {
		case i == 0 || m.free >= restGap:
			m.gap = longGap
		case m.free >= leastGap:
			m.gap = shortGap
		}
		bar := &r.score.Bars[r.score.BarAt(m.at)]
		switch offset := m.at.Sub(bar.Start); {
		case offset == (score.Rat{}):
			m.beat = onBar
		case offset.Den() == 1:
			m.beat = onBeat
		}
		for j, n := range m.notes {
			if m.struck[j] && n != ornament {
				end = score.Max(end, r.released(n))
			}
		}
		end = score.Max(end, m.at)
	}
}
