package detect

import (
	"fmt"
	"math"

	"hardbars/score"
)

// Pace is a tempo as a player counts it.
type Pace struct {
	Beat      score.Rat // a single note value, in quarters
	PerMinute int       // beats
}

// String is the pace in words: "dotted quarter = 66".
func (p Pace) String() string { return fmt.Sprintf("%s = %d", score.ValueName(p.Beat), p.PerMinute) }

// QPM is the pace in quarter notes a minute.
func (p Pace) QPM() float64 { return float64(p.PerMinute) * p.Beat.Float() }

// PaceIn counts a tempo of so many quarter notes a minute in a beat, to the
// nearest whole beat. Where the beat is no single note value it counts quarters.
func PaceIn(beat score.Rat, qpm float64) Pace {
	if score.ValueName(beat) == "" {
		beat = score.Int(1)
	}
	return Pace{beat, int(math.Round(qpm / beat.Float()))}
}

// PaceAt counts a tempo in the beat that a player counts at a place.
func (r *Report) PaceAt(at score.Rat, qpm float64) Pace {
	return PaceIn(r.Score.Bars[r.Score.BarAt(at)].Time.BeatFor(qpm), qpm)
}

// MainPace is the tempo of the most bars as a player counts it.
func (r *Report) MainPace() Pace { return r.PaceOf(r.Clock.Main()) }

// PaceOf is a tempo as a player counts it: a printed mark in its own beat.
func (r *Report) PaceOf(t score.Tempo) Pace {
	if t.From == score.FromMetronome {
		return PaceIn(t.Beat, t.QPM)
	}
	return r.PaceAt(t.At, t.QPM)
}

// Paces are the two tempos of a hot spot: the one at which it is comfortable,
// rounded down and at most the other, and the one asked for at its hardest
// place. Both count the same beat: that of the bar, or where a metronome has
// none so slow, half of it, a third of a dotted one. Where tempo does not
// matter they are the same.
func (r *Report) Paces(sp *Spot) (comfortable, target Pace) {
	target = r.PaceAt(sp.Occurrences[sp.Hardest].From, sp.Target)
	if sp.Comfortable == 0 || sp.Comfortable >= sp.Target {
		return target, target
	}
	for part := smaller(target.Beat); sp.Comfortable/target.Beat.Float() < score.SlowestBeat && score.ValueName(part) != ""; part = smaller(part) {
		target = PaceIn(part, sp.Target)
	}
	whole := int(math.Floor(sp.Comfortable/target.Beat.Float() + 1e-9))
	return Pace{target.Beat, min(max(whole, 1), target.PerMinute)}, target
}

// smaller is the value that a beat is divided into.
func smaller(beat score.Rat) score.Rat {
	if beat.Num() == 3 {
		return beat.Div(score.Int(3))
	}
	return beat.Div(score.Int(2))
}

// Rung is one step of the ladder of tempos that leads to a pace, in beats a
// minute: a sixteenth of it. Common practice.
func (p Pace) Rung() int { return max((p.PerMinute+8)/16, 1) }

// Ladder is every tempo on the way from one pace to another, both included, a
// rung at a time; nil where they are the same.
func Ladder(start, target Pace) []Pace {
	if start == target {
		return nil
	}
	var paces []Pace
	for at := start.PerMinute; at < target.PerMinute; at += target.Rung() {
		paces = append(paces, Pace{target.Beat, at})
	}
	return append(paces, target)
}
