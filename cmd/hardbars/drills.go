package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"hardbars/annotate/drill"
	"hardbars/detect"
)

// drills is practice scores made of one score.
type drills struct {
	in, dir string
	report  *detect.Report
}

func drillsCommand() *cobra.Command {
	var who playerFlags
	var file remarksFlag
	var job drills
	var part, spot string
	cmd := &cobra.Command{
		Use:   "drills FILE",
		Short: "Write practice scores for the hard places, to play from and play back",
		Long: `Writes practice scores in MusicXML, which any notation editor opens and plays:
NAME.drill-1.musicxml, NAME.drill-2.musicxml, … for each place that hardbars
spots lists, and NAME.drills.musicxml with all of them; a place that is the same
in every note as another is in that book once. Each is made of the piece's own
notes: hands apart and together, what helps with that kind of place, the bars
chained from the last one backwards, and a ladder of tempos.`,
		Example: `  hardbars drills waltz.musicxml --out practice
  hardbars drills waltz.musicxml --spot 3`,
		Args: files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			player, err := who.player(cmd)
			if err != nil {
				return err
			}
			f, err := openScore(cmd, args[0])
			if err != nil {
				return err
			}
			job.in = args[0]
			report, err := analyze(f, part, player)
			if err != nil {
				return err
			}
			on, err := file.on(args[0], report)
			if err != nil {
				return err
			}
			job.report = on.Report
			printWarnings(cmd.ErrOrStderr(), args[0], job.report.Score)
			if spot == "" {
				return job.all(cmd.OutOrStdout())
			}
			return job.one(cmd.OutOrStdout(), spot)
		},
	}
	who.add(cmd)
	file.add(cmd)
	addPartFlag(cmd, &part)
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
	return job.write(w, []sheaf{job.forSpot(only.Spot(id))})
}

// all writes a file for each place, and the book.
func (job *drills) all(w io.Writer) error {
	r := job.report.Loud()
	if len(r.Spots) == 0 {
		_, err := fmt.Fprintln(w, "Nothing in this piece is hard for this player at this tempo: there is nothing to drill.")
		return err
	}
	var sheaves []sheaf
	for i := range r.Spots {
		sheaves = append(sheaves, job.forSpot(&r.Spots[i]))
	}
	return job.write(w, append(sheaves, sheaf{outputName(job.in, job.dir, ".drills.musicxml"), drill.Book(r)}))
}

// sheaf is a file of drills and the places that they are for.
type sheaf struct {
	path  string
	spots []*detect.Spot
}

func (job *drills) forSpot(s *detect.Spot) sheaf {
	return sheaf{outputName(job.in, job.dir, ".drill-"+s.ID+".musicxml"), []*detect.Spot{s}}
}

// write writes all files, or none.
func (job *drills) write(w io.Writer, sheaves []sheaf) error {
	if job.dir != "" {
		if err := os.MkdirAll(job.dir, 0o755); err != nil {
			return fmt.Errorf("cannot make the folder for --out: %w", err)
		}
	}
	var outputs []output
	for _, s := range sheaves {
		o, err := job.prepare(s)
		if err != nil {
			for _, o := range outputs {
				o.discard()
			}
			return err
		}
		outputs = append(outputs, o)
	}
	var failures []error
	for _, o := range outputs {
		kept, err := o.publish()
		if kept != "" {
			fmt.Fprintf(w, "Kept what had been changed by hand: %s\n", kept)
		}
		failures = append(failures, err)
	}
	if err := errors.Join(failures...); err != nil {
		return err
	}
	for _, s := range sheaves {
		fmt.Fprintf(w, "Wrote %s\n", s.path)
	}
	return nil
}

func (job *drills) prepare(s sheaf) (output, error) {
	if err := notAnInput(s.path, []string{job.in}); err != nil {
		return output{}, err
	}
	return prepare(s.path, xmlSeal.writer(func(w io.Writer) error {
		return drill.Write(w, job.report, s.spots)
	}))
}
