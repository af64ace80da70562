package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"hardbars/detect"
	"hardbars/score"
)

// kindsIndent is where the second line of a score begins, in characters.
const kindsIndent = 9

// printSurvey prints two lines a score: its figures and name, and its hardest kinds.
func printSurvey(w io.Writer, player detect.Player, rows []surveyRow) {
	if len(rows) == 0 {
		return
	}
	fmt.Fprintln(w, wrap(count(len(rows), "score", "scores")+" for a "+playerWords(player)+", tempo "+player.Tempo.String()+
		", the least demanding first", width, ""))
	fmt.Fprintf(w, "\noverall  past  bars   time  score and hardest kinds\n")
	assumed := 0
	for _, row := range rows {
		note := ""
		if row.Tempo.From == string(score.Assumed) {
			note = "*"
			assumed++
		}
		figures := fmt.Sprintf("%7.2f  %3.0f%%  %4d  %5s  ", row.Overall, 100*row.Past, row.Bars, minutes(row.Seconds)+note)
		column := utf8.RuneCountInString(figures)
		fmt.Fprintln(w, figures+shortened(row.File, width-column))
		fmt.Fprintln(w, wrap(row.kindsWords(), width, strings.Repeat(" ", kindsIndent)))
	}
	if assumed > 0 {
		fmt.Fprintf(w, "\n* tempo assumed: the score gives none\n")
	}
}

// kindsWords is "leap in bar 12, fast-run in bar 3".
func (row surveyRow) kindsWords() string {
	var words []string
	for _, k := range row.Kinds {
		words = append(words, fmt.Sprintf("%s in bar %s", k.Kind, k.Bar))
	}
	if len(words) == 0 {
		return "nothing that is hard"
	}
	return strings.Join(words, ", ")
}

// minutes is "2:05".
func minutes(seconds float64) string {
	whole := int(math.Round(seconds))
	return fmt.Sprintf("%d:%02d", whole/60, whole%60)
}

// shortened leaves out the beginning of a text that is too long.
func shortened(text string, most int) string {
	runes := []rune(text)
	if len(runes) <= most {
		return text
	}
	return "…" + string(runes[len(runes)-most+1:])
}

func printSurveyJSON(w io.Writer, rows []surveyRow) error {
	if rows == nil {
		rows = []surveyRow{}
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(rows)
}

// printSurveyCSV prints a heading and one line a score.
func printSurveyCSV(w io.Writer, rows []surveyRow) error {
	heading := []string{"file", "title", "composer", "overall", "past_comfort", "bars", "seconds", "quarters_per_minute", "tempo_from"}
	for i := range surveyKinds {
		n := strconv.Itoa(i + 1)
		heading = append(heading, "kind_"+n, "bar_"+n, "demand_"+n)
	}
	out := csv.NewWriter(w)
	out.Write(heading)
	for _, row := range rows {
		line := []string{row.File, row.Title, row.Composer, figure(row.Overall), figure(row.Past),
			strconv.Itoa(row.Bars), figure(row.Seconds), figure(row.Tempo.QPM), row.Tempo.From}
		for i := range surveyKinds {
			if i >= len(row.Kinds) {
				line = append(line, "", "", "")
				continue
			}
			k := row.Kinds[i]
			line = append(line, string(k.Kind), k.Bar, figure(k.Demand))
		}
		out.Write(line)
	}
	out.Flush()
	return out.Error()
}

func figure(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// thousandth rounds a figure for output.
func thousandth(x float64) float64 { return math.Round(1000*x) / 1000 }
