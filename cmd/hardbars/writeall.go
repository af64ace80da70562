package main

import (
	"errors"
	"fmt"
	"io"
	"os"
)

// making is a file to be made from a score.
type making struct {
	path  string
	write func(io.Writer) error
}

func (f making) prepare(in string) (output, error) {
	if err := notAnInput(f.path, []string{in}); err != nil {
		return output{}, err
	}
	return prepare(f.path, f.write)
}

// writeAll makes files from the score in, all or none, in the folder dir where
// one is named, and tells what it wrote and what it kept.
func writeAll(tell io.Writer, in, dir string, files []making) error {
	if dir != "" {
		if err := os.MkdirAll(dir, 0o755); err != nil {
			return fmt.Errorf("cannot make the folder for --out: %w", err)
		}
	}
	var outs []output
	for _, f := range files {
		o, err := f.prepare(in)
		if err != nil {
			for _, o := range outs {
				o.discard()
			}
			return err
		}
		outs = append(outs, o)
	}
	var failures []error
	for _, o := range outs {
		kept, err := o.publish()
		failures = append(failures, err)
		if kept != "" {
			fmt.Fprintf(tell, "Kept what had been changed by hand: %s\n", kept)
		}
		if err == nil {
			fmt.Fprintf(tell, "Wrote %s\n", o.final)
		}
	}
	return errors.Join(failures...)
}
