package web

import (
	"math"
	"net/http"
	"slices"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/perform"
)

// Playing is what sounds in a stretch. Times are seconds from its start, at the
// tempo in force for this player; they are reckoned from exact positions, once.
// Bars come in the order of the page, and a fermata lasts as long as it is
// written.
type playing struct {
	Seconds float64      `json:"seconds"` // how long the stretch is
	Pace    playedPace   `json:"pace"`    // where it begins
	Bars    []playedBar  `json:"bars"`
	Beats   []playedBeat `json:"beats"`    // for the metronome
	CountIn []playedBeat `json:"count_in"` // one bar and what is missing of a pickup: its times are negative
	Notes   []playedNote `json:"notes"`    // by time
	Strikes []strike     `json:"strikes"`  // of both hands together where they have two rhythms; none elsewhere
}

type playedPace struct {
	Beat      string `json:"beat"` // "dotted quarter"
	PerMinute int    `json:"per_minute"`
}

type playedBar struct {
	Bar     string  `json:"bar"`   // as printed
	Index   int     `json:"index"` // counts from 1 in file order
	At      float64 `json:"at"`
	Seconds float64 `json:"seconds"`
}

type playedBeat struct {
	At    float64 `json:"at"`
	First bool    `json:"first"` // of its bar
}

// playedNote is one sound. A sign that stands for several notes gives several,
// with the heads of the note that it stands at.
type playedNote struct {
	At      float64    `json:"at"`      // less than 0 for grace notes before the first beat
	Seconds float64    `json:"seconds"` // until the key is let go
	Rings   float64    `json:"rings"`   // until the damper falls: longer where a pedal holds it
	Onset   score.Rat  `json:"onset"`   // exact, in quarters from the start of the piece
	Length  score.Rat  `json:"length"`  // the same; 0 for a grace note
	MIDI    int        `json:"midi"`
	Hand    score.Hand `json:"hand"`
	Melody  bool       `json:"melody"`
	Grace   bool       `json:"grace"`
	Heads   []int      `json:"heads"` // data-note of the heads to light up
}

type strike struct {
	At    float64 `json:"at"`
	Right bool    `json:"right"`
	Left  bool    `json:"left"`
}

func (s *Server) notes(w http.ResponseWriter, r *http.Request) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	what, err := st.stretch(r)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, st.playing(what))
	return nil
}

func (st *study) playing(what *stretch) playing {
	l := newListening(st, what)
	pace := st.whole.PaceAt(l.from, st.whole.Clock.QPM(l.from))
	p := playing{
		Seconds: l.at(l.to), Pace: playedPace{score.ValueName(pace.Beat), pace.PerMinute},
		Bars: []playedBar{}, Beats: []playedBeat{}, CountIn: countIn(st.whole, what.first), Notes: l.notes(), Strikes: l.strikes(),
	}
	for i := what.first; i <= what.last; i++ {
		b := &st.score.Bars[i]
		p.Bars = append(p.Bars, playedBar{b.Number, b.Index, l.at(b.Start), l.seconds(b.Start, b.End())})
		start := barLine(st.score.Bars, i)
		for _, beat := range beats(start, b.Time.Beat(), b.End()) {
			if !beat.Less(b.Start) {
				p.Beats = append(p.Beats, playedBeat{l.at(beat), beat == start})
			}
		}
	}
	return p
}

// listening is a stretch of a piece that is to be heard.
type listening struct {
	*study
	spot     *detect.Spot // nil for bars
	from, to score.Rat
}

func newListening(st *study, what *stretch) *listening {
	bars := st.score.Bars
	return &listening{study: st, spot: what.spot, from: bars[what.first].Start, to: bars[what.last].End()}
}

// found is every occurrence, those that the remarks skip too, by place.
func (l *listening) found() []detect.Occurrence {
	var all []detect.Occurrence
	for _, spots := range [][]detect.Spot{l.whole.Spots, l.said.Skipped} {
		for _, sp := range spots {
			all = append(all, sp.Occurrences...)
		}
	}
	slices.SortStableFunc(all, func(a, b detect.Occurrence) int { return a.From.Cmp(b.From) })
	return all
}

func (l *listening) seconds(from, to score.Rat) float64 {
	return micro(l.whole.Clock.Seconds(from, to))
}

// at is when a position of the stretch is reached.
func (l *listening) at(when score.Rat) float64 { return l.seconds(l.from, when) }

