package main

import (
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"hardbars/annotate/drill"
	"hardbars/cmd/hardbars/beside"
	"hardbars/detect"
)

// drills is practice scores made of one score.
type drills struct {
	in, dir string
	report  *detect.Report
}

func drillsCommand() *cobra.Command {
	var of opening
	var job drills
	var spot string
	cmd := &cobra.Command{
		Use:   "drills FILE",
		Short: "Write practice scores for the hard places, to play from and play back",
		Long: `Writes practice scores in MusicXML, which any notation editor opens and plays:
NAME.drill-1.musicxml, NAME.drill-2.musicxml, … for each place that hardbars
spots lists, and NAME.drills.musicxml, a book with the few of them that teach
the most, in the order to learn them. Each is made of the piece's own notes:
hands apart and together, what helps with that kind of place, the bars chained
from the last one backwards, and a ladder of tempos.`,
		Example: `  hardbars drills waltz.musicxml --out practice
  hardbars drills waltz.musicxml --spot 3`,
		Args: files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			on, err := of.open(cmd, args[0])
			if err != nil {
				return err
			}
			job.in = args[0]
			job.report = on.Report
			printWarnings(cmd.ErrOrStderr(), args[0], job.report.Score)
			if spot == "" {
				return job.all(cmd.OutOrStdout())
			}
			return job.one(cmd.OutOrStdout(), spot)
		},
	}
	of.who.add(cmd)
	of.add(cmd)
	cmd.Flags().StringVar(&spot, "spot", "", "write the drills of one place only, by its number")
	cmd.Flags().StringVar(&job.dir, "out", "", "folder to write to (default: beside the score)")
	return cmd
}

// one writes the drills of one place.
func (job *drills) one(w io.Writer, id string) error {
	only, err := onlySpot(job.report, id)
	if err != nil {
		return err
	}
	return writeAll(w, job.in, job.dir, []making{job.forSpot(only.Spot(id))})
}

// all writes a file for each place, and the book.
func (job *drills) all(w io.Writer) error {
	r := job.report.WithoutQuiet()
	if len(r.Spots) == 0 {
		_, err := fmt.Fprintln(w, "Nothing in this piece is hard for this player at this tempo: there is nothing to drill.")
		return err
	}
	var files []making
	tooFine := map[string]bool{}
	for i := range r.Spots {
		sp := &r.Spots[i]
		if drill.TooFine(job.report, sp) {
			tooFine[sp.ID] = true
			fmt.Fprintf(w, "Left out place %s, %s: its lengths are too fine to be written as notes.\n", sp.ID, r.Bars(sp))
			continue
		}
		files = append(files, job.forSpot(sp))
	}
	if len(files) == 0 {
		return nil
	}
	book := slices.DeleteFunc(drill.Book(r), func(sp *detect.Spot) bool { return tooFine[sp.ID] })
	if drill.TooFine(job.report, book...) {
		fmt.Fprintln(w, "Left out the book of all places: their lengths are too fine to be written beside each other.")
		return writeAll(w, job.in, job.dir, files)
	}
	return writeAll(w, job.in, job.dir, append(files, job.file(".drills.musicxml", book)))
}

func (job *drills) forSpot(s *detect.Spot) making {
	return job.file(".drill-"+s.ID+".musicxml", []*detect.Spot{s})
}

// file is a file with the drills of some places.
func (job *drills) file(suffix string, spots []*detect.Spot) making {
	return making{beside.Name(job.in, job.dir, suffix), beside.XMLSeal.Writer(func(w io.Writer) error {
		return drill.Write(w, job.report, spots)
	})}
}
