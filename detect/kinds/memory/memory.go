// Package memory finds places that begin alike and go on differently, where who
// plays by heart may take the wrong turn.
package memory

import (
	"fmt"
	"slices"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/form"
)

// Detector finds the kind memory.
var Detector = &detect.Detector{
	Kind: "memory",
	Name: "a turn to remember",
	Doc: `Two places begin alike and go on differently: both hands play two bars or more as they have played them before, in every
note or all transposed by one interval, and then do something else. Who knows the piece by heart may go on as the other time.
The same two ways are one place, the first. Bars that only say one thing over and over do not count, nor does a strain that is played twice and then goes on, nor a turn that a repeat sign, an ending's bracket, a new key,
a new meter or a rest in both hands shows. The place is the bar that differs, with the last one that is alike. Demand is
confusion, not speed: the longer the two are alike, the surer the wrong way feels, and the more the two ways have in common,
the later it is noticed. It is 0.4 and 0.05 for each bar alike, up to eight, times 0.75 and half of the share of notes that
the two ways have in common: at most 1.`,
	Limits: []detect.Limit{
		{Name: "bars alike before the turn", Value: fmt.Sprintf("%d or more, two of them different", leastAlike), Source: "common practice"},
		{Name: "demand", Value: "from 0.375 to 1 at every level", Source: "common practice"},
	},
	Basis:    detect.CommonPractice,
	Rests:    "common practice: teachers have such places learnt side by side. Recorded performances do not tell where memory went wrong. Its places are ranked by eight tenths of their demand.",
	Ranked:   0.8,
	OfMind:   true,
	Telling:  []string{"alike", "before", "turn", "other_turn"},
	Run:      findTurns,
	Practise: practise,
	Speech:   speech,
}

// When two places are alike for long enough, and what that asks: common practice.
const (
	leastAlike   = 2
	mostCounted  = 8 // bars alike, of which more change nothing
	begins       = 0.4
	perBar       = 0.05
	nothingAlike = 0.75
	perShare     = 0.5
)

// Detail is the JSON detail of a turn to remember.
type Detail struct {
	Alike     string          `json:"alike"`      // the bars before the turn that are as before, as printed: "9–12"
	Before    string          `json:"before"`     // the bars that they are like
	Turn      detect.Position `json:"turn"`       // where it goes on differently
	OtherTurn detect.Position `json:"other_turn"` // where the other place goes on
	Semitones int             `json:"semitones"`  // from the place before to this one
	Bars      int             `json:"bars"`       // alike
	Share     float64         `json:"share"`      // of the notes in the two bars that differ that they have in common
}

// turn is two bars that differ after as many alike.
type turn struct {
	first, second int // indices into Score.Bars
	alike         int
	semitones     int
}

func findTurns(p *detect.Pass) {
	bars := form.NewBars(p.Score, score.Both)
	known := map[[2]int]bool{} // the two ways to go on, each by its number
	for _, t := range turns(p.Score, bars) {
		ways := [2]int{bars.Number(t.first), bars.Number(t.second)}
		if !known[ways] {
			p.Report(t.occurrence(p, bars))
		}
		known[ways], known[[2]int{ways[1], ways[0]}] = true, true
	}
}

// turns are those of a piece in order, of each bar the one after the longest likeness.
func turns(s *score.Score, bars *form.Bars) []turn {
	longest := make([]turn, len(s.Bars))
	for apart := leastAlike; apart < len(s.Bars); apart++ {
		alike, moved := 0, 0
		for y := apart; y < len(s.Bars); y++ {
			x := y - apart
			semitones, same := bars.Transposed(x, y)
			if same && !bars.Empty(x) && (alike == 0 || semitones == moved) {
				alike, moved = alike+1, semitones
				continue
			}
			t := turn{x, y, alike, moved}
			if alike >= leastAlike && alike < apart && !same && t.share(bars) < 1 && !shown(s, bars, x) && !shown(s, bars, y) && t.various(bars) && t.alike > longest[y].alike {
				longest[y] = t
			}
			alike = 0
			if same && !bars.Empty(x) {
				alike, moved = 1, semitones
			}
		}
	}
	return slices.DeleteFunc(longest, func(t turn) bool { return t.alike == 0 })
}

// share is how much of what is struck in the two bars that differ is the same.
func (t *turn) share(bars *form.Bars) float64 {
	return float64(bars.Common(t.first, t.second, t.semitones)) / float64(max(bars.Most(t.first, t.second), 1))
}

// various reports whether the bars alike are not all one bar again and again.
func (t *turn) various(bars *form.Bars) bool {
	for b := t.second - t.alike; b+1 < t.second; b++ {
		if _, same := bars.Transposed(b, b+1); !same {
			return true
		}
	}
	return false
}

// shown reports whether the page shows that something new begins in a bar.
func shown(s *score.Score, bars *form.Bars, bar int) bool {
	b, before := &s.Bars[bar], &s.Bars[bar-1]
	return bars.Empty(bar) || b.RepeatStart || before.RepeatEnd > 0 || b.Ending != before.Ending || b.Key != before.Key || b.Time != before.Time
}

func (t *turn) occurrence(p *detect.Pass, bars *form.Bars) detect.Occurrence {
	s := p.Score
	share := t.share(bars)
	d := Detail{
		Alike: span(s, t.second-t.alike, t.second-1), Before: span(s, t.first-t.alike, t.first-1),
		Turn: p.Position(s.Bars[t.second].Start), OtherTurn: p.Position(s.Bars[t.first].Start),
		Semitones: t.semitones, Bars: t.alike, Share: detect.Round3(share),
	}
	from, to := s.Bars[t.second-1].Start, s.Bars[t.second].End()
	var notes []int
	for i := range s.Notes {
		if s.Notes[i].Bar == t.second {
			notes = append(notes, i)
		}
	}
	return detect.Occurrence{
		Hand: score.Both, From: from, To: to, Notes: notes,
		Demand: (begins + perBar*float64(min(t.alike, mostCounted))) * (nothingAlike + perShare*share),
		Shape:  fmt.Sprintf("turn from bars %d and %d", t.first, t.second),
		Label:  fmt.Sprintf("not as in bar %s", s.Bars[t.first].Number),
		Why: fmt.Sprintf("Bars %s are bars %s again%s, but bar %s is not bar %s: %.0f%% of the notes are the same.",
			d.Alike, d.Before, transposed(t.semitones), s.Bars[t.second].Number, s.Bars[t.first].Number, 100*share),
		Detail: d, Picture: p.PianoRoll(from, to, notes),
	}
}

// transposed says how far a place is moved, "" where it is not.
func transposed(semitones int) string {
	if semitones == 0 {
		return ""
	}
	return ", " + score.IntervalName(semitones)
}

// span names bars as printed: "12" or "12–15".
func span(s *score.Score, first, last int) string {
	if first == last {
		return s.Bars[first].Number
	}
	return s.Bars[first].Number + "–" + s.Bars[last].Number
}
