package form

import (
	"fmt"
	"strconv"
	"strings"

	"hardbars/score"
)

// BarsInAll counts the bars: on the page, in play, and those to learn.
func (f *Form) BarsInAll() string {
	text := count(len(f.Score.Bars), "bar", "bars")
	if played := f.BarsPlayed(); played != len(f.Score.Bars) {
		text += fmt.Sprintf(", %d in play", played)
	}
	if distinct := f.Bars.Distinct(); distinct < len(f.Score.Bars) {
		text += fmt.Sprintf("; %d of them differ from each other", distinct)
	}
	return text
}

// Range names bars as printed, by their indices into Score.Bars: "12" or "12–15".
func (f *Form) Range(first, last int) string {
	if first == last {
		return f.Score.Bars[first].Number
	}
	return f.Score.Bars[first].Number + "–" + f.Score.Bars[last].Number
}

// SectionWords says how often a section is played, and what it repeats; ""
// where there is nothing to say.
func (f *Form) SectionWords(sec Section) string {
	var parts []string
	if sec.Times > 1 {
		parts = append(parts, fmt.Sprintf("played %s", times(sec.Times)))
	}
	if sec.Like != nil {
		parts = append(parts, f.likeWords(sec.Like))
	}
	return strings.Join(parts, "; ")
}

func times(n int) string {
	if n == 2 {
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// fewDiffer is how many bars that differ are named.
const fewDiffer = 6

// likeWords says what a section repeats, and how.
func (f *Form) likeWords(l *Like) string {
	of := f.Sections[l.Section]
	bars := "bars " + f.Range(of.First, of.Last)
	if of.First == of.Last {
		bars = "bar " + f.Range(of.First, of.Last)
	}
	higher := ""
	if l.Semitones != 0 {
		higher = ", " + score.IntervalName(l.Semitones)
	}
	switch n := len(l.Differ); {
	case l.Relation() == Tune:
		return "the tune of " + bars + " again" + higher + ", newly set"
	case l.Exact && higher == "":
		return bars + " again, exactly"
	case l.Exact:
		return bars + " again" + higher
	case n == 0:
		return bars + " again" + higher + ", shortened"
	case n == 1:
		return fmt.Sprintf("%s again%s, but bar %s differs", bars, higher, f.barList(l.Differ))
	case n <= fewDiffer && 2*n <= of.Last-of.First+1:
		return fmt.Sprintf("%s again%s, but bars %s differ", bars, higher, f.barList(l.Differ))
	}
	return fmt.Sprintf("%s varied%s, %.0f %% of the notes the same", bars, higher, 100*l.Share)
}

// barList names bars one by one: "12, 14 and 15".
func (f *Form) barList(bars []int) string {
	var names []string
	for _, bar := range bars {
		names = append(names, f.Score.Bars[bar].Number)
	}
	if n := len(names) - 1; n > 0 {
		return strings.Join(names[:n], ", ") + " and " + names[n]
	}
	return names[0]
}

// ThroughWords says that nothing comes again, and what holds the piece together.
func (f *Form) ThroughWords() string {
	text := "No section comes again: the piece is through-composed."
	if n := f.OneRhythm(); 2*n > len(f.Score.Bars) {
		text += fmt.Sprintf(" %d of its %d bars have the same rhythm.", n, len(f.Score.Bars))
	}
	return text
}

// AgainWords lists bars that have come before: "9–11 = 1–3, 14 = 6".
func (f *Form) AgainWords() string {
	var all []string
	for _, a := range f.Again {
		all = append(all, fmt.Sprintf("%s = %s", f.Range(a.First, a.Last), f.Range(a.Of, a.Of+a.Last-a.First)))
	}
	return strings.Join(all, ", ")
}

// PlayedWords names the sections in the order of play.
func (f *Form) PlayedWords() string {
	var names []string
	for _, i := range f.Played {
		names = append(names, f.Sections[i].Name)
	}
	return strings.Join(names, " ")
}

// count is "1 bar" or "3 bars".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
