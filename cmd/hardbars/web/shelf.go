package web

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"hardbars/cmd/hardbars/beside"
)

// Piece is a score on the shelf, as its piece.json has it.
type Piece struct {
	ID       string    `json:"-"`    // the digest of the score, which names its folder
	Name     string    `json:"name"` // of the file as it was dropped; for people, never a path
	Title    string    `json:"title"`
	Composer string    `json:"composer"`
	Bars     int       `json:"bars"`
	Added    time.Time `json:"added"`
	Score    string    `json:"score"` // the file in the folder: score.musicxml or score.mxl
	Settings Settings  `json:"settings"`
	Stand    bool      `json:"stand"` // on the music stand: practised these evenings
}

// Called is what the piece is called: its title, or else its file.
func (p *Piece) Called() string {
	if p.Title != "" {
		return p.Title
	}
	return p.Name
}

// The names that a score may have in its folder.
const (
	plainScore  = "score.musicxml"
	packedScore = "score.mxl"
)

// shelf is the folder of the user's data: a folder for each piece under pieces,
// and under trash those that were taken off. Beside the score lie its log and
// its remarks, as the command has them.
type shelf struct {
	dir string
	mu  sync.Mutex // of whatever moves a folder or writes a piece.json
}

func openShelf(dir string) (*shelf, error) {
	s := &shelf{dir: dir}
	for _, name := range []string{s.pieces(), s.trash(), s.incoming()} {
		if err := os.MkdirAll(name, 0o700); err != nil {
			return nil, fmt.Errorf("cannot make the folder for your pieces: %w", err)
		}
	}
	return s, s.sweep()
}

func (s *shelf) pieces() string   { return filepath.Join(s.dir, "pieces") }
func (s *shelf) trash() string    { return filepath.Join(s.dir, "trash") }
func (s *shelf) incoming() string { return filepath.Join(s.dir, "incoming") }

// sweep takes away uploads that a stop cut short.
func (s *shelf) sweep() error {
	left, err := os.ReadDir(s.incoming())
	for _, entry := range left {
		err = errors.Join(err, os.RemoveAll(filepath.Join(s.incoming(), entry.Name())))
	}
	return err
}

// identity is what a piece's digest looks like; no other name reaches the disk.
var identity = regexp.MustCompile(`^[0-9a-f]{32}$`)

var errNoPiece = errors.New("there is no such piece on the shelf; it may have been taken off")

// piece reads one piece's piece.json.
func (s *shelf) piece(id string) (*Piece, error) {
	if !identity.MatchString(id) {
		return nil, errNoPiece
	}
	return readPiece(filepath.Join(s.pieces(), id))
}

func readPiece(dir string) (*Piece, error) {
	data, err := os.ReadFile(filepath.Join(dir, "piece.json"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, errNoPiece
	}
	if err != nil {
		return nil, fmt.Errorf("the piece cannot be read: %w", err)
	}
	p := &Piece{}
	if err := json.Unmarshal(data, p); err != nil {
		return nil, fmt.Errorf("%s is damaged: %w", filepath.Join(dir, "piece.json"), err)
	}
	if p.Score != plainScore && p.Score != packedScore {
		return nil, fmt.Errorf("%s is damaged: it names no score", filepath.Join(dir, "piece.json"))
	}
	p.ID = filepath.Base(dir)
	return p, nil
}

// all are the pieces on the shelf, those added last first. What cannot be read
// is told in the second list and left where it is.
func (s *shelf) all() (pieces []*Piece, damaged []error) { return readAll(s.pieces()) }

// binned are the pieces that were taken off.
func (s *shelf) binned() (pieces []*Piece, damaged []error) { return readAll(s.trash()) }

func readAll(dir string) (pieces []*Piece, damaged []error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, []error{err}
	}
	for _, entry := range entries {
		if !identity.MatchString(entry.Name()) {
			continue
		}
		p, err := readPiece(filepath.Join(dir, entry.Name()))
		switch {
		case errors.Is(err, errNoPiece): // just taken off
		case err != nil:
			damaged = append(damaged, err)
		default:
			pieces = append(pieces, p)
		}
	}
	slices.SortFunc(pieces, func(a, b *Piece) int {
		if c := b.Added.Compare(a.Added); c != 0 {
			return c
		}
		return strings.Compare(a.ID, b.ID)
	})
	return pieces, damaged
}

// file is the path of a piece's score; its log and remarks are beside it.
func (s *shelf) file(p *Piece) string { return filepath.Join(s.pieces(), p.ID, p.Score) }

// save writes a piece's piece.json. The caller holds mu.
func (s *shelf) save(dir string, p *Piece) error {
	return beside.Rewrite(filepath.Join(dir, "piece.json"), func(w io.Writer) error {
		enc := json.NewEncoder(w)
		enc.SetIndent("", "  ")
		return enc.Encode(p)
	})
}

// upload is a score that has come in and stands on no shelf yet.
type upload struct {
	path   string
	id     string
	packed bool
}

