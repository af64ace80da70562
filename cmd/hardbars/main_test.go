package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"

	"hardbars/score/scoretest/library"
)

func TestMain(m *testing.M) {
	if os.Getenv("HARDBARS_TEST_RUN") != "" && len(os.Args) > 1 && os.Args[1] == "try" {
		main() // started by tryScore
	}
	testscript.Main(m, map[string]func(){"hardbars": main})
}

// TestScripts runs the command as its user would: each script in
// testdata/script is a sitting at the terminal.
func TestScripts(t *testing.T) {
	scores := t.TempDir()
	library.Copy(t, scores)
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(env *testscript.Env) error {
			env.Setenv("SCORES", scores)
			env.Setenv("XDG_CONFIG_HOME", filepath.Join(env.WorkDir, "config"))
			env.Setenv("HOME", env.WorkDir)
			return nil
		},
		RequireExplicitExec: true,
	})
}

// TestExitCodes keeps the three exit codes apart.
func TestExitCodes(t *testing.T) {
	empty := filepath.Join(t.TempDir(), "empty.musicxml")
	if err := os.WriteFile(empty, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	const meadow = "../../testdata/meadow-minuet.musicxml"
	for _, c := range []struct {
		args []string
		want int
	}{
		{[]string{"version"}, exitDone},
		{[]string{"kinds"}, exitDone},
		{[]string{"spots", empty}, exitFailed},
		{[]string{"spots", filepath.Join(t.TempDir(), "none.musicxml")}, exitFailed},
		{[]string{"spots"}, exitUsage},
		{[]string{"study", "--paper", "a5", empty}, exitUsage},
		{[]string{"study", "--marks", "smoke", empty}, exitUsage},
		{[]string{"study", "--span", "wide", empty}, exitUsage},
		{[]string{"play"}, exitUsage},
		{[]string{"kinds", "moonwalk"}, exitUsage},
		{[]string{"notes", "--no-such-flag", empty}, exitUsage},
		{[]string{"notes", empty, empty}, exitUsage},
		{[]string{"version", "2"}, exitUsage},
		{[]string{"player", "me"}, exitUsage},
		{[]string{"spots", meadow, "--bars", "1-4"}, exitDone},
		{[]string{"spots", meadow, "--bars", "4-1"}, exitUsage},
		{[]string{"spots", meadow, "--bars", "coda"}, exitUsage},
	} {
		var out, errOut discard
		if got := run(c.args, nil, &out, &errOut); got != c.want {
			t.Errorf("hardbars %v: exit %d, want %d", c.args, got, c.want)
		}
	}
}

type discard struct{}

func (discard) Write(p []byte) (int, error) { return len(p), nil }

// Every help text fits a terminal of 80 columns.
func TestHelpFits(t *testing.T) {
	for _, cmd := range rootCommand().Commands() {
		var out bytes.Buffer
		if code := run([]string{cmd.Name(), "--help"}, nil, &out, &out); code != exitDone {
			t.Errorf("%s --help: exit code %d", cmd.Name(), code)
		}
		for line := range strings.Lines(out.String()) {
			if line = strings.TrimSuffix(line, "\n"); utf8.RuneCountInString(line) > width || strings.HasSuffix(line, " ") {
				t.Errorf("%s --help: %q", cmd.Name(), line)
			}
		}
	}
}
