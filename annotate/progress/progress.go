// Package progress keeps the log of what was practised and tells how far a
// player has come.
//
// A log is a small text file that is read and written by people as much as by
// programs, one line for each sitting at one place:
//
//	2026-03-02 | 12-15-left-leap | 12–15 | left | leap | quarter = 52 | 10 min | lighter [4 …]
//
// that is the date, the place's identity, its bars as printed, the hand, the
// kind, the fastest clean tempo as --tempo takes it, the minutes, and a note with
// the print of the notes of those bars. Tempo, minutes, note and print may be
// left out. Lines of older logs have the place's number of that day instead of
// its identity; they count as well. Empty lines and lines that begin
// with # are passed over. A line that makes no sense is reported with its
// number, is not counted, and stays where it is. A line that is taken back or
// changed stays as a comment: nothing that a log says is ever lost.
//
// The numbers of places and bars change when a score is edited, or when the
// player gets a longer hand or a higher level. So a line is matched to the
// places of today by the notes of its bars, then by hand and kind. What cannot
// be matched is listed.
//
// What is hard, when a place is to be met again, what day it is, and where and
// how the file is kept are kept out.
package progress

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"hardbars/annotate/plan"
	"hardbars/detect"
	"hardbars/score"
)

// Progress is how far a player has come with a piece.
type Progress struct {
	Report *detect.Report
	Log    *Log
	Places []Place // those practised, by rank
	Found  []Found // by entry of the log
}

// Found is where the bars of an entry are in the score of today.
type Found struct {
	First, Last int // indices into Score.Bars; 0 where they are missing
	How         Match
	Spots       []string // ids of the places of today that the entry counts for
	Why         string   // why it counts for none, a sentence; "" where it counts
}

// Place is a hot spot that was practised.
type Place struct {
	Spot  *detect.Spot
	State plan.State
	Days  []Day // by date
}

// Day is what was done at a place on one day.
type Day struct {
	Date    time.Time
	QPM     float64 // the fastest clean tempo, in quarter notes a minute; 0 for none
	Minutes int
}

// NewEntry is an entry for a place whose bars are in a report's score, whether
// the report finds it hard or not; still to be dated.
func NewEntry(r *detect.Report, id Identity) Entry {
	first, last := id.First-1, id.Last-1
	return Entry{
		Spot: id.String(), Bars: r.Bars(&detect.Spot{FirstBar: first, LastBar: last}), Hand: id.Hand, Kind: id.Kind,
		Print: newPage(r.Score).print(first, last),
	}
}

// SetTempo notes the fastest clean tempo at a place: as it is said, or a share
// of what is written there in the beat that is counted.
func (e *Entry) SetTempo(r *detect.Report, id Identity, text string) error {
	choice, err := detect.ParseTempo(text)
	if err != nil {
		return err
	}
	unit, figure, named := strings.Cut(strings.ToLower(text), "=")
	switch {
	case choice.QPM > 0 && named:
		e.Tempo = strings.Join(strings.Fields(unit+" = "+figure), " ")
	case choice.QPM > 0:
		e.Tempo = choice.String()
	default:
		at := r.Score.Bars[id.First-1].Start
		if sp := id.Spot(r); sp != nil {
			at = sp.Occurrences[sp.Hardest].From
		}
		written := r.Score.TempoAt(at).QPM
		e.Tempo = detect.PaceIn(r.PaceAt(at, written).Beat, cmp.Or(choice.Share, 1)*written).String()
	}
	return nil
}

// Make matches a log to the places of a report.
func Make(r *detect.Report, log *Log) *Progress {
	p := &Progress{Report: r, Log: log}
	page := newPage(r.Score)
	bySpot := map[string][]*Entry{}
	for i, found := range locateAll(r, page, log.Entries) {
		e := &log.Entries[i]
		if found.How != Missing {
			found.Spots, found.Why = matching(r, e, found)
		}
		for _, id := range found.Spots {
			bySpot[id] = append(bySpot[id], e)
		}
		p.Found = append(p.Found, found)
	}
	for i := range r.Spots {
		if entries := bySpot[r.Spots[i].ID]; len(entries) > 0 {
			p.Places = append(p.Places, newPlace(&r.Spots[i], entries))
		}
	}
	return p
}

