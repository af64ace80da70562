package main

import (
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"hardbars/annotate/plan"
	"hardbars/annotate/progress"
	"hardbars/cmd/hardbars/beside"
	"hardbars/cmd/hardbars/piece"
	"hardbars/detect"
)

func addLogFlag(cmd *cobra.Command, path *string) {
	cmd.Flags().StringVar(path, "log", "", "the log of your practice (default: NAME.practice.log beside the score)")
}

// logName is the path of the log that belongs to a score.
func logName(in, given string) (string, error) {
	switch {
	case given != "":
		return given, nil
	case in == "-":
		return "", errors.New("a score from standard input has no log beside it: name one with --log")
	}
	return piece.LogName(in), nil
}

// practised is a piece whose practice is logged.
type practised struct {
	opening
	log string
}

func (p *practised) add(cmd *cobra.Command) {
	p.opening.add(cmd)
	addLogFlag(cmd, &p.log)
}

// plan plans the practice of a piece from what has been practised on.
func (p *practised) plan(cmd *cobra.Command, in string, o plan.Options) (*progress.Progress, *plan.Plan, error) {
	on, err := p.open(cmd, in)
	if err != nil {
		return nil, nil, err
	}
	done, err := openProgress(cmd, in, p.log, on.Report)
	if err != nil {
		return nil, nil, err
	}
	o.Remarks, o.Known = on.Said, done.Known()
	days, err := plan.Make(on.Report, o)
	return done, days, err
}

func logCommand() *cobra.Command {
	var of practised
	var sitting sitting
	cmd := &cobra.Command{
		Use:   "log FILE --spot N",
		Short: "Note down what was practised, and how fast it went cleanly",
		Long: `Adds a line to the log of your practice: which place, on what day, and the
fastest tempo at which it went three times running without a stop. The log is
a small text file beside the score, NAME.practice.log. You may change it in any
editor; what stands in it is never changed by hardbars. hardbars progress tells
how far you have come, and hardbars plan goes on from there.

The tempo is that of the place, not of the opening: 52 is quarter = 52, and 80%
is that share of the tempo written there. Where you wish for another tempo than
the written one, and so have other numbers, give that with --set tempo=VALUE.`,
		Example: `  hardbars log waltz.musicxml --spot 3 --tempo 52
  hardbars log waltz.musicxml --spot 3 --tempo "dotted quarter=40" \
    --minutes 10 --note "thumb is late"
  hardbars log waltz.musicxml --spot 3 --minutes 5 --date 2026-03-02`,
		Args: files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			date, err := sitting.check()
			if err != nil {
				return wrongUse(cmd, err)
			}
			path, err := logName(args[0], of.log)
			if err != nil {
				return wrongUse(cmd, err)
			}
			on, err := of.open(cmd, args[0])
			if err != nil {
				return err
			}
			report := on.Report
			sp := report.Spot(sitting.spot)
			if sp == nil {
				return fmt.Errorf("%s: %w", args[0], noSpot(sitting.spot))
			}
			entry, err := sitting.entry(report, sp)
			if err != nil {
				return wrongUse(cmd, err)
			}
			entry.Date = date
			if err := beside.AppendLog(path, titleWords(args[0], report.Score), &entry); err != nil {
				return err
			}
			return confirm(cmd, path, report, sp, date)
		},
	}
	of.who.addWithoutTempo(cmd)
	sitting.add(cmd)
	of.add(cmd)
	return cmd
}

// sitting is what the player says of one time of practice.
type sitting struct {
	spot, tempo, note, date string
	minutes                 int
}

func (s *sitting) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&s.spot, "spot", "", "the number of the place, as hardbars spots lists it")
	cmd.Flags().StringVar(&s.tempo, "tempo", "", "the fastest clean `TEMPO`: quarter=52, 52 or 80%")
	cmd.Flags().IntVar(&s.minutes, "minutes", 0, "how long")
	cmd.Flags().StringVar(&s.note, "note", "", "anything to remember")
	addDateFlag(cmd, &s.date)
}

func addDateFlag(cmd *cobra.Command, date *string) {
	cmd.Flags().StringVar(date, "date", "", "the day, such as 2026-03-02 (default: today)")
}

// dateOr is the day that a flag names, today where it names none.
func dateOr(text string) (time.Time, error) {
	if text == "" {
		text = time.Now().Format(time.DateOnly)
	}
	return parseDate("date", text)
}

// check refuses what can be seen to be wrong before the score is read.
func (s *sitting) check() (time.Time, error) {
	if s.spot == "" {
		return time.Time{}, errors.New("say which place was practised, such as --spot 3; hardbars spots lists them")
	}
	if err := progress.CheckMinutes(s.minutes); err != nil {
		return time.Time{}, fmt.Errorf("--minutes: %w", err)
	}
	if s.tempo != "" {
		if _, err := detect.ParseTempo(s.tempo); err != nil {
			return time.Time{}, fmt.Errorf("--tempo: %w", err)
		}
	}
	return dateOr(s.date)
}

// entry is the line for the log, still without a date.
func (s *sitting) entry(r *detect.Report, sp *detect.Spot) (progress.Entry, error) {
	e := progress.NewEntry(r, progress.Of(sp))
	e.Minutes, e.Note = s.minutes, s.note
	if s.tempo == "" {
		return e, nil
	}
	err := e.SetTempo(r, progress.Of(sp), s.tempo)
	return e, err
}

// openProgress matches the log of a score to a report. Without a log it is
// empty, unless the log was named.
func openProgress(cmd *cobra.Command, in, given string, r *detect.Report) (*progress.Progress, error) {
	path, err := logName(in, given)
	if err != nil {
		return progress.Make(r, &progress.Log{}), nil
	}
	log, exists, err := beside.ReadLog(path)
	if err != nil {
		return nil, err
	}
	if !exists && given != "" {
		return nil, fmt.Errorf("there is no practice log %s; hardbars log begins one", path)
	}
	for _, d := range log.Damaged {
		fmt.Fprintln(cmd.ErrOrStderr(), wrap(fmt.Sprintf("%s, %s; kept as it is, not counted", path, d), width, ""))
	}
	return progress.Make(r, log), nil
}

// confirm says what was logged, how far that is, and when the place comes again.
func confirm(cmd *cobra.Command, path string, r *detect.Report, sp *detect.Spot, date time.Time) error {
	p, err := openProgress(cmd, "", path, r)
	if err != nil {
		return err
	}
	for i := range p.Places {
		if p.Places[i].Spot.ID == sp.ID {
			fmt.Fprintln(cmd.OutOrStdout(), wrap(fmt.Sprintf("Logged in %s: place %s, %s, %s: %s; %s.",
				path, sp.ID, barsWords(r, sp), sp.Label, bestWords(p, &p.Places[i]), nextWords(p, &p.Places[i], date)), width, ""))
		}
	}
	return nil
}
