package web

import (
	"fmt"
	"math"
	"net/http"
	"strings"

	"hardbars/annotate/practice"
	"hardbars/annotate/progress"
	"hardbars/detect"
	"hardbars/score"
)

// pieceView is what the page of a piece shows.
type pieceView struct {
	Piece    *Piece
	Bars     string // how many, in words
	Tempo    string // "quarter = 66"
	TempoIs  string // where it came from
	Strip    stripView
	Verdict  string
	Passages []passageView // the shortlist, in the order to learn it
	Places   int           // how many hard places there are in all
	Sections []sectionView
	Through  string   // where nothing comes again; "" otherwise
	Again    string   // bars that have come before; "" for none
	Played   string   // the sections in the order of play
	Warnings []string // what was assumed, repaired or skipped
	Misread  []string // why the remarks are left out, line by line; none where they are not
}

// stripView is the strip of bars with the demand of each, a map of the score.
type stripView struct {
	Sentence string // the strip in words
	Bars     []barView
	Comfort  float64  // where a demand of 1 is, of 100 from the top
	Marks    []string // bar numbers and sections below it, from left to right
}

// barView is one bar of the strip.
type barView struct {
	X      int     // from 0
	Index  int     // counted from 1
	Demand float64 // 0 where nothing was found
	Height float64 // of 100; the piece's greatest demand is at 100, or twice comfort where that is more
	Past   bool    // past comfort
	Label  string  // the bar in words
}

// placeView is a hot spot in a list.
type placeView struct {
	ID, Key, Bars, Hand, Kind, Label, Why string
	Where                                 string // "Bar 9", "Bars 1–11"
	Family                                string
	Demand                                string // to two places
	Past                                  bool   // past comfort
	Start, Target                         string // tempos in words: "quarter = 47"
	Again                                 int    // how many more of its family there are
	Relation                              string // how it is like the place to learn first; "" for that one
}

type sectionView struct{ Name, Bars, Words, First string }

func (s *Server) showPiece(w http.ResponseWriter, r *http.Request) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	s.warm(st)
	view, err := st.view()
	if err != nil {
		return err
	}
	s.show(w, r, http.StatusOK, "piece", frame{Title: st.piece.Called(), Piece: st.piece, Here: "piece"}, view)
	return nil
}

func (st *study) view() (*pieceView, error) {
	r := st.report
	v := &pieceView{
		Piece: st.piece, Bars: st.form.BarsInAll(), Strip: st.strip(),
		Tempo: r.MainPace().String(), TempoIs: tempoOrigin[r.Clock.Main().From],
		Verdict: st.verdict(), Passages: st.passages(), Places: len(r.Spots),
		Played: st.form.PlayedWords(), Again: st.form.AgainWords(),
	}
	for _, sec := range st.form.Sections {
		v.Sections = append(v.Sections, sectionView{sec.Name, st.form.Range(sec.First, sec.Last), st.form.SectionWords(sec), st.score.Bars[sec.First].Number})
	}
	if st.form.Through() {
		v.Through = st.form.ThroughWords()
	}
	for _, warning := range st.score.Warnings {
		v.Warnings = append(v.Warnings, warning.String())
	}
	if st.misread != nil {
		v.Misread = strings.Split(st.misread.Error(), "\n")
	}
	return v, nil
}

// summary says in a line what the settings make of the piece.
func (st *study) summary() string {
	past := 0
	for i := range st.report.Spots {
		if st.report.Spots[i].PastComfort() {
			past++
		}
	}
	return fmt.Sprintf("%s (%s); %d hard places, %d of them past comfort.",
		st.report.MainPace(), tempoOrigin[st.report.Clock.Main().From], len(st.report.Spots), past)
}

// tempoOrigin says where the tempo of the most bars came from.
var tempoOrigin = map[score.TempoSource]string{
	score.FromMetronome: "the score's metronome mark",
	score.FromSound:     "the score's playback tempo",
	score.FromWords:     "read off the score's tempo word",
	score.FromPlayer:    "your own",
	score.Assumed:       "assumed: the score gives none",
}

// place is a hot spot in a list.
func (st *study) place(sp *detect.Spot) placeView {
	how := practice.For(st.report, sp)
	v := placeView{
		ID: sp.ID, Key: progress.Of(sp).String(), Bars: how.Bars, Hand: sp.Hand.Name(), Kind: string(sp.Kind), Label: sp.Label, Why: sp.Why, Family: sp.Family,
		Demand: fmt.Sprintf("%.2f", sp.Demand), Past: sp.PastComfort(), Start: how.StartWords, Target: how.TargetWords,
	}
	v.Where = where(how.Bars)
	if rel, _, ok := st.report.Relation(sp); ok {
		v.Relation = rel.Text
	}
	for _, f := range st.report.Families {
		if f.ID == sp.Family {
			v.Again = len(f.Spots) - 1
		}
	}
	return v
}

// where begins a line with the name of some bars.
func where(bars string) string {
	if strings.ContainsAny(bars, "–,") {
		return "Bars " + bars
	}
	return "Bar " + bars
}

// strip is the demand of each bar.
func (st *study) strip() stripView {
	r := st.report
	past, greatest := 0, 1.2
	for _, d := range r.BarDemand {
		greatest = max(greatest, d)
	}
	v := stripView{Comfort: math.Round(100 - 100/greatest)}
	for i, bar := range r.Score.Bars {
		b := barView{X: i, Index: i + 1, Demand: r.BarDemand[i], Past: r.BarDemand[i] > 1, Height: math.Round(100 * r.BarDemand[i] / greatest)}
		b.Label = fmt.Sprintf("bar %s, demand %.2f", bar.Number, b.Demand)
		if sp := bestIn(r, i); sp != nil {
			b.Label += ": " + sp.Label
		}
		if b.Past {
			past++
		}
		v.Bars = append(v.Bars, b)
	}
	v.Sentence = fmt.Sprintf("The demand of each of %d bars: %d past comfort.", len(v.Bars), past)
	v.Marks = st.stripMarks()
	return v
}

// stripMarks are the first and last bar and what lies evenly between them.
func (st *study) stripMarks() []string {
	bars := st.score.Bars
	if len(bars) == 0 {
		return nil
	}
	const most = 6
	var marks []string
	for i := range min(most, len(bars)) {
		n := 0
		if most := min(most, len(bars)); most > 1 {
			n = i * (len(bars) - 1) / (most - 1)
		}
		text := bars[n].Number
		for _, sec := range st.form.Sections {
			if sec.First <= n && n <= sec.Last && len(st.form.Sections) > 1 {
				text += " (" + sec.Name + ")"
				break
			}
		}
		marks = append(marks, text)
	}
	return marks
}

// bestIn is the best-ranked place that holds a bar, nil for none.
func bestIn(r *detect.Report, bar int) *detect.Spot {
	for i := range r.Spots {
		if r.Spots[i].Within(bar, bar) {
			return &r.Spots[i]
		}
	}
	return nil
}

func percent(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }
