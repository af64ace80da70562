package main

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"hardbars/detect"
)

// playerFlags are the flags that say who plays.
type playerFlags struct{ span, level, tempo string }

func (p *playerFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&p.span, "span", "", "hand span, thumb tip to little-finger tip at full stretch:\nmillimetres, or the widest you reach: octave, ninth, tenth")
	cmd.Flags().StringVar(&p.level, "level", "", "elementary, returning, intermediate or advanced")
	cmd.Flags().StringVar(&p.tempo, "tempo", "", "tempo you want to reach: quarter=66, 66 or 80%")
}

// player is the default player, changed by the profile, changed by the flags.
func (p *playerFlags) player(cmd *cobra.Command) (detect.Player, error) {
	player := detect.DefaultPlayer()
	if err := readProfile(&player); err != nil {
		return player, err
	}
	for _, f := range []struct{ name, value string }{{"span", p.span}, {"level", p.level}, {"tempo", p.tempo}} {
		if !cmd.Flags().Changed(f.name) {
			continue
		}
		if err := player.Set(f.name, f.value, "flag"); err != nil {
			return player, wrongUse(cmd, fmt.Errorf("--%s: %w", f.name, err))
		}
	}
	return player, nil
}

// profilePath is where a player's own settings are kept: lines such as
// "span = octave", with # for remarks.
func profilePath() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", err
	}
	return filepath.Join(dir, "hardbars", "player.conf"), nil
}

// readProfile changes p by the profile file; without one p stays as it is.
func readProfile(p *detect.Player) error {
	path, err := profilePath()
	if err != nil {
		return nil // no home folder, so no profile
	}
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("the player profile cannot be read: %w", err)
	}
	defer file.Close()
	lines := bufio.NewScanner(file)
	for n := 1; lines.Scan(); n++ {
		line, _, _ := strings.Cut(lines.Text(), "#")
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		name, value, ok := strings.Cut(line, "=")
		if !ok {
			return fmt.Errorf("%s, line %d: expected a line such as span = octave", path, n)
		}
		if err := p.Set(strings.TrimSpace(name), strings.TrimSpace(value), "profile"); err != nil {
			return fmt.Errorf("%s, line %d: %w", path, n, err)
		}
	}
	return lines.Err()
}
