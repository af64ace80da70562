package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// output is a file that waits under a temporary name until everything that
// belongs with it has been written too.
type output struct{ temporary, final string }

// prepare writes a file under a temporary name in its final folder.
func prepare(final string, write func(io.Writer) error) (output, error) {
	tmp, err := os.CreateTemp(filepath.Dir(final), ".hardbars-*")
	if err != nil {
		return output{}, fmt.Errorf("cannot write %s: %w", final, err)
	}
	o := output{tmp.Name(), final}
	err = errors.Join(write(tmp), tmp.Chmod(0o644), tmp.Sync(), tmp.Close())
	if err != nil {
		o.discard()
		return output{}, fmt.Errorf("cannot write %s: %w", final, err)
	}
	return o, nil
}

// publish gives the file its name. What stood there and was not written by
// hardbars, or has been changed since, is kept under the name it returns.
func (o output) publish() (kept string, err error) {
	if changedByUser(o.final) {
		if kept, err = setAside(o.final); err != nil {
			o.discard()
			return "", err
		}
	}
	return kept, o.replace()
}

// replace gives the file its name, in place of what stood there.
func (o output) replace() error {
	err := os.Rename(o.temporary, o.final)
	if err != nil {
		o.discard()
	}
	return err
}

func (o output) discard() { os.Remove(o.temporary) }

// writeFile writes one file whole or not at all.
func writeFile(final string, write func(io.Writer) error) error {
	o, err := prepare(final, write)
	if err != nil {
		return err
	}
	_, err = o.publish()
	return err
}

// rewrite replaces a file that its owner and hardbars both write, whole or not
// at all. Where it is a link, what it links to is written; its permissions stay.
func rewrite(path string, write func(io.Writer) error) error {
	path = linked(path)
	o, err := prepare(path, write)
	if err != nil {
		return err
	}
	if info, err := os.Stat(path); err == nil {
		if err := os.Chmod(o.temporary, info.Mode().Perm()); err != nil {
			o.discard()
			return err
		}
	}
	return o.replace()
}

// linked is the file that a path leads to, the path itself where there is none yet.
func linked(path string) string {
	if target, err := filepath.EvalSymlinks(path); err == nil {
		return target
	}
	return path
}

// setAside renames a file to the first free of NAME.kept-1.EXT, NAME.kept-2.EXT, …
func setAside(path string) (string, error) {
	ext := filepath.Ext(path)
	for n := 1; ; n++ {
		kept := fmt.Sprintf("%s.kept-%d%s", strings.TrimSuffix(path, ext), n, ext)
		if _, err := os.Lstat(kept); errors.Is(err, fs.ErrNotExist) {
			return kept, os.Rename(path, kept)
		}
	}
}

func changedByUser(path string) bool {
	data, err := os.ReadFile(path)
	return err == nil && !sealed(data)
}

// notAnInput refuses to write over a file that is being read.
func notAnInput(out string, inputs []string) error {
	there, err := os.Stat(out)
	if err != nil {
		return nil // nothing there yet
	}
	same := slices.ContainsFunc(inputs, func(in string) bool {
		info, err := os.Stat(in)
		return err == nil && os.SameFile(info, there)
	})
	if same {
		return fmt.Errorf("%s is the score being read and is not written over: choose another name or folder with --out", out)
	}
	return nil
}

// scoreExtensions are taken off a score's name to name what is made from it.
var scoreExtensions = []string{".musicxml", ".xml", ".mxl"}

func extension(path string) string {
	ext := filepath.Ext(path)
	if slices.Contains(scoreExtensions, strings.ToLower(ext)) {
		return ext
	}
	return ""
}

// outputName is the path of a file made from a score: beside it, or in dir.
func outputName(input, dir, suffix string) string {
	if input == "-" {
		return filepath.Join(dir, "score"+suffix)
	}
	base := strings.TrimSuffix(filepath.Base(input), extension(input))
	if dir == "" {
		dir = filepath.Dir(input)
	}
	return filepath.Join(dir, base+suffix)
}
