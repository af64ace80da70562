package main

import (
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"strconv"
	"syscall"

	"github.com/spf13/cobra"

	"hardbars/cmd/hardbars/web"
	"hardbars/detect"
)

func serveCommand() *cobra.Command {
	var port int
	var data, listen string
	var noBrowser bool
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Open a page in the browser that does all this without a terminal",
		Long: `Serves a page on this computer, and opens it in the browser: drop a score on
it and have its hard bars, tonight's practice, the study sheet and the marked
score. Nothing leaves the computer. The pieces stand on a shelf, in the folder
named by --data, each with its log and its remarks.

The page is for this computer alone. With --listen it is served on another of
its addresses, or with 0.0.0.0 on all of them, for a tablet on the music stand,
which is paired by the whole address that is printed, as a QR code too, and
stays so until the page Devices takes it back. It is not encrypted: use it in a
network that you trust.

Ctrl-C stops it. Where it is running already, that page is opened.`,
		Example: `  hardbars serve
  hardbars serve --port 8080 --no-browser
  hardbars serve --listen 192.168.1.20`,
		Args: nothing,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if port < 0 || port > 65535 {
				return wrongUse(cmd, fmt.Errorf("--port: %d: give 0 to 65535", port))
			}
			if net.ParseIP(listen) == nil {
				return wrongUse(cmd, fmt.Errorf("--listen: %q: give an address in figures, such as 192.168.1.20", listen))
			}
			if data == "" {
				dir, err := dataFolder()
				if err != nil {
					return err
				}
				data = dir
			}
			return serve(cmd, net.JoinHostPort(listen, strconv.Itoa(port)), data, !noBrowser)
		},
	}
	cmd.Flags().IntVar(&port, "port", 0, "the port to serve on (default: one that is free)")
	cmd.Flags().BoolVar(&noBrowser, "no-browser", false, "only print the address")
	cmd.Flags().StringVar(&data, "data", "", "the folder of your pieces (default: hardbars in your data folder)")
	cmd.Flags().StringVar(&listen, "listen", "127.0.0.1", "the `ADDRESS` of this computer to serve on")
	return cmd
}

func serve(cmd *cobra.Command, address, data string, browser bool) error {
	ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	page, err := web.Start(address, web.Options{Data: data, Player: profilePlayer, Profile: pageProfile{}, Try: tryScore})
	if err != nil {
		return err
	}
	if page.Found {
		fmt.Fprintf(cmd.OutOrStdout(), "Already running: %s\n", page.URL)
	} else {
		fmt.Fprintf(cmd.OutOrStdout(), "Your pieces are at %s (Ctrl-C stops)\n", page.URL)
		if err := tellReach(cmd.OutOrStdout(), page.Reach); err != nil {
			return err
		}
	}
	if browser {
		if err := openBrowser(page.URL); err != nil {
			fmt.Fprintf(cmd.ErrOrStderr(), "hardbars: the browser cannot be opened (%v); open the address yourself\n", err)
		}
	}
	return page.Wait(ctx)
}

// tellReach tells by which addresses a tablet reaches the page, the first as a
// QR code too.
func tellReach(w io.Writer, addresses []string) error {
	if len(addresses) == 0 {
		return nil
	}
	fmt.Fprintln(w, "On a tablet in the same network open:")
	for _, address := range addresses {
		fmt.Fprintf(w, "  %s\n", address)
	}
	code, err := web.QRText(addresses[0])
	fmt.Fprint(w, code)
	return err
}

// serveAlone is hardbars started without a word, by a double click: it serves
// and opens the page, and what goes wrong is told in the browser too.
func serveAlone(cmd *cobra.Command) error {
	data, err := dataFolder()
	if err == nil {
		if err = serve(cmd, "127.0.0.1:0", data, true); err == nil {
			return nil
		}
	}
	ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if address, wait, failed := web.Apologise(ctx, err); failed == nil && openBrowser(address) == nil {
		fmt.Fprintf(cmd.ErrOrStderr(), "hardbars: %v\n", err)
		wait()
		return errReported
	}
	return err
}

// profilePlayer is who plays, by the profile.
func profilePlayer() (detect.Player, error) {
	f, err := openProfile()
	if err != nil {
		return detect.Player{}, err
	}
	return f.player()
}

// dataFolder is hardbars' folder among the user's data, by the XDG Base
// Directory Specification, where an XDG_DATA_HOME that is relative is ignored;
// on Windows, where that has no say, among the settings that stay on the machine.
func dataFolder() (string, error) {
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "hardbars"), nil
	}
	if runtime.GOOS == "windows" {
		if dir := os.Getenv("LocalAppData"); dir != "" {
			return filepath.Join(dir, "hardbars"), nil
		}
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", errors.New("this system names no folder for your data: give one with --data")
	}
	return filepath.Join(home, ".local", "share", "hardbars"), nil
}

// openBrowser asks the system to open an address.
func openBrowser(address string) error {
	opener := []string{"xdg-open"}
	switch runtime.GOOS {
	case "darwin":
		opener = []string{"open"}
	case "windows":
		opener = []string{"rundll32", "url.dll,FileProtocolHandler"}
	}
	cmd := exec.Command(opener[0], append(opener[1:], address)...)
	if err := cmd.Start(); err != nil {
		return err
	}
	go cmd.Wait() // so that it leaves nothing behind; how it ends is the browser's
	return nil
}

// pageProfile lets the page read and change the profile, as hardbars player does.
type pageProfile struct{}

// onPage are the settings of the profile that the page knows.
var onPage = []struct {
	name string
	of   func(*web.Settings) *string
}{
	{"span", func(s *web.Settings) *string { return &s.Span }},
	{"level", func(s *web.Settings) *string { return &s.Level }},
	{"tempo", func(s *web.Settings) *string { return &s.Tempo }},
	{"middle-pedal", func(s *web.Settings) *string { return &s.MiddlePedal }},
}

func (pageProfile) Read() (s web.Settings, err error) {
	f, err := openProfile()
	if err != nil {
		return s, err
	}
	for _, line := range f.lines {
		name, value, _, ok := cutLine(line)
		for _, set := range onPage {
			if ok && set.name == name {
				*set.of(&s) = value
			}
		}
	}
	return s, nil
}

// Write changes the lines of what has changed and leaves every other as it is.
func (pageProfile) Write(before, after web.Settings) error {
	f, err := openProfile()
	if err != nil {
		return err
	}
	changed := false
	for _, set := range onPage {
		value := *set.of(&after)
		if value == *set.of(&before) {
			continue
		}
		if changed = true; value == "" {
			f.unset(set.name)
		} else {
			f.set(set.name, value)
		}
	}
	if !changed {
		return nil
	}
	return f.save()
}
