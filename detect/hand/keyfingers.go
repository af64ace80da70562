package hand

import (
	"fmt"

	"hardbars/score"
)

// KeyFingers are the fingers that a teacher writes into some bars, by index into
// Score.Notes: where each hand begins, after each change of position, and on both
// sides of a crossing. A figure that comes again in these bars has its fingers
// once. Notes with fingers in the score are left out.
func (f *Fingering) KeyFingers(s *score.Score, firstBar, lastBar int) map[int]int {
	key := map[int]int{}
	for side := range f.Places {
		places := f.Places[side]
		first := true
		told := map[string]bool{}
		for k := range places {
			p := &places[k]
			if len(p.Notes) == 0 || s.Notes[p.Notes[0]].Bar < firstBar {
				continue
			}
			if s.Notes[p.Notes[0]].Bar > lastBar {
				break
			}
			crossing := p.Come == Under || p.Come == Over
			ahead := k+1 < len(places) && (places[k+1].Come == Under || places[k+1].Come == Over)
			if !first && p.Come == Stay && !ahead {
				continue
			}
			if figure := f.figure(s, p); crossing || ahead || first || !told[figure] {
				told[figure] = true
				f.tell(p, key)
			}
			first = false
		}
	}
	return key
}

// tell takes in the fingers of a place.
func (f *Fingering) tell(p *Place, key map[int]int) {
	for _, n := range p.Notes {
		if g := f.Notes[n]; g.Finger > 0 && !g.Printed {
			key[n] = g.Finger
		}
	}
}

// figure is a place by its fingers and the intervals between its keys.
func (f *Fingering) figure(s *score.Score, p *Place) string {
	text := ""
	for _, n := range p.Notes {
		text += fmt.Sprint(f.Notes[n].Finger, ":", s.Notes[n].Pitch.MIDI()-s.Notes[p.Notes[0]].Pitch.MIDI(), " ")
	}
	return text
}

// AllFingers are the fingers of every note in some bars that the score gives
// none, by index into Score.Notes.
func (f *Fingering) AllFingers(s *score.Score, firstBar, lastBar int) map[int]int {
	all := map[int]int{}
	for n, g := range f.Notes {
		if bar := s.Notes[n].Bar; firstBar <= bar && bar <= lastBar && g.Finger > 0 && !g.Printed {
			all[n] = g.Finger
		}
	}
	return all
}
