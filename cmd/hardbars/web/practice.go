package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"hash/fnv"
	"io"
	"io/fs"
	"log"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"hardbars/annotate/plan"
	"hardbars/annotate/progress"
	"hardbars/annotate/remarks"
	"hardbars/cmd/hardbars/beside"
	"hardbars/detect"
)

// tonightView is what the page of the day's plan shows.
type tonightView struct {
	Piece   *Piece
	Date    string // of the day's plan: today, or the next day of practice
	Today   bool
	Minutes int
	Items   []itemView
	LeftOut []string
	Notes   []string
	Places  []progressView
	Due     []string // ids of the places to meet again by today
	Damaged []string // lines of the log that make no sense, and are kept
	Error   string   // what was wrong with what was sent
}

// itemView is one thing to do.
type itemView struct {
	Key     string // by which it is ticked off
	Minutes int
	About   string
	What    string
	Said    []string // the teacher's remarks, and how
	Spots   []string // ids of its places
	Bars    string   // "12", or "33–36, 12"
	Tempo   string   // "quarter = 47", "" where there is none
	Done    bool
	Spent   int // minutes, where they were timed
}

// progressView is how far a place is.
type progressView struct {
	ID, Bars, Where, Label string
	Best, Target           string  // tempos in words; Best is "" where none was logged
	Share                  float64 // of the tempo to reach, 0 where there is none
	Next                   string  // the day on which to meet it again, "" where it is learnt
	Days                   []dayView
	Curve                  *curveView // nil for fewer than two days with a tempo
}

// curveView is the tempo of a place day by day. Its points lie in a square of
// 100, where the tempo to reach is at 20 from the top.
type curveView struct{ Points, Sentence string }

type dayView struct {
	Date    string
	Tempo   string // in words, "" for none
	Share   float64
	Minutes int
}

// ticks is what was ticked off on one day, in a piece's ticks.json: minutes
// spent by the key of an item, 0 where they were not timed.
type ticks struct {
	Date string         `json:"date"`
	Done map[string]int `json:"done"`
}

func (s *Server) showTonight(w http.ResponseWriter, r *http.Request) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	return s.tonightPage(w, r, http.StatusOK, st, nil)
}

func (s *Server) tonightPage(w http.ResponseWriter, r *http.Request, code int, st *study, wrong error) error {
	view, err := s.tonight(st)
	if err != nil {
		return err
	}
	if wrong != nil {
		view.Error = wrong.Error()
	}
	s.show(w, r, code, "tonight", frame{Title: "Tonight · " + st.piece.Called(), Piece: st.piece, Here: "tonight"}, view)
	return nil
}

// tonight is the plan of today, as it was before anything of today was logged:
// what is practised stays on the list, to be ticked off.
func (s *Server) tonight(st *study) (*tonightView, error) {
	today := st.today.Format(time.DateOnly)
	before := &progress.Log{}
	for _, e := range st.log.Entries {
		if e.Date.Format(time.DateOnly) < today {
			before.Entries = append(before.Entries, e)
		}
	}
	p, err := st.plan(st.whole, before)
	if err != nil {
		return nil, err
	}
	v := &tonightView{Piece: st.piece, LeftOut: p.LeftOutWords(), Notes: p.Notes}
	ticked, err := readTicks(s.ticksPath(st.piece.ID), today)
	if err != nil {
		return nil, err
	}
	if len(p.Days) > 0 {
		day := p.Days[0]
		v.Date, v.Minutes = day.Date.Format("Monday 2 January"), day.Minutes()
		v.Today = day.Date.Format(time.DateOnly) == today
		v.Items = items(p, day, ticked)
	}
	done := progress.Make(st.whole, st.log)
	for i := range done.Places {
		v.Places = append(v.Places, progressOf(done, &done.Places[i]))
	}
	for _, place := range done.Due(st.today) {
		v.Due = append(v.Due, place.Spot.ID)
	}
	for _, d := range st.log.Damaged {
		v.Damaged = append(v.Damaged, d.String())
	}
	return v, nil
}

// plan plans the practice of the piece from today on, as the command does.
func (st *study) plan(r *detect.Report, log *progress.Log) (*plan.Plan, error) {
	when, err := st.piece.Settings.plan(st.today)
	if err != nil {
		return nil, err
	}
	when.Remarks, when.Known = st.said.Said, progress.Make(st.whole, log).Known()
	return plan.Make(r, when)
}

// items are a day's, each with a key that stays while the plan of the day does.
func items(p *plan.Plan, day plan.Day, ticked ticks) []itemView {
	seen := map[string]int{}
	var all []itemView
	for _, it := range day.Items {
		about, what := p.Line(it)
		v := itemView{Minutes: it.Minutes, About: about, What: what, Said: it.Said(), Spots: it.Spots, Bars: p.Bars(it.Passages)}
		if it.Timed() {
			v.Tempo = it.Pace.String()
		}
		name := fmt.Sprintf("%s|%s|%s|%s", it.Stage, strings.Join(it.Spots, ","), v.Bars, it.Hands)
		seen[name]++
		h := fnv.New64a()
		fmt.Fprintf(h, "%s|%d", name, seen[name])
		v.Key = fmt.Sprintf("%016x", h.Sum64())
		v.Spent, v.Done = ticked.Done[v.Key]
		all = append(all, v)
	}
	return all
}

