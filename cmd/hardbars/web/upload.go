package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"path"
	"slices"
	"strings"
	"unicode"

	"hardbars/testdata"
)

// shelfView is what the shelf's page shows.
type shelfView struct {
	Pieces  []*Piece
	Damaged []string // what cannot be read, and why
	Queue   []jobView
	Files   []fileView // of the drop that this answers
	Removed *Piece     // just taken off, to be put back
	Binned  int        // how many pieces lie in the bin
	All     int        // how many there are, whatever is looked for
	Find    string     // what is looked for
	Sort    string     // the order: "" for those added last first
	Orders  []order
}

// fileView is what became of one file of a drop.
type fileView struct {
	Name  string `json:"name"`
	Piece string `json:"piece"` // its id; "" where it was not taken in
	Title string `json:"title"`
	Error string `json:"error"` // "" where it was
}

func (s *Server) showShelf(w http.ResponseWriter, r *http.Request) error {
	view := shelfView{Find: r.URL.Query().Get("find"), Sort: r.URL.Query().Get("sort")}
	if id := r.URL.Query().Get("removed"); id != "" {
		view.Removed, _ = s.shelf.removed(id) // none where it is back already
	}
	return s.shelfPage(w, r, http.StatusOK, view)
}

func (s *Server) shelfPage(w http.ResponseWriter, r *http.Request, code int, view shelfView) error {
	pieces, damaged := s.shelf.all()
	binned, _ := s.shelf.binned()
	view.All, view.Binned, view.Orders, view.Queue = len(pieces), len(binned), orders, s.queue.list()
	view.Pieces = sorted(found(pieces, view.Find), view.Sort)
	for _, err := range damaged {
		view.Damaged = append(view.Damaged, err.Error())
	}
	s.show(w, r, code, "shelf", frame{Title: "Your pieces"}, view)
	return nil
}

// order is a way to put the shelf in order.
type order struct {
	Name, Words string
	compare     func(a, b *Piece) int
}

var orders = []order{
	{"", "added last", nil},
	{"title", "title", func(a, b *Piece) int { return compareWords(a.Called(), b.Called()) }},
	{"composer", "composer", func(a, b *Piece) int { return compareWords(a.Composer, b.Composer) }},
	{"bars", "length", func(a, b *Piece) int { return a.Bars - b.Bars }},
	{"stand", "on the music stand first", func(a, b *Piece) int {
		switch {
		case a.Stand == b.Stand:
			return 0
		case a.Stand:
			return -1
		}
		return 1
	}},
}

func compareWords(a, b string) int { return strings.Compare(strings.ToLower(a), strings.ToLower(b)) }

func sorted(pieces []*Piece, by string) []*Piece {
	for _, o := range orders {
		if o.Name == by && o.compare != nil {
			slices.SortStableFunc(pieces, o.compare)
		}
	}
	return pieces
}

// found are the pieces in whose title, composer or file name every word stands.
func found(pieces []*Piece, text string) []*Piece {
	return slices.DeleteFunc(pieces, func(p *Piece) bool {
		all := strings.ToLower(p.Title + " " + p.Composer + " " + p.Name)
		return slices.ContainsFunc(strings.Fields(strings.ToLower(text)), func(word string) bool { return !strings.Contains(all, word) })
	})
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
			Stand: s.shelf.standing() < fewOnStand,
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

// takeExample puts the example on the shelf.
func (s *Server) takeExample(w http.ResponseWriter, r *http.Request) error {
	p, err := s.takeFile(r.Context(), bytes.NewReader(testdata.Example), "example.musicxml")
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/pieces/"+p.ID, http.StatusSeeOther)
	return nil
}

// setStand puts a piece on the music stand, or takes it off.
func (s *Server) setStand(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	if err := s.shelf.stand(r.PathValue("id"), r.PostForm.Get("on") == "yes"); err != nil {
		return err
	}
	return s.onward(w, r, "/", s.showShelf)
}

// binView is what the page of the bin shows.
type binView struct {
	Pieces  []*Piece
	Damaged []error
	Sure    bool // asked once more before it is emptied
}

func (s *Server) showBin(w http.ResponseWriter, r *http.Request) error {
	pieces, damaged := s.shelf.binned()
	s.show(w, r, http.StatusOK, "bin", frame{Title: "Bin", Here: "bin"}, binView{pieces, damaged, r.URL.Query().Get("empty") != ""})
	return nil
}

// emptyBin throws away what lies in the bin, with its logs and remarks.
func (s *Server) emptyBin(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	if r.PostForm.Get("sure") != "yes" {
		http.Redirect(w, r, "/bin?empty=ask", http.StatusSeeOther)
		return nil
	}
	if err := s.shelf.empty(); err != nil {
		return err
	}
	http.Redirect(w, r, "/bin", http.StatusSeeOther)
	return nil
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
