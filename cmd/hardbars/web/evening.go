package web

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"

	"hardbars/annotate/plan"
	"hardbars/annotate/progress"
	"hardbars/detect"
)

// eveningView is what the page of an evening over all pieces shows.
type eveningView struct {
	Date    string
	Minutes int // planned
	Spent   int // logged today
	Items   []itemView
	Waits   []*Piece // on the stand, with no room tonight or nothing due
	Stand   int      // how many pieces are on it
	Shelf   int      // and how many there are
}

// Leasts of an evening, in minutes. Common practice.
const (
	leastShare = 5  // for a piece: below, it has no room tonight
	restAfter  = 25 // of playing, when a break comes
	restLength = 3
)

// showEvening shows one evening over all pieces on the music stand: its minutes
// go to what is due and hardest, and a break comes when it is time.
func (s *Server) showEvening(w http.ResponseWriter, r *http.Request) error {
	pieces, _ := s.shelf.all()
	general, err := s.general()
	if err != nil {
		return err
	}
	when, err := general.plan(s.now())
	if err != nil {
		return err
	}
	v := eveningView{Date: s.now().Format("Monday 2 January"), Shelf: len(pieces)}
	var all []pieceEvening
	for _, p := range pieces {
		if !p.Stand {
			continue
		}
		v.Stand++
		st, err := s.study(r.Context(), p.ID)
		if err != nil {
			return err
		}
		e, err := st.evening(when.Minutes)
		if err != nil {
			return err
		}
		for _, entry := range st.log.Entries {
			if entry.Date.Equal(date(s.now())) {
				v.Spent += entry.Minutes
			}
		}
		all = append(all, e)
	}
	for _, e := range shared(all, when.Minutes) {
		if e.minutes < leastShare {
			v.Waits = append(v.Waits, e.st.piece)
			continue
		}
		p, err := e.st.planFor(e.st.whole, e.st.logBefore(e.st.today), e.minutes)
		if err != nil {
			return err
		}
		if len(p.Days) > 0 {
			v.Items = append(v.Items, s.items(e.st, p, p.Days[0])...)
		}
	}
	for i := range v.Items {
		v.Items[i].From = "/tonight"
	}
	v.Items = withRests(v.Items)
	for _, it := range v.Items {
		v.Minutes += it.Minutes
	}
	s.show(w, r, http.StatusOK, "evening", frame{Title: "Tonight", Here: "evening"}, v)
	return nil
}

// pieceEvening is a piece with what it asks of an evening, and what it gets.
type pieceEvening struct {
	st      *study
	weight  float64 // what is due or hard
	minutes int
}

// evening weighs what a piece would do with a whole evening.
func (st *study) evening(minutes int) (pieceEvening, error) {
	e := pieceEvening{st: st}
	p, err := st.planFor(st.whole, st.logBefore(st.today), minutes)
	if err != nil || len(p.Days) == 0 || !p.Days[0].Date.Equal(date(st.today)) {
		return e, err
	}
	for _, it := range p.Days[0].Items {
		for _, id := range it.Spots {
			if sp := p.Report.Spot(id); sp != nil {
				e.weight += float64(it.Minutes) / float64(len(it.Spots)) * min(sp.Demand, 3)
			}
		}
		if len(it.Spots) == 0 && it.Stage != plan.Break {
			e.weight += float64(it.Minutes) / 2
		}
	}
	return e, nil
}

// shared gives each piece its minutes of an evening, by weight. What would get
// too few to be of use gets none, the lightest first.
func shared(all []pieceEvening, minutes int) []pieceEvening {
	slices.SortStableFunc(all, func(a, b pieceEvening) int { return cmp.Compare(b.weight, a.weight) })
	for n := len(all); n > 0; n-- {
		sum := 0.0
		for _, e := range all[:n] {
			sum += e.weight
		}
		if least := all[n-1].weight; least > 0 && (n == 1 || least/sum*float64(minutes) >= leastShare) {
			for i := range all[:n] {
				all[i].minutes = int(all[i].weight / sum * float64(minutes))
			}
			break
		}
	}
	return all
}

// withRests are items with a break wherever so much has been played without one.
func withRests(items []itemView) []itemView {
	var all []itemView
	played := 0
	for _, it := range items {
		if it.Key == "" { // a break of its own
			all, played = append(all, it), 0
			continue
		}
		if played > 0 && played+it.Minutes > restAfter {
			all = append(all, itemView{Minutes: restLength, About: "Break: stand up, let the arms hang", Piece: it.Piece})
			played = 0
		}
		played += it.Minutes
		all = append(all, it)
	}
	return all
}

// planFor plans the practice of the piece with so many minutes a day.
func (st *study) planFor(r *detect.Report, log *progress.Log, minutes int) (*plan.Plan, error) {
	with := *st
	piece := *st.piece
	piece.Settings.Minutes = strconv.Itoa(max(minutes, leastShare))
	with.piece = &piece
	return with.plan(r, log)
}
