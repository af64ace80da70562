package drill

import "hardbars/score"

// clef is where a clef puts its staff.
type clef struct {
	sign        string
	line        int
	bottom, top int // the outer lines, as score.Pitch.Staff counts
}

var (
	treble = clef{"G", 2, 30, 38}
	bass   = clef{"F", 4, 18, 26}
)

// ledger is how many ledger lines the notes of a staff need in all when they
// are printed so many octaves below their sound.
func (c clef) ledger(voices [][]sign, octaves int) (lines int) {
	for _, v := range voices {
		for _, s := range v {
			for _, t := range s.tones {
				at := t.pitch.Staff() - 7*octaves
				lines += max(0, c.bottom-at, at-c.top) / 2
			}
		}
	}
	return lines
}

// spared is how many ledger lines a note a change must spare to be worth it.
// Common practice.
const spared = 2

// worth tells whether a change spares enough ledger lines.
func worth(voices [][]sign, before, after int) bool {
	tones := 0
	for _, v := range voices {
		for _, s := range v {
			tones += len(s.tones)
		}
	}
	return tones > 0 && before-after >= spared*tones
}

// next is the clef for a bar of one staff after this one. It changes where that
// is worth it, and comes home as soon as home is no worse.
func (c clef) next(hand score.Hand, voices [][]sign) clef {
	home, away := treble, bass
	if hand == score.Left {
		home, away = away, home
	}
	atHome, abroad := home.ledger(voices, 0), away.ledger(voices, 0)
	switch {
	case worth(voices, atHome, abroad):
		return away
	case atHome <= abroad && len(voices) > 0:
		return home
	}
	return c
}

// octaves is 1 where the notes of a bar are better printed an octave below
// their sound, −1 where they are above it, and 0 otherwise.
func (c clef) octaves(voices [][]sign) int {
	for _, n := range []int{1, -1} {
		if worth(voices, c.ledger(voices, 0), c.ledger(voices, n)) {
			return n
		}
	}
	return 0
}
