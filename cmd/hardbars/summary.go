package main

import (
	"fmt"
	"io"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// width is the terminal's usual width, in characters.
const width = 80

// summaryPlaces is how many places a summary names: with the lines around
// them it fits one screen of 24 lines.
const summaryPlaces = 8

// longestLabel is how much of what a place is fits a line of the summary, in
// characters.
const longestLabel = 22

// caution stands under everything that tells somebody to practise.
const caution = "Stop at pain, rest often, never force a stretch. Your teacher's or clinician's judgement comes first."

// printSummary tells in one screen what a study found, or in a few lines when
// it is one of several.
func printSummary(w io.Writer, in string, r *detect.Report, wrote, kept []string, brief bool) {
	printHeading(w, in, r)
	places := summaryPlaces
	if brief {
		places = 3
	}
	printFirst(w, r, places)
	printLeftOut(w, r)
	for _, path := range kept {
		fmt.Fprintf(w, "Kept what had been changed by hand: %s\n", path)
	}
	fmt.Fprintf(w, "Wrote %s\n", strings.Join(wrote, "\n      "))
	if n := len(r.Score.Warnings); n > 0 {
		fmt.Fprintf(w, "%s assumed or repaired in the reading: see the end of the sheet.\n", count(n, "thing was", "things were"))
	}
	if !brief {
		fmt.Fprintln(w, wrap(caution, width, ""))
	}
}

// printHeading names the piece and for whom it was looked at.
func printHeading(w io.Writer, in string, r *detect.Report) {
	fmt.Fprintln(w, wrap(titleWords(in, r.Score), width, ""))
	fmt.Fprintln(w, wrap(count(len(r.Score.Bars), "bar", "bars")+", "+tempoWords(r), width, ""))
	fmt.Fprintln(w, wrap("for a "+playerWords(r.Player), width, ""))
	fmt.Fprintln(w)
}

// titleWords names the piece, by its file where it has no title.
func titleWords(in string, s *score.Score) string {
	title := s.Title
	if title == "" {
		title = named(in)
	}
	if s.Composer != "" {
		title += " · " + s.Composer
	}
	return title
}

func tempoWords(r *detect.Report) string {
	return r.MainPace().String() + " (" + sourceWords[r.Clock.Main().From] + ")"
}

var sourceWords = map[score.TempoSource]string{
	score.FromMetronome: "the score's metronome mark",
	score.FromSound:     "the score's playback tempo",
	score.FromWords:     "read off the score's tempo word",
	score.FromPlayer:    "your own",
	score.Assumed:       "assumed: the score gives none",
}

func playerWords(p detect.Player) string {
	return fmt.Sprintf("player of level %s (%s) with a hand span of %s", p.Level, p.From["level"], spanWords(p))
}

// spanWords is "201 mm (default)", or both hands where they differ.
func spanWords(p detect.Player) string {
	of := func(h score.Hand) string { return fmt.Sprintf("%.0f mm (%s)", p.SpanMM[h], p.SpanFrom(h)) }
	right, left := of(score.Right), of(score.Left)
	if right == left {
		return right
	}
	return "right " + right + ", left " + left
}

// printFirst lists the places to practise first, one a family.
func printFirst(w io.Writer, r *detect.Report, most int) {
	if len(r.Families) == 0 {
		fmt.Fprintln(w, "Nothing in this piece is hard for this player at this tempo.")
		return
	}
	fmt.Fprintln(w, "Practise these first, from the tempo that is comfortable to the one to reach:")
	var table [][]string
	covered := 0.0
	for i, family := range r.Families {
		if i == most {
			break
		}
		spot := r.Spot(family.LearnFirst)
		covered += family.Share
		again := ""
		if n := len(family.Relations); n > 0 {
			again = fmt.Sprintf("%d again", n)
		}
		table = append(table, []string{"  " + spot.ID, barsWords(r, spot), spot.Hand.String(), short(spot.Label, longestLabel), paceStep(r, spot), again})
	}
	printTable(w, table)
	if rest := len(r.Families) - most; rest > 0 {
		fmt.Fprintf(w, "  … and %d more on the sheet\n", rest)
	}
	if len(r.Families) < len(r.Spots) {
		fmt.Fprintf(w, "Learnt, these cover %.0f %% of the hot spots.\n", 100*covered)
	}
	fmt.Fprintln(w)
}

func barsWords(r *detect.Report, s *detect.Spot) string {
	if s.FirstBar == s.LastBar {
		return "bar " + r.Bars(s)
	}
	return "bars " + r.Bars(s)
}

// paceStep gives the tempo that is comfortable now and the one to reach, or
// the one to reach alone where that is comfortable.
func paceStep(r *detect.Report, s *detect.Spot) string {
	comfortable, target := r.Paces(s)
	switch {
	case s.Comfortable == 0:
		return "at any tempo"
	case s.Comfortable >= s.Target:
		return target.String()
	}
	return fmt.Sprintf("%s → %d", comfortable, target.PerMinute)
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
