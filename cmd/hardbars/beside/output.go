// Package beside keeps the files that stand beside a score: what is made from
// it, the log of its practice and the teacher's remarks.
//
// It knows how they are named, that they are written whole or not at all, that
// two writers wait for each other, and that nothing its owner has changed is
// written over. What stands in them is kept out.
package beside

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

// Output is a file that waits under a temporary name until everything that
// belongs with it has been written too.
type Output struct{ temporary, final string }

// Prepare writes a file under a temporary name in its final folder. Where write
// fails or panics nothing is left.
func Prepare(final string, write func(io.Writer) error) (Output, error) {
	tmp, err := os.CreateTemp(filepath.Dir(final), ".hardbars-*")
	if err != nil {
		return Output{}, fmt.Errorf("cannot write %s: %w", final, err)
	}
	o := Output{tmp.Name(), final}
	written := false
	defer func() {
		if !written {
			tmp.Close()
			o.Discard()
		}
	}()
	err = errors.Join(write(tmp), tmp.Chmod(0o644), tmp.Sync(), tmp.Close())
	if err != nil {
		return Output{}, fmt.Errorf("cannot write %s: %w", final, err)
	}
	written = true
	return o, nil
}

// Publish gives the file its name. What stood there and was not written by
// hardbars, or has been changed since, is kept under the name it returns.
func (o Output) Publish() (kept string, err error) {
	if changedByUser(o.final) {
		if kept, err = setAside(o.final); err != nil {
			o.Discard()
			return "", err
		}
	}
	return kept, o.replace()
}

// replace gives the file its name, in place of what stood there.
func (o Output) replace() error {
	err := os.Rename(o.temporary, o.final)
	if err != nil {
		o.Discard()
	}
	return err
}

// PublishNew gives the file its name where that is free; otherwise the error is
// fs.ErrExist. The temporary name stays until Discard.
func (o Output) PublishNew() error {
	// A link, other than a new name, never takes the place of a file.
	return os.Link(o.temporary, o.final)
}

// Path is the name that the file is to have.
func (o Output) Path() string { return o.final }

// Discard takes the file away again while it has only its temporary name.
func (o Output) Discard() { os.Remove(o.temporary) }

// WriteFile writes one file whole or not at all.
func WriteFile(final string, write func(io.Writer) error) error {
	o, err := Prepare(final, write)
	if err != nil {
		return err
	}
	_, err = o.Publish()
	return err
}

// Rewrite replaces a file that its owner and hardbars both write, whole or not
// at all. Where it is a link, what it links to is written; its permissions stay.
func Rewrite(path string, write func(io.Writer) error) error {
	path = linked(path)
	o, err := Prepare(path, write)
	if err != nil {
		return err
	}
	if info, err := os.Stat(path); err == nil {
		if err := os.Chmod(o.temporary, info.Mode().Perm()); err != nil {
			o.Discard()
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

// NotAnInput refuses to write over a file that is being read.
func NotAnInput(out string, inputs []string) error {
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

// Extension is the ending of a score's file name, "" where it is that of no score.
func Extension(path string) string {
	ext := filepath.Ext(path)
	if slices.Contains(scoreExtensions, strings.ToLower(ext)) {
		return ext
	}
	return ""
}

// Name is the path of a file made from a score: beside it, or in dir.
func Name(input, dir, suffix string) string {
	if input == "-" {
		return filepath.Join(dir, "score"+suffix)
	}
	base := strings.TrimSuffix(filepath.Base(input), Extension(input))
	if dir == "" {
		dir = filepath.Dir(input)
	}
	return filepath.Join(dir, base+suffix)
}
