package musicxml

import (
	"sort"

	"github.com/beevik/etree"

	"hardbars/score"
)

// arpeggio is an arpeggio sign at a note. Signs with one number at one instant
// are one sign, also across the staves.
type arpeggio struct {
	number string
	down   bool
}

func arpeggioOf(elem *etree.Element) *arpeggio {
	return &arpeggio{
		number: elem.SelectAttrValue("number", ""),
		down:   elem.SelectAttrValue("direction", "up") == "down",
	}
}

// readArpeggios groups the signs into spread chords. A sign on any note of a chord
// holds for all notes on its stem. Notes that only go on sounding are not spread.
func readArpeggios(s *score.Score, page []pageNote) {
	signs := map[[2]int]*arpeggio{} // by part and chord
	for i := range page {
		if w := &page[i]; w.sign != nil {
			signs[[2]int{w.part, w.chord}] = w.sign
		}
	}
	if len(signs) == 0 {
		return
	}
	type place struct {
		at     score.Rat
		number string
	}
	struck := map[int]int{} // Head.ID of an attack: index into s.Notes
	for i, n := range s.Notes {
		struck[n.Heads[0].ID] = i
	}
	arpeggios := map[place]*score.Arpeggio{}
	var order []place
	for i := range page {
		w := &page[i]
		sign := signs[[2]int{w.part, w.chord}]
		note, attack := struck[w.ID]
		if sign == nil || !attack || w.rest {
			continue
		}
		key := place{w.Onset, sign.number}
		if arpeggios[key] == nil {
			arpeggios[key] = &score.Arpeggio{At: w.Onset, Hand: w.hand, Down: sign.down}
			order = append(order, key)
		}
		arpeggio := arpeggios[key]
		arpeggio.Notes = append(arpeggio.Notes, note)
		if arpeggio.Hand != w.hand {
			arpeggio.Hand = score.Both
		}
	}
	for _, key := range order {
		if arpeggio := arpeggios[key]; len(arpeggio.Notes) > 1 {
			sort.Slice(arpeggio.Notes, func(i, j int) bool { return lower(s.Notes, arpeggio.Notes[i], arpeggio.Notes[j]) })
			s.Arpeggios = append(s.Arpeggios, *arpeggio)
		}
	}
	sort.SliceStable(s.Arpeggios, func(i, j int) bool { return s.Arpeggios[i].At.Less(s.Arpeggios[j].At) })
}

// lower orders two notes by key, and by index on the same key.
func lower(notes []score.Note, i, j int) bool {
	if a, b := notes[i].Pitch.MIDI(), notes[j].Pitch.MIDI(); a != b {
		return a < b
	}
	return i < j
}
