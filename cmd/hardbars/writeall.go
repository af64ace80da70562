package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"hardbars/cmd/hardbars/beside"
)

// making is a file to be made from a score.
type making struct {
	path  string
	write func(io.Writer) error
}

func (f making) prepare(in string) (beside.Output, error) {
	if err := beside.NotAnInput(f.path, []string{in}); err != nil {
		return beside.Output{}, err
	}
	return beside.Prepare(f.path, f.write)
}

// writeAll makes files from the score in, all or none, in the folder dir where
// one is named, and tells what it wrote and what it kept.
func writeAll(tell io.Writer, in, dir string, files []making) error {
	if dir != "" {
		if err := os.MkdirAll(dir, 0o755); err != nil {
			return fmt.Errorf("cannot make the folder for --out: %w", err)
		}
	}
	var outs []beside.Output
	for _, f := range files {
		var o beside.Output
		err := guarded(in, func() (err error) {
			o, err = f.prepare(in)
			return err
		})
		if err != nil {
			for _, o := range outs {
				o.Discard()
			}
			return err
		}
		outs = append(outs, o)
	}
	var failures []error
	for _, o := range outs {
		kept, err := o.Publish()
		failures = append(failures, err)
		if kept != "" {
			fmt.Fprintf(tell, "Kept what had been changed by hand: %s\n", kept)
		}
		if err == nil {
			fmt.Fprintf(tell, "Wrote %s\n", o.Path())
		}
	}
	return errors.Join(failures...)
}
