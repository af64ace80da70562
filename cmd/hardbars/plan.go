package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"hardbars/annotate/plan"
	"hardbars/annotate/sheet"
	"hardbars/cmd/hardbars/beside"
)

// schedule is when the player practises.
type schedule struct {
	minutes, days, weeks int
	until, start         string
}

func (s *schedule) add(cmd *cobra.Command) {
	cmd.Flags().IntVar(&s.minutes, "minutes", plan.UsualMinutes, "minutes of practice a day, breaks included")
	cmd.Flags().IntVar(&s.days, "days", plan.UsualDays, "days of practice a week")
	cmd.Flags().IntVar(&s.weeks, "weeks", plan.UsualWeeks, "weeks to plan")
	cmd.Flags().StringVar(&s.until, "until", "", "the last day, such as 2026-03-31, instead of --weeks")
	cmd.Flags().StringVar(&s.start, "start", "", "the first day, such as 2026-03-02 (default: today)")
}

// given reports whether anything was said about when.
func (s *schedule) given(cmd *cobra.Command) bool {
	for _, name := range []string{"minutes", "days", "weeks", "until", "start"} {
		if cmd.Flags().Changed(name) {
			return true
		}
	}
	return false
}

// options asks the clock only where no start is given.
func (s *schedule) options(cmd *cobra.Command) (plan.Options, error) {
	o := plan.Options{Minutes: s.minutes, Days: s.days, Start: time.Now()}
	var err error
	if s.start != "" {
		if o.Start, err = parseDate("start", s.start); err != nil {
			return o, err
		}
	}
	switch {
	case s.weeks < 1 || s.weeks > 52:
		return o, fmt.Errorf("--weeks: %d: give 1 to 52", s.weeks)
	case s.until == "":
		o.End = o.Start.AddDate(0, 0, 7*s.weeks-1)
	case cmd.Flags().Changed("weeks"):
		return o, errors.New("give --weeks or --until, not both")
	default:
		if o.End, err = parseDate("until", s.until); err != nil {
			return o, err
		}
	}
	return o, o.Check()
}

func parseDate(flag, text string) (time.Time, error) {
	date, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return date, fmt.Errorf("--%s: %q: give a date as year, month and day, such as 2026-03-31", flag, text)
	}
	return date, nil
}

func checkPaper(name string) error {
	if name != "a4" && name != "letter" {
		return fmt.Errorf("--paper: %q is not a4 or letter", name)
	}
	return nil
}

// planning is the job of the plan command.
type planning struct {
	dir, paper           string
	asJSON, asPDF, asICS bool
}

func planCommand() *cobra.Command {
	var of practised
	var when schedule
	var job planning
	cmd := &cobra.Command{
		Use:   "plan FILE",
		Short: "Plan the practice, day by day",
		Long: `Plans the practice of a piece for the days and minutes that you have: the
hardest places first, each met again after 1, 3, 7 and 14 days, then the rest
of the piece, then whole runs. It says what it has no room for. It goes on from
what the log of your practice holds (hardbars log).

The plan is printed. With --pdf it is written to NAME.plan.pdf, to print and
tick off, with --ics to NAME.plan.ics, for the calendar of a phone: beside the
score, or into the folder named by --out.`,
		Example: `  hardbars plan waltz.musicxml
  hardbars plan waltz.musicxml --minutes 45 --days 6 --until 2026-03-31
  hardbars plan waltz.musicxml --start 2026-03-02 --weeks 2 --pdf --ics`,
		Args: files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			options, err := when.options(cmd)
			if err == nil {
				err = checkPaper(job.paper)
			}
			if err == nil && job.asJSON && (job.asPDF || job.asICS) {
				err = errors.New("--json prints; give it without --pdf and --ics")
			}
			if err != nil {
				return wrongUse(cmd, err)
			}
			_, p, err := of.plan(cmd, args[0], options)
			if err != nil {
				return err
			}
			return job.give(cmd, args[0], p)
		},
	}
	of.who.add(cmd)
	when.add(cmd)
	of.add(cmd)
	cmd.Flags().BoolVar(&job.asJSON, "json", false, "print JSON, for other programs")
	cmd.Flags().BoolVar(&job.asPDF, "pdf", false, "write NAME.plan.pdf")
	cmd.Flags().BoolVar(&job.asICS, "ics", false, "write NAME.plan.ics, an iCalendar file")
	cmd.Flags().StringVar(&job.dir, "out", "", "folder to write to (default: beside the score)")
	cmd.Flags().StringVar(&job.paper, "paper", "a4", "a4 or letter")
	return cmd
}

// give prints the plan or writes it.
func (job *planning) give(cmd *cobra.Command, in string, p *plan.Plan) error {
	switch {
	case job.asJSON:
		data, err := p.JSON()
		if err != nil {
			return err
		}
		_, err = cmd.OutOrStdout().Write(data)
		return err
	case job.asPDF || job.asICS:
		if err := job.write(cmd, in, p); err != nil {
			return err
		}
	default:
		printPlan(cmd.OutOrStdout(), in, p)
	}
	printWarnings(cmd.ErrOrStderr(), in, p.Report.Score)
	return nil
}

// write writes the files asked for, all or none.
func (job *planning) write(cmd *cobra.Command, in string, p *plan.Plan) error {
	var all []making
	if job.asPDF {
		write := func(w io.Writer) error { return sheet.WritePlan(w, p, job.paper) }
		all = append(all, making{beside.Name(in, job.dir, ".plan.pdf"), beside.PDFSeal.Writer(write)})
	}
	if job.asICS {
		all = append(all, making{beside.Name(in, job.dir, ".plan.ics"), beside.CalendarSeal.Writer(p.WriteICalendar)})
	}
	return writeAll(cmd.OutOrStdout(), in, job.dir, all)
}

// printPlan prints the plan for the terminal.
func printPlan(w io.Writer, in string, p *plan.Plan) {
	fmt.Fprintln(w, wrap(titleWords(in, p.Report.Score), width, ""))
	fmt.Fprintln(w, wrap(p.TimesWords(), width, ""))
	fmt.Fprintln(w, wrap(tempoWords(p.Report)+"; for a "+playerWords(p.Report.Player), width, ""))
	for _, d := range p.Days {
		fmt.Fprintf(w, "\n%s, %d minutes\n", d.Date.Format("Monday 2 January 2006"), d.Minutes())
		for _, it := range d.Items {
			printItem(w, p, it)
		}
	}
	fmt.Fprintln(w)
	for _, words := range p.LeftOutWords() {
		fmt.Fprintln(w, wrap("Left out: "+words, width, "  "))
	}
	for _, note := range append(p.Notes, caution) {
		fmt.Fprintln(w, wrap(note, width, "  "))
	}
}

// printItem prints one thing to do with a box to tick.
func printItem(w io.Writer, p *plan.Plan, it plan.Item) {
	const indent = "              "
	about, what := p.Line(it)
	head := fmt.Sprintf("  [ ] %3d min  ", it.Minutes)
	fmt.Fprintln(w, head+strings.TrimLeft(wrap(about, width, indent), " "))
	for _, words := range append([]string{what}, it.Said()...) {
		if words != "" {
			fmt.Fprintln(w, wrap(words, width, indent))
		}
	}
}
