package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hardbars/cmd/hardbars/web"
)

// The page hears of a score from another process what it would say itself, and
// that process ends with the context. The test's own program stands in for
// hardbars.
func TestTryScore(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Setenv("HARDBARS_TEST_RUN", "yes")
	dir := t.TempDir()
	write := func(data string) string {
		path := filepath.Join(dir, "score")
		if err := os.WriteFile(path, []byte(data), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	good, err := os.ReadFile("../../testdata/leap.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	if err := tryScore(t.Context(), write(string(good)), "a.xml", web.Settings{Span: "octave"}); err != nil {
		t.Error(err)
	}
	if err := tryScore(t.Context(), write("no score"), "a.xml", web.Settings{}); err == nil || !strings.HasPrefix(err.Error(), "a.xml: ") || strings.Contains(err.Error(), dir) {
		t.Errorf("of what is no score: %v", err)
	}
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	if err := tryScore(ended, write(string(good)), "a.xml", web.Settings{}); !errors.Is(err, context.Canceled) {
		t.Errorf("after the end: %v", err)
	}
	var out bytes.Buffer
	if code := run([]string{"try", write(string(good)), "--settings", "{"}, strings.NewReader(""), &out, &out); code != exitUsage {
		t.Errorf("settings that are none: %d %s", code, &out)
	}
}
