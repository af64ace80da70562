package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"strconv"

	"hardbars/annotate/engrave"
	"hardbars/annotate/excerpt"
	"hardbars/detect"
	"hardbars/score"
)

// picture is an SVG picture to stand in a page.
type picture = template.HTML

// The width of a picture, in millimetres: a phone's to a sheet's.
const usualWidth, leastWidth, mostWidth = 170, 60, 400

// engraved sets music as a picture.
func (s *Server) engraved(ctx context.Context, st *study, o engrave.Options, id, title, desc string) (picture, error) {
	if o.Width == 0 {
		o.Width = usualWidth
	}
	drawn := make(chan picture, 1)
	err := s.work(ctx, func() error {
		var b bytes.Buffer
		err := engrave.Set(st.music, o).SVG(&b, engrave.SVGOptions{ID: id, Title: title, Desc: desc})
		drawn <- picture(b.String())
		return err
	})
	if err != nil {
		return "", err
	}
	return <-drawn, nil
}

// stretch is what a request asks to see or hear: a place, or bars.
type stretch struct {
	spot        *detect.Spot // nil for bars
	first, last int          // indices into Score.Bars
	options     engrave.Options
}

// mostBars is how many bars are engraved or played at once.
const mostBars = 64

func (st *study) stretch(r *http.Request) (*stretch, error) {
	q := r.URL.Query()
	if id := q.Get("spot"); id != "" {
		sp, err := st.spot(id)
		if err != nil {
			return nil, err
		}
		e := excerpt.Hardest(st.whole, sp)
		if q.Get("whole") != "" {
			e = excerpt.Whole(st.whole, sp)
		}
		return &stretch{sp, e.First, min(e.Last, e.First+mostBars-1), e.Options()}, nil
	}
	if q.Get("bars") == "" {
		return nil, status(http.StatusBadRequest, errors.New("say which place or bars, such as ?spot=3 or ?bars=5-8"))
	}
	first, last, err := st.whole.BarRange(q.Get("bars"))
	if err != nil {
		return nil, status(http.StatusNotFound, err)
	}
	if last-first >= mostBars {
		return nil, status(http.StatusBadRequest, fmt.Errorf("these are %d bars: ask for at most %d", last-first+1, mostBars))
	}
	bars := st.score.Bars
	return &stretch{nil, first, last, engrave.Options{From: bars[first].Start, To: bars[last].End()}}, nil
}

func (s *Server) music(w http.ResponseWriter, r *http.Request) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	what, err := st.stretch(r)
	if err != nil {
		return err
	}
	if text := r.URL.Query().Get("width"); text != "" {
		width, err := strconv.ParseFloat(text, 64)
		if err != nil || !(width >= leastWidth && width <= mostWidth) {
			return status(http.StatusBadRequest, fmt.Errorf("width %q: give millimetres, %d to %d", text, leastWidth, mostWidth))
		}
		what.options.Width = width
	}
	title, desc := "Bars "+st.form.Range(what.first, what.last), ""
	if what.spot != nil {
		desc = what.spot.Why
	}
	drawn, err := s.engraved(r.Context(), st, what.options, "music", title, desc)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	_, err = w.Write([]byte(drawn))
	return err
}

