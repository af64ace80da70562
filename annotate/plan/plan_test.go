package plan

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"hardbars/annotate/practice"
	"hardbars/detect"
	"hardbars/score"
)

// lines is a plan in short: "Mon 5: 5 alone 1 right 30", one item a line.
func lines(p *Plan) []string {
	var all []string
	for _, d := range p.Days {
		for _, it := range d.Items {
			all = append(all, strings.TrimSpace(fmt.Sprintf("%s: %d %s %s %s %s %d", d.Date.Format("Mon 2"), it.Minutes, it.Stage, strings.Join(it.Spots, ","), p.Bars(it.Passages), it.Hands, it.Pace.PerMinute)))
		}
	}
	return all
}

// Two places, half as fast in comfort as asked for and a little faster: worked out
// by hand from the rules of the package comment.
func TestPlanByHand(t *testing.T) {
	s := piece(24, threeFour, 80)
	r := reportWith(s, place{0, 19, 19, 2, score.Left, true}, place{1, 9, 9, 1.6, score.Left, true})
	p := makePlan(t, r, usual(3))
	var hard []string
	for _, l := range lines(p) {
		if !strings.Contains(l, string(Section)) && !strings.Contains(l, string(Run)) {
			hard = append(hard, l)
		}
	}
	want := []string{
		"Mon 5: 5 alone 1 20 left 40", "Mon 5: 5 alone 2 10 left 50", "Mon 5: 5 alone 1 20 left 40", "Mon 5: 5 alone 2 10 left 50",
		"Tue 6: 5 together 1 20 both 40", "Tue 6: 5 together 2 10 both 50",
		"Fri 9: 5 together 1 20 both 42", "Fri 9: 5 together 2 10 both 53",
	}
	for i := range want {
		if i >= len(hard) || hard[i] != want[i] {
			t.Fatalf("from item %d:\n%s\nwant\n%s", i, strings.Join(hard, "\n"), strings.Join(want, "\n"))
		}
	}
	if len(p.LeftOut) > 0 {
		t.Errorf("left out: %v", p.LeftOutWords())
	}
}

// A tempo rises by a little from visit to visit, with a step back now and then.
func TestClimb(t *testing.T) {
	pace := func(n int) detect.Pace { return detect.Pace{Beat: score.Int(1), PerMinute: n} }
	for _, c := range []struct {
		start, target, met int
		want               string
	}{
		{60, 80, 0, "[60 60 64 68 73 68 78 80]"},
		{60, 80, 2, "[64 68 73 68 78 80]"},
		{79, 80, 2, "[80]"},
		{80, 80, 0, "[80 80]"},
		{5, 8, 2, "[6 7 8]"},
	} {
		var got []int
		for _, p := range climb(pace(c.start), pace(c.target), c.met) {
			got = append(got, p.PerMinute)
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("from %d to %d after %d visits: %v, want %s", c.start, c.target, c.met, got, c.want)
		}
	}
}

// All of the piece is met each week, from the end towards the beginning, and
// short pieces have short plans that end with a performance.
func TestAllOfThePiece(t *testing.T) {
	r := reportWith(piece(48, fourFour, 60), place{0, 19, 19, 1.3, score.Left, true})
	p := makePlan(t, r, usual(8))
	met := map[int]map[int]bool{} // by week, bars
	last := 0
	for i, d := range p.Days {
		week := daysFrom(p.Options.Start, d.Date) / 7
		if met[week] == nil {
			met[week] = map[int]bool{}
		}
		last = i
		for _, it := range d.Items {
			for _, b := range it.Passages {
				for bar := b.First; bar <= b.Last; bar++ {
					met[week][bar] = true
				}
			}
		}
	}
	weeks := len(met)
	for week := range weeks - 1 {
		if len(met[week]) != 48 {
			t.Errorf("in week %d %d of 48 bars are met", week+1, len(met[week]))
		}
	}
	if weeks >= 8 {
		t.Errorf("a short piece has a plan of %d weeks", weeks)
	}
	var stages []Stage
	for _, d := range p.Days[last-2:] {
		stages = append(stages, d.Items[len(d.Items)-1].Stage)
	}
	if !slices.Equal(stages, []Stage{Memory, Run, Performance}) {
		t.Errorf("the plan ends with %v", stages)
	}
	if it := p.Days[0].Items; len(it) == 0 || !slices.ContainsFunc(it, func(it Item) bool { return it.Stage == Section && it.Passages[0].Last == 47 }) {
		t.Errorf("the first day does not have the end of the piece: %v", lines(p)[:4])
	}
}

