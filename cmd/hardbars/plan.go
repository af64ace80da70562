package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"hardbars/annotate/plan"
)

// schedule is when the player practises.
type schedule struct {
	minutes, days, weeks int
	until, start         string
}

// usualWeeks is how long a plan is where nothing is said: long enough for what
// begins in the first week to come again after 14 days.
const usualWeeks = 3

func (s *schedule) add(cmd *cobra.Command) {
	cmd.Flags().IntVar(&s.minutes, "minutes", 30, "minutes of practice a day, breaks included")
	cmd.Flags().IntVar(&s.days, "days", 5, "days of practice a week")
	cmd.Flags().IntVar(&s.weeks, "weeks", usualWeeks, "how many weeks to plan")
	cmd.Flags().StringVar(&s.until, "until", "", "the last day, such as 2026-03-31, instead of --weeks")
	cmd.Flags().StringVar(&s.start, "start", "", "the first day, such as 2026-03-02 (default: today)")
}

// options asks the clock only where no start is given.
func (s *schedule) options(cmd *cobra.Command) (o plan.Options, err error) {
	o = plan.Options{Minutes: s.minutes, Days: s.days, Start: time.Now()}
	if s.start != "" {
		if o.Start, err = parseDate("start", s.start); err != nil {
			return o, err
		}
	}
	if s.weeks < 1 || s.weeks > 52 {
		return o, fmt.Errorf("--weeks: %d: give 1 to 52", s.weeks)
	}
	o.End = o.Start.AddDate(0, 0, 7*s.weeks-1)
	if s.until != "" {
		if cmd.Flags().Changed("weeks") {
			return o, fmt.Errorf("give --weeks or --until, not both")
		}
		o.End, err = parseDate("until", s.until)
	}
	return o, err
}

func parseDate(flag, text string) (time.Time, error) {
	date, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return date, fmt.Errorf("--%s: %q: give a date as year, month and day, such as 2026-03-31", flag, text)
	}
	return date, nil
}

func planCommand() *cobra.Command {
	var who playerFlags
	var when schedule
	var part string
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "plan FILE",
		Short:   "Plan the practice day by day",
		Example: "  hardbars plan waltz.musicxml --minutes 30 --days 5 --weeks 2",
		Args:    files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			options, err := when.options(cmd)
			if err != nil {
				return wrongUse(cmd, err)
			}
			player, err := who.player(cmd)
			if err != nil {
				return err
			}
			f, err := openScore(cmd, args[0])
			if err != nil {
				return err
			}
			report, err := analyze(f, part, player)
			if err != nil {
				return err
			}
			p, err := plan.Make(report, options)
			if err != nil {
				return wrongUse(cmd, err)
			}
			if asJSON {
				data, err := p.JSON()
				if err != nil {
					return err
				}
				_, err = cmd.OutOrStdout().Write(data)
				return err
			}
			printPlan(cmd.OutOrStdout(), args[0], p)
			return nil
		},
	}
	who.add(cmd)
	when.add(cmd)
	addPartFlag(cmd, &part)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, for other programs")
	return cmd
}

func printPlan(w io.Writer, in string, p *plan.Plan) {
	printHeading(w, in, p.Report)
	fmt.Fprintln(w, p.RestWords())
	for _, d := range p.Days {
		fmt.Fprintf(w, "\n%s, %d minutes\n", d.Date.Format("Monday 2 January 2006"), d.Minutes())
		table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		for _, it := range d.Items {
			tempo := ""
			if it.Timed() {
				tempo = it.Pace.String()
			}
			fmt.Fprintf(table, "  [ ] %d min\t%s\t%s\t%s\t%s\t%s\n", it.Minutes, strings.Join(it.Spots, ","), p.Bars(it.Passages), it.Hands, tempo, it.What)
		}
		table.Flush()
	}
	fmt.Fprintln(w)
	for _, l := range p.LeftOut {
		fmt.Fprintln(w, "left out", l.Spots, p.Bars(l.Passages), l.Why)
	}
}
