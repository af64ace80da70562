package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"path"
	"strings"
	"unicode"
)

// shelfView is what the shelf's page shows.
type shelfView struct {
	Pieces  []*Piece
	Damaged []string // what cannot be read, and why
	Queue   []jobView
	Files   []fileView // of the drop that this answers
	Removed *Piece     // just taken off, to be put back
}

// fileView is what became of one file of a drop.
type fileView struct {
	Name  string `json:"name"`
	Piece string `json:"piece"` // its id; "" where it was not taken in
	Title string `json:"title"`
	Error string `json:"error"` // "" where it was
}

func (s *Server) showShelf(w http.ResponseWriter, r *http.Request) error {
	view := shelfView{}
	if id := r.URL.Query().Get("removed"); id != "" {
		view.Removed, _ = s.shelf.removed(id) // none where it is back already
	}
	return s.shelfPage(w, r, http.StatusOK, view)
}

func (s *Server) shelfPage(w http.ResponseWriter, r *http.Request, code int, view shelfView) error {
	pieces, damaged := s.shelf.all()
	view.Pieces, view.Queue = pieces, s.queue.list()
	for _, err := range damaged {
		view.Damaged = append(view.Damaged, err.Error())
	}
	s.show(w, r, code, "shelf", frame{Title: "Your pieces"}, view)
	return nil
}

// takeIn puts the scores of a drop on the shelf. One that cannot be read is
// told of and does not stop the others.
func (s *Server) takeIn(w http.ResponseWriter, r *http.Request) error {
	parts, err := r.MultipartReader()
	if err != nil {
		return status(http.StatusBadRequest, errors.New("no score came with this; choose a file that ends in .musicxml, .xml or .mxl"))
	}
	files, err := s.takeParts(r.Context(), parts)
	switch {
	case err != nil && len(files) == 0:
		return err
	case err != nil:
		files = append(files, fileView{Name: "the rest", Error: err.Error()})
	case len(files) == 0:
		return status(http.StatusBadRequest, errors.New("no score came with this; choose a file that ends in .musicxml, .xml or .mxl"))
	}
	code := http.StatusOK
	for _, f := range files {
		if f.Error != "" {
			code = http.StatusUnprocessableEntity
		}
	}
	switch {
	case wantsJSON(r):
		writeJSON(w, code, map[string][]fileView{"files": files})
		return nil
	case len(files) == 1 && code == http.StatusOK && !contentOnly(r):
		http.Redirect(w, r, "/pieces/"+files[0].Piece, http.StatusSeeOther)
		return nil
	}
	return s.shelfPage(w, r, code, shelfView{Files: files})
}

// takeParts takes in the files of a form, one after the other.
func (s *Server) takeParts(ctx context.Context, parts *multipart.Reader) (files []fileView, err error) {
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return files, nil
		}
		if err != nil {
			return files, fmt.Errorf("the upload broke off: %w", err)
		}
		if part.FormName() != "score" || part.FileName() == "" {
			continue
		}
		if len(files) == maxFiles {
			return files, fmt.Errorf("more than %d files at once: drop the rest afterwards", maxFiles)
		}
		f := fileView{Name: cleanName(part.FileName())}
		p, err := s.takeFile(ctx, part, f.Name)
		var large *http.MaxBytesError
		switch {
		case errors.As(err, &large):
			return files, fmt.Errorf("more than %d MB at once: drop fewer scores", maxUploads>>20)
		case err != nil:
			f.Error = err.Error()
		default:
			f.Piece, f.Title = p.ID, p.Called()
		}
		files = append(files, f)
	}
}

// cleanName is the last part of a file's name, for people to read.
func cleanName(name string) string {
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	name = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(name, "�"))
	if letters := []rune(name); len(letters) > 120 {
		name = "…" + string(letters[len(letters)-119:])
	}
	return strings.TrimSpace(name)
}

// takeFile reads one score and puts it on the shelf.
func (s *Server) takeFile(ctx context.Context, in io.Reader, name string) (*Piece, error) {
	up, err := s.shelf.receive(in, maxUpload)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	var taken *Piece
	work := s.queue.start(up.path, name, func(ctx context.Context) error {
		defer up.discard()
		if err := s.tried(ctx, up.path, name, Settings{}); err != nil {
			return err
		}
		score, err := read(up.path, name)
		if err != nil {
			return err
		}
		taken, err = s.shelf.add(up, &Piece{
			Name: name, Title: score.score.Title, Composer: score.score.Composer, Bars: len(score.score.Bars), Added: s.now().UTC(),
		})
		if err == nil {
			s.kept.put(keptReading{id: taken.ID, reading: score})
		}
		return err
	})
	err = work.wait(ctx)
	switch {
	case errors.Is(err, errStopped), errors.Is(err, errLong):
		up.discard()
		fallthrough
	case errors.Is(err, errBusy), errors.Is(err, errOwnFault):
		return nil, fmt.Errorf("%s: %w", name, err)
	case err != nil:
		return nil, err
	}
	return taken, nil
}

func (s *Server) remove(w http.ResponseWriter, r *http.Request) error {
	p, err := s.shelf.remove(r.PathValue("id"))
	if err != nil {
		return err
	}
	return s.onward(w, r, "/?removed="+p.ID, func(w http.ResponseWriter, r *http.Request) error {
		return s.shelfPage(w, r, http.StatusOK, shelfView{Removed: p})
	})
}

func (s *Server) restore(w http.ResponseWriter, r *http.Request) error {
	if err := s.shelf.restore(r.PathValue("id")); err != nil {
		return status(http.StatusConflict, err)
	}
	return s.onward(w, r, "/", s.showShelf)
}
