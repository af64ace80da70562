package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"

	"github.com/spf13/cobra"

	"hardbars/annotate/remarks"
	"hardbars/cmd/hardbars/beside"
	"hardbars/cmd/hardbars/piece"
	"hardbars/detect"
)

// remarksFlag names a file of remarks; without it the one beside the score is
// read, where there is one.
type remarksFlag struct{ path string }

func (f *remarksFlag) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.path, "remarks", "", "file with the teacher's remarks (default: NAME.remarks.md beside the score, if there is one)")
}

// name is the file of remarks that belongs to a score, "" for standard input.
func (f *remarksFlag) name(in string) string {
	switch {
	case f.path != "":
		return f.path
	case in == "-":
		return ""
	}
	return piece.RemarksName(in)
}

// heed finds what is hard in a piece for a player, and heeds the remarks on it. The
// report to go on with is that of the result, also where there are none.
func (f *remarksFlag) heed(in string, p *piece.Piece, player detect.Player) (*remarks.Remarks, error) {
	page, err := piece.Page(f.name(in), f.path != "")
	if err != nil {
		return nil, err
	}
	said, err := p.Study(player, page)
	if err != nil {
		return nil, beside.InFile(f.name(in), err)
	}
	return said, nil
}

func remarksCommand() *cobra.Command {
	var of opening
	var start, all bool
	cmd := &cobra.Command{
		Use:   "remarks FILE",
		Short: "Show the teacher's remarks as they were understood, or begin them",
		Long: `A teacher's own remarks on a score stand in a plain text file beside it,
NAME.remarks.md, which study, spots, plan, drills, log and progress find by
themselves:

  for: Ida
  from: Frau Lindner

  Begin with the coda.

  bar 9 left: try 2-5-3 and cross over
  bars 30-37: hands together, from the downbeat
  bar 12 right: 4 2 1
  bar 3: right hand takes Bb1
  add bars 47-48 both: shared between the hands
  skip 7

A line of nothing but fingers is a fingering; one that says which hand takes a
note gives it to that hand, and everything is computed anew; add makes a hot
spot of your own, and skip drops one. Where a score prints a number more than
once, (2) after the bars means the second time. Every other line is a free
paragraph for the head of the sheet, and what stands between <!-- and --> is
not printed.

This command shows what was understood. With --start it writes a first file,
with a line for each hot spot to fill in, and never over one that is there.`,
		Example: `  hardbars remarks waltz.musicxml --start
  hardbars remarks waltz.musicxml`,
		Args: files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			name := of.remarks.name(args[0])
			if name == "" {
				return wrongUse(cmd, errors.New("a score from standard input has no remarks beside it: name the file with --remarks"))
			}
			if start {
				player, err := of.who.player(cmd)
				if err != nil {
					return err
				}
				s, err := openScoreFor(cmd, args[0], of.part, player)
				if err != nil {
					return err
				}
				report := piece.Analyze(s, player)
				if !all {
					report = report.WithoutQuiet()
				}
				return startRemarks(cmd.OutOrStdout(), name, report)
			}
			on, err := of.open(cmd, args[0])
			if err != nil {
				return err
			}
			printRemarks(cmd.OutOrStdout(), name, on)
			return nil
		},
	}
	of.who.add(cmd)
	of.add(cmd)
	cmd.Flags().BoolVar(&start, "start", false, "write a first file to fill in")
	addAllFlag(cmd, &all)
	return cmd
}

// startRemarks writes a first page under a name that is free.
func startRemarks(w io.Writer, name string, r *detect.Report) error {
	o, err := beside.Prepare(name, func(w io.Writer) error {
		_, err := io.WriteString(w, remarks.Start(r))
		return err
	})
	if err != nil {
		return err
	}
	defer o.Discard()
	if err := o.PublishNew(); errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already and is not written over: open it, or name another with --remarks", name)
	} else if err != nil {
		return fmt.Errorf("cannot write %s: %w", name, err)
	}
	fmt.Fprintf(w, "Wrote %s: open it in a text editor, fill in what you like, then hardbars study.\n", name)
	return nil
}

// printRemarks shows what was understood.
func printRemarks(w io.Writer, name string, on *remarks.Remarks) {
	if on.Empty() {
		fmt.Fprintln(w, wrap(fmt.Sprintf("%s says nothing yet.", name), width, ""))
		return
	}
	fmt.Fprintln(w, wrap(name, width, ""))
	for _, part := range on.Heading.Parts() {
		fmt.Fprintln(w, wrap(part[0]+": "+part[1], width, ""))
	}
	for _, text := range on.Paragraphs {
		fmt.Fprintf(w, "\n%s\n", wrap(text, width, ""))
	}
	printSaid(w, on)
	printList(w, "Hot spots added:", spotWords(on.Report, on.Added()))
}

// printTaken says in a line what was taken from the file of remarks.
func printTaken(w io.Writer, name string, on *remarks.Remarks) {
	if on.Empty() {
		return
	}
	fmt.Fprintln(w, wrap(fmt.Sprintf("Taken from %s: %s, %s added, %d skipped.", name,
		count(len(on.All), "remark", "remarks"), count(len(on.Added()), "hot spot", "hot spots"), len(on.Skipped)), width, ""))
}

// printSaid lists the remarks by bar, and what they skip.
func printSaid(w io.Writer, on *remarks.Remarks) {
	var said []string
	for _, m := range on.All {
		said = append(said, m.String())
	}
	printList(w, "Remarks:", said)
	printList(w, "Hot spots skipped:", spotWords(on.Report, on.Skipped))
}

func spotWords(r *detect.Report, spots []detect.Spot) []string {
	var words []string
	for i := range spots {
		sp := &spots[i]
		words = append(words, fmt.Sprintf("%s. %s, %s: %s", sp.ID, barsWords(r, sp), sp.Hand.Name(), sp.Label))
	}
	return words
}

func printList(w io.Writer, title string, list []string) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintf(w, "\n%s\n", title)
	for _, item := range list {
		fmt.Fprintln(w, wrap(item, width, "  "))
	}
}
