package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"hardbars/score/scoretest/library"
)

var update = flag.Bool("update", false, "write what the commands print now into README.md")

// TestReadme: what README.md shows under each command is what it prints.
// Run with -update, and read the difference, after a change that is meant.
func TestReadme(t *testing.T) {
	readme, err := filepath.Abs("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	enterScratch(t)
	now := replaceConsole(string(page), func(command string) string { return show(t, command) })
	if now == string(page) {
		return
	}
	if !*update {
		t.Errorf("README.md shows what is no longer printed: go test ./cmd/hardbars -run Readme -update\n%s", firstDifference(string(page), now))
		return
	}
	if err := os.WriteFile(readme, []byte(now), 0o644); err != nil {
		t.Fatal(err)
	}
}

// enterScratch works in a folder that looks like a fresh clone to the
// commands, with no player profile.
func enterScratch(t *testing.T) {
	scratch := t.TempDir()
	library.Copy(t, filepath.Join(scratch, "testdata"))
	t.Chdir(scratch)
	t.Setenv("XDG_CONFIG_HOME", scratch)
	t.Setenv("HOME", scratch)
}

// replaceConsole puts the answers of its commands into each console block: a
// line "$ hardbars …", then what the command prints.
func replaceConsole(page string, answer func(command string) string) string {
	const begin, end = "```console\n", "```\n"
	var out strings.Builder
	for {
		before, block, found := strings.Cut(page, begin)
		out.WriteString(before)
		if !found {
			return out.String()
		}
		block, page, _ = strings.Cut(block, end)
		out.WriteString(begin)
		for _, line := range strings.Split(block, "\n") {
			if command, ok := strings.CutPrefix(line, "$ hardbars "); ok {
				out.WriteString(line + "\n" + answer(command))
			}
		}
		out.WriteString(end)
	}
}

// show runs a command; "| head -N" keeps the first N lines.
func show(t *testing.T, command string) string {
	command, keep, _ := strings.Cut(command, " | head -")
	var out, errOut bytes.Buffer
	if code := run(strings.Fields(command), nil, &out, &errOut); code != exitDone {
		t.Errorf("hardbars %s: exit %d: %s", command, code, errOut.String())
	}
	lines := strings.SplitAfter(out.String(), "\n")
	if n := len(lines); keep != "" {
		most, err := strconv.Atoi(keep)
		if err != nil {
			t.Fatal(err)
		}
		lines = lines[:min(n, most)]
	}
	for i, line := range lines {
		lines[i] = strings.TrimRight(line, " \n")
		if strings.HasSuffix(line, "\n") {
			lines[i] += "\n"
		}
	}
	return strings.Join(lines, "")
}

func firstDifference(a, b string) string {
	linesA, linesB := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(linesA), len(linesB)) {
		if linesA[i] != linesB[i] {
			return "shown:   " + linesA[i] + "\nprinted: " + linesB[i]
		}
	}
	return "one is longer than the other"
}
