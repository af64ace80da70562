// Package library finds the score files that tests read: those of the project,
// which testdata/scores.txt names, and real ones kept beside it.
//
// It refuses to look for files by pattern in testdata, where the commands may
// have left what they make from a score.
package library

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Own returns the paths of the project's scores, in the order of the list:
// those whose name ends in one of endings, or all of them without any.
func Own(t testing.TB, endings ...string) []string {
	t.Helper()
	folder := filepath.Join(root(t), "testdata")
	list, err := os.ReadFile(filepath.Join(folder, "scores.txt"))
	if err != nil {
		t.Fatal(err)
	}
	var paths []string
	for name := range strings.FieldsSeq(string(list)) {
		ends := func(ending string) bool { return strings.HasSuffix(name, ending) }
		if len(endings) == 0 || slices.ContainsFunc(endings, ends) {
			paths = append(paths, filepath.Join(folder, name))
		}
	}
	if len(paths) == 0 {
		t.Fatalf("testdata/scores.txt names no score that ends in %v", endings)
	}
	return paths
}

// Shared returns the paths of the real scores in ../shared/scores, and says so
// where there are none. HARDBARS_SHARED says that they must be at hand.
func Shared(t testing.TB) []string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(root(t), "..", "shared", "scores", "*.mxl"))
	if err != nil {
		t.Fatal(err)
	}
	paths = slices.DeleteFunc(paths, func(path string) bool { return strings.HasSuffix(path, ".marked.mxl") })
	switch {
	case len(paths) == 0 && os.Getenv("HARDBARS_SHARED") != "":
		t.Fatal("HARDBARS_SHARED is set, but ../shared/scores holds no scores")
	case len(paths) == 0:
		t.Log("there are no real scores in ../shared/scores: they were not looked at")
	}
	return paths
}

// Copy puts the project's scores into a folder, as a fresh clone has them.
func Copy(t testing.TB, folder string) {
	t.Helper()
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, path := range Own(t) {
		data, err := os.ReadFile(path)
		if err == nil {
			err = os.WriteFile(filepath.Join(folder, filepath.Base(path)), data, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

// root is the project's folder, the nearest one above that holds its go.mod,
// relative to the working directory: paths in messages stay short.
func root(t testing.TB) string {
	t.Helper()
	for up := "."; ; up = filepath.Join("..", up) {
		data, err := os.ReadFile(filepath.Join(up, "go.mod"))
		if err == nil && bytes.HasPrefix(data, []byte("module hardbars")) {
			return up
		}
		here, absErr := filepath.Abs(up)
		if absErr != nil || here == filepath.Dir(here) || err != nil && !errors.Is(err, fs.ErrNotExist) {
			t.Fatal("the tests do not run within the project: no go.mod above", here)
		}
	}
}
