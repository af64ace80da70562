package web

import (
	"fmt"
	"net/http"
	"strings"
	"time"

	"hardbars/annotate/plan"
	"hardbars/annotate/practice"
	"hardbars/annotate/progress"
	"hardbars/detect"
	"hardbars/detect/kinds"
)

// passageView is a passage of the shortlist as a card.
type passageView struct {
	Key, Where    string
	Order         int
	Title, Why    string // what is hard in it, and one sentence
	Demand        string
	Past          bool
	Start, Target string // tempos in words
	Covers        string // other bars in which the same is asked, "" for none
	Habit         bool
	Best          string // the fastest clean tempo, "" where none was logged
	Curve         *curveView
	Next          string // the day on which to meet it again; "" where nothing was logged
}

// passages are those on the shortlist, in the order to learn them.
func (st *study) passages() []passageView {
	done := progress.Make(st.whole, st.log)
	var all []passageView
	for i := range st.report.Passages {
		if p := &st.report.Passages[i]; p.Shortlist {
			all = append(all, st.passage(done, p))
		}
	}
	return all
}

func (st *study) passage(done *progress.Progress, p *detect.Passage) passageView {
	id := progress.OfBars(p.First, p.Last)
	lesson := practice.ForPassage(st.report, p)
	target := lesson.Target
	v := passageView{
		Key: id.String(), Where: where(st.form.Range(p.First, p.Last)), Order: p.Order, Title: capital(lesson.Title), Why: lesson.Why,
		Demand: fmt.Sprintf("%.2f", p.Demand), Past: p.Demand > 1, Start: lesson.Start.String(), Target: target.String(), Habit: p.Habit,
	}
	if len(p.Covers) > 0 {
		v.Covers = st.barsWords(p.Covers)
	}
	state, days := practised(done, p.First, p.Last, target)
	if state.Best > 0 {
		v.Best = detect.PaceIn(target.Beat, state.Best).String()
	}
	v.Curve = curve(v.Where, days)
	switch {
	case len(days) == 0:
	case state.Learnt(target.QPM()):
		v.Next = "learnt"
	default:
		v.Next = "again on " + state.Due().Format("Monday 2 January")
	}
	return v
}

// barsWords names bars, indices into Score.Bars in order, runs of them as one:
// "bars 5–8, 12".
func (st *study) barsWords(bars []int) string {
	var runs []string
	for i := 0; i < len(bars); {
		n := i
		for n+1 < len(bars) && bars[n+1] == bars[n]+1 {
			n++
		}
		runs = append(runs, st.form.Range(bars[i], bars[n]))
		i = n + 1
	}
	const most = 8
	if more := len(runs) - most; more > 0 {
		runs = append(runs[:most], fmt.Sprintf("and %d more", more))
	}
	return lower(where(strings.Join(runs, ", ")))
}

// passageOf is the passage of some bars, one on the shortlist before others; nil
// for none.
func (st *study) passageOf(first, last int) *detect.Passage {
	for i := range st.report.Passages { // the shortlist comes first
		if p := &st.report.Passages[i]; p.First == first && p.Last == last {
			return p
		}
	}
	return nil
}

// practised is what was logged for bars as a whole or for at least half of them.
func practised(p *progress.Progress, first, last int, target detect.Pace) (plan.State, []dayView) {
	byDay := map[time.Time]*progress.Day{}
	var order []time.Time
	var state plan.State
	for i := range p.Found {
		f, e := &p.Found[i], &p.Log.Entries[i]
		if common := min(f.Last, last) - max(f.First, first) + 1; f.How == progress.Missing || 2*common < last-first+1 {
			continue
		}
		day := byDay[e.Date]
		if day == nil {
			day = &progress.Day{Date: e.Date}
			byDay[e.Date] = day
			order = append(order, e.Date)
		}
		day.QPM, day.Minutes = max(day.QPM, e.QPM()), day.Minutes+e.Minutes
		state.Best = max(state.Best, e.QPM())
	}
	state.Dates = order
	var days []dayView
	for _, d := range order {
		day := dayView{Date: d.Format("2 January"), Minutes: byDay[d].Minutes}
		if qpm := byDay[d].QPM; qpm > 0 && target.QPM() > 0 {
			day.Tempo, day.Share = detect.PaceIn(target.Beat, qpm).String(), qpm/target.QPM()
		}
		days = append(days, day)
	}
	return state, days
}

// verdict is how the piece stands to this player.
func (st *study) verdict() string {
	when, err := st.piece.Settings.over(st.general).plan(st.today)
	if err != nil {
		when.Minutes, when.Days = plan.UsualMinutes, plan.UsualDays
	}
	return plan.Judge(st.report, when.Minutes, when.Days).Words
}

func lower(text string) string { return strings.ToLower(text[:1]) + text[1:] }

// placesView is every hard place of a piece, or those that a filter lets through.
type placesView struct {
	Piece            *Piece
	All              []placeView
	Of               int // there are
	Hand, Kind, Bars string
	Kinds            []kindView
	Error            string
	LeftOut          int
}

type kindView struct{ Kind, Name string }

func (s *Server) showPlaces(w http.ResponseWriter, r *http.Request) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	q := r.URL.Query()
	v := placesView{Piece: st.piece, Of: len(st.report.Spots), Hand: q.Get("hand"), Kind: q.Get("kind"), Bars: strings.TrimSpace(q.Get("bars")), LeftOut: st.report.LeftOut}
	first, last, code := 0, len(st.score.Bars)-1, http.StatusOK
	if v.Bars != "" {
		if first, last, err = st.whole.BarRange(v.Bars); err != nil {
			v.Error, code, last = err.Error(), http.StatusUnprocessableEntity, -1
		}
	}
	seen := map[detect.Kind]bool{}
	for i := range st.report.Spots {
		sp := &st.report.Spots[i]
		if d := kinds.Find(sp.Kind); d != nil && !seen[sp.Kind] {
			seen[sp.Kind] = true
			v.Kinds = append(v.Kinds, kindView{string(sp.Kind), d.Name})
		}
		if (v.Hand == "" || v.Hand == sp.Hand.String()) && (v.Kind == "" || v.Kind == string(sp.Kind)) && sp.Within(first, last) {
			v.All = append(v.All, st.place(sp))
		}
	}
	s.show(w, r, code, "places", frame{Title: "Hard places · " + st.piece.Called(), Piece: st.piece, Here: "places"}, v)
	return nil
}
