package form

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
)

type jsonForm struct {
	Score    jsonScore     `json:"score"`
	Sections []jsonSection `json:"sections"`
	Played   []string      `json:"played"`   // ids of sections
	Passages []jsonRange   `json:"passages"` // the bars in the order of play
	Again    []jsonAgain   `json:"again"`
	Warnings []string      `json:"warnings"`
}

type jsonScore struct {
	Title    string `json:"title"`
	Composer string `json:"composer"`
	Bars     int    `json:"bars"`
	Distinct int    `json:"distinct_bars"` // that differ from each other
	Played   int    `json:"played_bars"`   // repeats counted
}

type jsonBar struct {
	Bar   string `json:"bar"`   // as printed
	Index int    `json:"index"` // counts bars from 1 in file order
}

type jsonRange struct {
	From jsonBar `json:"from"`
	To   jsonBar `json:"to"` // inclusive
}

type jsonSection struct {
	ID     string `json:"id"`
	Letter string `json:"letter"`
	Name   string `json:"name"`
	jsonRange
	Times int       `json:"times"`
	Like  *jsonLike `json:"like"`
}

type jsonLike struct {
	Section   string    `json:"section"`
	Relation  string    `json:"relation"` // "exact", "transposed" or "varied"
	Semitones int       `json:"semitones"`
	Share     float64   `json:"share"`
	Differ    []jsonBar `json:"differ"`
}

type jsonAgain struct {
	jsonRange
	Of jsonBar `json:"of"` // the bar that the first is the same as
}

// JSON is the form for other programs, indented, with a newline at the end.
// The README gives its shape.
func (f *Form) JSON() ([]byte, error) {
	out := jsonForm{
		Score:    jsonScore{f.Score.Title, f.Score.Composer, len(f.Score.Bars), f.Bars.Distinct(), f.BarsPlayed()},
		Sections: []jsonSection{}, Played: []string{}, Passages: []jsonRange{}, Again: []jsonAgain{}, Warnings: []string{},
	}
	for i, sec := range f.Sections {
		out.Sections = append(out.Sections, jsonSection{
			ID: id(i), Letter: sec.Letter, Name: sec.Name, jsonRange: f.bars(sec.First, sec.Last), Times: sec.Times, Like: f.like(sec.Like),
		})
	}
	for _, i := range f.Played {
		out.Played = append(out.Played, id(i))
	}
	for _, p := range f.Runs {
		out.Passages = append(out.Passages, f.bars(p.First, p.Last))
	}
	for _, a := range f.Again {
		out.Again = append(out.Again, jsonAgain{f.bars(a.First, a.Last), f.bar(a.Of)})
	}
	for _, w := range f.Score.Warnings {
		out.Warnings = append(out.Warnings, w.String())
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	err := enc.Encode(out)
	return b.Bytes(), err
}

func (f *Form) like(l *Like) *jsonLike {
	if l == nil {
		return nil
	}
	out := &jsonLike{
		Section: id(l.Section), Relation: string(l.Relation()), Semitones: l.Semitones,
		Share: math.Round(l.Share*1000) / 1000, Differ: []jsonBar{},
	}
	for _, bar := range l.Differ {
		out.Differ = append(out.Differ, f.bar(bar))
	}
	return out
}

func (f *Form) bar(i int) jsonBar { return jsonBar{f.Score.Bars[i].Number, f.Score.Bars[i].Index} }

func (f *Form) bars(first, last int) jsonRange { return jsonRange{f.bar(first), f.bar(last)} }

// id of a section counts from 1 in the order of the page.
func id(section int) string { return strconv.Itoa(section + 1) }
