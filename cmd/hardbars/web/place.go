package web

import (
	"fmt"
	"net/http"
	"strings"

	"hardbars/annotate/engrave"
	"hardbars/annotate/excerpt"
	"hardbars/annotate/practice"
	"hardbars/annotate/progress"
	"hardbars/annotate/remarks"
	"hardbars/annotate/sheet"
	"hardbars/detect"
)

// placePath is the address of a place of a piece.
func placePath(piece string, id progress.Identity) string {
	return "/pieces/" + piece + "/places/" + id.String()
}

// spotView is what the page of a place shows: of a hot spot, of bars as a whole,
// or of a place that is none any more.
type spotView struct {
	Piece         *Piece
	Key           string // its identity
	Where         string // "Bars 12–15"
	Bars          string // as printed
	Gone          string // what it was, where nothing of that kind is found there now
	Place         *placeView
	Music         picture
	MusicCut      bool    // the place goes on after what is shown
	Kind          picture // the picture of its kind, "" for none
	KindWords     string  // the sentence below it
	Lesson        string  // of a passage: what is hard in it, and why
	Hands         string
	Steps         []string
	Test          string
	Ladder        []string // tempos to tick, in words
	Log           logForm  // what was sent and could not be logged
	Sittings      []sittingView
	Progress      *progressView
	Remarks       []remarkView
	Family        []placeView // where it comes again
	Hard          []placeView // of bars as a whole: what is hard in them
	Before, After *placeLink  // its neighbours in rank
	CrossRhythm   bool        // a composite can be played
}

func (s *Server) showPlace(w http.ResponseWriter, r *http.Request) error {
	id, err := progress.ParseIdentity(r.PathValue("place"))
	if err != nil {
		return status(http.StatusNotFound, err)
	}
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	return s.placePage(w, r, http.StatusOK, st, id, logForm{})
}

// placePage shows a place, with what was sent to be logged where that is wrong.
func (s *Server) placePage(w http.ResponseWriter, r *http.Request, code int, st *study, id progress.Identity, form logForm) error {
	if !id.Within(st.score) {
		return status(http.StatusNotFound, fmt.Errorf("there are no bars %d to %d in %s", id.First, id.Last, st.piece.Called()))
	}
	v, err := s.placeView(r, st, id)
	if err != nil {
		return err
	}
	v.Log = form
	s.show(w, r, code, "place-page", frame{Title: v.Where + " · " + st.piece.Called(), Piece: st.piece, Here: "place"}, v)
	return nil
}

func (s *Server) placeView(r *http.Request, st *study, id progress.Identity) (*spotView, error) {
	first, last := id.First-1, id.Last-1
	sp := id.Spot(st.whole)
	bars := &detect.Spot{FirstBar: first, LastBar: last, Hand: id.Hand}
	v := &spotView{Piece: st.piece, Key: id.String(), Sittings: st.sittings(id)}
	var shown *excerpt.Excerpt
	switch {
	case sp != nil:
		v.describe(st, sp)
		e := excerpt.Hardest(st.whole, sp)
		shown, bars = &e, sp
	case id.Kind == progress.Bars:
		v.whole(st, bars)
		if p := st.passageOf(first, last); p != nil {
			e := excerpt.Passage(st.report, p)
			shown = &e
		}
	default:
		v.Gone = id.Words()
	}
	v.Bars = st.whole.Bars(bars)
	v.Where = where(v.Bars)
	v.Remarks = st.remarks(func(m remarks.Remark) bool { return m.First <= bars.LastBar && m.Last >= bars.FirstBar })
	var err error
	var o engrave.Options
	title, desc := v.Where, ""
	if sp != nil {
		desc = sp.Why
	}
	if shown != nil {
		o, v.MusicCut = shown.Options(), shown.Cut
		title = where(st.form.Range(shown.First, shown.Last))
	} else {
		o, v.MusicCut = st.barsToEngrave(first, last)
	}
	v.Music, err = s.engraved(r.Context(), st, o, "music-"+id.String(), title, desc)
	return v, err
}

// describe tells of a hot spot.
func (v *spotView) describe(st *study, sp *detect.Spot) {
	how := practice.For(st.whole, sp)
	place := st.place(sp)
	v.Place, v.Hands, v.Steps, v.Test = &place, how.Hands, how.Steps, how.Test
	_, v.CrossRhythm = sp.Occurrences[sp.Hardest].Picture.(detect.RhythmGrid)
	kind, words := sheet.PictureSVG(sp.Occurrences[sp.Hardest].Picture, "kind-"+sp.ID)
	v.Kind, v.KindWords = picture(kind), words
	for _, pace := range how.Ladder {
		v.Ladder = append(v.Ladder, pace.String())
	}
	done := progress.Make(st.whole, st.log)
	for i := range done.Places {
		if done.Places[i].Spot.ID == sp.ID {
			p := progressOf(done, &done.Places[i])
			v.Progress = &p
		}
	}
	for i := range st.report.Spots {
		other := &st.report.Spots[i]
		if other.ID == sp.ID {
			if i > 0 {
				l := linkTo(&st.report.Spots[i-1])
				v.Before = &l
			}
			if i+1 < len(st.report.Spots) {
				l := linkTo(&st.report.Spots[i+1])
				v.After = &l
			}
		} else if other.Family == sp.Family {
			v.Family = append(v.Family, st.place(other))
		}
	}
}

// whole tells of bars as a whole: what is hard in them, and how the hardest of
// that is practised.
func (v *spotView) whole(st *study, bars *detect.Spot) {
	var hardest *detect.Spot
	for i := range st.report.Spots {
		if sp := &st.report.Spots[i]; sp.Within(bars.FirstBar, bars.LastBar) {
			if hardest == nil {
				hardest = sp
			}
			v.Hard = append(v.Hard, st.place(sp))
		}
	}
	if hardest == nil {
		qpm := st.report.Clock.QPM(st.score.Bars[bars.FirstBar].Start)
		v.Ladder = rungs(st.report.PaceAt(st.score.Bars[bars.FirstBar].Start, qpm))
		return
	}
	if p := st.passageOf(bars.FirstBar, bars.LastBar); p != nil {
		lesson := practice.ForPassage(st.report, p)
		v.Steps, v.Lesson = lesson.Steps, capital(lesson.Title)+". "+lesson.Why
		for _, pace := range lesson.Rungs {
			v.Ladder = append(v.Ladder, pace.String())
		}
		return
	}
	how := practice.For(st.whole, hardest)
	v.Hands, v.Steps, v.Test = how.Hands, how.Steps, how.Test
	for _, pace := range how.Ladder {
		v.Ladder = append(v.Ladder, pace.String())
	}
}

func capital(text string) string {
	letters := []rune(text)
	if len(letters) == 0 {
		return ""
	}
	return strings.ToUpper(string(letters[:1])) + string(letters[1:])
}

// spot is a place by its identity.
func (st *study) spot(text string) (*detect.Spot, progress.Identity, error) {
	id, err := progress.ParseIdentity(text)
	if err != nil {
		return nil, id, status(http.StatusNotFound, err)
	}
	if !id.Within(st.score) {
		return nil, id, status(http.StatusNotFound, fmt.Errorf("there are no bars %d to %d in %s", id.First, id.Last, st.piece.Called()))
	}
	return id.Spot(st.whole), id, nil
}
