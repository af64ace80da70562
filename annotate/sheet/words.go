package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
)

// signed puts the signs of beats for their names before a number: "♩. = 66" for
// "dotted quarter = 66".
func signed(s string) string { return beatSigns.Replace(s) }

var beatSigns = func() *strings.Replacer {
	var pairs []string
	for _, beat := range []score.Rat{score.R(3, 2), score.R(3, 4), score.Int(1), score.R(1, 2)} { // dotted first
		pairs = append(pairs, score.ValueName(beat)+" = ", beatName(beat)+" = ")
	}
	return strings.NewReplacer(pairs...)
}()

// paceSign is a pace with the sign of its beat: "♩. = 66".
func paceSign(p detect.Pace) string { return fmt.Sprintf("%s = %d", beatName(p.Beat), p.PerMinute) }

// beatName is the sign of a note value where the typeface has one, and its
// name otherwise.
func beatName(beat score.Rat) string {
	switch beat {
	case score.R(1, 2):
		return "♪"
	case score.R(3, 4):
		return "♪."
	case score.Int(1):
		return "♩"
	case score.R(3, 2):
		return "♩."
	}
	return score.ValueName(beat)
}

// madeForWords says for which tempo and which player the sheet was made.
func madeForWords(r *detect.Report) string {
	return fmt.Sprintf("%s. For a hand that spans %s; level %s (%s).", sentence(mainTempo(r)), handSpan(r.Player),
		r.Player.Level, origin(r.Player.From["level"]))
}

// mainTempo is the tempo of the most bars, where it came from, and what other
// tempos there are.
func mainTempo(r *detect.Report) string {
	written := r.Clock.Main()
	mark := ""
	if written.Text != "" {
		mark = " “" + written.Text + "”"
	}
	said := map[score.TempoSource]string{
		score.FromMetronome: "from the metronome mark" + mark,
		score.FromSound:     "from the file's playback tempo, not printed in the score",
		score.FromWords:     "a guess from the word" + mark + "; the score gives no figure",
		score.FromPlayer:    "your own choice, " + origin(r.Player.From["tempo"]),
		score.Assumed:       "assumed: the score gives no tempo",
	}[written.From]
	return strings.Join(append([]string{fmt.Sprintf("%s (%s)", paceSign(r.MainPace()), said)}, otherTempos(r)...), "; ")
}

// mostTempos is how many other tempos a sheet lists.
const mostTempos = 4

// otherTempos lists the places with another tempo than the main one, each with
// the bar where it begins.
func otherTempos(r *detect.Report) []string {
	var list []string
	more, before := 0, r.Score.MainTempo().QPM
	for _, t := range r.Score.Tempos {
		if t.QPM == before || t.From == score.Free {
			continue
		}
		before = t.QPM
		if len(list) == mostTempos {
			more++
			continue
		}
		mark := ""
		if t.Text != "" {
			mark = " “" + t.Text + "”"
		}
		t.QPM = r.Clock.QPM(t.At)
		list = append(list, fmt.Sprintf("from bar %s%s %s", r.Score.Bars[r.Score.BarAt(t.At)].Number, mark, paceSign(r.PaceOf(t))))
	}
	if more > 0 {
		list = append(list, "and "+count(more, "change", "changes")+" more")
	}
	return list
}

func handSpan(p detect.Player) string {
	of := func(h score.Hand) (mm, from string) {
		return fmt.Sprintf("%.0f mm", p.SpanMM[h]), origin(p.SpanFrom(h))
	}
	right, rightFrom := of(score.Right)
	left, leftFrom := of(score.Left)
	switch {
	case rightFrom != leftFrom:
		return fmt.Sprintf("right %s (%s), left %s (%s) at full stretch", right, rightFrom, left, leftFrom)
	case right != left:
		return fmt.Sprintf("right %s, left %s at full stretch (%s)", right, left, rightFrom)
	}
	return fmt.Sprintf("%s from thumb to little finger at full stretch (%s)", right, rightFrom)
}

// origin says where a figure of the player's came from.
func origin(from string) string {
	switch {
	case nobodys(from):
		return "assumed"
	case from == "profile":
		return "from your profile"
	}
	return "as asked for"
}