// A piece too long for a run without a break has none: 300 bars take 20 minutes
// at quarter = 60 and 27 at three quarters of that, at quarter = 30 twice as long.
func TestLongRun(t *testing.T) {
	for qpm, why := range map[float64]string{60: "", 30: "after 30 a break is due"} {
		o := usual(8)
		o.Minutes = 120
		p := makePlan(t, reportWith(piece(300, fourFour, qpm)), o)
		if words := strings.Join(p.LeftOutWords(), " "); (why == "") != (words == "") || !strings.Contains(words, why) {
			t.Errorf("at %g: left out %q, want %q", qpm, words, why)
		}
	}
}

func TestRestDays(t *testing.T) {
	for days, want := range map[int]string{
		7: "no day of rest",
		6: "rest on Sunday",
		5: "rest on Thursday and Sunday",
		4: "rest on Wednesday, Friday and Sunday",
		3: "rest on Tuesday, Thursday, Saturday and Sunday",
		2: "rest on Tuesday, Wednesday, Friday, Saturday and Sunday",
		1: "rest on Tuesday, Wednesday, Thursday, Friday, Saturday and Sunday",
	} {
		o := usual(1)
		o.Days = days
		if p := makePlan(t, reportWith(piece(4, threeFour, 60)), o); p.restWords() != want || len(p.Days) != days {
			t.Errorf("%d days a week: %s, %d days of practice; want %s", days, p.restWords(), len(p.Days), want)
		}
	}
}

// What has been practised goes on from there: when it is due, at its best tempo.
func TestKnown(t *testing.T) {
	s := piece(24, threeFour, 80)
	r := reportWith(s, place{0, 19, 19, 2, score.Left, true}, place{1, 9, 9, 1.6, score.Left, true}, place{2, 4, 4, 1.2, score.Both, true})
	o := usual(2)
	day := func(n int) time.Time { return monday.AddDate(0, 0, n).Add(18 * time.Hour) }
	o.Known = map[string]State{
		"1": {Best: 60, Dates: []time.Time{day(-4), day(-3), day(-4)}},                         // met twice: due 2 days after the last
		"2": {Best: 100, Dates: []time.Time{day(-30), day(-29), day(-27), day(-23), day(-16)}}, // learnt
	}
	p := makePlan(t, r, o)
	first := meetings(p, "1")
	if len(first) < 3 || first[0].Pace.PerMinute != 64 || first[1].Pace.PerMinute != 68 {
		t.Errorf("place 1: %v", first)
	}
	if len(meetings(p, "2")) > 0 || len(p.LeftOut) != 1 || !strings.HasPrefix(p.LeftOut[0].Why, "Learnt") {
		t.Errorf("place 2 is learnt: %v", p.LeftOutWords())
	}
	if m := meetings(p, "3"); len(m) == 0 || m[0].Stage != Alone || m[0].Hands != "apart" {
		t.Errorf("place 3: %v", m)
	}
}

// After a long pause a place goes back by one meeting and to the comfortable
// tempo; one that is only some days late does not.
func TestPause(t *testing.T) {
	r := reportWith(piece(24, threeFour, 80), place{0, 19, 19, 2, score.Left, true})
	for _, c := range []struct {
		last  int // day of practice, after the day before: due again 2 days later
		stage Stage
		tempo int
	}{
		{-9, Together, 64}, // a week late
		{-10, Together, 40},
		{-60, Together, 40},
	} {
		o := usual(3)
		day := func(n int) time.Time { return monday.AddDate(0, 0, n) }
		o.Known = map[string]State{"1": {Best: 60, Dates: []time.Time{day(c.last - 1), day(c.last)}}}
		first := meetings(makePlan(t, r, o), "1")
		if len(first) == 0 || first[0].Stage != c.stage || first[0].Pace.PerMinute != c.tempo {
			t.Errorf("last met on day %d: %v", c.last, first)
		}
	}
}

// The teacher's remarks come up with their bars.
func TestRemarks(t *testing.T) {
	r := reportWith(piece(24, threeFour, 80), place{0, 19, 19, 2, score.Left, true})
	o := usual(1)
	o.Remarks = func(first, last int, hand score.Hand) []string {
		if first <= 19 && last >= 19 && hand != score.Right {
			return []string{"Thumb on F."}
		}
		return nil
	}
	for _, d := range makePlan(t, r, o).Days {
		for _, it := range d.Items {
			holds := slices.ContainsFunc(it.Passages, func(p Passage) bool { return p.First <= 19 && p.Last >= 19 }) && it.Stage != Run
			if holds != slices.Equal(it.Remarks, []string{"Thumb on F."}) {
				t.Errorf("%s %v: %q", it.Stage, it.Passages, it.Remarks)
			}
		}
	}
}

