package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"hardbars/annotate/practice"
	"hardbars/annotate/remarks"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
)

// entry is one thing to practise, in words.
type entry struct {
	number    string // of the hot spot, as on the strip and in the marked score
	place     string // "Bars 12–15, left hand"
	what      string // "Leap: down 26 semitones"
	why       string
	tempo     string   // "♩ = 47 → 66"
	asks      string   // "1.4 × comfortable"
	ladder    []string // the tempos to tick off: "♩ = 47", "51", …
	steps     []string // how to practise
	label     string   // what, in few words; "" where there are none
	elsewhere string   // where the steps are, when they are not here
	test      string   // "Learnt: three times running, …"
	again     string   // "Again in bars 20–21 (5) and 44 (9). Same, a fourth higher, in bar 7 (3)."; "" where it comes once
}

// newEntry speaks of a family at its place to learn first.
func newEntry(r *detect.Report, f detect.Family) entry {
	first := r.Spot(f.LearnFirst)
	e := entry{
		number: first.ID,
		place:  sentence(barsOf(r, first)) + ", " + first.Hand.Name(),
		what:   sentence(what(first)),
		label:  sentence(first.Label),
		why:    first.Why,
		tempo:  tempoStep(r, first),
		asks:   fmt.Sprintf("%.1f × comfortable", first.Demand),
		again:  again(r, f),
	}
	if f.Kind == remarks.Added { // the label may be long, and the demand is not known
		e.what, e.why, e.asks = "Added by hand", sentence(first.Label), ""
	}
	advice := practice.For(r, first)
	for _, step := range advice.Steps {
		e.steps = append(e.steps, signed(step))
	}
	e.test = signed(advice.Test)
	e.ladder = ladder(advice.Ladder)
	return e
}

// thrice is what is ticked where there are no tempos to climb. Common practice.
var thrice = []string{"once clean", "twice running", "three times running"}

// ladder is the tempos to tick off, the first one with its beat.
func ladder(paces []detect.Pace) []string {
	if len(paces) == 0 {
		return thrice
	}
	rungs := []string{paceSign(paces[0])}
	for _, pace := range paces[1:] {
		rungs = append(rungs, fmt.Sprint(pace.PerMinute))
	}
	return rungs
}

// what names the kind as a pianist says it, and the case in hand; the case
// alone where that names the kind as well.
func what(s *detect.Spot) string {
	name := kindName(s.Kind)
	switch {
	case s.Label == "":
		return name
	case strings.HasPrefix(strings.ToLower(s.Label), strings.ToLower(name)):
		return s.Label
	}
	return name + " – " + s.Label
}

// again names the other places of a family with their numbers: first those
// that are the same in every note, then the others by how they are alike.
func again(r *detect.Report, f detect.Family) string {
	const theSame = "Again"
	ids := map[string][]string{theSame: nil}
	order := []string{theSame}
	for _, rel := range f.Relations {
		how := sentence(rel.Text) + ","
		if rel.Same {
			how = theSame
		}
		if _, known := ids[how]; !known {
			order = append(order, how)
		}
		ids[how] = append(ids[how], rel.Spot)
	}
	var sentences []string
	for _, how := range order {
		if len(ids[how]) > 0 {
			sentences = append(sentences, how+" in "+places(r, ids[how], 12)+".")
		}
	}
	return strings.Join(sentences, " ")
}

// places names hot spots by their bars and numbers: "bars 3 (2) and 7–8 (5)".
// Of more than most it says how many more.
func places(r *detect.Report, ids []string, most int) string {
	many := len(ids) > 1
	var list []string
	for _, id := range ids {
		s := r.Spot(id)
		many = many || s.FirstBar != s.LastBar
		list = append(list, fmt.Sprintf("%s (%s)", r.Bars(s), id))
	}
	return barWord(many) + " " + detect.Enumerate(atMost(list, most))
}

// easier names the families that are within the player's comfort, by time.
func easier(r *detect.Report, families []detect.Family) string {
	var firsts []string
	for _, f := range families {
		firsts = append(firsts, f.LearnFirst)
	}
	slices.SortStableFunc(firsts, func(a, b string) int { return r.Spot(a).From.Cmp(r.Spot(b).From) })
	return "Within comfort at this tempo: " + places(r, firsts, 10) + "."
}

// tempoStep is the way from the comfortable tempo to the one asked for.
func tempoStep(r *detect.Report, s *detect.Spot) string {
	comfortable, target := r.Paces(s)
	switch {
	case s.Comfortable == 0 && s.Kind == remarks.Added:
		return paceSign(target)
	case s.Comfortable == 0:
		return "at any tempo"
	case s.Comfortable >= s.Target:
		return paceSign(target) + ", comfortable"
	}
	return fmt.Sprintf("%s → %d", paceSign(comfortable), target.PerMinute)
}

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

// madeFor says for which tempo and which player the sheet was made, and where
// each figure came from: a name and a text for each line.
func madeFor(r *detect.Report) [][2]string {
	return [][2]string{
		{"Tempo", mainTempo(r)},
		{"Hand", handSpan(r.Player)},
		{"Level", string(r.Player.Level) + " (" + origin(r.Player.From["level"]) + ")"},
	}
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
		lines = append(lines, "The tempo: give your own with --tempo.")
	}
	if nobodys(r.Player.SpanFrom(score.Right)) || nobodys(r.Player.SpanFrom(score.Left)) {
		lines = append(lines, fmt.Sprintf("The hand span, %.0f mm: measure yours from thumb tip to little fingertip, hand flat at full stretch, and give it with --span.", r.Player.SpanMM[score.Right]))
	}
	if nobodys(r.Player.From["level"]) {
		lines = append(lines, fmt.Sprintf("The level, %s: give yours with --level.", r.Player.Level))
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

// caution is said once. Source: common practice; a 2024 survey of conservatoire
// pianists names warming up and breaks as what goes with fewer symptoms; that
// spreading practice over days beats massing it, Cepeda et al. 2006 (from
// memory).
const caution = "Warm up first. Stop at once when something hurts: practise no further that day on what hurt. " +
	"Rest every 25 to 30 minutes. Never force a stretch: roll it, share it between the hands or leave a note out. " +
	"Spread the work over days, a few minutes a place. This sheet counts notes, millimetres and seconds; " +
	"it cannot see you play. What your teacher or clinician says comes first."

// findings sums up what was found, and how much of it is not on the sheet.
func findings(r *detect.Report) string {
	found := count(len(r.Score.Bars), "bar", "bars") + pastComfort(r.Spots)
	if r.LeftOut > 0 {
		found += fmt.Sprintf(" %s well inside comfort left out.", count(r.LeftOut, "quiet place", "quiet places"))
	}
	return found
}

func pastComfort(spots []detect.Spot) string {
	if len(spots) == 0 {
		return ". Nothing in this piece is past what is comfortable at this tempo for this hand."
	}
	past := 0
	for _, s := range spots {
		if s.Demand > 1 {
			past++
		}
	}
	found := ", " + count(len(spots), "place to look at", "places to look at")
	switch past {
	case 0:
		return found + ", none of them past what is comfortable."
	case len(spots):
		return found + ", all past what is comfortable."
	}
	return fmt.Sprintf("%s, %d of them past what is comfortable.", found, past)
}

func barsOf(r *detect.Report, s *detect.Spot) string {
	return barWord(s.FirstBar != s.LastBar) + " " + r.Bars(s)
}

func barWord(many bool) string {
	if many {
		return "bars"
	}
	return "bar"
}

func kindName(k detect.Kind) string {
	if d := kinds.Find(k); d != nil {
		return d.Name
	}
	return string(k)
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
