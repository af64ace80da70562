package detect

import (
	"bytes"
	"encoding/json"
	"math"

	"hardbars/score"
)

// Position is a position as a reader of the score finds it.
type Position struct {
	Bar    string    `json:"bar"`    // as printed
	Index  int       `json:"index"`  // counts bars from 1 in file order
	Offset score.Rat `json:"offset"` // quarters into the bar
}

// Position is where something begins: an instant on a barline is in the later bar.
func (r *Report) Position(at score.Rat) Position { return PositionIn(r.Score, r.Score.BarAt(at), at) }

// EndPosition is where something ends: an instant on a barline is in the earlier bar.
func (r *Report) EndPosition(at score.Rat) Position {
	return PositionIn(r.Score, r.Score.BarEnding(at), at)
}

func PositionIn(s *score.Score, bar int, at score.Rat) Position {
	b := s.Bars[bar]
	return Position{Bar: b.Number, Index: b.Index, Offset: at.Sub(b.Start)}
}

type jsonReport struct {
	Score    jsonScore     `json:"score"`
	Player   Player        `json:"player"`
	Spots    []jsonSpot    `json:"spots"`
	Families []jsonFamily  `json:"families"`
	Passages []jsonPassage `json:"passages"`
	LeftOut  int           `json:"quiet_left_out"`
	Bars     []float64     `json:"bar_demand"` // of every bar in file order
	Warnings []string      `json:"warnings"`
}

type jsonScore struct {
	Title    string    `json:"title"`
	Composer string    `json:"composer"`
	Bars     int       `json:"bars"`
	Hands    jsonHands `json:"hands"`
	Tempo    jsonTempo `json:"tempo"`
}

type jsonHands struct {
	Right string `json:"right"`
	Left  string `json:"left"`
}

type jsonTempo struct {
	QPM  float64           `json:"quarters_per_minute"`
	From score.TempoSource `json:"from"`
}

type jsonPlayer struct {
	SpanMM      float64            `json:"span_mm"` // of the smaller hand
	SpanByHand  jsonSpans          `json:"span_mm_by_hand"`
	Level       Level              `json:"level"`
	Tempo       string             `json:"tempo"`
	MiddlePedal bool               `json:"middle_pedal"`
	Own         map[string]float64 `json:"own,omitempty"`
	From        map[string]string  `json:"from"`
}

type jsonSpans struct {
	Right float64 `json:"right"`
	Left  float64 `json:"left"`
}

type jsonSpot struct {
	ID          string           `json:"id"`
	Rank        int              `json:"rank"`
	Kind        Kind             `json:"kind"`
	Hand        score.Hand       `json:"hand"`
	Family      string           `json:"family"`
	From        Position         `json:"from"`
	To          Position         `json:"to"`
	Count       int              `json:"count"`
	Demand      float64          `json:"demand"`
	Quiet       bool             `json:"quiet"`
	Comfortable *float64         `json:"comfortable_quarters_per_minute"`
	Why         string           `json:"why"`
	Occurrences []jsonOccurrence `json:"occurrences"`
}

type jsonOccurrence struct {
	From   Position `json:"from"`
	To     Position `json:"to"`
	Demand float64  `json:"demand"`
	Detail any      `json:"detail"`
}

type jsonFamily struct {
	ID         string         `json:"id"`
	Kind       Kind           `json:"kind"`
	Spots      []string       `json:"spots"`
	LearnFirst string         `json:"learn_first"`
	Relations  []jsonRelation `json:"relations"`
	Share      float64        `json:"share"` // of the hot spots
}

type jsonPassage struct {
	ID          string        `json:"id"`
	From        Position      `json:"from"`
	To          Position      `json:"to"`
	Hand        score.Hand    `json:"hand"`
	Troubles    []jsonTrouble `json:"troubles"` // the hardest first
	Spots       []string      `json:"spots"`
	Demand      float64       `json:"demand"`
	Comfortable *float64      `json:"comfortable_quarters_per_minute"`
	Habit       bool          `json:"habit"`
	Harder      []int         `json:"harder"` // bars by index, of a habit
	Shortlist   bool          `json:"shortlist"`
	Order       int           `json:"order"`  // on the shortlist, from 1; 0 off it
	Covers      []int         `json:"covers"` // bars by index in which the same is asked
	Share       float64       `json:"share"`  // of all trouble
}

type jsonTrouble struct {
	Kind   Kind       `json:"kind"`
	Hand   score.Hand `json:"hand"`
	Spot   string     `json:"spot"`
	Demand float64    `json:"demand"`
}

