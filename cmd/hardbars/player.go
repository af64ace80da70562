package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"hardbars/detect"
)

// playerFlags are the flags that say who plays.
type playerFlags struct {
	span, level, tempo, middlePedal string
	asksTempo                       bool // --tempo is the tempo to reach
	set                             []string
}

func (p *playerFlags) add(cmd *cobra.Command) {
	p.addWithoutTempo(cmd)
	p.asksTempo = true
	cmd.Flags().StringVar(&p.tempo, "tempo", "", "the `TEMPO` to reach: quarter=66, 66 or 80%")
}

// addWithoutTempo is for a command whose --tempo is something else.
func (p *playerFlags) addWithoutTempo(cmd *cobra.Command) {
	cmd.Flags().StringVar(&p.span, "span", "", "your hand `SPAN`, thumb tip to little-finger tip at full stretch: millimetres, white keys such as \"8.5 keys\", or the widest you reach: octave, ninth, tenth; left=190,right=201 where the hands differ")
	cmd.Flags().StringVar(&p.level, "level", "", "your `LEVEL`: elementary, returning, intermediate, advanced")
	cmd.Flags().StringVar(&p.middlePedal, "middle-pedal", "", "whether your piano's middle pedal works: `yes|no`")
	cmd.Flags().StringArrayVar(&p.set, "set", nil, "any setting, `NAME=VALUE`, such as leap-rate=6 (hardbars player lists them)")
	levels := make([]string, len(detect.Levels))
	for i, l := range detect.Levels {
		levels[i] = string(l)
	}
	cmd.RegisterFlagCompletionFunc("level", cobra.FixedCompletions(levels, cobra.ShellCompDirectiveNoFileComp))
	cmd.RegisterFlagCompletionFunc("middle-pedal", cobra.FixedCompletions([]string{"yes", "no"}, cobra.ShellCompDirectiveNoFileComp))
}

// playerSetting is one thing said about the player, and the flag that said it.
type playerSetting struct{ flag, name, value string }

// given is what the flags say, in a fixed order.
func (p *playerFlags) given(cmd *cobra.Command) ([]playerSetting, error) {
	var all []playerSetting
	for _, s := range []playerSetting{
		{"--span", "span", p.span}, {"--level", "level", p.level}, {"--tempo", "tempo", p.tempo},
		{"--middle-pedal", "middle-pedal", p.middlePedal},
	} {
		if cmd.Flags().Changed(s.name) && (s.name != "tempo" || p.asksTempo) {
			all = append(all, s)
		}
	}
	for _, text := range p.set {
		name, value, ok := strings.Cut(text, "=")
		if !ok {
			return nil, wrongUse(cmd, fmt.Errorf("--set %q: give a name and a value, such as leap-rate=6", text))
		}
		all = append(all, playerSetting{"--set", strings.TrimSpace(name), strings.TrimSpace(value)})
	}
	return all, nil
}

// player is the default player, changed by the profile, changed by the flags.
func (p *playerFlags) player(cmd *cobra.Command) (detect.Player, error) {
	player, err := profilePlayer()
	if err != nil {
		return player, err
	}
	given, err := p.given(cmd)
	if err != nil {
		return player, err
	}
	return player, apply(cmd, &player, given)
}

// apply changes a player by what the flags say.
func apply(cmd *cobra.Command, player *detect.Player, given []playerSetting) error {
	for _, s := range given {
		if err := player.Set(s.name, s.value, "flag"); err != nil {
			return wrongUse(cmd, fmt.Errorf("%s: %w", s.flag, err))
		}
	}
	return nil
}

