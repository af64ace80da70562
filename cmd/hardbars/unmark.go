package main

import (
	"strings"

	"github.com/spf13/cobra"

	"hardbars/annotate/mark"
	"hardbars/cmd/hardbars/beside"
)

func unmarkCommand() *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "unmark FILE",
		Short: "Give a marked score back without the marks",
		Long: `Takes away every mark that hardbars has put into a score, and nothing else.
The score goes to standard output, or to the file named by --out: compressed
when that name ends in .mxl.`,
		Example: "  hardbars unmark waltz.marked.musicxml --out clean.musicxml",
		Args:    files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			f, err := openScore(cmd, args[0])
			if err != nil {
				return err
			}
			mark.Unmark(f)
			if out == "" {
				_, err := f.WriteTo(cmd.OutOrStdout())
				return err
			}
			if err := beside.NotAnInput(out, args); err != nil {
				return err
			}
			if strings.EqualFold(beside.Extension(out), ".mxl") {
				return beside.WriteFile(out, f.WriteMXL)
			}
			return beside.WriteFile(out, plain(f))
		},
	}
	cmd.Flags().StringVar(&out, "out", "", "file to write instead of standard output")
	return cmd
}
