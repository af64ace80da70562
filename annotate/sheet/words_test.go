package sheet

import (
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
)

func TestPaceStep(t *testing.T) {
	pace := func(beat score.Rat, n int) detect.Pace { return detect.Pace{Beat: beat, PerMinute: n} }
	for _, tt := range []struct {
		start, target detect.Pace
		timed         bool
		want          string
	}{
		{pace(score.R(3, 2), 47), pace(score.R(3, 2), 66), true, "♩. = 47 → 66"},
		{pace(score.Int(2), 40), pace(score.Int(2), 60), true, "half = 40 → 60"},
		{pace(score.Int(1), 66), pace(score.Int(1), 66), true, "♩ = 66"},
		{pace(score.Int(1), 66), pace(score.Int(1), 66), false, "at any tempo"},
	} {
		if got := paceStep(tt.start, tt.target, tt.timed); got != tt.want {
			t.Errorf("%v to %v: %q, want %q", tt.start, tt.target, got, tt.want)
		}
	}
}

func TestBarList(t *testing.T) {
	r := emptyReport(40)
	for _, tt := range []struct {
		bars []int
		most int
		want string
	}{
		{[]int{11}, 9, "bar 12"},
		{[]int{4, 5}, 9, "bars 5–6"},
		{[]int{4, 5, 6, 11, 20}, 9, "bars 5–7, 12 and 21"},
		{[]int{4, 5, 6, 11, 20, 21}, 2, "bars 5–7, 12 and 2 bars more"},
	} {
		if got := barList(r, tt.bars, tt.most); got != tt.want {
			t.Errorf("%v at most %d: %q, want %q", tt.bars, tt.most, got, tt.want)
		}
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
