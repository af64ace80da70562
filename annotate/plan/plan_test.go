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
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// lines is a plan in short: "Mon 5: 4 alone 1 right 30", one item a line.
func lines(p *Plan) []string {
	var all []string
	for _, d := range p.Days {
		for _, it := range d.Items {
			all = append(all, strings.TrimSpace(fmt.Sprintf("%s: %d %s %s %s %s %d", d.Date.Format("Mon 2"), it.Minutes, it.Stage, strings.Join(it.Spots, ","), p.Bars(it.Passages), it.Hands, it.Pace.PerMinute)))
		}
	}
	return all
}

// A leap in bar 20 that comes again in bar 10, half as fast in comfort as asked
// for: worked out by hand from the rules of the package comment.
func TestPlanByHand(t *testing.T) {
	s := piece(24, threeFour, 80)
	r := reportWith(s, place{0, 19, 19, 2, score.Left, true}, place{0, 9, 9, 1.6, score.Left, true})
	p := makePlan(t, r, usual(3))
	var hard []string
	for _, l := range lines(p) {
		if !strings.Contains(l, string(Section)) && !strings.Contains(l, string(Run)) {
			hard = append(hard, l)
		}
	}
	want := []string{
		"Mon 5: 5 alone 1 20 left 40", "Mon 5: 5 alone 1 20 left 40",
		"Tue 6: 5 together 1 20 both 50",
		"Fri 9: 5 alone 2 10 left 50", "Fri 9: 5 context 1 19–21 both 60", "Fri 9: 5 alone 2 10 left 50",
		"Sat 10: 5 together 2 10 both 57",
		"Mon 12: 5 context 1 19–21 both 70", "Mon 12: 5 context 2 9–11 both 65",
		"Fri 16: 5 context 2 9–11 both 72",
		"Mon 19: 5 context 1 19–21 both 80",
		"Fri 23: 5 context 2 9–11 both 80",
	}
	for i := range max(len(hard), len(want)) {
		if i >= len(hard) || i >= len(want) || hard[i] != want[i] {
			t.Fatalf("from item %d:\n%s\nwant\n%s", i, strings.Join(hard, "\n"), strings.Join(want, "\n"))
		}
	}
	if len(p.LeftOut) > 0 {
		t.Errorf("left out: %v", p.LeftOutWords())
	}
}

// The rest of the piece: parts from the beginning, then a run a day, faster
// from one to the next. Two strains of twelve bars, each played twice: 192
// seconds in all, 256 at three quarters of the tempo.
func TestRestOfThePiece(t *testing.T) {
	s := piece(24, fourFour, 60)
	s.Bars[11].RepeatEnd, s.Bars[12].RepeatStart, s.Bars[23].RepeatEnd = 2, true, 2
	p := makePlan(t, reportWith(s), Options{Minutes: 20, Days: 7, Start: monday, End: monday.AddDate(0, 0, 4)})
	want := []string{"Mon 5: 5 section  1–12 both 45", "Mon 5: 5 section  13–24 both 45", "Mon 5: 6 run  1–24 both 45", "Tue 6: 5 section  1–12 both 50"}
	if got := lines(p); len(got) < len(want) || !slices.Equal(got[:len(want)], want) {
		t.Errorf("got %q", got)
	}
	var runs []int
	for _, d := range p.Days {
		for _, it := range d.Items {
			if it.Stage == Run {
				runs = append(runs, it.Pace.PerMinute)
			}
		}
	}
	if !slices.Equal(runs, []int{45, 50, 55, 60, 60}) {
		t.Errorf("runs at %v", runs)
	}
}

