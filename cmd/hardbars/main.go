// Hardbars reads a piano score and gives back a printed study sheet and the
// same score with the hard bars marked.
//
// The command parses flags, calls score/musicxml, detect and annotate in that
// order, and writes files; it decides nothing about the music.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"
)

// Exit codes.
const (
	exitDone   = 0
	exitFailed = 1 // could not do it
	exitUsage  = 2 // was asked in a way it does not understand
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := rootCommand()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := guarded("this command", func() error { return root.ExecuteContext(context.Background()) })
	var wrong usageError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errReported):
		return exitFailed
	case errors.As(err, &wrong):
		fmt.Fprintf(stderr, "hardbars: %v\nTry: %s --help\n", err, wrong.command)
		return exitUsage
	}
	fmt.Fprintf(stderr, "hardbars: %v\n", err)
	return exitFailed
}

// errReported says that something failed and has been printed already.
var errReported = errors.New("already reported")

// usageError is a command line that cannot be understood.
type usageError struct {
	command string // the command whose help explains it
	err     error
}

func (e usageError) Error() string { return e.err.Error() }

func wrongUse(cmd *cobra.Command, err error) error {
	if err == nil {
		return nil
	}
	return usageError{cmd.CommandPath(), err}
}

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "hardbars",
		Short: "Find the hard bars of a piano score before you learn it",
		Long: `hardbars reads a piano score (MusicXML: .musicxml, .xml or .mxl), finds the
bars that will be hard for your hands at your tempo, and says why in numbers.

The command to begin with:

  hardbars study waltz.musicxml

writes waltz.study.pdf, a sheet to print and put on the music stand,
waltz.score.pdf, the whole piece to print with those bars marked, and
waltz.marked.musicxml, the same score with the hard places marked, to open in
any notation editor. Without a word, or by a double click, hardbars opens a
page in the browser that does all this without a terminal.`,
		SilenceErrors:     true,
		SilenceUsage:      true,
		CompletionOptions: cobra.CompletionOptions{HiddenDefaultCmd: false},
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return wrongUse(cmd, unknownCommand(cmd, args[0]))
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return serveAlone(cmd) },
	}
	root.SetFlagErrorFunc(wrongUse)
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), ".FlagUsages ", fmt.Sprintf(".FlagUsagesWrapped %d ", width)))
	root.AddCommand(studyCommand(), planCommand(), logCommand(), progressCommand(), spotsCommand(), remarksCommand(), formCommand(), notesCommand(), fingeringCommand(), unmarkCommand(), drillsCommand(), serveCommand(), tryCommand(), surveyCommand(), playerCommand(), kindsCommand(), versionCommand())
	return root
}

func unknownCommand(root *cobra.Command, name string) error {
	msg := fmt.Sprintf("there is no command %q", name)
	if near := root.SuggestionsFor(name); len(near) > 0 {
		msg += "; did you mean " + strings.Join(near, " or ") + "?"
	}
	return errors.New(msg)
}

// nothing is for commands that take no arguments.
func nothing(cmd *cobra.Command, args []string) error { return wrongUse(cmd, cobra.NoArgs(cmd, args)) }

// files wraps a check on the number of file arguments.
func files(check cobra.PositionalArgs) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return wrongUse(cmd, errors.New("name the score to read, or - for standard input"))
		}
		if check(cmd, args) != nil {
			return wrongUse(cmd, fmt.Errorf("name one score, not %d", len(args)))
		}
		return nil
	}
}
