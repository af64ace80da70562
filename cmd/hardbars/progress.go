package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"hardbars/annotate/plan"
	"hardbars/annotate/progress"
	"hardbars/detect"
)

func progressCommand() *cobra.Command {
	var of practised
	var when schedule
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "progress FILE",
		Short: "Show what was practised, how far it is, and what is due",
		Long: `Reads the log of your practice and shows, place by place, on how many days it
was practised, its best clean tempo beside the one to reach, how that went over
the days, and when it is to be met again. Then comes what to do next, planned
afresh from there; hardbars plan gives the days after it. Whoever comes back
after four weeks or more is told what is forgotten first, and a week that
brings the piece back.

A place is found by the notes of its bars, so that a log still holds when bars
were put into the score, or when other settings number the places otherwise.`,
		Example: `  hardbars progress waltz.musicxml
  hardbars progress waltz.musicxml --start 2026-03-16 --minutes 20`,
		Args: files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			options, err := when.options(cmd)
			if err != nil {
				return wrongUse(cmd, err)
			}
			if _, err := logName(args[0], of.log); err != nil {
				return wrongUse(cmd, err)
			}
			p, next, err := of.plan(cmd, args[0], options)
			if err != nil {
				return err
			}
			if asJSON {
				data, err := p.JSON(options.Start)
				if err != nil {
					return err
				}
				_, err = cmd.OutOrStdout().Write(data)
				return err
			}
			printProgress(cmd.OutOrStdout(), args[0], p, next)
			printWarnings(cmd.ErrOrStderr(), args[0], p.Report.Score)
			return nil
		},
	}
	of.who.add(cmd)
	when.add(cmd)
	of.add(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, for other programs")
	return cmd
}

func printProgress(w io.Writer, in string, p *progress.Progress, next *plan.Plan) {
	printHeading(w, in, p.Report)
	if len(p.Log.Entries) == 0 {
		fmt.Fprintln(w, wrap(fmt.Sprintf("Nothing logged yet. hardbars log %s --spot 1 --tempo 52 notes down what was practised.", in), width, ""))
		fmt.Fprintln(w)
	} else {
		fmt.Fprintln(w, wrap(practisedWords(p), width, ""))
		fmt.Fprintln(w)
		printPlaces(w, p)
		printDue(w, p, next.Options.Start)
		printMoved(w, p)
		printUnmatched(w, p)
	}
	if days, back := p.Back(next.Options.Start); back && printBack(w, p, next, days) {
		return
	}
	printNext(w, next)
}

// printBack says what is forgotten first after a long time, and prints a week
// that brings the piece back; false where no week can be planned.
func printBack(w io.Writer, p *progress.Progress, next *plan.Plan, days int) bool {
	o := next.Options
	o.End = o.Start.AddDate(0, 0, 6)
	week, err := plan.Make(p.Report, o)
	if err != nil || len(week.Days) == 0 {
		return false
	}
	var first []string
	for _, place := range p.Forgotten(o.Start) {
		if len(first) == mostForgotten {
			break
		}
		met, last := place.State.Met()
		first = append(first, fmt.Sprintf("%s (%s, last on %s, %s)", barsNamed(p.Report.Bars(place.Spot)), place.Spot.Label, last.Format(longDate), count(met, "day", "days")))
	}
	fmt.Fprintln(w, wrap(fmt.Sprintf("Coming back after %s. Play it through once, slowly, and begin with what is forgotten first: %s.",
		count(days/7, "week", "weeks"), detect.Enumerate(first)), width, ""))
	fmt.Fprintln(w)
	fmt.Fprintln(w, "A week to bring it back:")
	for _, d := range week.Days {
		fmt.Fprintf(w, "%s, %d minutes\n", d.Date.Format("Monday 2 January 2006"), d.Minutes())
		for _, it := range d.Items {
			printItem(w, week, it)
		}
	}
	fmt.Fprintln(w, wrap("hardbars plan goes on from there. "+caution, width, ""))
	return true
}

// mostForgotten is how many places are named that are forgotten first.
const mostForgotten = 4

func practisedWords(p *progress.Progress) string {
	dates := p.Dates()
	text := "Practised on " + dates[0].Format(longDate)
	if n := len(dates); n > 1 {
		text = fmt.Sprintf("Practised on %d days, %s to %s", n, dates[0].Format(longDate), dates[n-1].Format(longDate))
	}
	text += ": " + count(len(p.Log.Entries), "sitting", "sittings")
	if minutes := p.Minutes(); minutes > 0 {
		text += fmt.Sprintf(", %d minutes", minutes)
	}
	return text + "."
}

const longDate = "2 January 2006"

// curveWidth is how many of the latest days a curve shows.
const curveWidth = 8

func printPlaces(w io.Writer, p *progress.Progress) {
	if len(p.Places) == 0 {
		return
	}
	table := [][]string{{"#", "bars", "hand", "days", "best clean", "", "curve", "again"}}
	for i := range p.Places {
		place := &p.Places[i]
		best, share := bestToTarget(p, place)
		again := "learnt"
		if next, ok := p.Next(place); ok {
			again = next.Format("2 Jan")
		}
		table = append(table, []string{place.Spot.ID, p.Report.Bars(place.Spot), place.Spot.Hand.String(),
			strconv.Itoa(len(place.Days)), best, share, p.Curve(place, curveWidth), again})
	}
	printTable(w, table)
	fmt.Fprintln(w, wrap("The curve has a step for each day: ▁ half of the tempo to reach or less, █ all of it, · no tempo.", width, ""))
	fmt.Fprintln(w)
}

