package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime/metrics"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"hardbars/cmd/hardbars/web"
)

// tryCommand works a score through and says whether that can be done. The page
// has it done by a process of its own, which can be ended whatever it does.
func tryCommand() *cobra.Command {
	var name, settings string
	cmd := &cobra.Command{
		Use:    "try FILE",
		Hidden: true,
		Args:   files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			go giveUpBeyond(mostMemory, cmd.ErrOrStderr(), name)
			var set web.Settings
			if err := json.Unmarshal([]byte(settings), &set); err != nil {
				return wrongUse(cmd, err)
			}
			return web.WorkThrough(args[0], name, set, profilePlayer)
		},
	}
	cmd.Flags().StringVar(&name, "name", "the score", "what messages call the file")
	cmd.Flags().StringVar(&settings, "settings", "{}", "those of the piece, as JSON")
	return cmd
}

// mostMemory is what one score may take, in bytes. The largest that is known, of
// some 3,000 bars, takes a third of it.
const mostMemory = 1500 << 20

// giveUpBeyond ends the program when it holds more memory than that.
func giveUpBeyond(most uint64, tell io.Writer, name string) {
	held := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	for range time.Tick(50 * time.Millisecond) {
		if metrics.Read(held); held[0].Value.Uint64() > most {
			fmt.Fprintf(tell, "hardbars: %s: this takes more memory than any score should, and was given up\n", name)
			os.Exit(exitFailed)
		}
	}
}

// tryScore has a score worked through by another process, and ends that when
// the context ends.
func tryScore(ctx context.Context, path, name string, settings web.Settings) error {
	self, err := os.Executable()
	if err != nil {
		return err
	}
	var said bytes.Buffer
	cmd := exec.CommandContext(ctx, self, "try", path, "--name", name, "--settings", settings.String())
	cmd.Stderr = &said
	err = cmd.Run()
	var exit *exec.ExitError
	switch {
	case err == nil || ctx.Err() != nil:
		return ctx.Err()
	case !errors.As(err, &exit):
		return err
	case exit.ExitCode() == exitFailed && strings.HasPrefix(said.String(), "hardbars: "):
		return errors.New(strings.TrimSpace(strings.TrimPrefix(said.String(), "hardbars: ")))
	}
	return fmt.Errorf("%s: reading this file came to an end that it should not have; it was left alone. Please report it, with the score if you may", name)
}
