package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"hardbars/score"
	"hardbars/score/form"
	"hardbars/score/musicxml"
)

func formCommand() *cobra.Command {
	var part string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "form FILE",
		Short: "Show the sections of a piece, and what comes again where",
		Long: `Shows how a piece is put together, so that nobody practises a bar as if it
were new that has come before. Sections of one letter are the same or nearly;
a stroke, as in A′, says that something is changed. Repeat signs and jumps are
followed in the last line, which gives the order of play.`,
		Example: "  hardbars form waltz.musicxml",
		Args:    files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			f, err := openScore(cmd, args[0])
			if err != nil {
				return err
			}
			s, err := f.Score(musicxml.Options{Part: part})
			if err != nil {
				return err
			}
			found := form.Find(s)
			if asJSON {
				data, err := found.JSON()
				if err != nil {
					return err
				}
				_, err = cmd.OutOrStdout().Write(data)
				return err
			}
			printForm(cmd.OutOrStdout(), args[0], found)
			printWarnings(cmd.ErrOrStderr(), args[0], s)
			return nil
		},
	}
	addPartFlag(cmd, &part)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, for other programs")
	return cmd
}

func printForm(w io.Writer, in string, f *form.Form) {
	fmt.Fprintln(w, wrap(titleWords(in, f.Score), width, ""))
	fmt.Fprintln(w, wrap(barsInAll(f), width, ""))
	fmt.Fprintln(w)
	nameWidth, barsWidth := 0, 0
	for _, sec := range f.Sections {
		nameWidth = max(nameWidth, utf8.RuneCountInString(sec.Name))
		barsWidth = max(barsWidth, utf8.RuneCountInString(barRange(f.Score, sec.First, sec.Last)))
	}
	indent := strings.Repeat(" ", nameWidth+barsWidth+6)
	for _, sec := range f.Sections {
		words := strings.TrimLeft(wrap(sectionWords(f, sec), width, indent), " ")
		line := fmt.Sprintf("  %-*s  %-*s  %s", nameWidth, sec.Name, barsWidth, barRange(f.Score, sec.First, sec.Last), words)
		fmt.Fprintln(w, strings.TrimRight(line, " "))
	}
	fmt.Fprintln(w)
	if f.Through() {
		fmt.Fprintln(w, wrap(throughWords(f), width, ""))
	}
	if len(f.Again) > 0 {
		fmt.Fprintln(w, wrap("Bars that have come before: "+againWords(f)+".", width, ""))
	}
	fmt.Fprintln(w, wrap("In play: "+playedWords(f), width, ""))
}

// barsInAll counts the bars: on the page, in play, and those to learn.
func barsInAll(f *form.Form) string {
	text := count(len(f.Score.Bars), "bar", "bars")
	if played := f.BarsPlayed(); played != len(f.Score.Bars) {
		text += fmt.Sprintf(", %d in play", played)
	}
	if distinct := f.Bars.Distinct(); distinct < len(f.Score.Bars) {
		text += fmt.Sprintf("; %d of them differ from each other", distinct)
	}
	return text
}

// barRange names bars as printed: "12" or "12–15".
func barRange(s *score.Score, first, last int) string {
	if first == last {
		return s.Bars[first].Number
	}
	return s.Bars[first].Number + "–" + s.Bars[last].Number
}

func sectionWords(f *form.Form, sec form.Section) string {
	var parts []string
	if sec.Times > 1 {
		parts = append(parts, fmt.Sprintf("played %s", times(sec.Times)))
	}
	if sec.Like != nil {
		parts = append(parts, likeWords(f, sec.Like))
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
func likeWords(f *form.Form, l *form.Like) string {
	of := f.Sections[l.Section]
	bars := "bars " + barRange(f.Score, of.First, of.Last)
	if of.First == of.Last {
		bars = "bar " + barRange(f.Score, of.First, of.Last)
	}
	higher := ""
	if l.Semitones != 0 {
		higher = ", " + score.IntervalName(l.Semitones)
	}
	switch n := len(l.Differ); {
	case l.Exact && higher == "":
		return bars + " again, exactly"
	case l.Exact:
		return bars + " again" + higher
	case n == 0:
		return bars + " again" + higher + ", shortened"
	case n == 1:
		return fmt.Sprintf("%s again%s, but bar %s differs", bars, higher, barList(f.Score, l.Differ))
	case n <= fewDiffer && 2*n <= of.Last-of.First+1:
		return fmt.Sprintf("%s again%s, but bars %s differ", bars, higher, barList(f.Score, l.Differ))
	}
	return fmt.Sprintf("%s varied%s, %.0f %% of the notes the same", bars, higher, 100*l.Share)
}

// barList names bars one by one: "12, 14 and 15".
func barList(s *score.Score, bars []int) string {
	var names []string
	for _, bar := range bars {
		names = append(names, s.Bars[bar].Number)
	}
	if n := len(names) - 1; n > 0 {
		return strings.Join(names[:n], ", ") + " and " + names[n]
	}
	return names[0]
}

// throughWords says that nothing comes again, and what holds the piece together.
func throughWords(f *form.Form) string {
	text := "No section comes again: the piece is through-composed."
	if n := f.OneRhythm(); 2*n > len(f.Score.Bars) {
		text += fmt.Sprintf(" %d of its %d bars have the same rhythm.", n, len(f.Score.Bars))
	}
	return text
}

// againWords lists bars that have come before: "9–11 = 1–3, 14 = 6".
func againWords(f *form.Form) string {
	var all []string
	for _, a := range f.Again {
		all = append(all, fmt.Sprintf("%s = %s", barRange(f.Score, a.First, a.Last), barRange(f.Score, a.Of, a.Of+a.Last-a.First)))
	}
	return strings.Join(all, ", ")
}

func playedWords(f *form.Form) string {
	var names []string
	for _, i := range f.Played {
		names = append(names, f.Sections[i].Name)
	}
	return strings.Join(names, " ")
}
