package beside

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/rogpeppe/go-internal/lockedfile"

	"hardbars/annotate/progress"
)

// AppendLog adds an entry to a log. Others who do the same wait for it.
func AppendLog(path, title string, e *progress.Entry) error {
	return ChangeLog(path, func(log []byte) ([]byte, error) { return progress.Append(log, title, e), nil })
}

// ChangeLog gives a log, empty where there is none yet, to a function and writes
// what it gives back. Others who do the same wait for it. Where the function
// fails nothing is written.
func ChangeLog(path string, change func(log []byte) ([]byte, error)) error {
	return changeFile("the practice log", path, change)
}

// changeFile changes one of the files that their owner and hardbars both write;
// what is its name in messages.
func changeFile(what, path string, change func([]byte) ([]byte, error)) error {
	unlock, err := lockedfile.MutexAt(lockName(path)).Lock()
	if err != nil {
		return fmt.Errorf("%s cannot be locked, nothing was written: %w", what, err)
	}
	defer unlock()
	data, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s cannot be read, nothing was written: %w", what, err)
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

// lockName is the empty file beside a log that its writers lock. It stays: to
// take it away would be to let two of them in at once.
func lockName(log string) string {
	log = linked(log)
	return filepath.Join(filepath.Dir(log), "."+filepath.Base(log)+".lock")
}

// ReadLog reads a log that may not be there yet.
func ReadLog(path string) (log *progress.Log, exists bool, err error) {
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return &progress.Log{}, false, nil
	}
	if err != nil {
		return nil, false, fmt.Errorf("the practice log cannot be read: %w", err)
	}
	return progress.Parse(data), true, nil
}