// locateAll finds the bars of every entry. Transposed notes count only where no
// entry has its very notes: then the whole piece has been transposed. Otherwise
// they are another place, which sounds alike and was not practised.
func locateAll(r *detect.Report, page *page, entries []Entry) []Found {
	var all []Found
	exact := false
	for i := range entries {
		found := locate(r, page, &entries[i])
		exact = exact || found.How == Exact
		all = append(all, found)
	}
	for i := range all {
		if exact && all[i].How == Transposed {
			all[i] = Found{How: Missing, Why: missing}
		}
	}
	return all
}

const missing = "These notes are no longer in this score."

// locate finds the bars of an entry by their notes, or by number where the
// entry does not have them.
func locate(r *detect.Report, page *page, e *Entry) Found {
	first, last, err := r.BarRange(e.Bars)
	if e.Print == (Print{}) {
		if err != nil {
			return Found{How: Missing, Why: "There are no such bars in this score."}
		}
		return Found{First: first, Last: last, How: ByNumber}
	}
	if err != nil {
		first = -1
	}
	at, how := page.find(e.Print, first)
	if how == Missing {
		return Found{How: Missing, Why: missing}
	}
	return Found{First: at, Last: at + e.Print.Bars - 1, How: how}
}

// matching are the places that lie in the bars found at least by half, of the
// entry's kind and hand, or of any where it is about the bars as a whole:
// somebody who played the bars has practised these.
func matching(r *detect.Report, e *Entry, f Found) (ids []string, why string) {
	why = fmt.Sprintf("There is no %s for %s there now.", e.Kind, handWords(e.Hand))
	if e.Kind == Bars {
		why = "Nothing is hard there now."
	}
	for i := range r.Spots {
		sp := &r.Spots[i]
		if !e.concerns(sp) || !sp.Within(f.First, f.Last) {
			continue
		}
		common := min(sp.LastBar, f.Last) - max(sp.FirstBar, f.First) + 1
		if 2*common < sp.LastBar-sp.FirstBar+1 {
			why = fmt.Sprintf("These bars are less than half of place %s now.", sp.ID)
			continue
		}
		ids = append(ids, sp.ID)
	}
	if ids != nil {
		why = ""
	}
	return ids, why
}

// concerns reports whether an entry is about such a hot spot, were it in its bars.
func (e *Entry) concerns(sp *detect.Spot) bool {
	if e.Kind == Bars {
		return !sp.Quiet && (e.Hand == score.Both || e.Hand == sp.Hand)
	}
	return e.Kind == sp.Kind && e.Hand == sp.Hand
}

func handWords(h score.Hand) string {
	if h == score.Both {
		return h.Name()
	}
	return "the " + h.Name()
}

// newPlace sums up the entries of a place by days.
func newPlace(sp *detect.Spot, entries []*Entry) Place {
	p := Place{Spot: sp}
	entries = slices.Clone(entries)
	slices.SortStableFunc(entries, func(a, b *Entry) int { return a.Date.Compare(b.Date) })
	for _, e := range entries {
		if n := len(p.Days); n == 0 || !p.Days[n-1].Date.Equal(e.Date) {
			p.Days = append(p.Days, Day{Date: e.Date})
			p.State.Dates = append(p.State.Dates, e.Date)
		}
		day := &p.Days[len(p.Days)-1]
		day.QPM = max(day.QPM, e.QPM())
		day.Minutes += e.Minutes
		p.State.Best = max(p.State.Best, e.QPM())
	}
	return p
}

// Known is what the plan starts from, by id of a hot spot.
func (p *Progress) Known() map[string]plan.State {
	known := map[string]plan.State{}
	for _, place := range p.Places {
		known[place.Spot.ID] = place.State
	}
	return known
}

