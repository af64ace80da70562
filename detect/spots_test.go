package detect

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"hardbars/score"
)

// blank is a score of n bars of four quarters at quarter = 60, without notes.
// The first is a pickup printed "0".
func blank(n int) *score.Score {
	s := &score.Score{Tempos: []score.Tempo{{QPM: 60, Beat: score.Int(1), From: score.FromMetronome}}}
	for i := range n {
		s.Bars = append(s.Bars, score.Bar{
			Number: fmt.Sprint(i), Index: i + 1, Start: score.Int(int64(4 * i)), Length: score.Int(4),
			Time: score.Time{Beats: "4", BeatType: 4, Length: score.Int(4)},
		})
	}
	return s
}

// in is an occurrence that fills whole bars, first to last, as printed.
func in(first, last int64, shape string, demand float64) Occurrence {
	return Occurrence{Kind: "leap", From: score.Int(4 * first), To: score.Int(4*last + 4), Shape: shape, Demand: demand, Timed: true}
}

// reportOf merges, groups and ranks what was found in a blank score of 30 bars.
func reportOf(found ...Occurrence) *Report {
	s := blank(30)
	r := &Report{Score: s, Player: DefaultPlayer(), Clock: newClock(s, TempoChoice{}), BarDemand: placesDemand(s, found)}
	r.Spots = hotSpots(s, r.Clock, found)
	r.group()
	return r
}

// spotsIn describes spots by rank: "5–6 A 1.4".
func spotsIn(r *Report) string {
	var all []string
	for i := range r.Spots {
		sp := &r.Spots[i]
		all = append(all, fmt.Sprintf("%s %s %.3g", r.Bars(sp), sp.Family, sp.Demand))
	}
	return strings.Join(all, ", ")
}

