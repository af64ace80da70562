package web

import (
	"errors"
	"fmt"
	"io"
	"log"
	"mime"
	"net/http"
	"path"

	"hardbars/annotate/drill"
	"hardbars/annotate/mark"
	"hardbars/annotate/pages"
	"hardbars/annotate/sheet"
	"hardbars/cmd/hardbars/beside"
)

// made is something to take away: its type, and how it is written. The bytes
// are those that the command writes for the same score, player and day.
type made struct {
	kind  string
	write func(st *study, paper string) (func(io.Writer) error, error)
}

// things are what can be taken away, by the end of the file's name.
var things = map[string]made{
	"study.pdf":       {"application/pdf", studySheet},
	"score.pdf":       {"application/pdf", wholePiece},
	"marked.musicxml": {"application/vnd.recordare.musicxml+xml", markedScore},
	"drills.musicxml": {"application/vnd.recordare.musicxml+xml", drillBook},
	"plan.ics":        {"text/calendar; charset=utf-8", calendar},
}

// take gives away what is made from a piece, under the name of its score.
func (s *Server) take(w http.ResponseWriter, r *http.Request) error {
	what := r.PathValue("what")
	thing, ok := things[what]
	if !ok {
		return status(http.StatusNotFound, fmt.Errorf("there is no %q to take away", what))
	}
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	if st.misread != nil {
		return st.misread
	}
	paper := r.URL.Query().Get("paper")
	if paper == "" {
		paper = "a4"
	}
	name := path.Base(beside.Name(st.piece.Name, "", "."+what))
	out := &streamed{ResponseWriter: w}
	h := w.Header()
	h.Set("Content-Type", thing.kind)
	h.Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	err = s.render(r.Context(), func() error {
		write, err := thing.write(st, paper)
		if err != nil {
			return err
		}
		return write(out)
	})
	if err != nil && out.begun {
		log.Printf("%s: %v", name, err)
		panic(http.ErrAbortHandler) // the browser sees that the file is not whole
	}
	if err != nil {
		h.Del("Content-Disposition")
	}
	return err
}

// streamed is a file that goes out while it is written.
type streamed struct {
	http.ResponseWriter
	begun bool
}

func (s *streamed) Write(p []byte) (int, error) {
	s.begun = s.begun || len(p) > 0
	return s.ResponseWriter.Write(p)
}

func studySheet(st *study, paper string) (func(io.Writer) error, error) {
	composed, err := st.sheet(paper)
	if err != nil {
		return nil, err
	}
	return beside.PDFSeal.Writer(composed.Write), nil
}

func (st *study) sheet(paper string) (*sheet.Sheet, error) {
	o := sheet.Options{Verdict: st.verdict(), Paper: paper, Remarks: st.said, Music: st.music}
	if st.piece.Settings.planned() {
		var err error
		if o.Plan, err = st.plan(st.report, st.log); err != nil {
			return nil, err
		}
	}
	return sheet.Compose(st.report, o)
}

func wholePiece(st *study, paper string) (func(io.Writer) error, error) {
	composed, err := st.sheet(paper)
	if err != nil {
		return nil, err
	}
	return beside.PDFSeal.Writer(func(w io.Writer) error {
		return pages.Write(w, st.music, st.report, pages.Options{Paper: paper, Page: composed.Page})
	}), nil
}

// markedScore marks the score afresh: marking changes what was read.
func markedScore(st *study, _ string) (func(io.Writer) error, error) {
	f, err := readFile(st.path, st.piece.Name)
	if err != nil {
		return nil, err
	}
	marks := mark.Options{Shortlist: true, Words: true, Brackets: true, Colour: true, Remarks: st.said}
	if err := mark.Mark(f, st.report, marks); err != nil {
		return nil, fmt.Errorf("%s: %w", st.piece.Name, err)
	}
	return beside.XMLSeal.Writer(func(w io.Writer) error {
		_, err := f.WriteTo(w)
		return err
	}), nil
}

func drillBook(st *study, _ string) (func(io.Writer) error, error) {
	if len(st.report.Spots) == 0 {
		return nil, errors.New("nothing in this piece is hard for this player at this tempo: there is nothing to drill")
	}
	return beside.XMLSeal.Writer(func(w io.Writer) error { return drill.Write(w, st.whole, drill.Book(st.report)) }), nil
}

func calendar(st *study, _ string) (func(io.Writer) error, error) {
	p, err := st.plan(st.whole, st.log)
	if err != nil {
		return nil, err
	}
	return beside.CalendarSeal.Writer(p.WriteICalendar), nil
}
