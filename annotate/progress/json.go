package progress

import (
	"bytes"
	"encoding/json"
	"math"
	"time"

	"hardbars/detect"
	"hardbars/score"
)

type jsonProgress struct {
	Title   string      `json:"title"`
	Date    string      `json:"date"` // what is due is due by then
	Days    int         `json:"days"`
	Minutes int         `json:"minutes"`
	Places  []jsonPlace `json:"places"`
	Due     []string    `json:"due"` // ids, those first that have waited longest
	Entries []jsonEntry `json:"entries"`
	Damaged []jsonLine  `json:"damaged"`
}

type jsonPlace struct {
	Spot   string      `json:"spot"`
	Kind   detect.Kind `json:"kind"`
	Hand   score.Hand  `json:"hand"`
	From   jsonBar     `json:"from"`
	To     jsonBar     `json:"to"`                         // inclusive
	Best   *float64    `json:"best_quarters_per_minute"`   // null where no tempo was logged
	Target *float64    `json:"target_quarters_per_minute"` // null where tempo does not matter
	Next   *string     `json:"next"`                       // null where it is learnt
	Days   []jsonDay   `json:"days"`
}

type jsonDay struct {
	Date    string   `json:"date"`
	QPM     *float64 `json:"quarters_per_minute"` // null where no tempo was logged
	Minutes int      `json:"minutes"`
}

type jsonBar struct {
	Bar   string `json:"bar"`   // as printed
	Index int    `json:"index"` // counts bars from 1 in file order
}

// jsonEntry is a line of the log and what it counts for.
type jsonEntry struct {
	Line    int         `json:"line"`
	Date    string      `json:"date"`
	Spot    string      `json:"spot"` // as logged
	Bars    string      `json:"bars"` // as logged
	Hand    score.Hand  `json:"hand"`
	Kind    detect.Kind `json:"kind"`
	Tempo   string      `json:"tempo"`
	Minutes int         `json:"minutes"`
	Note    string      `json:"note"`
	Match   Match       `json:"match"`
	From    *jsonBar    `json:"from"` // null where the bars are missing
	To      *jsonBar    `json:"to"`
	Spots   []string    `json:"spots"` // of today
	Why     string      `json:"why"`   // it counts for none
}

type jsonLine struct {
	Line int    `json:"line"`
	Text string `json:"text"`
}

// JSON is the progress for other programs, with what is due by a day, indented,
// with a newline at the end. The README gives its shape.
func (p *Progress) JSON(by time.Time) ([]byte, error) {
	out := jsonProgress{
		Title: p.Report.Score.Title, Date: by.Format(time.DateOnly), Days: len(p.Dates()), Minutes: p.Minutes(),
		Places: []jsonPlace{}, Due: []string{}, Entries: []jsonEntry{}, Damaged: []jsonLine{},
	}
	for i := range p.Places {
		out.Places = append(out.Places, p.jsonPlace(&p.Places[i]))
	}
	for _, place := range p.Due(by) {
		out.Due = append(out.Due, place.Spot.ID)
	}
	for i := range p.Log.Entries {
		out.Entries = append(out.Entries, p.jsonEntry(&p.Log.Entries[i], &p.Found[i]))
	}
	for _, d := range p.Log.Damaged {
		out.Damaged = append(out.Damaged, jsonLine{d.Line, d.Err.Error()})
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	err := enc.Encode(out)
	return b.Bytes(), err
}

func (p *Progress) jsonPlace(place *Place) jsonPlace {
	sp := place.Spot
	out := jsonPlace{
		Spot: sp.ID, Kind: sp.Kind, Hand: sp.Hand, From: p.jsonBar(sp.FirstBar), To: p.jsonBar(sp.LastBar),
		Best: tempo(place.State.Best), Days: []jsonDay{},
	}
	if sp.Comfortable > 0 {
		out.Target = tempo(sp.Target)
	}
	if next, ok := p.Next(place); ok {
		date := next.Format(time.DateOnly)
		out.Next = &date
	}
	for _, d := range place.Days {
		out.Days = append(out.Days, jsonDay{d.Date.Format(time.DateOnly), tempo(d.QPM), d.Minutes})
	}
	return out
}

func (p *Progress) jsonEntry(e *Entry, f *Found) jsonEntry {
	out := jsonEntry{
		Line: e.Line, Date: e.Date.Format(time.DateOnly), Spot: e.Spot, Bars: e.Bars, Hand: e.Hand, Kind: e.Kind,
		Tempo: e.Tempo, Minutes: e.Minutes, Note: e.Note, Match: f.How, Spots: append([]string{}, f.Spots...), Why: f.Why,
	}
	if f.How != Missing {
		from, to := p.jsonBar(f.First), p.jsonBar(f.Last)
		out.From, out.To = &from, &to
	}
	return out
}

func (p *Progress) jsonBar(i int) jsonBar {
	bar := p.Report.Score.Bars[i]
	return jsonBar{bar.Number, bar.Index}
}

// tempo is a figure to one place after the point, nil for none.
func tempo(qpm float64) *float64 {
	if qpm == 0 {
		return nil
	}
	qpm = math.Round(qpm*10) / 10
	return &qpm
}