// bestToTarget is the best clean tempo and the one to reach, "eighth = 52 → 66",
// and how much of it that is.
func bestToTarget(p *progress.Progress, place *progress.Place) (tempi, share string) {
	best, target, timed := paces(p, place)
	switch {
	case !timed:
		return "at any tempo", ""
	case best.PerMinute == 0:
		return "→ " + target.String(), ""
	}
	return fmt.Sprintf("%s → %d", best, target.PerMinute), fmt.Sprintf("%.0f %%", 100*p.Share(place))
}

// paces are the best clean tempo, rounded down, and the one to reach, counted
// in the same beat.
func paces(p *progress.Progress, place *progress.Place) (best, target detect.Pace, timed bool) {
	_, target = p.Report.Paces(place.Spot)
	best = detect.Pace{Beat: target.Beat, PerMinute: int(place.State.Best/target.Beat.Float() + 1e-9)}
	return best, target, place.Spot.Comfortable > 0
}

func bestWords(p *progress.Progress, place *progress.Place) string {
	best, target, timed := paces(p, place)
	switch {
	case !timed:
		return "practised on " + count(len(place.Days), "day", "days")
	case best.PerMinute == 0:
		return "no clean tempo yet, to reach " + target.String()
	}
	return fmt.Sprintf("best clean %s, to reach %d (%.0f %%)", best, target.PerMinute, 100*p.Share(place))
}

func nextWords(p *progress.Progress, place *progress.Place, today time.Time) string {
	next, ok := p.Next(place)
	switch {
	case !ok:
		return "learnt"
	case !next.After(today):
		return "due again"
	}
	return "again on " + next.Format("Monday 2 January")
}

func printDue(w io.Writer, p *progress.Progress, today time.Time) {
	var due []string
	for _, place := range p.Due(today) {
		due = append(due, place.Spot.ID)
	}
	if due != nil {
		fmt.Fprintln(w, wrap(fmt.Sprintf("Due on %s: %s.", today.Format(longDate), strings.Join(due, ", ")), width, ""))
	}
	if fresh := notBegun(p); len(fresh) > 0 {
		fmt.Fprintln(w, wrap("Past comfort and not begun: "+strings.Join(fresh, ", ")+".", width, ""))
	}
	fmt.Fprintln(w)
}

// notBegun are the places past comfort that were never practised.
func notBegun(p *progress.Progress) []string {
	known := p.Known()
	var ids []string
	for i := range p.Report.Spots {
		sp := &p.Report.Spots[i]
		if _, begun := known[sp.ID]; !begun && sp.Demand > 1 {
			ids = append(ids, sp.ID)
		}
	}
	return ids
}

// matchWords say how bars were found that are not where they were logged.
var matchWords = map[progress.Match]string{
	progress.Exact:      "the same notes",
	progress.Transposed: "the same notes, transposed",
	progress.Similar:    "nearly the same notes",
}

// barsNamed puts "bar" or "bars" before bars as they stand in a log.
func barsNamed(bars string) string {
	if strings.ContainsAny(bars, "-–") {
		return "bars " + bars
	}
	return "bar " + bars
}

// printMoved says which bars were found elsewhere than they were logged, once each.
func printMoved(w io.Writer, p *progress.Progress) {
	seen := map[string]bool{}
	for i := range p.Found {
		f, e := &p.Found[i], &p.Log.Entries[i]
		words := fmt.Sprintf("logged as %s: %s in %s", barsNamed(e.Bars), matchWords[f.How], p.Bars(f))
		if !p.Moved(i) || seen[words] {
			continue
		}
		if len(seen) == 0 {
			fmt.Fprintln(w, "The score has changed since; found by their notes:")
		}
		seen[words] = true
		fmt.Fprintln(w, wrap(words, width, "  "))
	}
	if len(seen) > 0 {
		fmt.Fprintln(w)
	}
}

// printUnmatched lists what counts for no place of today.
func printUnmatched(w io.Writer, p *progress.Progress) {
	first := true
	for i := range p.Found {
		if p.Found[i].Why == "" {
			continue
		}
		if first {
			fmt.Fprintln(w, "In the log, and for no place of today:")
			first = false
		}
		e := &p.Log.Entries[i]
		fmt.Fprintln(w, wrap(fmt.Sprintf("line %d, %s, %s, %s, %s: %s", e.Line, e.Date.Format(time.DateOnly),
			barsNamed(e.Bars), e.Hand.Name(), e.Kind, p.Found[i].Why), width, "  "))
	}
	if !first {
		fmt.Fprintln(w)
	}
}

// printNext prints the first day of a plan.
func printNext(w io.Writer, p *plan.Plan) {
	if len(p.Days) == 0 {
		return
	}
	d := p.Days[0]
	fmt.Fprintf(w, "Next: %s, %d minutes\n", d.Date.Format("Monday 2 January 2006"), d.Minutes())
	for _, it := range d.Items {
		printItem(w, p, it)
	}
	fmt.Fprintln(w, wrap("hardbars plan gives the days after it. "+caution, width, ""))
}
