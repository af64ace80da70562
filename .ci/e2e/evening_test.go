package e2e

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// press is a way to use what a selector names: with the pointer, or by the keys.
type press func(selector string) chromedp.Action

func byPointer(selector string) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		err := chromedp.Evaluate(fmt.Sprintf(`document.querySelector(%q).scrollIntoView({block: "center"})`, selector), nil).Do(ctx)
		if err != nil {
			return err
		}
		return tap(selector).Do(ctx)
	})
}

// byKeys goes from stop to stop of the Tab key, from where the focus is, and
// presses Enter. Wherever the focus gets lost it fails: the body is no stop.
func byKeys(selector string) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		for range 400 {
			if err := chromedp.KeyEvent(kb.Tab).Do(ctx); err != nil {
				return err
			}
			var there bool
			if err := chromedp.Evaluate(fmt.Sprintf(`document.activeElement.matches(%q)`, selector), &there).Do(ctx); err != nil {
				return err
			}
			if there {
				return chromedp.KeyEvent(kb.Enter).Do(ctx)
			}
		}
		return fmt.Errorf("400 times the Tab key do not lead to %s", selector)
	})
}

// An evening: the clock runs on over other pages, what is done is logged and can
// be taken back, with the pointer and by the keys alone, on a phone, a tablet
// and a desktop; two windows lose nothing; and neither does a program that is
// killed in the middle.
func TestAnEvening(t *testing.T) {
	data := t.TempDir()
	address, server := serve(t, data)
	ctx := browse(t)
	var wrong complaints
	wrong.listen(ctx, address)
	pieces := drop(t, ctx, address)
	for _, size := range [][2]int64{{390, 844}, {820, 1180}, {1440, 900}} {
		for name, press := range map[string]press{"pointer": byPointer, "keys": byKeys} {
			walk(t, ctx, fmt.Sprintf("%s, %d wide", name, size[0]), address, size, press)
		}
	}
	do(t, ctx, "as it was", emulation.ClearDeviceMetricsOverride())
	twoWindows(t, ctx, address+pieces["leap.musicxml"])

	// Killed while the clock runs, the program starts again where it was.
	do(t, ctx, "clock", chromedp.Navigate(address+"/tonight"), byPointer(`form.clock button[value="start"]`), until(`document.querySelector(".running .time")`))
	server.Process.Signal(syscall.SIGKILL)
	server.Wait()
	again, second := serve(t, data)
	if again != address {
		t.Errorf("it is served at %s, and was at %s", again, address)
	}
	var lines int
	do(t, ctx, "after a kill", chromedp.Navigate(again+"/tonight"), until(`document.querySelector(".running .time")`),
		byPointer(`form.went button`), until(`document.querySelectorAll(".items .done").length === 1`),
		chromedp.Evaluate(`document.querySelectorAll(".running").length`, &lines))
	if lines != 0 {
		t.Error("the clock runs on for what is done")
	}
	second.Process.Signal(os.Interrupt)
	if err := second.Wait(); err != nil {
		t.Error(err)
	}
	for _, w := range wrong.list {
		if !strings.Contains(w, "ERR_CONNECTION") {
			t.Errorf("the browser complains: %s", w)
		}
	}
}

// walk starts the clock, looks at a piece, comes back, says how it went, and
// takes that back.
func walk(t *testing.T, ctx context.Context, how, address string, size [2]int64, press press) {
	t.Helper()
	var focus string
	const done = `document.querySelectorAll(".items .done").length`
	do(t, ctx, how, emulation.SetDeviceMetricsOverride(size[0], size[1], 1, size[0] < 500),
		chromedp.Navigate(address+"/tonight"), until(done+` === 0 && document.querySelector("form.clock")`),
		press(`form.clock button[value="start"]`), until(`document.querySelector(".running .time")`),
		press(`nav a[href="/"]`), until(`location.pathname === "/" && document.querySelector(".running .time")`),
		press(`.shelf .what a`), until(`document.querySelector(".verdict") && document.querySelector(".running .time").innerText !== "00:00:00"`),
		press(`nav a[href="/tonight"]`), until(`location.pathname === "/tonight" && document.querySelector("form.went button")`),
		press(`form.went button`), until(done+` === 1 && !document.querySelector(".running")`),
		chromedp.Evaluate(`document.activeElement.closest("li")?.className ?? document.activeElement.tagName`, &focus),
		press(`form.ticked button`), until(done+` === 0`))
	if focus != "done" {
		t.Errorf("%s: after Done the focus is at %q", how, focus)
	}
}

