package leap

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// practise begins with the way down, since the eyes have farther to go to the bass.
func practise(p *detect.Practice) detect.Lesson {
	l := detect.Lesson{Proof: "every landing clean", Placed: true}
	down, up := downAndUp(p)
	var aims []string
	for _, o := range []*detect.Occurrence{down, up} {
		if o != nil {
			l.Steps = append(l.Steps, move(p, o))
			aims = append(aims, detect.ChordName(o.Detail.(Detail).Landing))
		}
	}
	switch {
	case down == nil || up == nil:
		l.Steps = append(l.Steps, "The way back likewise; then there and back without the stops.")
	case neighbours(p.Position(down.From), p.Position(up.From)):
		l.Steps = append(l.Steps, "Down and up without the stops.")
	default:
		l.Steps = append(l.Steps, "Each of them without the stop.")
	}
	if together := leapTogether(p); together != "" {
		l.Steps, l.Together = append(l.Steps, together), len(l.Steps)
	}
	if help, ok := p.Help(p.Hardest.Notes); ok {
		l.Steps = append(l.Steps, fmt.Sprintf("Or spare the leap: %s (as a remark: “%s”).",
			help.Words(p.Score), help.Remark(p.Score)))
	}
	if timeToTouch(p) {
		l.Steps = append(l.Steps, fmt.Sprintf("Touch and wait at %s, at %s.", strings.Join(slices.Compact(aims), " and at "), p.Start))
	}
	return l
}

// leastTouch is the time, in seconds from key to key, in which a hand can touch
// the keys, wait, and play. Common practice.
const leastTouch = 0.75

// timeToTouch reports whether there is that time at the tempo to begin with.
func timeToTouch(p *detect.Practice) bool {
	return p.Hardest.Detail.(Detail).Seconds*p.Target.QPM() >= leastTouch*p.Start.QPM()
}

// downAndUp are the hardest leap of the spot and the nearest one that goes the
// other way; nil for a way that none goes.
func downAndUp(p *detect.Practice) (down, up *detect.Occurrence) {
	var back *detect.Occurrence
	for i := range p.Spot.Occurrences {
		o := &p.Spot.Occurrences[i]
		if goesDown(o) != goesDown(p.Hardest) && (back == nil || away(p, o).Less(away(p, back))) {
			back = o
		}
	}
	if goesDown(p.Hardest) {
		return p.Hardest, back
	}
	return back, p.Hardest
}

func goesDown(o *detect.Occurrence) bool {
	d, ok := o.Detail.(Detail)
	return ok && d.Semitones < 0
}

// away is how far a place lies from the hardest one, in quarters.
func away(p *detect.Practice, o *detect.Occurrence) score.Rat {
	d := o.From.Sub(p.Hardest.From)
	return score.Max(d, score.Rat{}.Sub(d))
}

// neighbours reports whether two places are no more than a bar apart.
func neighbours(a, b detect.Position) bool { return max(a.Index-b.Index, b.Index-a.Index) <= 1 }

// move is one leap with a stop before it.
func move(p *detect.Practice, o *detect.Occurrence) string {
	d := o.Detail.(Detail)
	way := "Up"
	if d.Semitones < 0 {
		way = "Down"
	}
	where := ""
	if p.Many() {
		where = " in bar " + p.Position(o.From).Bar
	}
	text := fmt.Sprintf("%s%s, with stops: on %s look at %s, then one movement of %s",
		way, where, d.From.Pretty(), d.To.Pretty(), detect.IntervalBetween(d.From, d.To))
	if d.Chord {
		return fmt.Sprintf("%s, the shape of %s ready in the air.", text, detect.ChordName(d.Landing))
	}
	return text + "."
}

// leapTogether brings in the other hand, where it is busy on the way.
func leapTogether(p *detect.Practice) string {
	other := 1 - p.Spot.Hand
	d := p.Hardest.Detail.(Detail)
	if d.OtherHand {
		return fmt.Sprintf("Add the %s, which leaps to the same instant: look at %s, land the other by feel; then the other way round, and keep what is safer.",
			other.Name(), d.To.Pretty())
	}
	n := len(p.Strikes(other, p.Hardest.From, landing(p, p.Hardest)))
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("Add the %s, which strikes %s on the way: it goes on by feel while you look at %s.", other.Name(), detect.Times(n), d.To.Pretty())
}

// landing is when the last of the notes involved is struck.
func landing(p *detect.Practice, o *detect.Occurrence) score.Rat {
	at := o.From
	for _, n := range o.Notes {
		at = score.Max(at, p.Score.Notes[n].Onset)
	}
	return at
}
