package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"hardbars/detect"
	"hardbars/detect/kinds"
)

func kindsCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "kinds [KIND…]",
		Short: "Explain each kind of hard place and the figures it goes by",
		RunE: func(cmd *cobra.Command, args []string) error {
			chosen, err := parseKinds(args)
			if err != nil {
				return wrongUse(cmd, err)
			}
			for i, d := range kinds.All {
				if len(chosen) > 0 && !chosen[d.Kind] {
					continue
				}
				if i > 0 && len(chosen) == 0 {
					fmt.Fprintln(cmd.OutOrStdout())
				}
				printKind(cmd.OutOrStdout(), d)
			}
			if len(chosen) == 0 {
				fmt.Fprintln(cmd.OutOrStdout())
				fmt.Fprintln(cmd.OutOrStdout(), "Demand")
				fmt.Fprintln(cmd.OutOrStdout(), wrap(detect.ScaleRule, 78, "  "))
				fmt.Fprintln(cmd.OutOrStdout(), wrap(detect.BarRule, 78, "  "))
				fmt.Fprintln(cmd.OutOrStdout(), wrap(detect.WorkRule, 78, "  "))
				fmt.Fprintln(cmd.OutOrStdout(), wrap(detect.PassageRule, 78, "  "))
				fmt.Fprintln(cmd.OutOrStdout(), wrap(detect.BasisRule, 78, "  "))
			}
			return nil
		},
		ValidArgs: kindNames(),
	}
}

func printKind(w io.Writer, d *detect.Detector) {
	fmt.Fprintf(w, "%s: %s\n", d.Kind, d.Name)
	fmt.Fprintln(w, wrap(d.Doc, 78, "  "))
	fmt.Fprintln(w, wrap("Rests on "+d.Rests, 78, "  "))
	for _, l := range d.Limits {
		fmt.Fprintln(w, wrap(fmt.Sprintf("- %s: %s (%s)", l.Name, l.Value, l.Source), 78, "    "))
	}
}

func kindNames() []string {
	var names []string
	for _, d := range kinds.All {
		names = append(names, string(d.Kind))
	}
	return names
}

// parseKinds checks names of kinds, separated by commas or given singly.
func parseKinds(names []string) (map[detect.Kind]bool, error) {
	chosen := map[detect.Kind]bool{}
	for _, name := range strings.Split(strings.Join(names, ","), ",") {
		if name = strings.TrimSpace(name); name == "" {
			continue
		}
		if kinds.Find(detect.Kind(name)) == nil {
			return nil, errors.New("there is no kind " + name + "; there are " + strings.Join(kindNames(), ", "))
		}
		chosen[detect.Kind(name)] = true
	}
	return chosen, nil
}