// twoWindows has one window save over the other's settings, which is told, and
// nothing lost.
func twoWindows(t *testing.T, ctx context.Context, piece string) {
	t.Helper()
	other, closeIt := chromedp.NewContext(ctx)
	defer closeIt()
	set := func(value string) chromedp.Action {
		return chromedp.Evaluate(fmt.Sprintf(`document.querySelector("#tempo").value = %q; document.querySelector("#tempo").dispatchEvent(new Event("change", {bubbles: true}))`, value), nil)
	}
	do(t, ctx, "one window", chromedp.Navigate(piece+"/settings"), chromedp.WaitReady("#tempo"))
	do(t, other, "another", chromedp.Navigate(piece+"/settings"), chromedp.WaitReady("#tempo"), set("40"), until(`document.body.innerText.includes("Reckoned again")`))
	do(t, ctx, "both", set("50"), until(`document.querySelector("#about-tempo").innerText.includes("set to “40” in another window") && document.querySelector("#tempo").value === "50"`),
		set("50"), until(`document.body.innerText.includes("Reckoned again")`))
}

// With the disk full nothing is half written, and the page says so; with room
// again all goes on.
func TestDiskFull(t *testing.T) {
	data := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", data).CombinedOutput(); err != nil {
		t.Skipf("DID NOT RUN: a small file system cannot be made here: %s", out)
	}
	defer exec.Command("umount", "-l", data).Run()
	address, server := serve(t, data)
	defer func() { server.Process.Kill(); server.Wait() }()
	ctx := browse(t)
	pieces := drop(t, ctx, address)
	place := firstPlace(t, ctx, address+pieces["leap.musicxml"])
	full := filepath.Join(data, "full")
	os.WriteFile(full, make([]byte, 4<<20), 0o600) // as much as there is room for
	do(t, ctx, "full", chromedp.Navigate(place), chromedp.SetValue("#note", "no room"), chromedp.Click("form.by-hand button"),
		until(`document.querySelector("main").innerText.includes("no space left") && document.querySelector("#note").value === "no room"`))
	os.Remove(full)
	do(t, ctx, "room again", chromedp.Click("form.by-hand button"), until(`document.querySelector(".sittings")?.innerText.includes("no room")`))
	left, err := filepath.Glob(filepath.Join(data, "pieces", "*", ".hardbars-*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// The page in Debian's Firefox: it comes up as in the other browser, with its
// score and no error of a script, which would leave the score out.
func TestFirefox(t *testing.T) {
	data := t.TempDir()
	address, server := serve(t, data)
	defer func() { server.Process.Kill(); server.Wait() }()
	ctx := browse(t)
	pieces := drop(t, ctx, address)
	fox, err := startFox(t)
	if err != nil {
		t.Fatal(err)
	}
	for _, step := range []struct{ url, ready string }{
		{address + "/", `document.querySelectorAll(".shelf > li").length === 3`},
		{address + pieces["lantern-barcarolle.musicxml"], `document.querySelectorAll(".system").length > 3 && (document.querySelector(".system").scrollIntoView(), true)`},
		{"", `document.querySelectorAll(".system .bar").length > 3`},
		{"", `(document.querySelector('.whole [data-play]').click(), true)`},
		{address + "/tonight", `document.querySelector("form.clock button") !== null`},
		{"", `(document.querySelector("form.clock button").click(), true)`},
		{"", `document.querySelector(".running .time") !== null && document.activeElement !== document.body`},
		{"", `(document.querySelector("form.went button").click(), true)`},
		{"", `document.querySelectorAll(".items .done").length === 1`},
		{"", `(document.querySelector("form.ticked button").click(), true)`},
		{"", `document.querySelectorAll(".items .done").length === 0`},
	} {
		if step.url != "" {
			if err := fox.open(step.url); err != nil {
				t.Fatal(err)
			}
		}
		deadline := time.Now().Add(time.Minute)
		for {
			ok, err := fox.is(step.ready)
			if ok {
				break
			}
			if time.Now().After(deadline) {
				t.Fatalf("in Firefox %s never becomes true: %v", step.ready, err)
			}
			time.Sleep(100 * time.Millisecond)
		}
	}
	if dir := os.Getenv("SHOTS"); dir != "" {
		fox.open(address + pieces["lantern-barcarolle.musicxml"])
		time.Sleep(2 * time.Second)
		if picture, err := fox.shot(); err == nil && bytes.HasPrefix(picture, []byte("\x89PNG")) {
			os.WriteFile(filepath.Join(dir, "firefox.png"), picture, 0o644)
		}
	}
}
