package e2e

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// access lets axe-core, the accessibility rules from npm that AXE names, go
// over every view in light and dark, and keeps pictures of them at the widths
// of a phone, a tablet and a desktop in the folder SHOTS, to be looked at.
func access(t *testing.T, ctx context.Context, address, piece, place string) {
	t.Helper()
	axe, err := os.ReadFile(os.Getenv("AXE"))
	if err != nil {
		t.Fatalf("AXE names no file with axe-core: %v", err)
	}
	views := []struct{ name, url string }{
		{"shelf", address + "/"}, {"evening", address + "/tonight"}, {"hands", address + "/hands"}, {"bin", address + "/bin"}, {"devices", address + "/devices"},
		{"piece", piece}, {"score", piece + "#score"}, {"plan", piece + "/tonight"}, {"settings", piece + "/settings"}, {"places", piece + "/places"}, {"place", place}, {"remarks", piece + "/remarks"},
	}
	for _, scheme := range []string{"light", "dark"} {
		for _, view := range views {
			var found []string
			do(t, ctx, view.name,
				emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}),
				chromedp.Navigate(view.url), chromedp.WaitReady("main"),
				chromedp.Evaluate(string(axe), nil),
				chromedp.Evaluate(`axe.run().then(r => r.violations.filter(v => v.impact === "serious" || v.impact === "critical")
					.flatMap(v => v.nodes.map(n => v.id + " at " + n.target.join(" ") + ": " + n.failureSummary)))`, &found, promise))
			for _, f := range found {
				t.Errorf("%s, %s: %s", view.name, scheme, f)
			}
			shoot(t, ctx, view.name+"-"+scheme)
		}
	}
	do(t, ctx, "as it was", emulation.SetEmulatedMedia(), emulation.ClearDeviceMetricsOverride())
}

// shoot keeps a picture of a view at each width.
func shoot(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	dir := os.Getenv("SHOTS")
	if dir == "" {
		return
	}
	for _, width := range []int64{390, 820, 1440} {
		var picture []byte
		do(t, ctx, name, emulation.SetDeviceMetricsOverride(width, 1100, 1, width < 400), chromedp.CaptureScreenshot(&picture))
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("%s-%d.png", name, width)), picture, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
