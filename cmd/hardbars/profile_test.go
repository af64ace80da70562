package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// profileOf is a profile with a text, in a config folder of its own.
func profileOf(t *testing.T, text string) *profile {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", dir)
	t.Setenv("HOME", dir)
	f, err := openProfile()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Dir(f.path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(f.path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if f, err = openProfile(); err != nil {
		t.Fatal(err)
	}
	return f
}

func TestProfileKeepsWhatIsNotChanged(t *testing.T) {
	for _, c := range []struct{ before, name, value, after string }{
		{"", "level", "advanced", "level = advanced\n"},
		{"# mine", "level", "advanced", "# mine\nlevel = advanced\n"},
		{"level = returning", "level", "advanced", "level = advanced"},
		{"a\r\nlevel = returning\t# old\r\nb\r\n", "level", "advanced", "a\r\nlevel = advanced  # old\r\nb\r\n"},
		{"# one\r\n", "tempo", "80%", "# one\r\ntempo = 80%\r\n"},
		{"level = returning\nlevel = elementary\n", "level", "advanced", "level = advanced\nlevel = advanced\n"},
		{"#level = returning\n", "level", "advanced", "#level = returning\nlevel = advanced\n"},
		{"span-left = 190\nspan = 200\n", "span-left", "195", "span = 200\nspan-left = 195\n"},
		{"span-left = 190\nspan-right = 200 # ruler\n", "span", "ninth", "# ruler\nspan = ninth\n"},
	} {
		f := profileOf(t, c.before)
		f.set(c.name, c.value)
		if err := f.save(); err != nil {
			t.Fatal(err)
		}
		after, err := os.ReadFile(f.path)
		if err != nil || string(after) != c.after {
			t.Errorf("%s = %s in %q: %q, %v; want %q", c.name, c.value, c.before, after, err, c.after)
		}
	}
}

// A profile may be a link into a folder that its owner keeps elsewhere, and
// may be for its owner's eyes only.
func TestProfileSavedThroughLink(t *testing.T) {
	f := profileOf(t, "level = returning\n")
	kept := filepath.Join(t.TempDir(), "kept.conf")
	if err := os.Rename(f.path, kept); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(kept, f.path); err != nil {
		t.Fatal(err)
	}
	f.set("level", "advanced")
	if err := f.save(); err != nil {
		t.Fatal(err)
	}
	if data, err := os.ReadFile(kept); err != nil || string(data) != "level = advanced\n" {
		t.Errorf("behind the link: %q, %v", data, err)
	}
	info, err := os.Lstat(f.path)
	if err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v, %v", info, err)
	}
	if info, err = os.Stat(kept); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the file's mode became %v, %v", info.Mode(), err)
	}
	left, err := filepath.Glob(filepath.Join(filepath.Dir(kept), ".hardbars-*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestProfileErrorsNameTheLine(t *testing.T) {
	for text, line := range map[string]string{
		"# mine\nlevel = grand\n":       "line 2",
		"level\n":                       "line 1",
		"\n\nspan = 8 feet # about\n":   "line 3",
		"patience = 9\n":                "line 1",
		"level = advanced\nleap-rate =": "line 2",
	} {
		_, err := profileOf(t, text).player()
		if err == nil || !strings.Contains(err.Error(), "player.conf, "+line+":") {
			t.Errorf("%q: %v, want an error that names %s", text, err, line)
		}
	}
	if _, err := profileOf(t, "\ufeff# from another editor\nlevel = advanced\r\n\n").player(); err != nil {
		t.Error(err)
	}
}