func playerCommand() *cobra.Command {
	var who playerFlags
	var unset []string
	var measure, asJSON bool
	cmd := &cobra.Command{
		Use:   "player",
		Short: "Show, explain and change who plays: hand span, level, tempo, figures",
		Long: `Shows your profile: what hardbars takes you to be able to do in comfort, where
each value came from and what it means. The flags that say who plays change the
profile, so that you need not give them again; other commands take the same
flags for one time only.`,
		Example: `  hardbars player
  hardbars player --measure
  hardbars player --span ninth --level intermediate
  hardbars player --set leap-rate=6 --unset tempo`,
		Args: nothing,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if measure {
				_, err := fmt.Fprint(cmd.OutOrStdout(), howToMeasure)
				return err
			}
			given, err := who.given(cmd)
			if err != nil {
				return err
			}
			f, err := openProfile()
			if err != nil {
				return err
			}
			if len(given)+len(unset) > 0 {
				if err := change(cmd, f, given, unset); err != nil {
					return err
				}
			}
			player, err := f.player()
			if err != nil {
				return err
			}
			if asJSON {
				return printPlayerJSON(cmd.OutOrStdout(), f, player)
			}
			printPlayer(cmd.OutOrStdout(), f, player)
			return nil
		},
	}
	who.add(cmd)
	cmd.Flags().StringSliceVar(&unset, "unset", nil, "take settings back out of the profile, by `NAME`")
	cmd.Flags().BoolVar(&measure, "measure", false, "tell how to measure your hand span on the keys")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, for other programs")
	return cmd
}

// change writes what was given into the profile and takes out what was unset.
// Nothing is written unless the whole profile makes sense afterwards.
func change(cmd *cobra.Command, f *profile, given []playerSetting, unset []string) error {
	tried := detect.DefaultPlayer()
	if err := apply(cmd, &tried, given); err != nil {
		return err
	}
	for _, name := range unset {
		if !f.unset(strings.TrimSpace(name)) {
			return wrongUse(cmd, fmt.Errorf("--unset: your profile does not set %q", name))
		}
	}
	for _, s := range given {
		f.set(s.name, s.value)
	}
	if _, err := f.player(); err != nil {
		return fmt.Errorf("nothing was saved: %w", err)
	}
	if err := f.save(); err != nil {
		return fmt.Errorf("the player profile cannot be saved: %w", err)
	}
	return nil
}

// printPlayer explains the whole profile.
func printPlayer(w io.Writer, f *profile, p detect.Player) {
	fmt.Fprintln(w, "Your profile: "+f.where())
	for _, s := range p.Settings() {
		fmt.Fprintf(w, "\n%s = %s  (%s)\n", s.Name, strings.TrimSpace(s.Value+" "+s.Unit), s.From)
		means := s.Means
		if s.Source != "" {
			means += ". Source: " + s.Source
		}
		fmt.Fprintln(w, wrap(means, width, "    "))
	}
	fmt.Fprintln(w)
	fmt.Fprintln(w, wrap("Change one for good with hardbars player --set NAME=VALUE, take it back with --unset NAME. "+
		"hardbars player --measure tells how to measure your hand.", width, ""))
}

func printPlayerJSON(w io.Writer, f *profile, p detect.Player) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(struct {
		Profile  string           `json:"profile"`
		Player   detect.Player    `json:"player"`
		Settings []detect.Setting `json:"settings"`
	}{f.path, p, p.Settings()})
}

// howToMeasure is how a player finds the hand span without a helper. White
// keys are 23.5 mm wide, so the keyboard is the ruler.
const howToMeasure = `How to measure your hand span

1. Warm up first. Stretch only as far as it goes easily: never force it, and
   stop at once if anything hurts.
2. Lay a ruler along the front of the white keys, its 0 at the left edge of a
   white key; the keys themselves will do, they are 23.5 mm wide everywhere.
3. Right hand: put the tip of the thumb on that edge, open the hand flat to the
   right, and lay the tip of the little finger as far along as it goes. Left
   hand: the same from a right edge to the left.
4. Read the millimetres at the little finger's tip, or count the white keys that
   you lie across; one that you only reach into counts as a half.

   keys       7      7.5    8      8.5    9      9.5    10
   mm         165    176    188    200    212    223    235
   reaches    7th    8ve    8ve    9th    9th    10th   10th

5. Save it, in whichever you counted:

   hardbars player --span 201
   hardbars player --span "8.5 keys"
   hardbars player --span "left=8 keys,right=8.5 keys"

`
