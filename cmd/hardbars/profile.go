package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"hardbars/cmd/hardbars/beside"
	"hardbars/detect"
)

// profile is the file with a player's own settings: lines such as
// "span = octave", with # for remarks. The file is its owner's: a change
// touches the lines it is about and leaves every other byte as it is.
type profile struct {
	path   string
	exists bool
	lines  []string // each with its line end, as in the file
}

// openProfile reads the profile in the user's config folder; where there is
// none, or no such folder, the profile is empty.
func openProfile() (*profile, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return &profile{}, nil
	}
	f := &profile{path: filepath.Join(dir, "hardbars", "player.conf")}
	data, err := os.ReadFile(f.path)
	if errors.Is(err, fs.ErrNotExist) {
		return f, nil
	}
	if err != nil {
		return nil, fmt.Errorf("the player profile cannot be read: %w", err)
	}
	f.exists = true
	f.lines = strings.SplitAfter(string(data), "\n")
	return f, nil
}

// where says where the profile is, and that it is empty where it is.
func (f *profile) where() string {
	switch {
	case f.path == "":
		return "none, since this system names no folder for settings"
	case !f.exists:
		return f.path + " (not there yet: nothing is set)"
	}
	return f.path
}

// player is the default player, changed by the profile.
func (f *profile) player() (detect.Player, error) {
	p := detect.DefaultPlayer()
	for i, line := range f.lines {
		name, value, _, ok := cutLine(line)
		if !ok && name == "" {
			continue
		}
		if !ok {
			return p, fmt.Errorf("%s, line %d: expected a line such as span = octave", f.path, i+1)
		}
		if err := p.Set(name, value, "profile"); err != nil {
			return p, fmt.Errorf("%s, line %d: %w", f.path, i+1, err)
		}
	}
	return p, nil
}

// cutLine parts a line into a setting and the remark that ends it, "#" and
// line end included. ok is false where there is no "="; an empty name then is
// a line without a setting.
func cutLine(line string) (name, value, remark string, ok bool) {
	setting := strings.TrimRight(line, "\r\n")
	if i := strings.IndexByte(setting, '#'); i >= 0 {
		setting = setting[:i]
	}
	remark = line[len(setting):]
	name, value, ok = strings.Cut(setting, "=")
	return strings.TrimSpace(strings.TrimPrefix(name, "\ufeff")), strings.TrimSpace(value), remark, ok
}

// set puts a setting on its line, or on a new one at the end. A span for both
// hands takes the place of those for one; one for one hand goes last, so that
// it counts.
func (f *profile) set(name, value string) {
	if name == "span" {
		f.unset("span-right")
		f.unset("span-left")
	}
	if name == "span-right" || name == "span-left" {
		f.unset(name)
	}
	set := false
	for i, line := range f.lines {
		if other, _, remark, ok := cutLine(line); ok && other == name {
			f.lines[i] = name + " = " + value + spaced(remark)
			set = true
		}
	}
	if !set {
		f.add(name + " = " + value)
	}
}

// spaced keeps a remark off the value before it.
func spaced(remark string) string {
	if strings.HasPrefix(remark, "#") {
		return "  " + remark
	}
	return remark
}

// add writes a line at the end, with the line ends of the file.
func (f *profile) add(line string) {
	end := "\n"
	if len(f.lines) > 0 && strings.HasSuffix(f.lines[0], "\r\n") {
		end = "\r\n"
	}
	if last := len(f.lines) - 1; last >= 0 && f.lines[last] != "" && !strings.HasSuffix(f.lines[last], "\n") {
		f.lines[last] += end
	}
	f.lines = append(f.lines, line+end)
}

// unset takes a setting out and keeps its remark. It reports whether there was one.
func (f *profile) unset(name string) bool {
	var kept []string
	found := false
	for _, line := range f.lines {
		other, _, remark, ok := cutLine(line)
		if !ok || other != name {
			kept = append(kept, line)
			continue
		}
		found = true
		if strings.HasPrefix(remark, "#") {
			kept = append(kept, remark)
		}
	}
	f.lines = kept
	return found
}

// save writes the profile whole or not at all.
func (f *profile) save() error {
	if f.path == "" {
		return errors.New("this system names no folder for settings")
	}
	if err := os.MkdirAll(filepath.Dir(f.path), 0o755); err != nil {
		return err
	}
	err := beside.Rewrite(f.path, func(w io.Writer) error {
		_, err := io.WriteString(w, strings.Join(f.lines, ""))
		return err
	})
	f.exists = f.exists || err == nil
	return err
}
