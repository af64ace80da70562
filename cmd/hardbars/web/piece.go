package web

import (
	"fmt"
	"math"
	"net/http"
	"strings"

	"hardbars/annotate/excerpt"
	"hardbars/annotate/practice"
	"hardbars/annotate/sheet"
	"hardbars/detect"
	"hardbars/detect/kinds/crossrhythm"
	"hardbars/score"
)

// pieceView is what the page of a piece shows.
type pieceView struct {
	Piece    *Piece
	Bars     string // how many, in words
	Tempo    string // "quarter = 66"
	TempoIs  string // where it came from
	Strip    stripView
	First    []placeView // to practise first, one a family
	All      []placeView // every place that is listed
	LeftOut  int         // quiet places that are not
	Sections []sectionView
	Through  string // where nothing comes again; "" otherwise
	Again    string // bars that have come before; "" for none
	Played   string // the sections in the order of play
	Settings []settingView
	Levels   []detect.Level
	Minutes  int      // a day, as planned
	Days     int      // a week
	Warnings []string // what was assumed, repaired or skipped
	Misread  []string // why the remarks are left out, line by line; none where they are not
	Error    string   // what was wrong with the settings that were sent
}

// stripView is the strip of bars with the demand of each.
type stripView struct {
	Sentence string // the strip in words
	Bars     []barView
}

// barView is one bar of the strip.
type barView struct {
	X      int     // from 0
	Number string  // as printed
	Demand float64 // 0 where nothing was found
	Height float64 // of 100; a demand of 1 is at 50
	Past   bool    // past comfort
	Spot   string  // the best-ranked place in it, "" for none
	Label  string  // the bar in words
}

// placeView is a hot spot in a list.
type placeView struct {
	ID, Bars, Hand, Kind, Label, Why string
	Where                            string // "Bar 9", "Bars 1–11"
	Family                           string
	Demand                           string // to two places
	Past                             bool   // past comfort
	Start, Target                    string // tempos in words: "quarter = 47"
	Again                            int    // how many more of its family there are
	Relation                         string // how it is like the place to learn first; "" for that one
}

type sectionView struct{ Name, Bars, Words, First string }

// settingView is one thing that can be changed.
type settingView struct {
	Name   string // as the form calls it: "span"
	Given  string // for this piece, as typed; "" where nothing was said
	InUse  string // with its unit
	Origin string // where that came from, in words
	Means  string
}

func (s *Server) showPiece(w http.ResponseWriter, r *http.Request) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	return s.piecePage(w, r, http.StatusOK, st, nil)
}

// piecePage shows a piece, and what was wrong where something was.
func (s *Server) piecePage(w http.ResponseWriter, r *http.Request, code int, st *study, wrong error) error {
	view, err := st.view()
	if err != nil {
		return err
	}
	if wrong != nil {
		view.Error = wrong.Error()
	}
	s.show(w, r, code, "piece", frame{Title: st.piece.Called(), Piece: st.piece, Here: "piece"}, view)
	return nil
}

// changeSettings changes who plays and when. What makes no sense changes
// nothing, and is told on the page of the piece as it was.
func (s *Server) changeSettings(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("id")
	if err := r.ParseForm(); err != nil {
		return err
	}
	settings := settingsFrom(r.PostForm)
	wrong := s.check(settings)
	if wrong == nil {
		if err := s.shelf.change(id, settings); err != nil {
			return err
		}
		return s.onward(w, r, "/pieces/"+id, s.showPiece)
	}
	if wantsJSON(r) {
		return wrong
	}
	st, err := s.study(r.Context(), id)
	if err != nil {
		return err
	}
	return s.piecePage(w, r, http.StatusUnprocessableEntity, st, wrong)
}

// check tells why settings cannot be.
func (s *Server) check(settings Settings) error {
	player, err := s.player()
	if err != nil {
		return err
	}
	if _, err := settings.player(player); err != nil {
		return err
	}
	_, err = settings.plan(s.now())
	return err
}

