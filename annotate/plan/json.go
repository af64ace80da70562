package plan

import (
	"bytes"
	"encoding/json"
	"time"

	"hardbars/detect"
)

type jsonPlan struct {
	Title    string         `json:"title"`
	Composer string         `json:"composer"`
	Settings jsonSettings   `json:"settings"`
	Days     []jsonDay      `json:"days"`
	LeftOut  []jsonLeftOut  `json:"left_out"`
	Notes    []string       `json:"notes"`
	Warnings []string       `json:"warnings"`
	Player   *detect.Player `json:"player"`
}

type jsonSettings struct {
	Minutes int      `json:"minutes"` // a day at most
	Days    int      `json:"days"`    // a week
	Start   string   `json:"start"`
	End     string   `json:"end"`
	Rest    []string `json:"rest"` // weekdays
}

type jsonDay struct {
	Date    string     `json:"date"` // "2026-01-05"
	Minutes int        `json:"minutes"`
	Items   []jsonItem `json:"items"`
}

type jsonItem struct {
	Minutes  int           `json:"minutes"`
	Stage    Stage         `json:"stage"`
	Spots    []string      `json:"spots"`
	Bars     string        `json:"bars"` // as printed
	Passages []jsonPassage `json:"passages"`
	Hands    string        `json:"hands"`
	Tempo    *jsonTempo    `json:"tempo"`
	What     string        `json:"what"`
	How      string        `json:"how"` // "" where there is no more to tell
	Remarks  []string      `json:"remarks"`
}

type jsonTempo struct {
	QPM  float64 `json:"quarters_per_minute"`
	Text string  `json:"text"` // in the beat that is counted: "dotted quarter = 44"
}

type jsonPassage struct {
	From jsonBar `json:"from"`
	To   jsonBar `json:"to"` // inclusive
}

type jsonBar struct {
	Bar   string `json:"bar"`   // as printed
	Index int    `json:"index"` // counts bars from 1 in file order
}

type jsonLeftOut struct {
	Spots    []string      `json:"spots"` // none where it is the rest of the piece
	Bars     string        `json:"bars"`
	Passages []jsonPassage `json:"passages"`
	Why      string        `json:"why"`
}

// JSON is the plan for other programs, indented, with a newline at the end.
// The README gives its shape.
func (p *Plan) JSON() ([]byte, error) {
	o := p.Options
	out := jsonPlan{
		Title: p.Report.Score.Title, Composer: p.Report.Score.Composer, Player: &p.Report.Player,
		Settings: jsonSettings{o.Minutes, o.Days, dayName(o.Start), dayName(o.End), weekdays(p.RestDays())},
		Days:     []jsonDay{}, LeftOut: []jsonLeftOut{}, Notes: notNil(p.Notes), Warnings: []string{},
	}
	for _, d := range p.Days {
		day := jsonDay{dayName(d.Date), d.Minutes(), []jsonItem{}}
		for _, it := range d.Items {
			day.Items = append(day.Items, p.jsonItem(it))
		}
		out.Days = append(out.Days, day)
	}
	for _, l := range p.LeftOut {
		out.LeftOut = append(out.LeftOut, jsonLeftOut{notNil(l.Spots), p.Bars(l.Passages), p.jsonPassages(l.Passages), l.Why})
	}
	for _, w := range p.Report.Score.Warnings {
		out.Warnings = append(out.Warnings, w.String())
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	err := enc.Encode(out)
	return b.Bytes(), err
}

func (p *Plan) jsonItem(it Item) jsonItem {
	out := jsonItem{
		Minutes: it.Minutes, Stage: it.Stage, Spots: notNil(it.Spots), Bars: p.Bars(it.Passages), Passages: p.jsonPassages(it.Passages),
		Hands: it.Hands, What: it.What, How: it.How, Remarks: notNil(it.Remarks),
	}
	if it.Timed() {
		out.Tempo = &jsonTempo{it.Pace.QPM(), it.Pace.String()}
	}
	return out
}

func (p *Plan) jsonPassages(passages []Passage) []jsonPassage {
	bar := func(i int) jsonBar { return jsonBar{p.Report.Score.Bars[i].Number, p.Report.Score.Bars[i].Index} }
	all := []jsonPassage{}
	for _, b := range passages {
		all = append(all, jsonPassage{bar(b.First), bar(b.Last)})
	}
	return all
}

func weekdays(days []time.Weekday) []string {
	names := []string{}
	for _, d := range days {
		names = append(names, d.String())
	}
	return names
}

// notNil makes no list an empty one, which JSON writes as [].
func notNil(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