// Minutes is all that was logged, matched or not.
func (p *Progress) Minutes() int {
	total := 0
	for _, e := range p.Log.Entries {
		total += e.Minutes
	}
	return total
}

// Dates are the days on which anything was practised, in order.
func (p *Progress) Dates() []time.Time {
	var dates []time.Time
	for _, e := range p.Log.Entries {
		dates = append(dates, e.Date)
	}
	slices.SortFunc(dates, time.Time.Compare)
	return slices.CompactFunc(dates, time.Time.Equal)
}

// Share is how much of the tempo asked for is reached, 1 for all of it; 0 where
// no tempo was logged, and where tempo does not matter.
func (p *Progress) Share(place *Place) float64 { return p.share(place, place.State.Best) }

func (p *Progress) share(place *Place, qpm float64) float64 {
	if place.Spot.Comfortable == 0 {
		return 0
	}
	_, target := p.Report.Paces(place.Spot)
	return qpm / target.QPM()
}

// Moved reports whether the score has changed around the bars of an entry: they
// have other numbers now, or other notes.
func (p *Progress) Moved(entry int) bool {
	f, e := &p.Found[entry], &p.Log.Entries[entry]
	switch f.How {
	case Exact:
		first, _, err := p.Report.BarRange(e.Bars)
		return err != nil || first != f.First
	case Transposed, Similar:
		return true
	}
	return false
}

// Bars names the bars found, as printed today.
func (p *Progress) Bars(f *Found) string {
	return p.Report.Bars(&detect.Spot{FirstBar: f.First, LastBar: f.Last})
}

// Due are the places practised that are to be met again by a day, those first
// that have waited longest.
func (p *Progress) Due(by time.Time) []Place {
	var due []Place
	for _, place := range p.Places {
		if next, ok := p.Next(&place); ok && !next.After(by) {
			due = append(due, place)
		}
	}
	slices.SortStableFunc(due, func(a, b Place) int {
		x, _ := p.Next(&a)
		y, _ := p.Next(&b)
		return cmp.Or(x.Compare(y), cmp.Compare(a.Spot.Rank, b.Spot.Rank))
	})
	return due
}

// Next is the day on which a place is to be met again; false where it is learnt.
func (p *Progress) Next(place *Place) (time.Time, bool) {
	target := 0.0
	if place.Spot.Comfortable > 0 {
		_, pace := p.Report.Paces(place.Spot)
		target = pace.QPM()
	}
	if place.State.Learnt(target) {
		return time.Time{}, false
	}
	return place.State.Due(), true
}

// comeBack is after how many days without practice a piece is to be brought
// back and not gone on with. Common practice.
const comeBack = 28

// Back reports whether somebody comes back to the piece on a day, and after how
// many days.
func (p *Progress) Back(today time.Time) (days int, back bool) {
	dates := p.Dates()
	if len(dates) == 0 {
		return 0, false
	}
	days = daysBetween(dates[len(dates)-1], today)
	return days, days >= comeBack
}

// Forgotten are the places that were practised, those first that are likely to
// be forgotten most: the time since they were last met, over the number of days
// on which they were met, since what was met more often lasts longer (Ebbinghaus
// 1885, from memory); then the harder.
func (p *Progress) Forgotten(today time.Time) []Place {
	places := slices.Clone(p.Places)
	loss := func(place *Place) float64 {
		days, last := place.State.Met()
		return float64(daysBetween(last, today)) / float64(max(days, 1))
	}
	slices.SortStableFunc(places, func(a, b Place) int {
		return cmp.Or(cmp.Compare(loss(&b), loss(&a)), a.Spot.Rank-b.Spot.Rank)
	})
	return places
}

// daysBetween counts the days from one date to another.
func daysBetween(a, b time.Time) int {
	y, m, d := a.Date()
	from := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	y, m, d = b.Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Sub(from) / (24 * time.Hour))
}
