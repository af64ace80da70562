package musicxml

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
)

// HARDBARS_WRITTEN names a folder: what is written in each score is put there as
// JSON, for .ci/check_written.py to compare with another reader.
func TestNotationAsJSON(t *testing.T) {
	folder := os.Getenv("HARDBARS_WRITTEN")
	if folder == "" {
		folder = t.TempDir()
	}
	for _, path := range realScores(t) {
		f, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		n, err := f.Notation(Options{})
		if err != nil {
			t.Fatal(err)
		}
		data, err := json.Marshal(n)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(path)
		if err := os.WriteFile(filepath.Join(folder, name+".json"), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