// receive takes in a file of at most so many bytes.
func (s *shelf) receive(r io.Reader, most int64) (*upload, error) {
	f, err := os.CreateTemp(s.incoming(), "score-*")
	if err != nil {
		return nil, fmt.Errorf("the score cannot be kept: %w", err)
	}
	sum := sha256.New()
	begin := &firstBytes{}
	n, err := io.Copy(io.MultiWriter(f, sum, begin), io.LimitReader(r, most+1))
	if err = errors.Join(err, f.Close()); err == nil && n > most {
		err = fmt.Errorf("this file is larger than %d MB, which no score is", most>>20)
	}
	if err != nil {
		os.Remove(f.Name())
		return nil, err
	}
	return &upload{f.Name(), hex.EncodeToString(sum.Sum(nil)[:16]), string(begin.data) == "PK"}, nil
}

// firstBytes keeps the first two bytes of what is written to it.
type firstBytes struct{ data []byte }

func (b *firstBytes) Write(p []byte) (int, error) {
	b.data = append(b.data, p[:min(len(p), 2-len(b.data))]...)
	return len(p), nil
}

func (u *upload) discard() { os.Remove(u.path) }

// add puts an upload on the shelf. The same score again is the piece that is
// there already; one that lies in the trash comes back as it was.
func (s *shelf) add(u *upload, p *Piece) (*Piece, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	p.ID, p.Score = u.id, plainScore
	if u.packed {
		p.Score = packedScore
	}
	home := filepath.Join(s.pieces(), p.ID)
	if there, err := readPiece(home); !errors.Is(err, errNoPiece) {
		return there, err
	}
	if old, err := readPiece(filepath.Join(s.trash(), p.ID)); err == nil {
		return old, os.Rename(filepath.Join(s.trash(), p.ID), home)
	}
	made, err := os.MkdirTemp(s.incoming(), "piece-*")
	if err != nil {
		return nil, fmt.Errorf("the piece cannot be kept: %w", err)
	}
	defer os.RemoveAll(made)
	err = errors.Join(os.Rename(u.path, filepath.Join(made, p.Score)), s.save(made, p))
	if err == nil {
		err = os.Rename(made, home)
	}
	if err != nil {
		return nil, fmt.Errorf("the piece cannot be kept: %w", err)
	}
	return p, nil
}

// change changes a piece's settings as a form asks that had seen some before;
// where it says nothing of that, those that are saved. Where they were changed
// elsewhere meanwhile in another way nothing is, and the names of these come
// back. It returns what is saved now.
func (s *shelf) change(id, seen string, sent Settings) (Settings, []settingName, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	p, err := s.piece(id)
	if err != nil {
		return Settings{}, nil, err
	}
	merged, conflicts, err := mergeSeen(seen, p.Settings, sent)
	if err != nil || len(conflicts) > 0 || merged == p.Settings {
		return p.Settings, conflicts, err
	}
	p.Settings = merged
	return merged, nil, s.save(filepath.Join(s.pieces(), id), p)
}

// remove takes a piece off the shelf, with all that is beside it.
func (s *shelf) remove(id string) (*Piece, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	p, err := s.piece(id)
	if err != nil {
		return nil, err
	}
	to := filepath.Join(s.trash(), id)
	if _, err := os.Lstat(to); err == nil {
		return nil, fmt.Errorf("%s is in the way: move it, then try again", to)
	}
	return p, os.Rename(filepath.Join(s.pieces(), id), to)
}

// stand puts a piece on the music stand, or takes it off.
func (s *shelf) stand(id string, on bool) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	p, err := s.piece(id)
	if err != nil {
		return err
	}
	p.Stand = on
	return s.save(filepath.Join(s.pieces(), id), p)
}

// fewOnStand is how many pieces are put on the stand by themselves; what comes
// then waits on the shelf. Common practice.
const fewOnStand = 3

// standing is how many pieces are on the music stand.
func (s *shelf) standing() int {
	n := 0
	pieces, _ := s.all()
	for _, p := range pieces {
		if p.Stand {
			n++
		}
	}
	return n
}

// empty throws away for good what lies in the bin.
func (s *shelf) empty() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	entries, err := os.ReadDir(s.trash())
	for _, entry := range entries {
		if identity.MatchString(entry.Name()) {
			err = errors.Join(err, os.RemoveAll(filepath.Join(s.trash(), entry.Name())))
		}
	}
	return err
}

// removed reads a piece that was taken off.
func (s *shelf) removed(id string) (*Piece, error) {
	if !identity.MatchString(id) {
		return nil, errNoPiece
	}
	return readPiece(filepath.Join(s.trash(), id))
}

// restore puts a piece back on the shelf.
func (s *shelf) restore(id string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if _, err := s.removed(id); err != nil {
		return errors.New("this piece is not among those taken off; it may be back on the shelf already")
	}
	return os.Rename(filepath.Join(s.trash(), id), filepath.Join(s.pieces(), id))
}
