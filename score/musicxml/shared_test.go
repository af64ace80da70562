package musicxml

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// realScores lists the scores of the project and, where they are at hand, real
// ones kept beside it. HARDBARS_SHARED says that they must be at hand.
func realScores(t testing.TB) []string {
	t.Helper()
	own, err := filepath.Glob("../../testdata/*.[mx]*l")
	if err != nil || len(own) == 0 {
		t.Fatal("the project's own scores are missing:", err)
	}
	shared, err := filepath.Glob("../../../shared/scores/*.mxl")
	if err != nil || len(shared) == 0 && os.Getenv("HARDBARS_SHARED") != "" {
		t.Fatal("HARDBARS_SHARED is set, but ../shared/scores holds no scores:", err)
	}
	return append(own, shared...)
}

func TestRealScoresSurviveWriting(t *testing.T) {
	for _, path := range realScores(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			f, err := Open(path)
			if err != nil {
				t.Fatal(err)
			}
			var plain, packed bytes.Buffer
			if _, err := f.WriteTo(&plain); err != nil {
				t.Fatal(err)
			}
			if err := f.WriteMXL(&packed); err != nil {
				t.Fatal(err)
			}
			for kind, data := range map[string]*bytes.Buffer{"plain": &plain, "packed": &packed} {
				again, err := Read(data, path)
				if err != nil {
					t.Fatal(err)
				}
				if where := same(&f.Doc.Element, &again.Doc.Element); where != "" {
					t.Errorf("%s: the tree differs at %s", kind, where)
				}
			}
			if len(f.NoteElements()) == 0 {
				t.Error("no notes")
			}
			if _, err := f.pianoParts(""); err != nil {
				t.Error(err)
			}
		})
	}
}
