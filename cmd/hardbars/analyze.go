package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"hardbars/annotate/remarks"
	"hardbars/cmd/hardbars/piece"
	"hardbars/detect"
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

// opening is what is asked of a piece before anything else.
type opening struct {
	who     playerFlags
	part    string
	remarks remarksFlag
}

// add adds every flag but those that say who plays.
func (o *opening) add(cmd *cobra.Command) {
	o.remarks.add(cmd)
	addPartFlag(cmd, &o.part)
}

// open reads a score and finds what is hard in it, with the teacher's remarks. The
// report to go on with is theirs.
func (o *opening) open(cmd *cobra.Command, in string) (*remarks.Remarks, error) {
	player, err := o.who.player(cmd)
	if err != nil {
		return nil, err
	}
	p, err := openPiece(cmd, in, o.part)
	if err != nil {
		return nil, err
	}
	return o.remarks.heed(in, p, player)
}

// openPiece reads the piano part of a score.
func openPiece(cmd *cobra.Command, in, part string) (*piece.Piece, error) {
	f, err := openScore(cmd, in)
	if err != nil {
		return nil, err
	}
	return piece.Open(f, part)
}

// openScoreFor reads the piano part of a score, every note with the hand of a
// player that plays it.
func openScoreFor(cmd *cobra.Command, in, part string, player detect.Player) (*score.Score, error) {
	p, err := openPiece(cmd, in, part)
	if err != nil {
		return nil, err
	}
	return piece.Hands(p.Written, player, &remarks.Page{})
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
