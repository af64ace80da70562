package sheet

import (
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
)

func TestTempoStep(t *testing.T) {
	tests := []struct {
		time                score.Time
		comfortable, target float64 // quarters a minute
		want                string
	}{
		{score.Time{Beats: "6", BeatType: 8}, 70.5, 99, "♩. = 47 → 66"},
		{score.Time{Beats: "3", BeatType: 4}, 47.9, 66, "♩ = 47 → 66"},
		{score.Time{Beats: "3", BeatType: 8}, 47, 66, "♪ = 94 → 132"},
		{score.Time{Beats: "2", BeatType: 2}, 80, 120, "half = 40 → 60"},
		{score.Time{Beats: "2", BeatType: 64}, 80, 120, "♩ = 80 → 120"},
		{score.Time{}, 80, 120, "♩ = 80 → 120"},
		{score.Time{Beats: "3", BeatType: 4}, 90, 66, "♩ = 66, comfortable"},
		{score.Time{Beats: "3", BeatType: 4}, 0, 66, "at any tempo"},
	}
	for _, tt := range tests {
		r := reportWith(1, place{0, 0, 0, 0})
		r.Score.Bars[0].Time = tt.time
		r.Spots[0].Comfortable, r.Spots[0].Target = tt.comfortable, tt.target
		if got := tempoStep(r, &r.Spots[0]); got != tt.want {
			t.Errorf("%v/%d, %g to %g: %q, want %q", tt.time.Beats, tt.time.BeatType, tt.comfortable, tt.target, got, tt.want)
		}
	}
}

// The beat is that of the bar of the hardest occurrence, not of the first.
func TestTempoStepCountsWhereItIsHardest(t *testing.T) {
	r := reportWith(2, place{0, 0, 1, 0})
	r.Score.Bars[1].Time = score.Time{Beats: "3", BeatType: 4}
	later := r.Spots[0].Occurrences[0]
	later.From = r.Score.Bars[1].Start
	r.Spots[0].Occurrences, r.Spots[0].Hardest = append(r.Spots[0].Occurrences, later), 1
	if got := tempoStep(r, &r.Spots[0]); !strings.HasPrefix(got, "♩ = ") {
		t.Errorf("got %q, want quarters", got)
	}
}

func TestMainTempo(t *testing.T) {
	tests := []struct {
		from       score.TempoSource
		text, want string
	}{
		{score.FromMetronome, "♩. = 66", "♩. = 66 (from the metronome mark “♩. = 66”)"},
		{score.FromSound, "", "♩. = 66 (from the file's playback tempo, not printed in the score)"},
		{score.FromWords, "Andante", "♩. = 66 (a guess from the word “Andante”; the score gives no figure)"},
		{score.Assumed, "", "♩. = 66 (assumed: the score gives no tempo)"},
	}
	for _, tt := range tests {
		s := emptyReport(4).Score
		s.Tempos[0].From, s.Tempos[0].Text = tt.from, tt.text
		if got := mainTempo(detect.Analyze(s, detect.DefaultPlayer(), kinds.All)); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.from, got, tt.want)
		}
	}
	own := detect.DefaultPlayer()
	own.Tempo.Share, own.From["tempo"] = 0.5, "profile"
	if got, want := mainTempo(detect.Analyze(emptyReport(4).Score, own, kinds.All)), "♩. = 33 (your own choice, from your profile)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	slow := emptyReport(4).Score
	slow.Tempos = []score.Tempo{
		{QPM: 40, Beat: score.Int(1), From: score.FromWords, Text: "Grave"},
		{At: slow.Bars[1].Start, QPM: 120, Beat: score.Int(1), From: score.FromWords, Text: "Allegro"},
	}
	const both = "♩. = 80 (a guess from the word “Allegro”; the score gives no figure); from bar 1 “Grave” ♪ = 80; from bar 2 “Allegro” ♩. = 80"
	if got := mainTempo(detect.Analyze(slow, detect.DefaultPlayer(), kinds.All)); got != both {
		t.Errorf("%q, want %q", got, both)
	}
}