// When the piece is learnt the plan says that there is little left to do: four
// rounds of the one part, a day each, then runs of three minutes.
func TestEasing(t *testing.T) {
	p := makePlan(t, reportWith(piece(12, fourFour, 60)), usual(2))
	note := "From Monday 5 January on there is less to do than half of your time"
	if got := strings.Join(p.Notes, "\n"); !strings.Contains(got, note) {
		t.Errorf("%q is not in %q", note, got)
	}
	o := usual(2)
	o.Minutes = 12 // of which the days with a part take eight, the others three
	p = makePlan(t, reportWith(piece(12, fourFour, 60)), o)
	note = "From Saturday 10 January on there is less"
	if got := strings.Join(p.Notes, "\n"); !strings.Contains(got, note) {
		t.Errorf("%q is not in %q: %q", note, got, lines(p))
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

// Of a long place the bars are taken that hold the most that is past comfort.
func TestPassage(t *testing.T) {
	s := piece(40, fourFour, 60)
	r := reportWith(s, place{0, 4, 33, 2, score.Right, true})
	spot := &r.Spots[0]
	hardest := spot.Occurrences[0]
	for _, bar := range []int{24, 25, 26, 30} {
		o := hardest
		o.From, o.Demand = s.Bars[bar].Start, 1.5
		spot.Occurrences = append(spot.Occurrences, o)
	}
	spot.Occurrences[0].From, spot.Occurrences[0].Demand = s.Bars[22].Start, 2
	if got, want := passage(r, spot), (Passage{21, 26}); got != want {
		t.Errorf("bars %v, want %v: six bars of four quarters with the hardest and three more of them", got, want)
	}
	spot.LastBar = 8
	spot.Occurrences = []detect.Occurrence{hardest}
	if got, want := passage(r, spot), (Passage{4, 8}); got != want {
		t.Errorf("bars %v, want all, %v", got, want)
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
	if len(first) != 3 || first[0].Stage != Context || first[0].Pace.PerMinute != 60 || first[2].Pace.PerMinute != 80 {
		t.Errorf("place 1: %v", first)
	}
	for i, n := range []int{0, 4, 11} { // due on Sunday, put off to Monday; then 4 and 7 days on
		if i < len(first) && !first[i].date.Equal(monday.AddDate(0, 0, n)) {
			t.Errorf("place 1: met on %s, want day %d", first[i].date, n)
		}
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
		{-9, Context, 60}, // a week late
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

// The visits to a place go on with its advice: the second with the next step
// of the hand alone, the next day with what brings in the other hand, the last
// with the test.
func TestHow(t *testing.T) {
	right, left := strings.Repeat("C5:1 D5:1 E5:1 | ", 12), strings.Repeat("C3:3 | ", 12)
	s := scoretest.Piece{Time: "3/4", QPM: 150, Right: []string{right + "C5:1 D5:1 E5:1"}, Left: []string{left + "C2:1/2 C4:1/2 C2:1/2 C4:1/2 C2:1"}}.Score(t)
	r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
	p := makePlan(t, r, usual(3))
	advice := practice.For(r, &r.Spots[0])
	if advice.Alone < 2 {
		t.Fatalf("the place has one step for the hand alone: %q", advice.Steps)
	}
	var how []string
	for _, d := range p.Days {
		for _, it := range d.Items {
			if slices.Contains(it.Spots, "1") {
				how = append(how, it.How)
			}
		}
	}
	want := []string{advice.Steps[0], advice.Steps[1], advice.Steps[advice.Alone], "", "", advice.Test}
	if !slices.Equal(how, want) {
		t.Errorf("the visits say\n%q, want\n%q", how, want)
	}
}

// A plan says what it does not do, and what would be enough.
func TestHonest(t *testing.T) {
	s := piece(60, threeFour, 80)
	var places []place
	for i := range 20 {
		places = append(places, place{i, 3 * i, 3*i + 1, 2, score.Right, true})
	}
	p := makePlan(t, reportWith(s, places...), usual(1))
	words := strings.Join(append(p.LeftOutWords(), p.Notes...), "\n")
	for _, want := range []string{"hot spots are left out", "weeks of the same practice would take them in", "No time is left for whole runs", "before", "place 20 (bars"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not in\n%s", want, words)
		}
	}
	weeks := 0
	for _, note := range p.Notes {
		if _, after, ok := strings.Cut(note, "left out. "); ok {
			fmt.Sscan(after, &weeks)
		}
	}
	if p := makePlan(t, reportWith(s, places...), usual(weeks)); shortOfPlan(p) {
		t.Errorf("%d weeks were said to be enough: %v", weeks, p.LeftOutWords())
	}
}

func shortOfPlan(p *Plan) bool {
	return slices.ContainsFunc(p.LeftOut, func(l LeftOut) bool { return len(l.Spots) > 0 })
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
