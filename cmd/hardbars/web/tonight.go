package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"hardbars/annotate/plan"
	"hardbars/annotate/practice"
	"hardbars/annotate/progress"
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
	Due     []placeLink // the places to meet again by today
	Unfit   []string    // what was logged and fits no place of today, with its bars
	Damaged []string    // lines of the log that make no sense, and are kept
	Error   string      // what was wrong with what was sent
}

// itemView is one thing to do.
type itemView struct {
	Piece   *Piece
	Key     string // by which it is ticked off; "" for a break
	Minutes int
	About   string
	What    string
	Said    []string // the teacher's remarks, and how
	Bars    string   // "12", or "33–36, 12"
	Tempo   string   // "quarter = 47", "" where there is none
	Rungs   []string // tempos at which it may have gone cleanly, Tempo in the middle
	Steps   []string // of how its first place is practised
	Done    bool
	Spent   int    // minutes, where they were timed
	Clean   string // the tempo that was logged
	Clock   clockView
	From    string // the page to come back to; "" for the piece's own plan
	Places  []placeLink
}

// placeLink is a place to go to.
type placeLink struct {
	Key   string // its identity
	Words string // "Place 3"
}

// progressView is how far a place is.
type progressView struct {
	ID, Key, Bars, Where, Label string
	Best, Target                string  // tempos in words; Best is "" where none was logged
	Share                       float64 // of the tempo to reach, 0 where there is none
	Next                        string  // the day on which to meet it again, "" where it is learnt
	Days                        []dayView
	Curve                       *curveView // nil for fewer than two days with a tempo
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
// what is practised stays on the list, ticked off by the log.
func (s *Server) tonight(st *study) (*tonightView, error) {
	p, err := st.plan(st.whole, st.logBefore(st.today))
	if err != nil {
		return nil, err
	}
	v := &tonightView{Piece: st.piece, LeftOut: p.LeftOutWords(), Notes: p.Notes}
	if len(p.Days) > 0 {
		day := p.Days[0]
		v.Date, v.Minutes = day.Date.Format("Monday 2 January"), day.Minutes()
		v.Today = day.Date.Equal(date(st.today))
		v.Items = s.items(st, p, day)
	}
	done := progress.Make(st.whole, st.log)
	for i := range done.Places {
		v.Places = append(v.Places, progressOf(done, &done.Places[i]))
	}
	for _, place := range done.Due(date(st.today)) {
		v.Due = append(v.Due, linkTo(place.Spot))
	}
	v.Unfit = unfit(done)
	for _, d := range st.log.Damaged {
		v.Damaged = append(v.Damaged, d.String())
	}
	return v, nil
}

// logBefore is the log without the entries of a day and of later ones.
func (st *study) logBefore(day time.Time) *progress.Log {
	before := &progress.Log{}
	for _, e := range st.log.Entries {
		if e.Date.Before(date(day)) {
			before.Entries = append(before.Entries, e)
		}
	}
	return before
}

// unfit is what was logged and counts for no place of today, with its bars.
func unfit(p *progress.Progress) []string {
	var all []string
	for i := range p.Found {
		if e := &p.Log.Entries[i]; p.Found[i].Why != "" {
			words := fmt.Sprintf("%s, %s, %s, %s", e.Date.Format("2 January"), where(e.Bars), e.Hand.Name(), strings.ReplaceAll(string(e.Kind), "-", " "))
			if e.Tempo != "" {
				words += ", " + e.Tempo
			}
			all = append(all, words+": "+p.Found[i].Why)
		}
	}
	return all
}

func linkTo(sp *detect.Spot) placeLink { return placeLink{progress.Of(sp).String(), "Place " + sp.ID} }

// plan plans the practice of the piece from today on, as the command does.
func (st *study) plan(r *detect.Report, log *progress.Log) (*plan.Plan, error) {
	when, err := st.piece.Settings.over(st.general).plan(st.today)
	if err != nil {
		return nil, err
	}
	when.Remarks, when.Known = st.said.Said, progress.Make(st.whole, log).Known()
	return plan.Make(r, when)
}

// items are a day's. Each is known by its places and by how many with the same
// places come before it; it is done when the log of today has so many lines for
// each of them.
func (s *Server) items(st *study, p *plan.Plan, day plan.Day) []itemView {
	seen := map[string]int{}
	var all []itemView
	for _, it := range day.Items {
		about, what := p.Line(it)
		v := itemView{Piece: st.piece, Minutes: it.Minutes, About: about, What: what, Said: it.Said(), Bars: p.Bars(it.Passages)}
		var ids []progress.Identity
		for _, id := range it.Spots {
			if sp := p.Report.Spot(id); sp != nil {
				ids, v.Places = append(ids, progress.Of(sp)), append(v.Places, linkTo(sp))
				if v.Steps == nil {
					v.Steps = practice.For(p.Report, sp).Steps
				}
			}
		}
		if len(it.Spots) == 0 {
			for _, b := range it.Passages {
				ids = append(ids, progress.OfBars(b.First, b.Last))
			}
		}
		if it.Timed() {
			v.Tempo, v.Rungs = it.Pace.String(), rungs(it.Pace)
		}
		if len(ids) > 0 {
			t := task{places: ids, nth: 1}
			seen[t.names()]++
			t.nth = seen[t.names()]
			v.Key = t.String()
			v.Spent, v.Clean, v.Done = t.done(st.log, date(st.today))
			v.Clock = s.clock.view(st.piece.ID, v.Key, s.now())
		}
		all = append(all, v)
	}
	return all
}

// rungs are tempos around one that is asked for: a step less, it, a step more.
// A step of an eighth is common practice.
func rungs(p detect.Pace) []string {
	var all []string
	for _, n := range []int{p.PerMinute - (p.PerMinute+4)/8, p.PerMinute, p.PerMinute + (p.PerMinute+4)/8} {
		all = append(all, detect.Pace{Beat: p.Beat, PerMinute: n}.String())
	}
	return all
}

// task is an item of a day as it is ticked off: its places, and which of the
// day's items with these places it is.
type task struct {
	places []progress.Identity
	nth    int
}

func (t task) names() string {
	var names []string
	for _, id := range t.places {
		names = append(names, id.String())
	}
	return strings.Join(names, "+")
}

// String is how a form names the task: "12-15-left-leap+40-41-left-leap:1".
func (t task) String() string { return fmt.Sprintf("%s:%d", t.names(), t.nth) }

// mostVisits is how often one place can come in a day.
const mostVisits = 99

func parseTask(text string) (t task, err error) {
	names, nth, _ := strings.Cut(text, ":")
	if t.nth, err = strconv.Atoi(nth); err != nil || t.nth < 1 || t.nth > mostVisits {
		return t, errors.New("say which item of the day is done")
	}
	for _, name := range strings.Split(names, "+") {
		id, err := progress.ParseIdentity(name)
		if err != nil {
			return t, err
		}
		t.places = append(t.places, id)
	}
	return t, nil
}

// done reports whether a log has the task, and what it says of it.
func (t task) done(log *progress.Log, day time.Time) (minutes int, tempo string, done bool) {
	entries := t.entries(log, day)
	for _, e := range entries {
		minutes += e.Minutes
		tempo = e.Tempo
	}
	return minutes, tempo, len(entries) == len(t.places)
}

// entries are the lines of a log that tick the task off, one for each place.
func (t task) entries(log *progress.Log, day time.Time) []*progress.Entry {
	var all []*progress.Entry
	for _, id := range t.places {
		seen := 0
		for i := range log.Entries {
			e := &log.Entries[i]
			if !e.Date.Equal(day) || e.Spot != id.String() {
				continue
			}
			if seen++; seen == t.nth {
				all = append(all, e)
			}
		}
	}
	return all
}

// tick ticks an item of the day off, in the practice log, or takes that back.
func (s *Server) tick(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	t, err := parseTask(r.PostForm.Get("item"))
	if err != nil {
		return status(http.StatusBadRequest, err)
	}
	id := r.PathValue("id")
	st, err := s.study(r.Context(), id)
	if err != nil {
		return err
	}
	if r.PostForm.Get("done") == "no" {
		err = st.untick(t)
	} else if err = s.tickOff(st, t, r.PostForm.Get("minutes"), r.PostForm.Get("tempo"), r.PostForm.Get("note")); err == nil {
		err = s.clock.forget(id, t.String())
	}
	if err != nil {
		if wantsJSON(r) {
			return err
		}
		return s.tonightPage(w, r, statusOf(err), st, err)
	}
	if contentOnly(r) {
		return s.showTonight(w, r)
	}
	http.Redirect(w, r, backTo(r, "/pieces/"+id+"/tonight"), http.StatusSeeOther)
	return nil
}

// backTo is the page that a form says it was sent from, or else another.
func backTo(r *http.Request, otherwise string) string {
	from := r.PostForm.Get("from")
	if !strings.HasPrefix(from, "/") || strings.HasPrefix(from, "//") || strings.ContainsAny(from, "\\\r\n") {
		return otherwise
	}
	return from
}

// tickOff writes a line for each place of a task. Minutes that are not said are
// those of the clock.
func (s *Server) tickOff(st *study, t task, minutesText, tempo, note string) error {
	minutes, err := minutesOf(minutesText)
	if err != nil {
		return err
	}
	if minutes == 0 {
		minutes = s.clock.view(st.piece.ID, t.String(), s.now()).minutes()
	}
	var entries []progress.Entry
	for i, id := range t.places {
		if !id.Within(st.score) {
			return status(http.StatusNotFound, fmt.Errorf("there are no bars %d to %d in %s", id.First, id.Last, st.piece.Called()))
		}
		e := progress.NewEntry(st.whole, id)
		e.Date, e.Note = date(st.today), note
		e.Minutes = minutes*(i+1)/len(t.places) - minutes*i/len(t.places)
		if tempo != "" {
			if err := e.SetTempo(st.whole, id, tempo); err != nil {
				return err
			}
		}
		entries = append(entries, e)
	}
	return beside.ChangeLog(st.logPath(), func(data []byte) ([]byte, error) {
		if _, _, done := t.done(progress.Parse(data), date(st.today)); done {
			return nil, status(http.StatusConflict, errors.New("this is ticked off already, perhaps in another window; it was not logged twice"))
		}
		for i := range entries {
			data = progress.Append(data, st.titleWords(), &entries[i])
		}
		return data, nil
	})
}

// untick takes the lines of a task back. They stay in the log as comments.
func (st *study) untick(t task) error {
	return beside.ChangeLog(st.logPath(), func(data []byte) ([]byte, error) {
		entries := t.entries(progress.Parse(data), date(st.today))
		if len(entries) == 0 {
			return nil, status(http.StatusConflict, errors.New("this is not ticked off any more; look at the page again"))
		}
		slices.SortFunc(entries, func(a, b *progress.Entry) int { return b.Line - a.Line })
		var err error
		for _, e := range entries {
			if data, err = progress.Replace(data, e); err != nil {
				return nil, err
			}
		}
		return data, nil
	})
}

func progressOf(p *progress.Progress, place *progress.Place) progressView {
	_, target := p.Report.Paces(place.Spot)
	v := progressView{ID: place.Spot.ID, Key: progress.Of(place.Spot).String(), Bars: p.Report.Bars(place.Spot), Where: where(p.Report.Bars(place.Spot)), Label: place.Spot.Label, Share: p.Share(place)}
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