func TestMergeAndRank(t *testing.T) {
	left := in(3, 3, "a", 1)
	left.Hand = score.Left
	other := in(3, 3, "a", 1)
	other.Kind = "spread-octave"
	halfBar := in(6, 6, "a", 1)
	halfBar.From, halfBar.To = score.Int(26), score.Int(27)
	for _, c := range []struct {
		name  string
		found []Occurrence
		want  string
	}{
		{"nothing", nil, ""},
		{"neighbouring bars are one spot", []Occurrence{in(3, 3, "a", 1), in(4, 4, "a", 1)}, "3–4 A 1"},
		{"one bar between", []Occurrence{in(3, 3, "a", 1), in(5, 5, "a", 1)}, "3–5 A 1"},
		{"two bars between", []Occurrence{in(3, 3, "a", 1), in(6, 6, "a", 1)}, "3 A 1, 6 A 1"},
		{"what ends late reaches over what ends early", []Occurrence{in(3, 8, "a", 1), in(4, 4, "a", 1), in(10, 10, "a", 1)}, "3–10 A 1"},
		{"found out of order", []Occurrence{in(5, 5, "a", 1), in(3, 3, "a", 1)}, "3–5 A 1"},
		{"part of a bar", []Occurrence{in(4, 4, "a", 1), halfBar}, "4–6 A 1"},
		{"the other hand is another spot", []Occurrence{in(3, 3, "a", 1), left}, "3 A 1, 3 B 1"},
		{"another kind is another spot", []Occurrence{in(3, 3, "a", 1), other}, "3 A 1, 3 B 1"},
		{"the pickup is bar 0", []Occurrence{in(0, 0, "a", 1)}, "0 A 1"},
		{"hardest first", []Occurrence{in(3, 3, "a", 1), in(9, 9, "b", 2)}, "9 A 2, 3 B 1"},
		{"the earlier first on ties", []Occurrence{in(9, 9, "b", 1), in(3, 3, "a", 1.0001)}, "3 A 1, 9 B 1"},
		{"coming again raises", []Occurrence{in(3, 3, "a", 1.03), in(9, 9, "b", 1), in(15, 15, "b", 0.5)}, "9 A 1, 3 B 1.03, 15 A 0.5"},
		{"but not past what is clearly harder", []Occurrence{in(3, 3, "a", 1.2), in(9, 9, "b", 1), in(15, 15, "b", 1)}, "3 A 1.2, 9 B 1, 15 B 1"},
		{"the hardest occurrence speaks for its spot", []Occurrence{in(3, 3, "a", 1), in(4, 4, "b", 2), in(12, 12, "b", 1)}, "3–4 A 2, 12 A 1"},
	} {
		if got := spotsIn(reportOf(c.found...)); got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}

func TestComfortableAndTarget(t *testing.T) {
	still := in(3, 3, "a", 1.5)
	still.Timed = false
	r := reportOf(still, in(9, 9, "b", 1.2))
	if r.Spots[0].Comfortable != 0 || r.Spots[0].Target != 60 {
		t.Errorf("what tempo does not change: %+v", r.Spots[0])
	}
	if r.Spots[1].Comfortable != 50 || r.Spots[1].Target != 60 {
		t.Errorf("demand 1.2 at 60: comfortable at %g of %g, want 50 of 60", r.Spots[1].Comfortable, r.Spots[1].Target)
	}
}

func TestPlaces(t *testing.T) {
	r := reportOf()
	if got := r.Position(score.Int(8)); got != (Position{"2", 3, score.Rat{}}) {
		t.Errorf("a note on the barline begins at %+v", got)
	}
	if got := r.EndPosition(score.Int(8)); got != (Position{"1", 2, score.Int(4)}) {
		t.Errorf("a note up to the barline ends at %+v", got)
	}
}

func TestBarRange(t *testing.T) {
	r := reportOf()
	r.Score.Bars[7].Number = "X1"
	r.Score.Bars[9].Number = "8" // a second bar 8
	for text, want := range map[string][2]int{"0": {0, 0}, "5-12": {5, 12}, "5–12": {5, 12}, " 2 - 3 ": {2, 3}, "X1": {7, 7}, "8": {8, 9}, "30": {29, 29}} {
		first, last, err := r.BarRange(text)
		if err != nil || first != want[0] || last != want[1] {
			t.Errorf("bars %q: %d to %d, %v; want %v", text, first, last, err, want)
		}
	}
	for _, text := range []string{"", "-", "5-", "12-5", "99", "-3", "x", "31"} {
		if _, _, err := r.BarRange(text); err == nil || !strings.Contains(err.Error(), "0 to 29") {
			t.Errorf("bars %q: %v, want an error that says which bars there are", text, err)
		}
	}
}

func TestOnly(t *testing.T) {
	r := reportOf(in(3, 4, "a", 1), in(9, 9, "a", 2), in(15, 15, "b", 0.5))
	only := r.Only(func(sp *Spot) bool { return sp.Within(4, 8) })
	if len(only.Spots) != 1 || only.Spots[0].ID != "2" || len(only.Families) != 1 || only.Families[0].LearnFirst != "1" {
		t.Errorf("got %+v", only)
	}
	if len(r.Spots) != 3 || len(r.Families) != 2 {
		t.Error("the whole report was changed")
	}
}

func TestJSON(t *testing.T) {
	if got := encode(t, reportOf()); !strings.Contains(got, `"spots": []`) || !strings.Contains(got, `"families": []`) || !strings.Contains(got, `"warnings": []`) || strings.Contains(got, "null") {
		t.Errorf("an empty report must have empty lists:\n%s", got)
	}
	still := in(9, 9, "a", 1.23456)
	still.Timed, still.Why = false, "5 < 6 & so on"
	r := reportOf(in(3, 3, "a", 2), still)
	r.Score.Warnings = []score.Warning{{Bar: "4", Text: "a tie never ends"}}
	got := encode(t, r)
	for _, want := range []string{
		`"quarters_per_minute": 60,`, `"from": "metronome"`, `"span_mm": 201,`, `"level": "returning",`,
		`"comfortable_quarters_per_minute": 30,`, `"comfortable_quarters_per_minute": null,`,
		`"demand": 1.235,`, `"why": "5 < 6 & so on",`, `"learn_first": "1"`, `"bar 4: a tie never ends"`, `"offset": "4"`, `"bar_demand": [`, `"quiet_left_out": 0`, `"quiet": false`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("%s is missing in\n%s", want, got)
		}
	}
}

// encode checks that the JSON is JSON and the same bytes each time.
func encode(t *testing.T, r *Report) string {
	t.Helper()
	first, err := r.JSON()
	if err != nil || !json.Valid(first) {
		t.Fatalf("not JSON: %v\n%s", err, first)
	}
	if second, _ := r.JSON(); string(second) != string(first) {
		t.Error("the same report gives other bytes the second time")
	}
	return string(first)
}

func TestSecondsAcrossTempos(t *testing.T) {
	s := blank(4)
	s.Tempos = append(s.Tempos, score.Tempo{At: score.Int(4), QPM: 120}, score.Tempo{At: score.Int(8), QPM: 30})
	c := newClock(s, TempoChoice{})
	for _, x := range []struct {
		from, to int64
		want     float64
	}{{0, 4, 4}, {4, 8, 2}, {8, 9, 2}, {2, 10, 2 + 2 + 4}, {5, 5, 0}} {
		if got := c.Seconds(score.Int(x.from), score.Int(x.to)); got != x.want {
			t.Errorf("%d to %d: %g s, want %g", x.from, x.to, got, x.want)
		}
	}
	for _, choice := range []TempoChoice{{QPM: 120}, {Share: 2}} {
		c = newClock(s, choice)
		qpm, main := c.QPM(score.Int(0)), c.Main()
		if qpm != 120 || main.QPM != 60 || main.From != score.FromPlayer || c.QPM(score.Int(8)) != 60 || c.Seconds(score.Int(2), score.Int(10)) != 4 {
			t.Errorf("twice as fast: opening %g, main %+v, later %g", qpm, main, c.QPM(score.Int(8)))
		}
	}
}
