package beside

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"hardbars/annotate/progress"
)

func anEntry(note string) *progress.Entry {
	return &progress.Entry{Date: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC), Spot: "1", Bars: "7", Kind: "leap", Note: note}
}

func TestWritersOfOneLogLoseNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "waltz.practice.log")
	const writers, each = 8, 5
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			for n := range each {
				if err := AppendLog(path, "Waltz", anEntry(fmt.Sprintf("entry %d of %d", n, w))); err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	log, _, err := ReadLog(path)
	if err != nil || len(log.Damaged) > 0 {
		t.Fatal(err, log)
	}
	notes := map[string]bool{}
	for _, e := range log.Entries {
		notes[e.Note] = true
	}
	if len(log.Entries) != writers*each || len(notes) != writers*each {
		t.Errorf("%d entries, %d of them different; want %d", len(log.Entries), len(notes), writers*each)
	}
}

// fullDisk takes so many bytes and no more.
type fullDisk struct {
	w    io.Writer
	room int
}

var errFull = errors.New("no space left on device")

func (d *fullDisk) Write(p []byte) (int, error) {
	if len(p) > d.room {
		n, _ := d.w.Write(p[:d.room])
		d.room = 0
		return n, errFull
	}
	d.room -= len(p)
	return d.w.Write(p)
}

// A disk that is full, at whatever byte, leaves the log as it was, and no litter.
func TestFullDiskKeepsTheLog(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "waltz.practice.log")
	before := []byte("# mine\n2026-03-02 | 1 | 7 | right | leap | 52 | 3 min | fine\n")
	if err := os.WriteFile(path, before, 0o640); err != nil {
		t.Fatal(err)
	}
	whole := progress.Append(before, "", anEntry("more"))
	for room := range len(whole) {
		err := Rewrite(path, func(w io.Writer) error {
			_, err := (&fullDisk{w, room}).Write(whole)
			return err
		})
		after, readErr := os.ReadFile(path)
		if !errors.Is(err, errFull) || readErr != nil || !bytes.Equal(after, before) {
			t.Fatalf("room for %d bytes: %v, %v, the log is %q", room, err, readErr, after)
		}
	}
	if files, err := os.ReadDir(dir); err != nil || len(files) != 1 {
		t.Errorf("left behind: %v, %v", files, err)
	}
}

// A log that is a link stays one, and keeps its permissions.
func TestLinkedLog(t *testing.T) {
	dir := t.TempDir()
	own, link := filepath.Join(dir, "own.log"), filepath.Join(dir, "waltz.practice.log")
	if err := os.WriteFile(own, []byte("# mine\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(own, link); err != nil {
		t.Fatal(err)
	}
	if err := AppendLog(link, "Waltz", anEntry("more")); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(own)
	if err != nil || !strings.HasPrefix(string(data), "# mine\n2026-03-02 | 1 | 7") {
		t.Errorf("%v: %q", err, data)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v", err)
	}
	if info, err := os.Stat(own); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("permissions changed: %v", err)
	}
}
