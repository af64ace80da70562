package web

import (
	"encoding/json"
	"errors"
	"io"
	"log"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"hardbars/cmd/hardbars/beside"
)

// clock is the one clock of an evening. It goes on while the player looks at
// other pages, in other windows and when hardbars is started again; when it is
// started for one item it stops for the other.
type clock struct {
	mu   sync.Mutex
	path string
}

// clockFile is the clock as it is kept.
type clockFile struct {
	Piece string           `json:"piece"` // whose item is timed now; "" for none
	Item  string           `json:"item"`
	About string           `json:"about"`
	Since time.Time        `json:"since"`
	Spent map[string]int64 `json:"spent"` // seconds before, by piece and item
	Day   string           `json:"day"`   // of what was spent
}

// clockView is the clock as a page shows it.
type clockView struct {
	Piece, Item, About string
	Runs               bool
	Since              int64 // Unix seconds of its start, were nothing spent before
	Seconds            int   // so far
}

func (v clockView) Time() string {
	return time.Unix(int64(v.Seconds), 0).UTC().Format("15:04:05")
}

// Whole are the minutes that Done would log: begun ones count.
func (v clockView) Whole() int { return v.minutes() }

// longest is how long one item can have been practised; what a forgotten clock
// shows beyond it was not practice.
const longest = 3 * time.Hour

// minutes are whole ones, at least one where anything was spent.
func (v clockView) minutes() int {
	if v.Seconds == 0 {
		return 0
	}
	return max(1, int(math.Round(min(float64(v.Seconds), longest.Seconds())/60)))
}

func openClock(dir string) *clock { return &clock{path: filepath.Join(dir, "clock.json")} }

// read reads the clock. One that is damaged is a new one.
func (c *clock) read() clockFile {
	f := clockFile{}
	data, err := os.ReadFile(c.path)
	if err == nil {
		err = json.Unmarshal(data, &f)
	}
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		log.Printf("%s cannot be read, the clock begins anew: %v", c.path, err)
		f = clockFile{}
	}
	if f.Spent == nil {
		f.Spent = map[string]int64{}
	}
	return f
}

func (c *clock) write(f clockFile) error {
	return beside.Rewrite(c.path, func(w io.Writer) error { return json.NewEncoder(w).Encode(f) })
}

func clockKey(piece, item string) string { return piece + "/" + item }

// view is the clock of an item.
func (c *clock) view(piece, item string, now time.Time) clockView {
	c.mu.Lock()
	defer c.mu.Unlock()
	f := c.read()
	return f.view(piece, item, now)
}

func (f *clockFile) view(piece, item string, now time.Time) clockView {
	v := clockView{Piece: piece, Item: item, Seconds: int(f.Spent[clockKey(piece, item)])}
	if f.Day != now.Format(time.DateOnly) && f.Piece == "" {
		v.Seconds = 0
	}
	if f.Piece == piece && f.Item == item {
		v.Runs, v.About = true, f.About
		v.Since = f.Since.Unix() - int64(v.Seconds)
		v.Seconds += int(now.Sub(f.Since).Seconds())
	}
	return v
}

// running is the clock that runs, nil for none.
func (c *clock) running(now time.Time) *clockView {
	c.mu.Lock()
	defer c.mu.Unlock()
	f := c.read()
	if f.Piece == "" {
		return nil
	}
	v := f.view(f.Piece, f.Item, now)
	return &v
}

// start starts the clock for an item, and stops it for what it ran for.
func (c *clock) start(piece, item, about string, now time.Time) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	f := c.read()
	f.stop(now)
	if day := now.Format(time.DateOnly); f.Day != day {
		f.Day, f.Spent = day, map[string]int64{}
	}
	f.Piece, f.Item, f.About, f.Since = piece, item, about, now
	return c.write(f)
}

// stop stops the clock.
func (c *clock) stop(now time.Time) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	f := c.read()
	f.stop(now)
	return c.write(f)
}

func (f *clockFile) stop(now time.Time) {
	if f.Piece != "" {
		f.Spent[clockKey(f.Piece, f.Item)] += int64(now.Sub(f.Since).Seconds())
		f.Piece, f.Item, f.About, f.Since = "", "", "", time.Time{}
	}
}

// forget takes off what was spent on an item: it is in the log now.
func (c *clock) forget(piece, item string) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	f := c.read()
	if f.Piece == piece && f.Item == item {
		f.Piece, f.Item, f.About, f.Since = "", "", "", time.Time{}
	} else if _, spent := f.Spent[clockKey(piece, item)]; !spent {
		return nil
	}
	delete(f.Spent, clockKey(piece, item))
	return c.write(f)
}

// setClock starts and stops the clock.
func (s *Server) setClock(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	piece, item := r.PostForm.Get("piece"), r.PostForm.Get("item")
	if _, err := s.shelf.piece(piece); err != nil {
		return err
	}
	if _, err := parseTask(item); err != nil {
		return status(http.StatusBadRequest, err)
	}
	var err error
	switch r.PostForm.Get("do") {
	case "start":
		err = s.clock.start(piece, item, brief(r.PostForm.Get("about")), s.now())
	default:
		err = s.clock.stop(s.now())
	}
	if err != nil {
		return err
	}
	if wantsJSON(r) {
		writeJSON(w, http.StatusOK, s.clock.running(s.now()))
		return nil
	}
	http.Redirect(w, r, backTo(r, "/pieces/"+piece+"/tonight"), http.StatusSeeOther)
	return nil
}

// brief is a text cut to what has room in a line.
func brief(text string) string {
	letters := []rune(strings.Join(strings.Fields(strings.ToValidUTF8(text, "")), " "))
	return string(letters[:min(len(letters), 120)])
}
