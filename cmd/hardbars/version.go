package main

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"
)

const version = "0.1.0"

func versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version",
		Args:  nothing,
		RunE: func(cmd *cobra.Command, _ []string) error {
			build := ""
			if info, ok := debug.ReadBuildInfo(); ok {
				build = ", built with " + info.GoVersion
			}
			_, err := fmt.Fprintf(cmd.OutOrStdout(), "hardbars %s%s\n", version, build)
			return err
		},
	}
}