// Where both hands play, what was said to one of them counts.
func TestRemarksToTheOtherHand(t *testing.T) {
	r := reportWith(piece(24, threeFour, 80), place{0, 19, 19, 2, score.Left, true})
	o := usual(3)
	o.Remarks = func(first, last int, hand score.Hand) []string {
		if hand == score.Left {
			return nil
		}
		return []string{"bar 20, right hand: thumb on F"}
	}
	p := makePlan(t, r, o)
	for i, it := range meetings(p, "1") {
		if said := slices.Contains(it.Said(), "Remark on bar 20, right hand: thumb on F"); said != (it.Stage != Alone) {
			t.Errorf("visit %d, %s: %q", i, it.Stage, it.Said())
		}
	}
}

// The first visits to a passage say how: the steps of the hand alone, the next
// day what brings in the other hand; the last says when it is learnt.
func TestHow(t *testing.T) {
	r := reportWith(piece(24, threeFour, 80), place{0, 19, 19, 1.2, score.Left, true})
	l := practice.ForPassage(r, &r.Passages[0])
	var how []string
	for _, m := range meetings(makePlan(t, r, usual(8)), "1") {
		how = append(how, m.How)
	}
	if len(how) < 5 || how[0] != l.Steps[0] || how[1] != l.Steps[len(l.Steps)-1] || !strings.HasPrefix(how[len(how)-1], "Learnt when") {
		t.Errorf("the visits say %q, the steps are %q", how, l.Steps)
	}
}

// A plan says what it does not do, and what would be enough.
func TestHonest(t *testing.T) {
	var places []place
	for i := range 12 {
		places = append(places, place{i, 8 * i, 8*i + 1, 2, score.Right, true})
	}
	r := reportWith(piece(96, threeFour, 80), places...)
	o := usual(1)
	o.Minutes = 10
	p := makePlan(t, r, o)
	words := strings.Join(append(p.LeftOutWords(), p.Notes...), "\n")
	for _, want := range []string{"passages are left out", "weeks of the same practice would take them in", "By 11 January this comes: bar", "of 80"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not in\n%s", want, words)
		}
	}
}

func TestCheck(t *testing.T) {
	for _, tt := range []struct {
		change func(*Options)
		want   string
	}{
		{func(o *Options) { o.Minutes = 4 }, "4 minutes"},
		{func(o *Options) { o.Minutes = 241 }, "241 minutes"},
		{func(o *Options) { o.Days = 0 }, "0 days a week"},
		{func(o *Options) { o.Days = 8 }, "8 days a week"},
		{func(o *Options) { o.End = o.Start.AddDate(0, 0, -1) }, "ends on 2026-01-04, before it starts on 2026-01-05"},
		{func(o *Options) { o.End = o.Start.AddDate(2, 0, 0) }, "731 days long"},
	} {
		o := usual(2)
		tt.change(&o)
		if _, err := Make(reportWith(piece(4, threeFour, 60)), o); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("error %v, want one with %q", err, tt.want)
		}
	}
}

// A score without bars has a plan without days.
func TestNoBars(t *testing.T) {
	p := makePlan(t, reportWith(piece(0, threeFour, 60)), usual(2))
	if len(p.Days) != 0 || len(p.LeftOut) != 0 {
		t.Errorf("%d days, left out %v", len(p.Days), p.LeftOut)
	}
	if err := p.WriteICalendar(&bytes.Buffer{}); err == nil {
		t.Error("a calendar without events")
	}
}

// Source: RFC 5545, section 3.1 (lines end in CRLF and have 75 bytes at most)
// and 3.8.4.7 (an identifier of its own for each event).
func TestICalendar(t *testing.T) {
	r := reportWith(piece(24, threeFour, 80), place{0, 19, 19, 2, score.Left, true})
	r.Score.Title = "Lied,\nvom; Frühling\x00\xff"
	p := makePlan(t, r, usual(2))
	var b bytes.Buffer
	if err := p.WriteICalendar(&b); err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for line := range strings.SplitSeq(strings.TrimSuffix(b.String(), "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n\x00") {
			t.Errorf("line %q", line)
		}
		if strings.HasPrefix(line, "UID:") {
			if seen[line] {
				t.Errorf("%s twice", line)
			}
			seen[line] = true
		}
	}
	if len(seen) != len(p.Days) {
		t.Errorf("%d events for %d days", len(seen), len(p.Days))
	}
	for _, want := range []string{"DTSTAMP:20260105T000000Z", "DTSTART;VALUE=DATE:20260117", "DTEND;VALUE=DATE:20260118", `SUMMARY:Lied\, vom\; Frühling`} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is missing", want)
		}
	}
}
