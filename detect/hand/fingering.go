package hand

import (
	"strconv"
	"strings"

	"hardbars/score"
)

// Fingering is which finger plays what, through a whole piece.
type Fingering struct {
	Notes  []Fingered // one for each of Score.Notes
	Places [2][]Place // where each hand lies at each thing that it plays, by score.Hand, in order
}

// Fingered is who plays a note. The thumb is 1.
type Fingered struct {
	Finger    int  // 1 to 5; 0 where the hand has no finger left for the key
	Or        int  // another finger that is nearly as good, the others staying as they are; 0 for none
	Printed   bool // the score gives the finger
	Auxiliary int  // of a note with an ornament, the finger on the ornament's other key; 0 for none
}

// Place is where a hand lies when it plays something.
type Place struct {
	At    score.Rat
	Notes []int   // struck, indices into Score.Notes, from the thumb's side to the fifth finger's
	Held  []int   // held on from before, in the same order
	Thumb float64 // where the thumb lies, or would, in mm as of KeyX
	Low   float64 // the lowest that the open hand covers as it lies, in mm as of KeyX
	High  float64 // the highest
	Free  float64 // seconds since the hand let go of what it played before; 0 where it did not
	Wide  bool    // no hand of this span takes all that is struck at once
	Come  Coming  // how the hand came here
}

// Finger finds the fingering of least effort of everything that hands play in
// a score. seconds is the time from one position to a later one. Printed
// fingers are kept. The same input gives the same fingers on every machine.
func Finger(s *score.Score, hands [2]Hand, seconds func(from, to score.Rat) float64) *Fingering {
	f := &Fingering{Notes: make([]Fingered, len(s.Notes))}
	for _, h := range hands {
		r := newReader(s, h, seconds)
		p := r.piece()
		f.write(r, p, p.search())
	}
	return f
}

// reader lays out what one hand plays.
type reader struct {
	score   *score.Score
	hand    Hand
	seconds func(from, to score.Rat) float64
	signed  map[score.Rat]bool // where an arpeggio sign stands
}

func newReader(s *score.Score, h Hand, seconds func(from, to score.Rat) float64) *reader {
	r := &reader{score: s, hand: h, seconds: seconds, signed: map[score.Rat]bool{}}
	for _, a := range s.Arpeggios {
		if a.Hand == h.Side || a.Hand == score.Both {
			r.signed[a.At] = true
		}
	}
	return r
}

// piece is all that one hand plays, with every way to take it.
func (r *reader) piece() *piece {
	p := &piece{moments: r.moments(), economy: newEconomy(r.hand)}
	for i := range p.moments {
		m := &p.moments[i]
		m.grips = r.grips(m, p.economy)
	}
	handbookRuns(p.moments, r.hand.Side)
	return p
}

// grip is the finger on each key of a moment.
type grip []int8

// grips lists how a hand can take the keys of a moment: the thumb low, no
// finger on two keys but the thumb on two white neighbours, no pair of fingers
// wider than it can be. Where nothing is within reach, as in a chord that has
// to be rolled, any order of fingers is.
func (r *reader) grips(m *moment, e *economy) []grip {
	if len(m.keys) > 6 || len(m.keys) == 6 && !neighbours(m.keys) {
		m.wide = true
		return []grip{make(grip, len(m.keys))}
	}
	printed := r.printed(m)
	all := e.within(m.keys, !m.signed)
	if len(all) == 0 {
		m.wide = true
		all = e.within(m.keys, false)
	}
	return closest(all, printed)
}

// closest are the grips that keep the most printed fingers.
func closest(all []grip, printed []int8) []grip {
	kept := func(g grip) (n int) {
		for i := range g {
			if printed[i] == g[i] {
				n++
			}
		}
		return n
	}
	most := 0
	for _, g := range all {
		most = max(most, kept(g))
	}
	var best []grip
	for _, g := range all {
		if kept(g) == most {
			best = append(best, g)
		}
	}
	return best
}

// printed are the fingers that the score gives the keys that are struck.
func (r *reader) printed(m *moment) []int8 {
	fingers := make([]int8, len(m.keys))
	for i, n := range m.notes {
		if n != ornament && m.struck[i] {
			fingers[i] = int8(PrintedFinger(r.score.Notes[n].Fingering))
		}
	}
	return fingers
}

// PrintedFinger is the first finger of a fingering as printed, "3", "5-4" for a
// substitution, "2 3" for a choice; 0 where there is none.
func PrintedFinger(text string) int {
	first := strings.TrimLeft(text, " ")
	if first == "" {
		return 0
	}
	finger, err := strconv.Atoi(first[:1])
	if err != nil || finger < 1 || finger > 5 || len(first) > 1 && first[1] >= '0' && first[1] <= '9' {
		return 0
	}
	return finger
}

func neighbours(keys []int) bool {
	return len(keys) > 1 && !IsBlack(keys[0]) && !IsBlack(keys[1]) && keys[1]-keys[0] <= 2
}

// within lists the grips of keys, low to high.
func (e *economy) within(keys []int, reach bool) (all []grip) {
	var take func(g grip)
	take = func(g grip) {
		i := len(g)
		if i == len(keys) {
			all = append(all, append(grip{}, g...))
			return
		}
		first := int8(1)
		if i > 0 {
			first = g[i-1] + 1
		}
		for f := first; f <= 5; f++ {
			if !reach || e.reaches(keys, g, f) {
				take(append(g, f))
			}
		}
	}
	if len(keys) <= 5 {
		take(make(grip, 0, len(keys)))
	}
	if len(keys) >= 4 && neighbours(keys) {
		for _, g := range e.within(keys[1:], reach) {
			if g[0] == 1 {
				all = append(all, append(grip{1}, g...))
			}
		}
	}
	return all
}

// reaches reports whether a finger reaches the key after those of a grip.
func (e *economy) reaches(keys []int, g grip, f int8) bool {
	for i, other := range g {
		if keys[len(g)]-keys[i] > e.spans[other][f].maxPrac {
			return false
		}
	}
	return true
}

// economy is what effort depends on beside the music: the hand.
type economy struct {
	spans [6][6]spans
}

func newEconomy(h Hand) *economy {
	e := &economy{}
	for a := 1; a <= 5; a++ {
		for b := a + 1; b <= 5; b++ {
			s := pairSpans[a][b]
			s.maxComf, s.maxPrac = h.PairSpan(a, b)
			s.maxRel = min(s.maxRel, s.maxComf)
			e.spans[a][b] = s
		}
	}
	return e
}

// neighbour is the key a step above or below a note, in its key signature but
// for an accidental by the sign.
func neighbour(p score.Pitch, key score.Key, accidental string, way int) int {
	at := score.PitchAt(p.Staff()+way, 0)
	at.Alter = key.Alter(at.Step)
	if alter, ok := score.AccidentalAlter(accidental); ok {
		at.Alter = alter
	}
	return at.MIDI()
}
