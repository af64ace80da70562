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

// ledger is how many ledger lines the notes of a staff need, in all and at most,
// when they are printed so many octaves below their sound.
func (c clef) ledger(pitches []score.Pitch, octaves int) (all, most int) {
	for _, p := range pitches {
		at := p.Staff() - 7*octaves
		lines := max(0, c.bottom-at, at-c.top) / 2
		all, most = all+lines, max(most, lines)
	}
	return all, most
}

// mostLedger is how many ledger lines are read without trouble. Common practice.
const mostLedger = 4

// next is the clef for a bar of one staff after this one. It changes where that
// spares two ledger lines a note, and comes home as soon as home is no worse.
func (c clef) next(hand score.Hand, pitches []score.Pitch) clef {
	home, away := treble, bass
	if hand == score.Left {
		home, away = away, home
	}
	atHome, _ := home.ledger(pitches, 0)
	abroad, _ := away.ledger(pitches, 0)
	switch n := len(pitches); {
	case n == 0:
		return c
	case atHome-abroad >= 2*n:
		return away
	case atHome <= abroad:
		return home
	}
	return c
}

// pitches are those that a hand strikes or holds in a bar.
func (b *bar) pitches(hand score.Hand) []score.Pitch {
	var all []score.Pitch
	for _, v := range b.hands[hand] {
		for _, s := range v {
			for _, t := range s.tones {
				all = append(all, t.pitch)
			}
		}
	}
	return all
}

// octaves is 1 where the notes of a bar are better printed an octave below
// their sound, −1 where they are above it, and 0 otherwise.
func (c clef) octaves(pitches []score.Pitch) int {
	all, most := c.ledger(pitches, 0)
	for _, n := range []int{1, -1} {
		if fewer, highest := c.ledger(pitches, n); most > mostLedger && fewer < all && highest < most {
			return n
		}
	}
	return 0
}
