package practice

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// place is a hot spot as its advice looks at it.
type place struct {
	*detect.Report
	spot          *detect.Spot
	o             *detect.Occurrence // the hardest
	start, target detect.Pace
}

func newPlace(r *detect.Report, spot *detect.Spot) *place {
	p := &place{Report: r, spot: spot, o: &spot.Occurrences[spot.Hardest]}
	p.start, p.target = r.Paces(spot)
	return p
}

// timed reports whether going slower makes it easier.
func (p *place) timed() bool { return p.spot.Comfortable > 0 }

// many reports whether the spot is more than its hardest place.
func (p *place) many() bool { return len(p.spot.Occurrences) > 1 && p.spot.FirstBar != p.spot.LastBar }

// hands says who plays, first and in the end.
func (p *place) hands() string {
	name := p.spot.Hand.Name()
	if p.spot.Hand != score.Both && p.otherPlays() {
		return name + ", then both"
	}
	return name
}

// otherPlays reports whether the other hand strikes anything in the spot.
func (p *place) otherPlays() bool {
	return p.spot.Hand != score.Both && len(p.strikes(1-p.spot.Hand, p.spot.From, p.spot.To)) > 0
}

// strikes are the instants at which a hand strikes, from one instant until before another.
func (p *place) strikes(hand score.Hand, from, to score.Rat) []score.Rat {
	var at []score.Rat
	for i := range p.Score.Notes {
		n := &p.Score.Notes[i]
		if n.Hand == hand && n.Grace == 0 && !n.Onset.Less(from) && n.Onset.Less(to) {
			at = append(at, n.Onset)
		}
	}
	return slices.Compact(at)
}

// struckBy are the names of the notes that a hand strikes at an instant, low to high.
func (p *place) struckBy(hand score.Hand, at score.Rat) []string {
	var names []string
	for i := range p.Score.Notes {
		if n := &p.Score.Notes[i]; n.Hand == hand && n.Grace == 0 && n.Onset == at {
			names = append(names, n.Pitch.Pretty())
		}
	}
	return names
}

// landing is when the last of the notes involved is struck.
func (p *place) landing(o *detect.Occurrence) score.Rat {
	at := o.From
	for _, n := range o.Notes {
		at = score.Max(at, p.Score.Notes[n].Onset)
	}
	return at
}

// handNamed is the hand of a name in a detail.
func handNamed(name string) score.Hand {
	if name == score.Right.String() {
		return score.Right
	}
	return score.Left
}

// pretty gives a pitch of a detail, "F#4", with the signs of music: "F♯4".
func pretty(pitch string) string {
	return strings.NewReplacer("#", "♯", "x", "♯♯", "b", "♭").Replace(pitch)
}

func prettyAll(pitches []string) []string {
	all := make([]string, len(pitches))
	for i, p := range pitches {
		all[i] = pretty(p)
	}
	return all
}

// chord names what is struck together: "F2", or "the chord F2–C3–A3".
func chord(pitches []string) string {
	names := strings.Join(prettyAll(pitches), "–")
	if len(pitches) < 3 {
		return names
	}
	return "the chord " + names
}

// inTurn names what is struck one after the other; of more than most the first ones.
func inTurn(groups []string, most int) string {
	if len(groups) > most {
		return strings.Join(groups[:most], " ") + " …"
	}
	return strings.Join(groups, " ")
}

// sumOf writes 2, 2 and 1 as "2+2+1".
func sumOf(sizes []int) string {
	return strings.ReplaceAll(strings.Trim(fmt.Sprint(sizes), "[]"), " ", "+")
}

// times counts strokes: "once", "twice", "3 times".
func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}
