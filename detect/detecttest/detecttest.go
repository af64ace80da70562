// Package detecttest is what the tests of detectors share.
package detecttest

import (
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// Sixteenths writes keys as sixteenths.
func Sixteenths(keys string) string { return strings.Join(strings.Fields(keys+" "), ":1/4 ") + ":1/4" }

// Found returns what was found of one kind, by hand and time.
func Found(r *detect.Report, kind detect.Kind) []detect.Occurrence {
	var found []detect.Occurrence
	for _, hand := range []score.Hand{score.Right, score.Left, score.Both} {
		var own []detect.Occurrence
		for _, sp := range r.Spots {
			if sp.Kind == kind && sp.Hand == hand {
				own = append(own, sp.Occurrences...)
			}
		}
		for len(own) > 0 {
			first := 0
			for i := range own {
				if own[i].From.Less(own[first].From) {
					first = i
				}
			}
			found = append(found, own[first])
			own = append(own[:first], own[first+1:]...)
		}
	}
	return found
}

// WithSpan is the default player with a span, in mm, of both hands.
func WithSpan(mm float64) detect.Player {
	p := detect.DefaultPlayer()
	p.SpanMM = [2]float64{mm, mm}
	return p
}

// Bars is one bar again and again.
func Bars(n int, bar string) string { return strings.Repeat(bar+" | ", n-1) + bar }

// OneSign puts every note of a score under one arpeggio sign through both hands.
func OneSign(s *score.Score) []score.Arpeggio {
	sign := score.Arpeggio{Hand: score.Both}
	for i := range s.Notes {
		sign.Notes = append(sign.Notes, i)
	}
	slices.SortFunc(sign.Notes, func(a, b int) int { return detect.Key(s, a) - detect.Key(s, b) })
	return []score.Arpeggio{sign}
}

// Join joins the names of pitches.
func Join(pitches []score.Pitch, with string) string {
	names := make([]string, len(pitches))
	for i, p := range pitches {
		names[i] = p.String()
	}
	return strings.Join(names, with)
}

// Pitches reads the names of pitches: "C4 F#4".
func Pitches(names string) []score.Pitch {
	var pitches []score.Pitch
	for name := range strings.FieldsSeq(names) {
		p, ok := score.ParsePitch(name)
		if !ok {
			panic("no pitch: " + name)
		}
		pitches = append(pitches, p)
	}
	return pitches
}