type jsonRelation struct {
	Spot string `json:"spot"`
	Text string `json:"relation"` // to the spot to learn first
}

// JSON is the report for other programs, indented, with a newline at the end.
// The README gives its shape.
func (r *Report) JSON() ([]byte, error) {
	out := jsonReport{
		Score: r.jsonScore(), Player: r.Player,
		Spots: []jsonSpot{}, Families: []jsonFamily{}, Passages: []jsonPassage{}, LeftOut: r.LeftOut, Bars: []float64{}, Warnings: []string{},
	}
	for _, d := range r.BarDemand {
		out.Bars = append(out.Bars, Round3(d))
	}
	for _, sp := range r.Spots {
		out.Spots = append(out.Spots, r.jsonSpot(&sp))
	}
	for _, f := range r.Families {
		out.Families = append(out.Families, newJSONFamily(f))
	}
	for i := range r.Passages {
		out.Passages = append(out.Passages, r.jsonPassage(&r.Passages[i]))
	}
	for _, w := range r.Score.Warnings {
		out.Warnings = append(out.Warnings, w.String())
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	err := enc.Encode(out)
	return b.Bytes(), err
}

func (r *Report) jsonScore() jsonScore {
	s := r.Score
	tempo := r.Clock.Main()
	return jsonScore{
		Title: s.Title, Composer: s.Composer, Bars: len(s.Bars),
		Hands: jsonHands{s.Sources[score.Right], s.Sources[score.Left]},
		Tempo: jsonTempo{Round3(tempo.QPM), tempo.From},
	}
}

// MarshalJSON is who plays as the report's JSON has it.
func (p Player) MarshalJSON() ([]byte, error) {
	right, left := p.SpanMM[score.Right], p.SpanMM[score.Left]
	return json.Marshal(jsonPlayer{
		SpanMM: math.Min(right, left), SpanByHand: jsonSpans{right, left},
		Level: p.Level, Tempo: p.Tempo.String(), MiddlePedal: p.MiddlePedal, Own: p.Own, From: p.From,
	})
}

func (r *Report) jsonSpot(sp *Spot) jsonSpot {
	out := jsonSpot{
		ID: sp.ID, Rank: sp.Rank, Kind: sp.Kind, Hand: sp.Hand, Family: sp.Family,
		From: r.Position(sp.From), To: r.EndPosition(sp.To),
		Count: len(sp.Occurrences), Demand: Round3(sp.Demand), Quiet: sp.Quiet, Why: sp.Why,
	}
	out.Comfortable = jsonTempoOf(sp.Comfortable)
	for _, o := range sp.Occurrences {
		out.Occurrences = append(out.Occurrences, jsonOccurrence{
			From: r.Position(o.From), To: r.EndPosition(o.To), Demand: Round3(o.Demand), Detail: o.Detail,
		})
	}
	return out
}

func newJSONFamily(f Family) jsonFamily {
	out := jsonFamily{
		ID: f.ID, Kind: f.Kind, Spots: f.Spots, LearnFirst: f.LearnFirst,
		Relations: []jsonRelation{}, Share: Round3(f.Share),
	}
	for _, relation := range f.Relations {
		out.Relations = append(out.Relations, jsonRelation{relation.Spot, relation.Text})
	}
	return out
}

func (r *Report) jsonPassage(p *Passage) jsonPassage {
	out := jsonPassage{
		ID: p.ID, From: r.Position(p.From), To: r.EndPosition(p.To), Hand: p.Hand, Troubles: []jsonTrouble{}, Spots: p.Spots,
		Demand: Round3(p.Demand), Comfortable: jsonTempoOf(p.Comfortable), Habit: p.Habit, Harder: r.indices(p.Harder),
		Shortlist: p.Shortlist, Order: p.Order, Covers: r.indices(p.Covers), Share: Round3(p.Share),
	}
	for _, t := range p.Troubles {
		out.Troubles = append(out.Troubles, jsonTrouble{t.Kind, t.Hand, t.Spot, Round3(t.Hardest.Demand)})
	}
	return out
}

// indices are bars as JSON counts them, from 1.
func (r *Report) indices(bars []int) []int {
	all := []int{}
	for _, bar := range bars {
		all = append(all, r.Score.Bars[bar].Index)
	}
	return all
}

// jsonTempoOf rounds quarters a minute to a tenth; nil for 0.
func jsonTempoOf(qpm float64) *float64 {
	if qpm == 0 {
		return nil
	}
	rounded := math.Round(qpm*10) / 10
	return &rounded
}
