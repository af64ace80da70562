package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"hardbars/detect"
	"hardbars/score/form"
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
			s, err := openScoreFor(cmd, args[0], part, detect.DefaultPlayer())
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
	fmt.Fprintln(w, wrap(f.BarsInAll(), width, ""))
	fmt.Fprintln(w)
	nameWidth, barsWidth := 0, 0
	for _, sec := range f.Sections {
		nameWidth = max(nameWidth, utf8.RuneCountInString(sec.Name))
		barsWidth = max(barsWidth, utf8.RuneCountInString(f.Range(sec.First, sec.Last)))
	}
	indent := strings.Repeat(" ", nameWidth+barsWidth+6)
	for _, sec := range f.Sections {
		words := strings.TrimLeft(wrap(f.SectionWords(sec), width, indent), " ")
		line := fmt.Sprintf("  %-*s  %-*s  %s", nameWidth, sec.Name, barsWidth, f.Range(sec.First, sec.Last), words)
		fmt.Fprintln(w, strings.TrimRight(line, " "))
	}
	fmt.Fprintln(w)
	if f.Through() {
		fmt.Fprintln(w, wrap(f.ThroughWords(), width, ""))
	}
	if len(f.Again) > 0 {
		fmt.Fprintln(w, wrap("Bars that have come before: "+f.AgainWords()+".", width, ""))
	}
	fmt.Fprintln(w, wrap("In play: "+f.PlayedWords(), width, ""))
}