func TestPlayerLines(t *testing.T) {
	p := detect.DefaultPlayer()
	if got, want := handSpan(p), "201 mm from thumb to little finger at full stretch (assumed)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	p.SpanMM[score.Left], p.From["span"] = 205, "flag"
	if got, want := handSpan(p), "right 201 mm, left 205 mm at full stretch (as asked for)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestAssumed(t *testing.T) {
	r := emptyReport(4)
	r.Player.From = map[string]string{"span": "flag", "level": "profile"}
	r.Score.Warnings = []score.Warning{
		{Bar: "3", Text: "a tie that never ends was cut"},
		{Text: "cue notes are left out"},
		{Bar: "12a", Text: "a tie that never ends was cut"},
		{Bar: "2", Text: "short bar"},
		{Text: "“élan” is no tempo"},
		{Text: "état civil"},
	}
	want := []string{
		"Bars 3 and 12a: a tie that never ends was cut.",
		"Cue notes are left out.",
		"Bar 2: short bar.",
		"“élan” is no tempo.",
		"État civil.",
	}
	if got := assumed(r, 8); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := assumed(r, 1)[0]; got != "Bars 3 and 1 more: a tie that never ends was cut." {
		t.Errorf("got %q", got)
	}
	r.Score.Title = "月の光"
	if got := assumed(r, 8); len(got) != 6 || !strings.Contains(got[0], "“?”") {
		t.Errorf("signs that cannot be printed are not owned up to: %q", got)
	}
}

func TestPlaces(t *testing.T) {
	r := reportWith(40, place{0, 4, 5, 0}, place{0, 11, 11, 0}, place{0, 20, 20, 0})
	tests := []struct {
		ids  []string
		most int
		want string
	}{
		{[]string{"2"}, 9, "bar 12 (2)"},
		{[]string{"1"}, 9, "bars 5–6 (1)"},
		{[]string{"1", "2", "3"}, 9, "bars 5–6 (1), 12 (2) and 21 (3)"},
		{[]string{"1", "2", "3"}, 2, "bars 5–6 (1), 12 (2) and 1 more"},
	}
	for _, tt := range tests {
		if got := places(r, tt.ids, tt.most); got != tt.want {
			t.Errorf("%v at most %d: %q, want %q", tt.ids, tt.most, got, tt.want)
		}
	}
}

func TestWhatDoesNotSayItTwice(t *testing.T) {
	name := kindName("leap")
	for label, want := range map[string]string{"": name, name + " up to F5": name + " up to F5", "landing": name + " – landing"} {
		if got := what(&detect.Spot{Kind: "leap", Label: label}); got != want {
			t.Errorf("label %q: %q, want %q", label, got, want)
		}
	}
}

func TestFindings(t *testing.T) {
	easy := reportWith(8, place{5, 0, 0, 0})
	for want, r := range map[string]*detect.Report{
		"8 bars, 1 place to look at, none of them past what is comfortable.":                    easy,
		"8 bars, 1 place to look at, all past what is comfortable.":                             reportWith(8, place{0, 0, 0, 0}),
		"8 bars, 2 places to look at, 1 of them past what is comfortable.":                      reportWith(8, place{0, 0, 0, 0}, place{5, 1, 1, 0}),
		"1 bar. Nothing in this piece is past what is comfortable at this tempo for this hand.": emptyReport(1),
	} {
		if got := findings(r); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if text := wording(easy, a4); !strings.Contains(text, "Nearest to the limit") {
		t.Errorf("a piece within reach has no list of what is nearest to the limit:\n%s", text)
	}
}

// A family that often comes again may rank before one that is a little harder.
func TestPastLimitGoesByDemand(t *testing.T) {
	r := reportWith(8, place{5, 0, 0, 0}, place{0, 1, 1, 0})
	past, within := pastLimit(r, r.Families)
	if len(past) != 1 || past[0].LearnFirst != "2" || len(within) != 1 || within[0].LearnFirst != "1" {
		t.Errorf("past the limit %v, within %v", past, within)
	}
}
