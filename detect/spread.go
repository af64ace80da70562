package detect

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect/hand"
	"hardbars/score"
)

// MostStretch bounds the demand of a stretch.
const MostStretch = 2

// UnderSigns returns what reports whether an event has a note under an arpeggio sign.
func (p *Pass) UnderSigns() func(Event) bool {
	signed := map[int]bool{}
	for _, sp := range p.Score.Arpeggios {
		for _, n := range sp.Notes {
			signed[n] = true
		}
	}
	return func(e Event) bool {
		return slices.ContainsFunc(e.Struck, func(n int) bool { return signed[n] })
	}
}

// TooWideOctave reports whether a hand cannot reach an octave, or two notes that
// are further apart.
func (p *Pass) TooWideOctave(side score.Hand, e Event) bool {
	keys := p.Keys(e.Struck)
	wide := keys[len(keys)-1] - keys[0]
	return (wide == OctaveKeys || wide > OctaveKeys && len(keys) == 2) && hand.Extent(keys) > p.Player.Hand(side).Reach()
}

// handPart is notes that one hand takes, or both, low to high.
type handPart struct {
	Hand  score.Hand
	Notes []int
}

// SignedOctaves returns the octaves under one arpeggio sign: all that it covers
// or, where that is no octave, what it covers in each hand.
func (p *Pass) SignedOctaves(sp score.Arpeggio) []handPart {
	if p.octaves(sp.Notes, sp.Hand == score.Both) {
		return []handPart{{sp.Hand, sp.Notes}}
	}
	if sp.Hand != score.Both {
		return nil
	}
	var parts []handPart
	for _, hand := range []score.Hand{score.Right, score.Left} {
		if own := p.OfHand(sp.Notes, hand); p.octaves(own, false) {
			parts = append(parts, handPart{hand, own})
		}
	}
	return parts
}

// octaves reports whether the outer of notes, low to high, are an octave apart,
// or octaves where more than one is allowed.
func (p *Pass) octaves(notes []int, several bool) bool {
	if len(notes) < 2 {
		return false
	}
	keys := p.Keys(notes)
	wide := keys[len(keys)-1] - keys[0]
	return wide == OctaveKeys || several && wide > 0 && wide%OctaveKeys == 0
}

// OfHand returns the notes of one hand.
func (p *Pass) OfHand(notes []int, hand score.Hand) []int {
	return slices.DeleteFunc(slices.Clone(notes), func(n int) bool { return p.Score.Notes[n].Hand != hand })
}

// KeyPitches are the pitches of notes, low to high: each key
// once, though two voices may share it.
func (p *Pass) KeyPitches(notes []int) []score.Pitch {
	return p.Pitches(slices.CompactFunc(slices.Clone(notes), func(a, b int) bool {
		return p.Pitch(a).MIDI() == p.Pitch(b).MIDI()
	}))
}

// ChordPicture draws keys that are spread.
func (p *Pass) ChordPicture(side score.Hand, keys []int, sign, down bool) KeyChord {
	picture := KeyChord{Keys: keys, SpanMM: hand.Extent(keys), Sign: sign, Downward: down}
	if side != score.Both {
		picture.ReachMM = p.Player.Hand(side).Reach()
	}
	return picture
}

// Intervals are the staff steps of notes from the first: the same in every key.
func (p *Pass) Intervals(notes []int) string {
	steps := make([]int, len(notes))
	for i, n := range notes {
		steps[i] = p.Pitch(n).Staff() - p.Pitch(notes[0]).Staff()
	}
	return strings.Trim(fmt.Sprint(steps), "[]")
}

// Stretch is what notes ask of the hand that they stretch most, over its
// comfortable reach, and which hand that is.
func (p *Pass) Stretch(notes []int) (stretch float64, widest score.Hand) {
	for _, side := range []score.Hand{score.Right, score.Left} {
		own := hand.Extent(p.Keys(p.OfHand(notes, side))) / p.Player.Hand(side).ComfortableReach()
		if own > stretch {
			stretch, widest = own, side
		}
	}
	return stretch, widest
}

func Direction(down bool) string {
	if down {
		return "from the top down"
	}
	return "from the bottom up"
}

// SpreadLesson is how notes are practised that come one after the other, in groups.
func (p *Practice) SpreadLesson(order [][]score.Pitch, sign bool) Lesson {
	l := Lesson{Together: 1, Proof: "the spread quick and light, and the beat where you chose it"}
	var groups []string
	for _, g := range order {
		groups = append(groups, Dashed(g))
	}
	begin := "Written out slowly and evenly"
	if !sign {
		begin = fmt.Sprintf("Do not stretch for it: no sign is written, but the %s cannot take it at once. Slowly, one after the other", p.Spot.Hand.Name())
	}
	first, last := groups[0], groups[len(groups)-1]
	l.Steps = []string{fmt.Sprintf("%s: %s; let the hand travel, and let the pedal keep %s.", begin, strings.Join(groups, ", "), first)}
	with := "on it"
	if p.Spot.Hand != score.Both {
		if struck := p.StruckBy(1-p.Spot.Hand, p.Hardest.From); len(struck) > 0 {
			with = fmt.Sprintf("together with %s in the %s", Dashed(struck), (1 - p.Spot.Hand).Name())
		}
	}
	l.Steps = append(l.Steps, fmt.Sprintf("On the beat: %s %s, the rest after.", first, with),
		fmt.Sprintf("Before the beat: begin early, so that %s comes %s.", last, with),
		"Choose one and write it in: on the beat, unless the tune then limps.")
	return l
}
