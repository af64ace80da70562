package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"hardbars/annotate/progress"
	"hardbars/annotate/remarks"
	"hardbars/cmd/hardbars/beside"
	"hardbars/detect"
)

// remarksView is what the page of the remarks shows.
type remarksView struct {
	Piece      *Piece
	Heading    [][2]string // "for", "Ida"
	Paragraphs []string
	All        []remarkView
	Added      []placeView
	Skipped    []placeView
	Misread    []string // why they cannot be understood, line by line
	File       string   // the path, to open it in an editor
	Bars, Text string   // as sent, where that was wrong
	Hand       string
	Error      string
}

func (s *Server) showRemarks(w http.ResponseWriter, r *http.Request) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	return s.remarksPage(w, r, http.StatusOK, st, nil)
}

func (s *Server) remarksPage(w http.ResponseWriter, r *http.Request, code int, st *study, wrong error) error {
	v := remarksView{Piece: st.piece, Heading: st.said.Heading.Parts(), Paragraphs: st.said.Paragraphs, File: st.remarksPath()}
	v.All = st.remarks(func(remarks.Remark) bool { return true })
	for _, sp := range st.said.Added() {
		v.Added = append(v.Added, st.bare(&sp))
	}
	for _, sp := range st.said.Skipped {
		v.Skipped = append(v.Skipped, st.bare(&sp))
	}
	if st.misread != nil {
		v.Misread = strings.Split(st.misread.Error(), "\n")
	}
	if wrong != nil {
		v.Error, v.Bars, v.Hand, v.Text = wrong.Error(), r.PostForm.Get("bars"), r.PostForm.Get("hand"), r.PostForm.Get("text")
	}
	s.show(w, r, code, "remarks", frame{Title: "Remarks · " + st.piece.Called(), Piece: st.piece, Here: "remarks"}, v)
	return nil
}

// bare is a place that may stand in no report any more.
func (st *study) bare(sp *detect.Spot) placeView {
	return placeView{ID: sp.ID, Bars: st.whole.Bars(sp), Where: where(st.whole.Bars(sp)), Hand: sp.Hand.Name(), Label: sp.Label, Why: sp.Why}
}

// addRemark adds a line to the page of remarks that the command reads. One that
// the page's own grammar does not understand, or for bars that are not there,
// is not written.
func (s *Server) addRemark(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	id := r.PathValue("id")
	st, err := s.study(r.Context(), id)
	if err != nil {
		return err
	}
	line, err := remarkLine(st.whole, r.PostForm.Get("bars"), r.PostForm.Get("hand"), r.PostForm.Get("text"))
	if err == nil {
		err = beside.ChangeRemarks(st.remarksPath(), func(page []byte) ([]byte, error) {
			return remarks.Append(page, line), nil
		})
	}
	if err != nil {
		if wantsJSON(r) {
			return err
		}
		return s.remarksPage(w, r, http.StatusUnprocessableEntity, st, err)
	}
	return s.backFromRemark(w, r, id)
}

// backFromRemark leads to the page that a remark was sent from.
func (s *Server) backFromRemark(w http.ResponseWriter, r *http.Request, id string) error {
	place, err := progress.ParseIdentity(r.PostForm.Get("place"))
	if err != nil {
		return s.onward(w, r, "/pieces/"+id+"/remarks", s.showRemarks)
	}
	return s.onward(w, r, placePath(id, place), func(w http.ResponseWriter, r *http.Request) error {
		st, err := s.study(r.Context(), id)
		if err != nil {
			return err
		}
		return s.placePage(w, r, http.StatusOK, st, place, logForm{})
	})
}

// changeRemark changes a remark or takes it back. It is known by what it said
// when it was shown, and stays in the file as a comment.
func (s *Server) changeRemark(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	id := r.PathValue("id")
	st, err := s.study(r.Context(), id)
	if err != nil {
		return err
	}
	was, err := remarks.Parse([]byte(r.PostForm.Get("was")))
	number, notNumber := strconv.Atoi(r.PostForm.Get("line"))
	if err != nil || notNumber != nil || len(was.Remarks) != 1 {
		return status(http.StatusBadRequest, errors.New("say which remark is meant"))
	}
	old := was.Remarks[0]
	old.Number = number
	var by []remarks.Line
	if r.PostForm.Get("do") == "change" {
		var line remarks.Line
		line, err = remarkLine(st.whole, r.PostForm.Get("bars"), r.PostForm.Get("hand"), r.PostForm.Get("text"))
		by = []remarks.Line{line}
	}
	if err == nil {
		err = beside.ChangeRemarks(st.remarksPath(), func(page []byte) ([]byte, error) {
			changed, err := remarks.Replace(page, old, by...)
			if err != nil {
				err = status(http.StatusConflict, err)
			}
			return changed, err
		})
	}
	if err != nil {
		if wantsJSON(r) {
			return err
		}
		return s.remarksPage(w, r, statusOf(err), st, err)
	}
	return s.backFromRemark(w, r, id)
}

// remarkView is a remark, to be looked at, changed and taken back.
type remarkView struct {
	Line             int
	Text             string // the whole line, by which it is known again
	Said             string // in words
	Bars, Hand, What string
}

// remarks are those on the piece that a function accepts, by bar.
func (st *study) remarks(accept func(remarks.Remark) bool) []remarkView {
	var all []remarkView
	for _, m := range st.said.All {
		if !accept(m) {
			continue
		}
		line := remarks.Line{Number: m.Line, Bars: m.Bars, Hand: m.Hand, Text: m.Text}
		all = append(all, remarkView{m.Line, line.String(), m.String(), strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(m.Bars.String(), "bars "), "bar ")), m.Hand.String(), m.Text})
	}
	return all
}

// remarkLine is a remark in the grammar of the page of remarks.
func remarkLine(r *detect.Report, bars, hand, text string) (remarks.Line, error) {
	bars, text = strings.Join(strings.Fields(bars), " "), strings.Join(strings.Fields(text), " ")
	if bars == "" || text == "" {
		return remarks.Line{}, errors.New("say for which bars the remark is, such as 9 or 30-37, and what it says")
	}
	if hand == "both" {
		hand = ""
	}
	page, err := remarks.Parse([]byte(fmt.Sprintf("bars %s %s: %s", bars, hand, text)))
	if err != nil || len(page.Remarks) != 1 || len(page.Paragraphs) > 0 || page.Remarks[0].Text != text {
		return remarks.Line{}, errors.Join(fmt.Errorf("bars %q: give one bar as printed, such as 9, or the first and last, such as 30-37", bars), err)
	}
	if _, err := page.On(r); err != nil {
		return remarks.Line{}, errors.New(strings.TrimPrefix(err.Error(), "line 1: ")) // there is no page yet that has lines
	}
	return page.Remarks[0], nil
}
