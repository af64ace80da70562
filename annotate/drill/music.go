package drill

import (
	"cmp"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/notation"
)

// exercise is full bars between repeat signs, under a heading.
type exercise struct {
	title    string
	pace     detect.Pace
	bars     []bar
	sameLine bool // goes on in the line of the exercise before
}

// beside puts exercises of one bar in one line.
func beside(all []exercise) []exercise {
	for i := 1; i < len(all); i++ {
		all[i].sameLine = len(all[i-1].bars) == 1 && len(all[i].bars) == 1
	}
	return all
}

// bar is one full bar on two staves.
type bar struct {
	time  score.Time
	key   score.Key
	hands [2][]voice // by score.Hand: the right hand has the upper staff
	marks []mark     // by place
}

// voice is sounds and rests, one after the other. Complete voices fill their bar.
type voice []sound

// sound is what one voice strikes at one instant, or a rest.
type sound struct {
	at      score.Rat // from the start of the bar
	length  score.Rat
	tones   []tone   // low to high; none for a rest
	grace   [][]tone // struck before it, in order
	fermata bool
	tap     bool     // on wood, not on the keys
	lyrics  []string // lines of words beneath
	unseen  bool     // a rest that only fills a second voice
}

func (s sound) end() score.Rat { return s.at.Add(s.length) }

// tone is one key that is struck, or held on.
type tone struct {
	pitch    score.Pitch
	note     *score.Note // whose fingering and signs stand here; nil for none
	from     bool        // tied to the one before
	to       bool        // tied to the one after
	arpeggio *int        // index into Score.Arpeggios of the arpeggio sign that it stands under; nil for none
}

// mark is a dynamic mark or a pedal sign.
type mark struct {
	at      score.Rat // from the start of the bar
	hand    score.Hand
	dynamic string // "pp"
	pedal   string // "start" or "stop"
}

// strike is a sound of one hand, at a place counted from the start of an exercise.
type strike struct {
	hand score.Hand
	sound
}

// lay cuts strikes into full bars. Those of one hand are in order and do not
// overlap.
func lay(time score.Time, key score.Key, strikes []strike) []bar {
	var bars []bar
	for _, s := range strikes {
		rest := s.sound
		for {
			index := floor(s.at, time.Length)
			for len(bars) <= index {
				bars = append(bars, bar{time: time, key: key, hands: [2][]voice{{nil}, {nil}}})
			}
			rest.at = s.at.Sub(time.Length.Mul(score.Int(int64(index))))
			over := rest.end().Sub(time.Length)
			piece := rest
			if over.Sign() > 0 {
				piece, rest = rest.cut(rest.length.Sub(over))
			}
			bars[index].hands[s.hand][0] = append(bars[index].hands[s.hand][0], piece)
			if over.Sign() <= 0 {
				break
			}
			s.at = time.Length.Mul(score.Int(int64(index + 1)))
		}
	}
	for i := range bars {
		bars[i].complete()
	}
	return bars
}

// cut divides a sound into two that are tied.
func (s sound) cut(first score.Rat) (a, b sound) {
	a, b = s, sound{at: s.at.Add(first), length: s.length.Sub(first), fermata: s.fermata, tap: s.tap, unseen: s.unseen}
	a.length, a.fermata = first, false
	a.tones = nil
	for _, t := range s.tones {
		before, after := t, tone{pitch: t.pitch, from: true, to: t.to}
		before.to = true
		a.tones, b.tones = append(a.tones, before), append(b.tones, after)
	}
	return a, b
}

// complete fills what the voices leave open. A hand that plays nothing has no
// voice; rests of a second voice are not seen.
func (b *bar) complete() {
	for hand, voices := range b.hands {
		var sounding []voice
		for _, v := range voices {
			if len(v) > 0 {
				sounding = append(sounding, v.filled(b.time, len(sounding) > 0))
			}
		}
		b.hands[hand] = sounding
	}
}

func (v voice) filled(time score.Time, unseen bool) voice {
	var full voice
	var at score.Rat
	rests := func(to score.Rat) {
		for _, r := range notation.Rests(at, to, time) {
			full = append(full, sound{at: r.At, length: r.Length, unseen: unseen})
		}
	}
	for _, s := range v {
		rests(s.at)
		full, at = append(full, s), s.end()
	}
	rests(time.Length)
	return full
}

// odd reports whether a place or length is one that only a tuplet has.
func odd(r score.Rat) bool { return notation.TupletPart(r) > 1 }

// floor is how often a positive unit goes into r, which is not negative.
func floor(r, unit score.Rat) int {
	n := r.Div(unit)
	return int(n.Num() / n.Den())
}

// byPitch sorts tones from low to high.
func byPitch(a, b tone) int {
	return cmp.Or(cmp.Compare(a.pitch.MIDI(), b.pitch.MIDI()), cmp.Compare(a.pitch.Staff(), b.pitch.Staff()))
}
