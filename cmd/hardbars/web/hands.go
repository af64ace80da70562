package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"

	"hardbars/cmd/hardbars/beside"
	"hardbars/detect"
)

// handsView is what the page about the player shows, for all pieces.
type handsView struct {
	Fields []settingView
	Levels []detect.Level
	Seen   string
	Said   string
	Error  string
	Own    []ownView // pieces that have settings of their own
}

// ownView is a piece with what it sets for itself.
type ownView struct {
	Piece *Piece
	Words []string // "Hand span: octave"
}

// general are the settings for all pieces: who plays from the profile, when from
// the shelf's own file.
func (s *Server) general() (Settings, error) {
	var g Settings
	if s.profile != nil {
		var err error
		if g, err = s.profile.Read(); err != nil {
			return g, err
		}
	}
	when, err := s.evenings()
	g.Minutes, g.Days = when.Minutes, when.Days
	return g, err
}

// evenings is when the player practises, for all pieces.
type evenings struct {
	Minutes string `json:"minutes"` // a day
	Days    string `json:"days"`    // a week
}

func (s *Server) eveningsPath() string { return filepath.Join(s.shelf.dir, "evenings.json") }

func (s *Server) evenings() (evenings, error) {
	var when evenings
	data, err := os.ReadFile(s.eveningsPath())
	if errors.Is(err, fs.ErrNotExist) {
		return when, nil
	}
	if err == nil {
		err = json.Unmarshal(data, &when)
	}
	if err != nil {
		return when, fmt.Errorf("%s cannot be read: %w", s.eveningsPath(), err)
	}
	return when, nil
}

func (s *Server) showHands(w http.ResponseWriter, r *http.Request) error {
	v, err := s.handsView()
	if err != nil {
		return err
	}
	if r.URL.Query().Get("saved") != "" {
		v.Said = handsSaved
	}
	return s.handsPage(w, r, http.StatusOK, v)
}

const handsSaved = "Saved; every piece is reckoned for these hands when you open it."

func (s *Server) handsPage(w http.ResponseWriter, r *http.Request, code int, v *handsView) error {
	s.show(w, r, code, "hands", frame{Title: "Your hands", Here: "hands"}, v)
	return nil
}

func (s *Server) handsView() (*handsView, error) {
	g, err := s.general()
	if err != nil {
		return nil, err
	}
	who, err := s.player()
	if err != nil {
		return nil, err
	}
	v := &handsView{Levels: detect.Levels, Seen: g.String()}
	in := inUse(who, g, Settings{}, s.now())
	for _, set := range settingNames {
		f := in[set.Name]
		f.Name, f.Words, f.Given = set.Name, set.Words, *g.field(set.Name)
		v.Fields = append(v.Fields, f)
	}
	pieces, _ := s.shelf.all()
	for _, p := range pieces {
		own := ownView{Piece: p}
		for _, set := range settingNames {
			if value := *p.Settings.field(set.Name); value != "" {
				own.Words = append(own.Words, set.Words+": "+value)
			}
		}
		if own.Words != nil {
			v.Own = append(v.Own, own)
		}
	}
	return v, nil
}

// changeHands changes the settings for all pieces, as those of one are changed.
func (s *Server) changeHands(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	sent := settingsFrom(r.PostForm)
	wrong := sent.wrong(detect.DefaultPlayer(), s.now())
	var conflicts []settingName
	var saved Settings
	if len(wrong) == 0 {
		var err error
		if saved, conflicts, err = s.saveGeneral(r.PostForm.Get("seen"), sent); err != nil {
			return err
		}
	}
	v, err := s.handsView()
	if err != nil {
		return err
	}
	if len(wrong)+len(conflicts) == 0 {
		return s.onward(w, r, "/hands?saved=yes", func(w http.ResponseWriter, r *http.Request) error {
			v.Said = handsSaved
			return s.handsPage(w, r, http.StatusOK, v)
		})
	}
	var code int
	v.Error, code = refuse(v.Fields, sent, saved, wrong, conflicts)
	if len(wrong) > 0 && r.PostForm.Get("seen") != "" {
		v.Seen = r.PostForm.Get("seen")
	}
	return s.handsPage(w, r, code, v)
}

// saveGeneral saves the settings for all pieces, as shelf.change does a piece's.
func (s *Server) saveGeneral(seen string, sent Settings) (Settings, []settingName, error) {
	s.shelf.mu.Lock()
	defer s.shelf.mu.Unlock()
	before, err := s.general()
	if err != nil {
		return before, nil, err
	}
	merged, conflicts, err := mergeSeen(seen, before, sent)
	if err != nil || len(conflicts) > 0 {
		return before, conflicts, err
	}
	if s.profile != nil {
		if err := s.profile.Write(before, merged); err != nil {
			return before, nil, err
		}
	}
	if merged.Minutes != before.Minutes || merged.Days != before.Days {
		err = beside.Rewrite(s.eveningsPath(), func(w io.Writer) error {
			return json.NewEncoder(w).Encode(evenings{merged.Minutes, merged.Days})
		})
	}
	return merged, nil, err
}
