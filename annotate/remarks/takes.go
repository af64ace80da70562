package remarks

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"hardbars/detect/hand"
	"hardbars/score"
)

// takes is "right hand takes B♭1", also of several notes: "takes B♭1, F2 and D3".
var (
	takes      = regexp.MustCompile(`(?i)^(?:(left|lh|right|rh)(?:\s+hand)?\s+)?takes?\s+(.+?)\.?$`)
	between    = regexp.MustCompile(`(?i)\s*,\s*(?:and\s+)?|\s+and\s+|\s+`)
	plainSigns = strings.NewReplacer("♯♯", "x", "♯", "#", "♭", "b")
	inWords    = strings.NewReplacer(" flat ", "♭", " sharp ", "♯", "-flat ", "♭", "-sharp ", "♯")
)

// Taken returns who plays the notes that the page gives to a hand. The error
// names every line that speaks of a note that is not there.
func (p *Page) Taken(s *score.Score) (hand.Taken, error) {
	taken := hand.Taken{}
	var errs []error
	for _, l := range p.Remarks {
		side, keys, ok := l.takes()
		if !ok {
			continue
		}
		first, last, err := l.Bars.in(s)
		if err != nil {
			continue // On tells
		}
		for _, key := range keys {
			found := false
			for i := range s.Notes {
				if n := &s.Notes[i]; first <= n.Bar && n.Bar <= last && n.Pitch.MIDI() == key.MIDI() {
					taken[n.Heads[0].ID], found = side, true
				}
			}
			if !found {
				errs = append(errs, fmt.Errorf("line %d: %s: no %s is struck there", l.Number, l.Bars, key.Pretty()))
			}
		}
	}
	return taken, errors.Join(errs...)
}

// takes reads a line that gives notes to a hand; ok is false for any other.
func (l Line) takes() (side score.Hand, keys []score.Pitch, ok bool) {
	m := takes.FindStringSubmatch(l.Text)
	if m == nil {
		return 0, nil, false
	}
	switch strings.ToLower(m[1]) {
	case "left", "lh":
		side = score.Left
	case "right", "rh":
		side = score.Right
	default:
		side = l.Hand
	}
	for _, name := range between.Split(inWords.Replace(m[2]), -1) {
		key, ok := pitchNamed(name)
		if !ok {
			return 0, nil, false
		}
		keys = append(keys, key)
	}
	return side, keys, side != score.Both
}

// pitchNamed reads a pitch as people write it: "B♭1", "bb1", "F#4".
func pitchNamed(name string) (score.Pitch, bool) {
	name = plainSigns.Replace(name)
	if name == "" {
		return score.Pitch{}, false
	}
	return score.ParsePitch(strings.ToUpper(name[:1]) + name[1:])
}

// Hands is what the page gives to which hand, in its own grammar.
func (p *Page) Hands() string {
	var b strings.Builder
	for _, l := range p.Remarks {
		if _, _, ok := l.takes(); ok {
			fmt.Fprintln(&b, l)
		}
	}
	return b.String()
}
