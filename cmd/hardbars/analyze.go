package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
)

// openScore opens a score by name; "-" is the command's standard input.
func openScore(cmd *cobra.Command, name string) (*musicxml.File, error) {
	if name == "-" {
		return musicxml.Read(cmd.InOrStdin(), named(name))
	}
	return musicxml.Open(name)
}

// named is what messages call a score that was asked for by name.
func named(name string) string {
	if name == "-" {
		return "standard input"
	}
	return name
}

// readHands reads a file's piano part and gives every note to the hand of a
// player that plays it.
func readHands(f *musicxml.File, part string, player detect.Player) (*score.Score, error) {
	s, err := f.Score(musicxml.Options{Part: part})
	if err != nil {
		return nil, err
	}
	return hand.Assign(s, player.Hands(), nil), nil
}

// analyze reads a file's piano part and finds what is hard in it for a player.
func analyze(f *musicxml.File, part string, player detect.Player) (*detect.Report, error) {
	s, err := readHands(f, part, player)
	if err != nil {
		return nil, err
	}
	return detect.Analyze(s, player, kinds.All), nil
}

func addPartFlag(cmd *cobra.Command, part *string) {
	cmd.Flags().StringVar(part, "part", "", "id or name of the part to read, where the piano is not plain")
}

// printWarnings says what was assumed, repaired or skipped.
func printWarnings(w io.Writer, name string, s *score.Score) {
	for _, warning := range s.Warnings {
		fmt.Fprintln(w, wrap(fmt.Sprintf("%s: %s", named(name), warning), width, ""))
	}
}