// notes is all that sounds in the stretch.
func (l *listening) notes() []playedNote {
	var signs []perform.Sign
	for _, o := range l.found() {
		if out, ok := o.Exercise.(detect.WrittenOut); ok {
			signs = append(signs, out.Signs...)
		}
	}
	melody := l.melody()
	all := []playedNote{}
	for _, s := range perform.Stretch(l.score, l.whole.Clock, l.from, l.to, signs) {
		n := &l.score.Notes[s.Note]
		all = append(all, playedNote{
			At: micro(s.At), Seconds: micro(s.Seconds), Rings: micro(s.Rings), Onset: s.Onset, Length: s.Length,
			MIDI: s.Key, Hand: n.Hand, Melody: melody[s.Note], Grace: n.Grace > 0, Heads: l.heads(n),
		})
	}
	return all
}

// heads are the heads of a note in the stretch.
func (l *listening) heads(n *score.Note) []int {
	ids := []int{}
	for _, h := range n.Heads {
		if !h.Onset.Less(l.from) && h.Onset.Less(l.to) && !h.Hidden {
			ids = append(ids, h.ID)
		}
	}
	return ids
}

// melody reports of each note whether it sings: what the place's own detector
// found where it is one of a melody, and otherwise the top line.
func (l *listening) melody() []bool {
	sings := l.score.TopLine()
	if l.spot == nil {
		return sings
	}
	for _, o := range l.spot.Occurrences {
		layer, ok := o.Exercise.(detect.Layer)
		if !ok || !layer.Sings {
			continue
		}
		for i := range l.score.Notes {
			if n := &l.score.Notes[i]; !n.Onset.Less(o.From) && n.Onset.Less(o.To) {
				sings[i] = slices.Contains(layer.Notes, i)
			}
		}
	}
	return sings
}

// strikes is the two hands' composite wherever they have two rhythms at once.
func (l *listening) strikes() []strike {
	var when []score.Rat
	by := map[score.Rat]strike{}
	for _, o := range l.found() {
		grid, ok := o.Picture.(detect.RhythmGrid)
		if !ok {
			continue
		}
		for _, s := range grid.Strikes() {
			at := o.From.Add(grid.Span.Mul(score.R(int64(s.At), int64(grid.Grid))))
			if at.Less(l.from) || !at.Less(l.to) {
				continue
			}
			before, known := by[at]
			if !known {
				when = append(when, at)
			}
			by[at] = strike{l.at(at), s.Right || before.Right, s.Left || before.Left}
		}
	}
	slices.SortFunc(when, score.Rat.Cmp)
	all := []strike{}
	for _, at := range when {
		all = append(all, by[at])
	}
	return all
}

// barLine is where the beats of a bar are counted from: its start, or for a
// pickup, or the second half of a bar that a repeat sign cuts in two, where a
// full bar with the same end would begin.
func barLine(bars []score.Bar, i int) score.Rat {
	b := &bars[i]
	short := b.Length.Less(b.Time.Length)
	if !short {
		return b.Start
	}
	if i == 0 || b.Implicit && bars[i-1].Length.Add(b.Length) == b.Time.Length {
		return b.End().Sub(b.Time.Length)
	}
	return b.Start
}

// mostBeats is how many beats a bar is given; more only a broken file asks for.
const mostBeats = 64

// beats are the beats from a bar line until before an end.
func beats(from, beat, end score.Rat) []score.Rat {
	if beat.Sign() <= 0 {
		return []score.Rat{from} // senza misura
	}
	var all []score.Rat
	for at := from; at.Less(end) && len(all) < mostBeats; at = at.Add(beat) {
		all = append(all, at)
	}
	return all
}

// countIn is the beats of one full bar before a bar, at its own tempo, and of
// what is missing where the bar is a pickup.
func countIn(r *detect.Report, bar int) []playedBeat {
	b := &r.Score.Bars[bar]
	beat, length := b.Time.Beat(), b.Time.Length
	if beat.Sign() <= 0 || length.Sign() <= 0 {
		beat, length = score.Int(1), score.Int(4)
	}
	line := barLine(r.Score.Bars, bar)
	quarter := 60 / r.Clock.QPM(b.Start)
	all := []playedBeat{}
	count := func(from, to score.Rat) {
		for _, at := range beats(from, beat, to) {
			all = append(all, playedBeat{micro(at.Sub(b.Start).Float() * quarter), at == from})
		}
	}
	count(line.Sub(length), line)
	count(line, b.Start)
	return all
}

// micro is seconds to a millionth.
func micro(seconds float64) float64 { return math.Round(seconds*1e6) / 1e6 }