func progressOf(p *progress.Progress, place *progress.Place) progressView {
	_, target := p.Report.Paces(place.Spot)
	v := progressView{ID: place.Spot.ID, Bars: p.Report.Bars(place.Spot), Where: where(p.Report.Bars(place.Spot)), Label: place.Spot.Label, Share: p.Share(place)}
	words := func(qpm float64) string { return "" }
	if place.Spot.Comfortable > 0 {
		v.Target = target.String()
		words = func(qpm float64) string {
			if qpm == 0 {
				return ""
			}
			return detect.PaceIn(target.Beat, qpm).String()
		}
	}
	v.Best = words(place.State.Best)
	if next, ok := p.Next(place); ok {
		v.Next = next.Format("Monday 2 January")
	}
	for _, d := range place.Days {
		day := dayView{Date: d.Date.Format("2 January"), Tempo: words(d.QPM), Minutes: d.Minutes}
		if day.Tempo != "" {
			day.Share = d.QPM / target.QPM()
		}
		v.Days = append(v.Days, day)
	}
	v.Curve = curve(v.Where, v.Days)
	return v
}

// curve is the tempos of a place, one point for each day that has one, equally
// far from each other.
func curve(place string, days []dayView) *curveView {
	var timed []dayView
	for _, d := range days {
		if d.Share > 0 {
			timed = append(timed, d)
		}
	}
	if len(timed) < 2 {
		return nil
	}
	var points []string
	for i, d := range timed {
		x := 100 * float64(i) / float64(len(timed)-1)
		points = append(points, fmt.Sprintf("%.1f,%.1f", x, 100-80*min(d.Share, 1.25)))
	}
	first, last := timed[0], timed[len(timed)-1]
	return &curveView{
		Points:   strings.Join(points, " "),
		Sentence: fmt.Sprintf("%s: from %s of the tempo to reach on %s to %s on %s.", place, percent(first.Share), first.Date, percent(last.Share), last.Date),
	}
}

func (s *Server) ticksPath(id string) string {
	return filepath.Join(s.shelf.pieces(), id, "ticks.json")
}

// readTicks reads what was ticked off on a day; of another day nothing counts.
func readTicks(path, day string) (ticks, error) {
	t := ticks{day, map[string]int{}}
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return t, nil
	}
	if err != nil {
		return t, fmt.Errorf("what was ticked off cannot be read: %w", err)
	}
	var found ticks
	if err := json.Unmarshal(data, &found); err != nil {
		log.Printf("%s is damaged, nothing is ticked off: %v", path, err)
		return t, nil
	}
	if found.Date == day && found.Done != nil {
		return found, nil
	}
	return t, nil
}

// itemKey is what a key of an item looks like.
var itemKey = regexp.MustCompile(`^[0-9a-f]{16}$`)

// tick ticks an item of the day off, or takes the tick back.
func (s *Server) tick(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("id")
	if _, err := s.shelf.piece(id); err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return err
	}
	key := r.PostForm.Get("item")
	minutes, err := minutesOf(r.PostForm.Get("minutes"))
	if err != nil || !itemKey.MatchString(key) {
		return status(http.StatusBadRequest, errors.Join(errors.New("say which item of the day is done"), err))
	}
	if err := s.setTick(id, key, r.PostForm.Get("done") != "no", minutes); err != nil {
		return err
	}
	return s.onward(w, r, "/pieces/"+id+"/tonight", s.showTonight)
}

func (s *Server) setTick(id, key string, done bool, minutes int) error {
	s.shelf.mu.Lock()
	defer s.shelf.mu.Unlock()
	t, err := readTicks(s.ticksPath(id), s.now().Format(time.DateOnly))
	if err != nil {
		return err
	}
	if done {
		t.Done[key] = minutes
	} else {
		delete(t.Done, key)
	}
	return beside.Rewrite(s.ticksPath(id), func(w io.Writer) error { return json.NewEncoder(w).Encode(t) })
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

// logTempo adds a line to the log that the command reads and writes too.
func (s *Server) logTempo(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	id := r.PathValue("id")
	st, err := s.study(r.Context(), id)
	if err != nil {
		return err
	}
	sp, err := st.spot(r.PostForm.Get("spot"))
	if err != nil {
		return err
	}
	e := progress.NewEntry(st.whole, sp)
	if e.Minutes, err = minutesOf(r.PostForm.Get("minutes")); err != nil {
		return err
	}
	e.Note, e.Date = r.PostForm.Get("note"), date(st.today)
	if tempo := r.PostForm.Get("tempo"); tempo != "" {
		if err := e.SetTempo(st.whole, sp, tempo); err != nil {
			return err
		}
	}
	title := st.piece.Called()
	if st.score.Composer != "" {
		title += " · " + st.score.Composer
	}
	if err := beside.AppendLog(st.logPath(), title, &e); err != nil {
		return err
	}
	if wantsJSON(r) {
		return s.progress(w, r)
	}
	return s.onward(w, r, "/pieces/"+id+"/tonight", s.showTonight)
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

// remarksView is what the page of the remarks shows.
type remarksView struct {
	Piece      *Piece
	Heading    [][2]string // "for", "Ida"
	Paragraphs []string
	All        []string
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
	for _, m := range st.said.All {
		v.All = append(v.All, m.String())
	}
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
	return s.onward(w, r, "/pieces/"+id+"/remarks", s.showRemarks)
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
