package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"hardbars/detect"
)

// choice is which hot spots a list shows.
type choice struct {
	kinds []string
	hand  string
	bars  string
	all   bool
}

func (c *choice) add(cmd *cobra.Command) {
	cmd.Flags().StringSliceVar(&c.kinds, "kind", nil, "only these kinds (see hardbars kinds)")
	cmd.Flags().StringVar(&c.hand, "hand", "", "only right, left or both")
	cmd.Flags().StringVar(&c.bars, "bars", "", "only these bars as printed, such as 12 or 5-12")
	addAllFlag(cmd, &c.all)
	cmd.RegisterFlagCompletionFunc("kind", cobra.FixedCompletions(kindNames(), cobra.ShellCompDirectiveNoFileComp))
	cmd.RegisterFlagCompletionFunc("hand", cobra.FixedCompletions([]string{"right", "left", "both"}, cobra.ShellCompDirectiveNoFileComp))
}

// addAllFlag adds the flag that shows what is well inside the player's comfort too.
func addAllFlag(cmd *cobra.Command, all *bool) {
	cmd.Flags().BoolVar(all, "all", false, fmt.Sprintf("show quiet places too, of demand under %g", detect.QuietBelow))
}

// check refuses what can be seen to be wrong before any score is read.
func (c *choice) check() error {
	if _, err := parseKinds(c.kinds); err != nil {
		return fmt.Errorf("--kind: %w", err)
	}
	if c.hand != "" && c.hand != "right" && c.hand != "left" && c.hand != "both" {
		return fmt.Errorf("--hand: %q is not right, left or both", c.hand)
	}
	return nil
}

// given reports whether any choice was made.
func (c *choice) given(cmd *cobra.Command) bool {
	return cmd.Flags().Changed("kind") || cmd.Flags().Changed("hand") || cmd.Flags().Changed("bars")
}

// of returns the report with the chosen spots only.
func (c *choice) of(r *detect.Report) (*detect.Report, error) {
	kinds, err := parseKinds(c.kinds)
	if err != nil {
		return nil, err
	}
	first, last := 0, len(r.Score.Bars)-1
	if c.bars != "" {
		if first, last, err = r.BarRange(c.bars); err != nil {
			return nil, err
		}
	}
	chosen := func(s *detect.Spot) bool {
		return (len(kinds) == 0 || kinds[s.Kind]) && (c.hand == "" || c.hand == s.Hand.String()) && s.Within(first, last)
	}
	every := r.Only(chosen)
	if c.all {
		return every, nil
	}
	loud := r.WithoutQuiet().Only(chosen)
	loud.LeftOut = len(every.Spots) - len(loud.Spots)
	return loud, nil
}

func spotsCommand() *cobra.Command {
	var of opening
	var show choice
	var one string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "spots FILE",
		Short: "List the hot spots: where, what and why",
		Long: `Lists the hot spots of a score, the one to practise first at the top. Demand
is what the place asks for, divided by what you do in comfort: over 1 is past
comfort. The tempi are the one that is comfortable and the one to reach; one
alone is both. Places of one family are the same problem again. What
is well inside your comfort is left out, unless you ask for --all. With --spot
you get one place whole: what is hard about it, and how to practise it.`,
		Example: `  hardbars spots waltz.musicxml
  hardbars spots waltz.musicxml --spot 3
  hardbars spots waltz.musicxml --hand left --bars 5-12
  hardbars spots waltz.musicxml --kind cross-rhythm,leap --json`,
		Args: files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := show.check(); err != nil {
				return wrongUse(cmd, err)
			}
			if one != "" && show.given(cmd) {
				return wrongUse(cmd, errors.New("--spot names one place: leave out --kind, --hand and --bars"))
			}
			said, err := of.open(cmd, args[0])
			if err != nil {
				return err
			}
			report := said.Report
			if one != "" {
				if report, err = onlySpot(said.Report, one); err != nil {
					return fmt.Errorf("%s: %w", named(args[0]), err)
				}
			} else if report, err = show.of(said.Report); err != nil {
				return wrongUse(cmd, fmt.Errorf("--bars: %w", err))
			}
			if asJSON {
				return printJSON(cmd.OutOrStdout(), report)
			}
			if one != "" {
				printSpot(cmd.OutOrStdout(), args[0], report, report.Spot(one), said)
			} else {
				printSpots(cmd.OutOrStdout(), args[0], report)
				printSaid(cmd.OutOrStdout(), said)
			}
			printWarnings(cmd.ErrOrStderr(), args[0], report.Score)
			return nil
		},
	}
	of.who.add(cmd)
	show.add(cmd)
	of.add(cmd)
	cmd.Flags().StringVar(&one, "spot", "", "only the place with this number, with how to practise it")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, for other programs")
	return cmd
}

func printJSON(w io.Writer, r *detect.Report) error {
	data, err := r.JSON()
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "%s\n", data)
	return err
}

func printSpots(w io.Writer, in string, r *detect.Report) {
	printHeading(w, in, r)
	if len(r.Spots) == 0 {
		fmt.Fprintln(w, "No hot spots.")
		printLeftOut(w, r)
		return
	}
	table := [][]string{{"#", "bars", "hand", "kind", "demand", "family", "tempo"}}
	for i := range r.Spots {
		s := &r.Spots[i]
		table = append(table, []string{s.ID, r.Bars(s), s.Hand.String(), string(s.Kind), fmt.Sprintf("%.2f", s.Demand), s.Family, paceStep(r, s)})
	}
	printTable(w, table)
	fmt.Fprintln(w)
	for i := range r.Spots {
		s := &r.Spots[i]
		fmt.Fprintln(w, wrap(fmt.Sprintf("%s. %s%s", s.ID, barsWords(r, s), why(r, s)), width, "  "))
	}
	printLeftOut(w, r)
}

// why says why a spot is hard, and how it is like the one of its family to
// learn first. What is the same in every note is not told twice.
func why(r *detect.Report, s *detect.Spot) string {
	switch rel, first, ok := r.Relation(s); {
	case !ok:
		return ": " + s.Why
	case rel.Same:
		return fmt.Sprintf(": %s; see %s.", rel.Text, first.ID)
	default:
		return fmt.Sprintf(" (%s; see %s): %s", rel.Text, first.ID, s.Why)
	}
}

// printLeftOut says how much is not shown because it is well inside comfort.
func printLeftOut(w io.Writer, r *detect.Report) {
	if r.LeftOut > 0 {
		fmt.Fprintln(w, wrap(fmt.Sprintf("%s well inside your comfort left out; --all shows them.",
			count(r.LeftOut, "quiet place", "quiet places")), width, ""))
	}
}