// Playing: everything in seconds from the start of the stretch, at the tempo in
// force for this player. Bars come in the order of the page.
type playing struct {
	Seconds float64      `json:"seconds"` // how long the stretch is
	Bars    []playedBar  `json:"bars"`
	Beats   []playedBeat `json:"beats"`    // for the metronome
	CountIn []playedBeat `json:"count_in"` // one bar, before 0: its times are negative
	Notes   []playedNote `json:"notes"`
	Strikes []strike     `json:"strikes"` // of a cross-rhythm's hands together; none elsewhere
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

type playedNote struct {
	At      float64    `json:"at"`
	Seconds float64    `json:"seconds"`
	Onset   score.Rat  `json:"onset"`  // exact, in quarters from the start of the piece
	Length  score.Rat  `json:"length"` // the same; 0 for a grace note
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

// graceSeconds is how long a grace note sounds, before the beat where there is
// time for it. Common practice: quick, and the beat stays where it is.
const graceSeconds = 0.08

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
	bars, clock := st.score.Bars, st.whole.Clock
	from, to := bars[what.first].Start, bars[what.last].End()
	at := func(when score.Rat) float64 { return micro(clock.Seconds(from, when)) }
	p := playing{Seconds: at(to), Bars: []playedBar{}, Beats: []playedBeat{}, CountIn: countIn(st.whole, what.first), Notes: []playedNote{}, Strikes: []strike{}}
	for i := what.first; i <= what.last; i++ {
		b := &bars[i]
		p.Bars = append(p.Bars, playedBar{b.Number, b.Index, at(b.Start), micro(clock.Seconds(b.Start, b.End()))})
		for _, beat := range beats(b) {
			p.Beats = append(p.Beats, playedBeat{at(beat), beat == b.Start})
		}
	}
	top := st.score.TopLine()
	for i := range st.score.Notes {
		n := &st.score.Notes[i]
		if n.Bar < what.first || n.Bar > what.last {
			continue
		}
		end := score.Min(n.End(), to)
		note := playedNote{
			At: at(n.Onset), Seconds: micro(clock.Seconds(n.Onset, end)), Onset: n.Onset, Length: n.Length,
			MIDI: n.Pitch.MIDI(), Hand: n.Hand, Melody: top[i], Grace: n.Grace > 0, Heads: heads(n),
		}
		if note.Grace {
			note.At, note.Seconds = max(0, micro(note.At-graceSeconds*float64(graceLeft(st.score.Notes, i)))), graceSeconds
		}
		p.Notes = append(p.Notes, note)
	}
	for _, tick := range what.options.Picks.Grid {
		p.Strikes = append(p.Strikes, strike{at(tick.At), tick.Right, tick.Left})
	}
	return p
}

// graceLeft counts a grace note and those of its group that come after it.
func graceLeft(notes []score.Note, i int) int {
	last := notes[i].Grace
	for _, n := range notes[i:] {
		if n.Onset != notes[i].Onset || n.Grace == 0 && n.Hand == notes[i].Hand {
			break
		}
		if n.Hand == notes[i].Hand {
			last = max(last, n.Grace)
		}
	}
	return last - notes[i].Grace + 1
}

func heads(n *score.Note) []int {
	var ids []int
	for _, h := range n.Heads {
		ids = append(ids, h.ID)
	}
	return ids
}

// beats are where a bar's beats fall. A pickup's are counted from its end.
func beats(b *score.Bar) []score.Rat {
	beat := b.Time.Beat()
	if beat.Sign() <= 0 {
		return []score.Rat{b.Start} // senza misura
	}
	at := b.Start
	if b.Index == 1 && b.Length.Less(b.Time.Length) {
		for at = b.End(); !at.Sub(beat).Less(b.Start); {
			at = at.Sub(beat)
		}
	}
	var all []score.Rat
	for ; at.Less(b.End()) && len(all) < mostBeats; at = at.Add(beat) {
		all = append(all, at)
	}
	return all
}

// mostBeats is how many beats a bar is given; more only a broken file asks for.
const mostBeats = 64

// countIn is the beats of one full bar before a bar, at its own tempo.
func countIn(r *detect.Report, bar int) []playedBeat {
	b := &r.Score.Bars[bar]
	beat, length := b.Time.Beat(), b.Time.Length
	if beat.Sign() <= 0 || length.Sign() <= 0 {
		beat, length = score.Int(1), score.Int(4)
	}
	count := min(max(1, int(math.Round(length.Div(beat).Float()))), mostBeats)
	seconds := beat.Float() * 60 / r.Clock.QPM(b.Start)
	var all []playedBeat
	for i := range count {
		all = append(all, playedBeat{micro(float64(i-count) * seconds), i == 0})
	}
	return all
}

// micro is seconds to a millionth.
func micro(seconds float64) float64 { return math.Round(seconds*1e6) / 1e6 }
