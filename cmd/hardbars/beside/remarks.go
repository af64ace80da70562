package beside

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/rogpeppe/go-internal/lockedfile"

	"hardbars/annotate/remarks"
)

// ReadRemarks reads a page of remarks. The error names the file and each line
// that is not understood; it is fs.ErrNotExist where there is no file.
func ReadRemarks(path string) (*remarks.Page, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	page, err := remarks.Parse(data)
	if err != nil {
		return nil, InFile(path, err)
	}
	return page, nil
}

// ChangeRemarks gives a page of remarks, empty where there is none yet, to a
// function and writes what it gives back. Others who do the same wait for it.
// Where the function fails nothing is written.
func ChangeRemarks(path string, change func(page []byte) ([]byte, error)) error {
	unlock, err := lockedfile.MutexAt(lockName(path)).Lock()
	if err != nil {
		return fmt.Errorf("the remarks cannot be locked, nothing was written: %w", err)
	}
	defer unlock()
	data, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("the remarks cannot be read, nothing was written: %w", err)
	}
	whole, err := change(data)
	if err != nil {
		return err
	}
	return Rewrite(path, func(w io.Writer) error {
		_, err := w.Write(whole)
		return err
	})
}

// InFile puts the name of a file before each line of an error.
func InFile(name string, err error) error {
	return errors.New(name + ": " + strings.ReplaceAll(err.Error(), "\n", "\n"+name+": "))
}
