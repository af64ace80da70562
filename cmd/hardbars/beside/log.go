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
	unlock, err := lockedfile.MutexAt(lockName(path)).Lock()
	if err != nil {
		return fmt.Errorf("the practice log cannot be locked, nothing was logged: %w", err)
	}
	defer unlock()
	data, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("the practice log cannot be read, nothing was logged: %w", err)
	}
	whole := progress.Append(data, title, e)
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
