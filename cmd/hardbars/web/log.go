package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"hardbars/annotate/progress"
	"hardbars/cmd/hardbars/beside"
)

// sittingView is a line of the log, to be looked at, changed and taken back.
type sittingView struct {
	Line    int
	Text    string // the whole line, by which it is known again
	Date    string // "2 March"
	Day     string // "2026-03-02"
	Tempo   string
	Minutes int
	Note    string
	Moved   string // its bars, where they are not those of the page
}

// logForm is what was sent to be logged, and why it was not.
type logForm struct{ Tempo, Minutes, Note, Error string }

func (s *Server) logTempo(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	id, err := progress.ParseIdentity(r.PostForm.Get("place"))
	if err != nil {
		return status(http.StatusBadRequest, err)
	}
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	form := logForm{Tempo: r.PostForm.Get("tempo"), Minutes: r.PostForm.Get("minutes"), Note: r.PostForm.Get("note")}
	err = s.logSitting(st, id, form)
	switch {
	case err != nil && wantsJSON(r):
		return err
	case err != nil:
		form.Error = err.Error()
		return s.placePage(w, r, statusOf(err), st, id, form)
	case wantsJSON(r):
		return s.progress(w, r)
	}
	return s.onward(w, r, placePath(st.piece.ID, id), func(w http.ResponseWriter, r *http.Request) error {
		if st, err = s.study(r.Context(), st.piece.ID); err != nil {
			return err
		}
		return s.placePage(w, r, http.StatusOK, st, id, logForm{})
	})
}

// logSitting adds a line to the log that the command reads and writes too. The
// bars are those that the player saw, whatever is found in them now.
func (s *Server) logSitting(st *study, id progress.Identity, form logForm) error {
	if !id.Within(st.score) {
		return status(http.StatusNotFound, fmt.Errorf("there are no bars %d to %d in %s", id.First, id.Last, st.piece.Called()))
	}
	e := progress.NewEntry(st.whole, id)
	e.Date = date(st.today)
	if err := fill(&e, st, id, form); err != nil {
		return err
	}
	return beside.AppendLog(st.logPath(), st.titleWords(), &e)
}

// fill puts what a form says into an entry.
func fill(e *progress.Entry, st *study, id progress.Identity, form logForm) (err error) {
	if strings.TrimSpace(form.Tempo+form.Minutes+form.Note) == "" {
		return errors.New("say how it went: a tempo, minutes or a note; nothing was logged")
	}
	if e.Minutes, err = minutesOf(form.Minutes); err != nil {
		return err
	}
	e.Note, e.Tempo = form.Note, ""
	if tempo := strings.TrimSpace(form.Tempo); tempo != "" {
		return e.SetTempo(st.whole, id, tempo)
	}
	return nil
}

// changeSitting changes a line of the log or takes it back. The line is known by
// what it said when it was shown, so that no other is touched.
func (s *Server) changeSitting(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	place, err := progress.ParseIdentity(r.PostForm.Get("place"))
	if err != nil {
		return status(http.StatusBadRequest, err)
	}
	log := progress.Parse([]byte(r.PostForm.Get("was")))
	line, err := strconv.Atoi(r.PostForm.Get("line"))
	if err != nil || len(log.Entries) != 1 {
		return status(http.StatusBadRequest, errors.New("say which line of the log is meant"))
	}
	old := log.Entries[0]
	old.Line = line
	var by []progress.Entry
	form := logForm{Tempo: r.PostForm.Get("tempo"), Minutes: r.PostForm.Get("minutes"), Note: r.PostForm.Get("note")}
	if r.PostForm.Get("do") == "change" {
		e := old
		if err = fill(&e, st, place, form); err == nil {
			if e.Date, err = time.Parse(time.DateOnly, r.PostForm.Get("date")); err != nil {
				err = fmt.Errorf("the day %q: give year, month and day, such as 2026-03-02", r.PostForm.Get("date"))
			}
		}
		by = []progress.Entry{e}
	}
	if err == nil {
		err = beside.ChangeLog(st.logPath(), func(data []byte) ([]byte, error) {
			changed, err := progress.Replace(data, &old, by...)
			if err != nil {
				err = status(http.StatusConflict, err)
			}
			return changed, err
		})
	}
	if err != nil {
		form.Error = err.Error()
		return s.placePage(w, r, statusOf(err), st, place, form)
	}
	return s.onward(w, r, placePath(st.piece.ID, place), func(w http.ResponseWriter, r *http.Request) error {
		if st, err = s.study(r.Context(), st.piece.ID); err != nil {
			return err
		}
		return s.placePage(w, r, http.StatusOK, st, place, logForm{})
	})
}

// sittings are the lines of the log about a place or within bars, the latest first.
func (st *study) sittings(id progress.Identity) []sittingView {
	done := progress.Make(st.whole, st.log)
	spot := ""
	if sp := id.Spot(st.whole); sp != nil {
		spot = sp.ID
	}
	var all []sittingView
	for i := range st.log.Entries {
		e, found := &st.log.Entries[i], &done.Found[i]
		counts := e.Spot == id.String()
		for _, s := range found.Spots {
			counts = counts || s == spot
		}
		if !counts {
			continue
		}
		v := sittingView{Line: e.Line, Text: e.String(), Date: e.Date.Format("2 January 2006"), Day: e.Date.Format(time.DateOnly), Tempo: e.Tempo, Minutes: e.Minutes, Note: e.Note}
		if e.Spot != id.String() {
			v.Moved = e.Bars
		}
		all = append([]sittingView{v}, all...)
	}
	return all
}

// titleWords head a new log.
func (st *study) titleWords() string {
	title := st.piece.Called()
	if st.score.Composer != "" {
		title += " · " + st.score.Composer
	}
	return title
}

// minutesOf reads minutes that may be left out.
func minutesOf(text string) (int, error) {
	if text = strings.TrimSpace(text); text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		return 0, fmt.Errorf("minutes: %q: give a whole number", text)
	}
	return n, progress.CheckMinutes(n)
}

// date is the day of an instant where the player is.
func date(t time.Time) time.Time {
	year, month, day := t.Date()
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

func (s *Server) progress(w http.ResponseWriter, r *http.Request) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	data, err := progress.Make(st.whole, st.log).JSON(st.today)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	_, err = w.Write(data)
	return err
}