func (st *study) view() (*pieceView, error) {
	when, err := st.piece.Settings.plan(st.today)
	if err != nil {
		return nil, err
	}
	r := st.report
	qpm, from := r.Clock.Opening()
	v := &pieceView{
		Piece: st.piece, Bars: st.form.BarsInAll(), Strip: st.strip(),
		Tempo: r.PaceAt(score.Rat{}, qpm).String(), TempoIs: tempoOrigin[from],
		LeftOut: r.LeftOut, Settings: st.settings(), Levels: detect.Levels, Minutes: when.Minutes, Days: when.Days,
		Played: st.form.PlayedWords(), Again: st.form.AgainWords(),
	}
	for _, f := range r.Families {
		v.First = append(v.First, st.place(r.Spot(f.LearnFirst)))
	}
	for i := range r.Spots {
		v.All = append(v.All, st.place(&r.Spots[i]))
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

// tempoOrigin says where the opening tempo came from.
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
		ID: sp.ID, Bars: how.Bars, Hand: sp.Hand.Name(), Kind: string(sp.Kind), Label: sp.Label, Why: sp.Why, Family: sp.Family,
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
	if strings.Contains(bars, "–") {
		return "Bars " + bars
	}
	return "Bar " + bars
}

// strip is the demand of each bar.
func (st *study) strip() stripView {
	r := st.report
	past := 0
	var v stripView
	for i, bar := range r.Score.Bars {
		b := barView{X: i, Number: bar.Number, Demand: r.BarDemand[i], Past: r.BarDemand[i] > 1, Height: math.Round(min(r.BarDemand[i], 2) * 50)}
		if sp := bestIn(r, i); sp != nil {
			b.Spot = sp.ID
			b.Label = fmt.Sprintf("bar %s, demand %.2f: %s", bar.Number, b.Demand, sp.Label)
		} else {
			b.Label = fmt.Sprintf("bar %s, demand %.2f", bar.Number, b.Demand)
		}
		if b.Past {
			past++
		}
		v.Bars = append(v.Bars, b)
	}
	v.Sentence = fmt.Sprintf("The demand of each of %d bars: %d past comfort.", len(v.Bars), past)
	return v
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

// originWords says where a setting came from.
func originWords(from string) string {
	switch from {
	case "flag":
		return "for this piece"
	case "profile":
		return "from your profile"
	case "default":
		return "assumed"
	}
	return from
}

// settings are those that the page lets one change.
func (st *study) settings() []settingView {
	given := map[string]string{
		"span": st.piece.Settings.Span, "level": st.piece.Settings.Level,
		"tempo": st.piece.Settings.Tempo, "middle-pedal": st.piece.Settings.MiddlePedal,
	}
	inUse := map[string]*settingView{}
	for _, set := range st.report.Player.Settings() {
		name, hand := set.Name, ""
		if name == "span-right" || name == "span-left" {
			name, hand = "span", strings.TrimPrefix(name, "span-")+" "
		}
		if _, ours := given[name]; !ours {
			continue
		}
		value := hand + strings.TrimSpace(set.Value+" "+set.Unit)
		if v := inUse[name]; v != nil {
			v.InUse += ", " + value
		} else {
			inUse[name] = &settingView{name, given[name], value, originWords(set.From), set.Means}
		}
	}
	var list []settingView
	for _, name := range []string{"span", "level", "tempo", "middle-pedal"} {
		list = append(list, *inUse[name])
	}
	return list
}

// spotView is what the page of a hot spot shows.
type spotView struct {
	Piece         *Piece
	Place         placeView
	Music         picture
	MusicCut      bool    // the place goes on after what is shown
	Kind          picture // the picture of its kind, "" for none
	KindWords     string  // the sentence below it
	Hands         string
	Steps         []string
	Test          string
	Ladder        []string // tempos to tick, in words
	Remarks       []string
	Family        []placeView // where it comes again
	Before, After string      // ids of its neighbours in rank, "" at the ends
	CrossRhythm   bool        // a composite can be played
}

func (s *Server) showSpot(w http.ResponseWriter, r *http.Request) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	sp, err := st.spot(r.PathValue("spot"))
	if err != nil {
		return err
	}
	view, err := s.spotView(r, st, sp)
	if err != nil {
		return err
	}
	s.show(w, r, http.StatusOK, "spot", frame{Title: view.Place.Where + " · " + st.piece.Called(), Piece: st.piece, Here: "piece"}, view)
	return nil
}

func (s *Server) spotView(r *http.Request, st *study, sp *detect.Spot) (*spotView, error) {
	how := practice.For(st.whole, sp)
	shown := excerpt.Hardest(st.whole, sp)
	music, err := s.engraved(r.Context(), st, shown.Options(), "music-"+sp.ID, where(st.form.Range(shown.First, shown.Last)), sp.Why)
	if err != nil {
		return nil, err
	}
	v := &spotView{
		Piece: st.piece, Place: st.place(sp), Music: music, MusicCut: shown.Cut,
		Hands: how.Hands, Steps: how.Steps, Test: how.Test,
		Remarks: st.said.Said(sp.FirstBar, sp.LastBar, sp.Hand), CrossRhythm: sp.Kind == crossrhythm.Detector.Kind,
	}
	kind, words := sheet.PictureSVG(sp.Occurrences[sp.Hardest].Picture, "kind-"+sp.ID)
	v.Kind, v.KindWords = picture(kind), words
	for _, pace := range how.Ladder {
		v.Ladder = append(v.Ladder, pace.String())
	}
	for i := range st.report.Spots {
		other := &st.report.Spots[i]
		if other.ID == sp.ID {
			if i > 0 {
				v.Before = st.report.Spots[i-1].ID
			}
			if i+1 < len(st.report.Spots) {
				v.After = st.report.Spots[i+1].ID
			}
		} else if other.Family == sp.Family {
			v.Family = append(v.Family, st.place(other))
		}
	}
	return v, nil
}

// spot is a place by its number.
func (st *study) spot(id string) (*detect.Spot, error) {
	if sp := st.whole.Spot(id); sp != nil {
		return sp, nil
	}
	return nil, status(http.StatusNotFound, fmt.Errorf("there is no place with the number %s in %s as it is set now", id, st.piece.Called()))
}

func percent(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }
