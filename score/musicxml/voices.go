package musicxml

import (
	"strconv"

	"hardbars/score"
)

// voice is one voice of one part. It has a home staff, and where it visits another
// one it is still played by the hand of its home.
type voice struct {
	part int
	name string
}

// passage is what the file writes of one voice in one go: until it goes back in
// time or the bar ends.
type passage struct {
	voice
	bar        int
	notes      []*pageNote // notes and rests
	staves     tally
	from, to   score.Rat
	middleClef byte // of the second staff, 0 where the passage is not on it
}

// tally counts notes and rests by staff.
type tally map[int]int

// most is the staff with most of the notes; the upper one of two alike.
func (t tally) most() (staff int) {
	for s, n := range t {
		if n > t[staff] || n == t[staff] && s < staff {
			staff = s
		}
	}
	return staff
}

func (r *reader) passages() []*passage {
	type key struct {
		voice
		run int
	}
	var passages []*passage
	known := map[key]*passage{}
	var here key
	var p *passage
	for i := range r.notes {
		w := &r.notes[i]
		if k := (key{voice{w.part, w.Voice}, w.run}); p == nil || k != here {
			here, p = k, known[k]
		}
		if p == nil {
			p = &passage{voice: here.voice, bar: w.Bar, staves: tally{}, from: w.Onset, to: w.end()}
			known[here] = p
			passages = append(passages, p)
		}
		p.notes = append(p.notes, w)
		p.staves[w.Staff]++
		if w.Staff == 2 {
			p.middleClef = w.clef
		}
		p.from, p.to = score.Min(p.from, w.Onset), score.Max(p.to, w.end())
	}
	return passages
}

// homes knows the home staff of each voice.
type homes struct {
	byFours  bool            // the file numbers four voices for each staff
	staves   map[voice]tally // where each voice is over the whole piece
	crosses  map[voice]bool  // it changes staff within a passage
	reused   map[voice]bool  // the number means two voices at once, on two staves
	sounding map[staffInBar]soundingVoices
}

type staffInBar struct{ bar, staff int }

// soundingVoices are the voices that sound on one staff in one bar.
type soundingVoices struct {
	first voice
	more  bool
}

func findHomes(passages []*passage, staves int) *homes {
	h := &homes{
		staves: map[voice]tally{}, crosses: map[voice]bool{}, reused: reusedVoices(passages, staves),
		sounding: map[staffInBar]soundingVoices{},
	}
	for _, p := range passages {
		if h.staves[p.voice] == nil {
			h.staves[p.voice] = tally{}
		}
		for staff, n := range p.staves {
			h.staves[p.voice][staff] += n
		}
		if len(p.staves) > 1 {
			h.crosses[p.voice] = true
		}
		for _, w := range p.notes {
			h.hear(p, w)
		}
	}
	h.byFours = numberedByFours(h.staves)
	return h
}

func (h *homes) hear(p *passage, w *pageNote) {
	place := staffInBar{p.bar, w.Staff}
	if sounding, ok := h.sounding[place]; !w.rest && !ok {
		h.sounding[place] = soundingVoices{first: p.voice}
	} else if !w.rest && sounding.first != p.voice {
		h.sounding[place] = soundingVoices{more: true}
	}
}

// of is the home staff for a passage. A voice that crosses within a passage is at
// home where most of its notes are. One that never does may be a number used twice:
// its passage on another staff is a visit only if its own staff is idle meanwhile.
func (h *homes) of(p *passage) int {
	here, home := p.staves.most(), h.staves[p.voice].most()
	switch {
	case h.byFours:
		return p.block()
	case h.reused[p.voice]:
		return here
	case h.crosses[p.voice] || h.idle(home, p):
		return home
	}
	return here
}

// idle reports whether no other voice sounds on a staff in the passage's bar.
func (h *homes) idle(staff int, p *passage) bool {
	sounding, ok := h.sounding[staffInBar{p.bar, staff}]
	return !ok || !sounding.more && sounding.first == p.voice
}

// reusedVoices are those whose number means two voices at once, on two staves.
func reusedVoices(passages []*passage, staves int) map[voice]bool {
	type place struct {
		voice
		staffInBar
	}
	reused := map[voice]bool{}
	spans := map[place][2]score.Rat{} // from the first note to the last
	for _, p := range passages {
		here := p.staves.most()
		for other := 1; other <= staves; other++ {
			span, ok := spans[place{p.voice, staffInBar{p.bar, other}}]
			if ok && other != here && p.from.Less(span[1]) && span[0].Less(p.to) {
				reused[p.voice] = true
			}
		}
		key := place{p.voice, staffInBar{p.bar, here}}
		span, ok := spans[key]
		if !ok {
			span = [2]score.Rat{p.from, p.to}
		}
		spans[key] = [2]score.Rat{score.Min(span[0], p.from), score.Max(span[1], p.to)}
	}
	return reused
}

// block is the staff whose number the voice has, where each staff has four; 0 where
// voices are not numbered.
func (v voice) block() int {
	n, _ := strconv.Atoi(v.name)
	return (n + 3) / 4
}

// numberedByFours reports whether voices 1 to 4 are the first staff's, 5 to 8 the
// second's, and so on. Many writers number so, and then the number says where a
// voice is at home, however long it is away. Two thirds of the notes must fit, since
// a voice can spend most of a movement away.
func numberedByFours(voices map[voice]tally) bool {
	fit, all, blocks := 0, 0, map[int]bool{}
	for v, staves := range voices {
		if v.part > 0 || v.block() == 0 {
			return false
		}
		blocks[v.block()] = true
		fit += staves[v.block()]
		for _, n := range staves {
			all += n
		}
	}
	return len(blocks) > 1 && 3*fit >= 2*all
}
