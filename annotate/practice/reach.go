package practice

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/detect/kinds/leap"
	"hardbars/detect/kinds/spreadchord"
	"hardbars/detect/kinds/spreadoctave"
	"hardbars/detect/kinds/widestretch"
	"hardbars/score"
)

// leap begins with the way down, since the eyes have farther to go to the bass.
func (p *place) leap() lesson {
	l := lesson{proof: "every landing clean", placed: true}
	down, up := p.downAndUp()
	var aims []string
	for _, o := range []*detect.Occurrence{down, up} {
		if o != nil {
			l.steps = append(l.steps, p.move(o))
			aims = append(aims, chord(o.Detail.(leap.Detail).Landing))
		}
	}
	switch {
	case down == nil || up == nil:
		l.steps = append(l.steps, fmt.Sprintf("The way back likewise; then there and back without the stops, from %s.", p.start))
	case neighbours(p.Position(down.From), p.Position(up.From)):
		l.steps = append(l.steps, fmt.Sprintf("Down and up without the stops, from %s.", p.start))
	default:
		l.steps = append(l.steps, fmt.Sprintf("Each of them without the stop, from %s.", p.start))
	}
	if together := p.leapTogether(); together != "" {
		l.steps, l.together = append(l.steps, together), len(l.steps)
	}
	l.steps = append(l.steps, fmt.Sprintf("Touch and wait: leave at once, touch %s silently, wait for the beat, then play.",
		strings.Join(slices.Compact(aims), " or ")))
	return l
}

// downAndUp are the hardest leap of the spot and the nearest one that goes the
// other way; nil for a way that none goes.
func (p *place) downAndUp() (down, up *detect.Occurrence) {
	var back *detect.Occurrence
	for i := range p.spot.Occurrences {
		o := &p.spot.Occurrences[i]
		if goesDown(o) != goesDown(p.o) && (back == nil || p.away(o).Less(p.away(back))) {
			back = o
		}
	}
	if goesDown(p.o) {
		return p.o, back
	}
	return back, p.o
}

func goesDown(o *detect.Occurrence) bool {
	d, ok := o.Detail.(leap.Detail)
	return ok && d.Semitones < 0
}

// away is how far a place lies from the hardest one, in quarters.
func (p *place) away(o *detect.Occurrence) score.Rat {
	d := o.From.Sub(p.o.From)
	return score.Max(d, score.Rat{}.Sub(d))
}

// neighbours reports whether two places are no more than a bar apart.
func neighbours(a, b detect.Position) bool { return max(a.Index-b.Index, b.Index-a.Index) <= 1 }

// move is one leap with a stop before it.
func (p *place) move(o *detect.Occurrence) string {
	d := o.Detail.(leap.Detail)
	way, semitones := "Up", d.Semitones
	if semitones < 0 {
		way, semitones = "Down", -semitones
	}
	where := ""
	if p.many() {
		where = " in bar " + p.Position(o.From).Bar
	}
	text := fmt.Sprintf("%s%s, %s alone: play %s, stop, look at %s; then one movement, %d semitones (%.0f mm), and strike",
		way, where, p.spot.Hand.Name(), pretty(d.From), pretty(d.To), semitones, d.MM)
	if d.Chord {
		return fmt.Sprintf("%s %s, its shape ready in the air.", text, chord(d.Landing))
	}
	return text + " it."
}

// leapTogether brings in the other hand, where it is busy on the way.
func (p *place) leapTogether() string {
	other := 1 - p.spot.Hand
	d := p.o.Detail.(leap.Detail)
	if d.OtherHand {
		return fmt.Sprintf("Add the %s, which leaps to the same instant: look at %s, land the other by feel; then the other way round, and keep what is safer.",
			other.Name(), pretty(d.To))
	}
	n := len(p.strikes(other, p.o.From, p.landing(p.o)))
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("Add the %s, which strikes %s on the way: it goes on by feel while you look at %s.", other.Name(), times(n), pretty(d.To))
}

