package web

import (
	"math"
	"net/http"
	"slices"

	"hardbars/detect"
	"hardbars/score"
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

// How long it takes where the score does not say, in seconds at full tempo.
// Common practice: grace notes come quickly before the beat, which stays where
// it is; an arpeggio begins on the beat.
const (
	graceSeconds  = 0.08 // from one grace note to the next
	spreadSeconds = 0.045
)

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
	signs    map[int][]detect.PianoRollNote // by index into Score.Notes, what is struck for a sign there, from the note on
	signed   map[int]bool                   // notes that are struck as part of one
	spread   map[int]float64                // seconds that a note comes late under an arpeggio sign
}

func newListening(st *study, what *stretch) *listening {
	bars := st.score.Bars
	l := &listening{
		study: st, spot: what.spot, from: bars[what.first].Start, to: bars[what.last].End(),
		signs: map[int][]detect.PianoRollNote{}, signed: map[int]bool{}, spread: map[int]float64{},
	}
	for _, o := range l.found() {
		l.writeOut(o)
	}
	for _, sp := range st.score.Arpeggios {
		l.rollOut(sp)
	}
	return l
}

// found is every occurrence, those that the remarks skip too.
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

// writeOut takes what is struck for a sign as the detector wrote it out.
func (l *listening) writeOut(o detect.Occurrence) {
	roll, drawn := o.Picture.(detect.PianoRoll)
	out, written := o.Exercise.(detect.WrittenOut)
	if !drawn || !written || out.Before.Sign() > 0 {
		return
	}
	notes := l.score.Notes
	main := -1
	for _, i := range o.Notes {
		n := &notes[i]
		if l.signed[i] {
			return
		}
		if main < 0 && (len(n.Ornaments) > 0 || n.Tremolo > 0) && n.Length.Sign() > 0 {
			main = i
		}
	}
	if main < 0 {
		return
	}
	for _, i := range o.Notes {
		l.signed[i] = true
	}
	for _, struck := range roll.Notes {
		if struck.Picked {
			l.signs[main] = append(l.signs[main], struck)
		}
	}
}

// rollOut lets the notes under an arpeggio sign come one after the other, all
// of them within half of the shortest.
func (l *listening) rollOut(sp score.Arpeggio) {
	if sp.At.Less(l.from) || !sp.At.Less(l.to) || len(sp.Notes) < 2 {
		return
	}
	notes := slices.Clone(sp.Notes)
	if sp.Down {
		slices.Reverse(notes)
	}
	step := spreadSeconds
	for _, i := range notes {
		n := &l.score.Notes[i]
		step = min(step, l.seconds(n.Onset, n.End())/2/float64(len(notes)))
	}
	for order, i := range notes {
		l.spread[i] = float64(order) * step
	}
}

// notes is all that sounds: what is struck in the stretch, and what is tied
// into it, which is struck as it begins.
func (l *listening) notes() []playedNote {
	melody := l.melody()
	all := []playedNote{}
	for i := range l.score.Notes {
		n := &l.score.Notes[i]
		if !n.Onset.Less(l.to) || n.Onset.Less(l.from) && n.End().Cmp(l.from) <= 0 {
			continue
		}
		note := playedNote{Onset: n.Onset, Length: n.Length, MIDI: n.Pitch.MIDI(), Hand: n.Hand, Melody: melody[i], Grace: n.Grace > 0, Heads: l.heads(n)}
		switch {
		case len(l.signs[i]) > 0:
			all = append(all, l.struck(note, n.Onset, l.signs[i])...)
		case l.signed[i]:
		case note.Grace:
			all = append(all, l.grace(note, i))
		default:
			all = append(all, l.timed(note, n.Onset, n.End(), l.spread[i]))
		}
	}
	slices.SortStableFunc(all, func(a, b playedNote) int {
		switch {
		case a.At < b.At:
			return -1
		case a.At > b.At:
			return 1
		}
		return 0
	})
	return slices.DeleteFunc(all, func(n playedNote) bool { return n.Seconds <= 0 })
}

// timed gives a note its times, cut to the stretch.
func (l *listening) timed(note playedNote, from, to score.Rat, late float64) playedNote {
	damped := score.Min(l.damped(from, to), l.to)
	from, to = score.Max(from, l.from), score.Min(to, l.to)
	if to.Less(from) {
		to, damped = from, from
	}
	note.At = micro(l.at(from) + late)
	note.Seconds = micro(l.seconds(from, to) - late)
	note.Rings = micro(l.seconds(from, damped) - late)
	return note
}

// struck is a sign's notes one after the other.
func (l *listening) struck(note playedNote, from score.Rat, notes []detect.PianoRollNote) []playedNote {
	var all []playedNote
	for _, s := range notes {
		at := from.Add(s.At)
		if at.Less(l.from) || !at.Less(l.to) {
			continue
		}
		note.Onset, note.Length, note.MIDI = at, s.Length, s.Key
		all = append(all, l.timed(note, at, at.Add(s.Length), 0))
	}
	return all
}

// grace is a grace note before its main note, in no more than half the time
// since the hand struck before.
func (l *listening) grace(note playedNote, i int) playedNote {
	notes := l.score.Notes
	n := &notes[i]
	first, last := i, i
	of := func(j int) bool {
		return notes[j].Onset == n.Onset && notes[j].Hand == n.Hand && notes[j].Grace > 0
	}
	for first > 0 && notes[first-1].Onset == n.Onset {
		first--
	}
	group := n.Grace
	for ; last < len(notes) && notes[last].Onset == n.Onset; last++ {
		if of(last) {
			group = max(group, notes[last].Grace)
		}
	}
	each := graceSeconds
	for j := first - 1; j >= 0; j-- {
		if notes[j].Hand == n.Hand && notes[j].Grace == 0 {
			each = min(each, l.seconds(notes[j].Onset, n.Onset)/2/float64(group))
			break
		}
	}
	note.At = micro(l.at(n.Onset) - each*float64(group-n.Grace+1))
	note.Seconds = micro(each)
	note.Rings = note.Seconds
	return note
}

// damped is when the damper falls on a note: where its key is let go, or where
// the pedal is lifted that was pressed before. A pedal that the player may
// change at will holds nothing.
func (l *listening) damped(from, end score.Rat) score.Rat {
	for _, p := range l.score.Pedals {
		switch {
		case p.Kind == score.Damper && !p.AdLib:
			press := p.From
			for _, change := range p.Changes {
				if press.Less(end) && end.Less(change.Lift) {
					return change.Lift
				}
				press = change.Press
			}
			if press.Less(end) && end.Less(p.To) {
				return p.To
			}
		case p.Kind == score.Sostenuto && from.Cmp(p.From) <= 0 && p.From.Less(end):
			end = score.Max(end, p.To)
		}
	}
	return end
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
		roll, drawn := o.Picture.(detect.PianoRoll)
		if layer, ok := o.Exercise.(detect.Layer); !drawn || !ok || !layer.Sings {
			continue
		}
		for i := range l.score.Notes {
			n := &l.score.Notes[i]
			if n.Onset.Less(o.From) || !n.Onset.Less(o.From.Add(roll.Span)) {
				continue
			}
			sings[i] = slices.ContainsFunc(roll.Notes, func(r detect.PianoRollNote) bool {
				return r.Picked && r.Hand == n.Hand && r.Key == n.Pitch.MIDI() && o.From.Add(r.At) == n.Onset
			})
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
