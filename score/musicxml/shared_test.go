package musicxml

import (
	"bytes"
	"path/filepath"
	"testing"

	"hardbars/score/scoretest/library"
)

// realScores lists the scores of the project and, where they are at hand, real
// ones kept beside it.
func realScores(t testing.TB) []string {
	t.Helper()
	return append(library.Own(t), library.Shared(t)...)
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
