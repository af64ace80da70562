package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hardbars/cmd/hardbars/beside"
)

// A fault in one of several outputs that are made side by side is an error that
// names its line, and none of them is left, nor a temporary file.
func TestFaultInOneOutput(t *testing.T) {
	dir := t.TempDir()
	prepare := func(name string, write func(io.Writer) error) func() (beside.Output, error) {
		return func() (beside.Output, error) { return beside.Prepare(filepath.Join(dir, name), write) }
	}
	_, err := together("night.xml",
		prepare("sound", func(w io.Writer) error { return nil }),
		prepare("faulty", func(io.Writer) error { panic("no such glyph") }))
	if err == nil || !strings.Contains(err.Error(), "night.xml: a fault in hardbars: no such glyph (hardbars/fault_test.go:") || strings.Contains(err.Error(), "\n") {
		t.Errorf("the fault is told as %v", err)
	}
	if left, _ := os.ReadDir(dir); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// What is no fault goes through.
func TestGuardedPassesErrors(t *testing.T) {
	want := errors.New("no")
	if got := guarded("", func() error { return want }); got != want {
		t.Errorf("%v", got)
	}
}