func (p *place) spreadOctave(d spreadoctave.Detail) lesson {
	var order [][]string
	for _, pitch := range d.Pitches {
		order = append(order, []string{pitch})
	}
	if k, ok := p.o.Picture.(detect.KeyChord); ok && k.Downward {
		for i := range order {
			order[i] = []string{d.Pitches[len(d.Pitches)-1-i]}
		}
	}
	return p.spread(order, d.Sign)
}

func (p *place) spreadChord(d spreadchord.Detail) lesson {
	l := p.spread(d.Roll, d.Sign)
	if r := d.OtherHand; r != nil && r.Near {
		other, notes := (1 - p.spot.Hand).Name(), chord(r.Pitches)
		l.steps = append([]string{fmt.Sprintf("First try it without a spread: the %s takes %s. Write it in if it sits well; otherwise go on here.", other, notes)}, l.steps...)
		l.together++
	}
	return l
}

// spread is notes that come one after the other, in groups.
func (p *place) spread(order [][]string, sign bool) lesson {
	l := lesson{together: 1, proof: "the spread quick and light, and the beat where you chose it"}
	var groups []string
	for _, g := range order {
		groups = append(groups, strings.Join(prettyAll(g), "–"))
	}
	begin := "Written out slowly and evenly"
	if !sign {
		begin = fmt.Sprintf("Do not stretch for it: no sign is written, but the %s cannot take it at once. Slowly, one after the other", p.spot.Hand.Name())
	}
	first, last := groups[0], groups[len(groups)-1]
	l.steps = []string{fmt.Sprintf("%s: %s; let the hand travel, and let the pedal keep %s.", begin, strings.Join(groups, ", "), first)}
	with := "on it"
	if p.spot.Hand != score.Both {
		if names := p.struckBy(1-p.spot.Hand, p.o.From); len(names) > 0 {
			with = fmt.Sprintf("together with %s in the %s", strings.Join(names, "–"), (1 - p.spot.Hand).Name())
		}
	}
	l.steps = append(l.steps, fmt.Sprintf("On the beat: %s %s, the rest after.", first, with),
		fmt.Sprintf("Before the beat: begin early, so that %s comes %s.", last, with),
		"Choose one and write it in: on the beat, unless the tune then limps.")
	return l
}

func (p *place) wideStretch(d widestretch.Detail) lesson {
	pair := d.Pair
	var fingers []string
	for i, f := range d.Fingers {
		fingers = append(fingers, fmt.Sprintf("%d on %s", f, pretty(d.Pitches[i])))
	}
	l := lesson{proof: "with no pull in the hand"}
	l.steps = append(l.steps, fmt.Sprintf("Lay the %s on it without sounding: %s. A few seconds only, the wrist loose, then off.",
		p.spot.Hand.Name(), strings.Join(fingers, ", ")))
	switch {
	case pair.Semitones > pair.Comfortable && pair.Fingers != [2]int{1, 5}:
		l.steps = append(l.steps, fmt.Sprintf("Widest for this hand: fingers %d and %d, %s to %s, %d semitones where %d are comfortable. Turn the whole hand towards them instead of pulling them apart.",
			pair.Fingers[0], pair.Fingers[1], pretty(pair.Pitches[0]), pretty(pair.Pitches[1]), pair.Semitones, pair.Comfortable))
	default:
		l.steps = append(l.steps, fmt.Sprintf("It takes %.0f mm, where %.0f mm are comfortable and %.0f mm the most: play from the edge of the keys, where the way is shortest.", d.SpanMM, d.ComfortableMM, d.ReachMM))
	}
	l.steps = append(l.steps,
		"Strike it once, let go at once, rest; no more than five times in a row.",
		"If it pulls, do not force it: roll it from the bottom, give a note to the other hand, or leave an inner note out.")
	return l
}