// defaults are the player's figures that nobody gave.
func defaults(r *detect.Report) []string {
	var lines []string
	if from := r.Clock.Main().From; from == score.Assumed || from == score.FromWords {
		lines = append(lines, "The tempo is a guess: say which one you want.")
	}
	if nobodys(r.Player.SpanFrom(score.Right)) || nobodys(r.Player.SpanFrom(score.Left)) {
		lines = append(lines, fmt.Sprintf("The hand span, %.0f mm, is an average: measure yours from thumb tip to little fingertip, hand flat at full stretch.", r.Player.SpanMM[score.Right]))
	}
	if nobodys(r.Player.From["level"]) {
		lines = append(lines, fmt.Sprintf("The level, %s, is a guess.", r.Player.Level))
	}
	return lines
}

// nobodys reports whether a figure came from nobody.
func nobodys(from string) bool { return from == "" || from == "default" }

// assumed lists what the sheet rests on that neither the score nor the player
// said: places with the same remark share a line, which names at most so many.
func assumed(r *detect.Report, most int) []string {
	var order []string
	bars := map[string][]string{}
	for _, w := range r.Score.Warnings {
		if _, seen := bars[w.Text]; !seen {
			order = append(order, w.Text)
			bars[w.Text] = nil
		}
		if w.Bar != "" {
			bars[w.Text] = append(bars[w.Text], w.Bar)
		}
	}
	lines := defaults(r)
	if lacksSigns(r.Score.Title + r.Score.Composer) {
		lines = append(lines, "Signs of the title or composer that this sheet's typeface lacks stand as “?”.")
	}
	for _, text := range order {
		line := sentence(text)
		if n := len(bars[text]); n > 0 {
			line = fmt.Sprintf("%s %s: %s", sentence(barWord(n > 1)), detect.Enumerate(atMost(bars[text], most)), text)
		}
		lines = append(lines, strings.TrimSuffix(line, ".")+".")
	}
	return lines
}

// rests says what the figures rest on, and which of the kinds in the piece on what.
func rests(r *detect.Report) string {
	named := map[detect.Basis][]string{
		detect.Measured:       {"how far hands reach"},
		detect.Calibrated:     {"how a bar adds up"},
		detect.CommonPractice: {"where comfort ends"},
	}
	for _, d := range kinds.All {
		if slices.ContainsFunc(r.Spots, func(s detect.Spot) bool { return s.Kind == d.Kind }) {
			named[d.Basis] = append(named[d.Basis], d.Name)
		}
	}
	return fmt.Sprintf("What the figures rest on: measurements (Boyle, Boyle & Booker 2015; Parncutt et al. 1997): %s. "+
		"Recorded performances (%s): %s. Common practice: %s.",
		detect.Enumerate(named[detect.Measured]), detect.Performances,
		detect.Enumerate(named[detect.Calibrated]), detect.Enumerate(named[detect.CommonPractice]))
}

// caution is said once. Source: common practice; a 2024 survey of conservatoire
// pianists names warming up and breaks as what goes with fewer symptoms; that
// spreading practice over days beats massing it, Cepeda et al. 2006 (from
// memory).
const caution = "Warm up first. Stop at once when something hurts: practise no further that day on what hurt. " +
	"Rest every 25 to 30 minutes. Never force a stretch: roll it, share it between the hands or leave a note out. " +
	"Spread the work over days, a few minutes a place. This sheet counts notes, millimetres and seconds; " +
	"it cannot see you play. What your teacher or clinician says comes first."

func barWord(many bool) string {
	if many {
		return "bars"
	}
	return "bar"
}

// sentence begins s with a capital.
func sentence(s string) string {
	if s == "" {
		return s
	}
	first, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[size:]
}

// atMost keeps the first n items and says how many more there were.
func atMost(items []string, n int) []string {
	if len(items) <= n {
		return items
	}
	return append(items[:n:n], fmt.Sprintf("%d more", len(items)-n))
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func trimStop(s string) string { return strings.TrimSuffix(s, ".") }
