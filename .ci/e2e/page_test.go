// Package e2e drives the built hardbars in a real browser, as its user would.
// HARDBARS names the binary. It knows the page from outside alone: what is
// written on it, its routes, and the files that it leaves.
package e2e

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const testdata = "../../testdata/"

// scores are what is dropped, and one that is broken.
var scores = []string{"lantern-barcarolle.musicxml", "cross-rhythm.musicxml", "leap.musicxml"}

// serve starts the page over an empty shelf and gives its address.
func serve(t *testing.T, data string) (address string, server *exec.Cmd) {
	t.Helper()
	server = exec.Command(os.Getenv("HARDBARS"), "serve", "--no-browser", "--port", "0", "--data", data)
	out, err := server.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := server.Start(); err != nil {
		t.Fatalf("HARDBARS names no program to start: %v", err)
	}
	t.Cleanup(func() { server.Process.Kill() })
	line, err := bufio.NewReader(out).ReadString('\n')
	address = regexp.MustCompile(`http://[^/\s]+`).FindString(line)
	if err != nil || address == "" {
		t.Fatalf("serve said %q, %v", line, err)
	}
	return address, server
}

// complaints gathers what a browser finds wrong with the page: errors of
// scripts, breaches of the content-security policy, and requests elsewhere.
type complaints struct {
	sync.Mutex
	list []string
}

func (c *complaints) listen(ctx context.Context, address string) {
	chromedp.ListenTarget(ctx, func(event any) {
		c.Lock()
		defer c.Unlock()
		switch e := event.(type) {
		case *runtime.EventExceptionThrown:
			c.list = append(c.list, "script: "+e.ExceptionDetails.Error())
		case *log.EventEntryAdded:
			// 422 is the answer to what is wrong and 409 to what another window did
			// meanwhile; a browser notes both as well.
			if e.Entry.Level == log.LevelError && !strings.Contains(e.Entry.Text, "422") && !strings.Contains(e.Entry.Text, "409") {
				c.list = append(c.list, "console: "+e.Entry.Text+" "+e.Entry.URL)
			}
		case *network.EventRequestWillBeSent:
			if url := e.Request.URL; !strings.HasPrefix(url, address) && !strings.HasPrefix(url, "data:") && !strings.HasPrefix(url, "blob:") {
				c.list = append(c.list, "request to "+url)
			}
		}
	})
}

// browse opens a browser that may make a sound by itself.
func browse(t *testing.T) context.Context {
	t.Helper()
	options := append(slices.Clip(chromedp.DefaultExecAllocatorOptions[:]),
		chromedp.NoSandbox, chromedp.Flag("autoplay-policy", "no-user-gesture-required"), chromedp.WindowSize(820, 1180),
		chromedp.WSURLReadTimeout(2*time.Minute)) // a first start may be slow
	ctx, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx, chromedp.WithErrorf(func(string, ...any) {}))
	t.Cleanup(stop)
	ctx, stop = context.WithTimeout(ctx, 8*time.Minute)
	t.Cleanup(stop)
	return ctx
}

func do(t *testing.T, ctx context.Context, what string, actions ...chromedp.Action) {
	t.Helper()
	if err := chromedp.Run(ctx, actions...); err != nil {
		var body string
		chromedp.Run(ctx, chromedp.Evaluate(`location.href + " " + document.body.innerText.slice(0, 600)`, &body))
		t.Fatalf("%s: %v\n%s", what, err, body)
	}
}

func promise(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }

// until waits for something to become true on the page, also on the one that a
// link leads to, once its scripts run.
func until(expression string) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		var err error
		for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
			var is bool
			if err = chromedp.Evaluate(`document.readyState === "complete" && Boolean(`+expression+`)`, &is).Do(ctx); err == nil && is {
				return nil
			}
		}
		return fmt.Errorf("never true: %s (%v)", expression, err)
	})
}

// The page, from the empty shelf to what is taken away.
func TestThePage(t *testing.T) {
	data := t.TempDir()
	address, server := serve(t, data)
	ctx := browse(t)
	var wrong complaints
	wrong.listen(ctx, address)
	pieces := drop(t, ctx, address)
	weigh(t, ctx, address+"/")
	piece := address + pieces["lantern-barcarolle.musicxml"]
	weigh(t, ctx, piece)
	takeAway(t, ctx, piece, testdata+"lantern-barcarolle.musicxml")
	changeSpan(t, ctx, piece)
	place := firstPlace(t, ctx, piece)
	listen(t, ctx, place)
	wholeScore(t, ctx, piece)
	logTempo(t, ctx, place, data)
	shift(t, ctx, piece)
	narrow(t, ctx, address, piece, place)
	access(t, ctx, address, piece, place)
	offAndBack(t, ctx, address)
	if len(wrong.list) > 0 {
		t.Errorf("the browser complains:\n%s", strings.Join(wrong.list, "\n"))
	}
	server.Process.Signal(os.Interrupt)
	if err := server.Wait(); err != nil {
		t.Errorf("Ctrl-C does not stop it cleanly: %v", err)
	}
}

// drop drags three scores and a broken file onto the page and lets them go, as a
// hand does, and gives the route of each piece.
func drop(t *testing.T, ctx context.Context, address string) map[string]string {
	t.Helper()
	var files []string
	for _, name := range scores {
		path, err := filepath.Abs(testdata + name)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, path)
	}
	broken := filepath.Join(t.TempDir(), "broken.musicxml")
	if err := os.WriteFile(broken, []byte("<score-partwise><part"), 0o644); err != nil {
		t.Fatal(err)
	}
	var text string
	do(t, ctx, "drop", chromedp.Navigate(address+"/"), chromedp.WaitVisible("form.drop"), dragged(append(files, broken)),
		until(`document.body.innerText.includes("broken.musicxml: ")`),
		chromedp.Navigate(address+"/"), chromedp.WaitVisible("ul.shelf"),
		chromedp.Text("ul.shelf", &text))
	pieces := map[string]string{}
	for _, name := range scores {
		var route string
		do(t, ctx, name, chromedp.Evaluate(fmt.Sprintf(
			`[...document.querySelectorAll("ul.shelf > li")].find(li => li.innerText.includes(%q)).querySelector("a").getAttribute("href")`, name), &route))
		pieces[name] = route
	}
	return pieces
}

// dragged lets files fall onto the page.
func dragged(files []string) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		data := &input.DragData{Items: []*input.DragDataItem{}, Files: files, DragOperationsMask: 1}
		for _, kind := range []input.DispatchDragEventType{input.DragEnter, input.DragOver, input.Drop} {
			if err := input.DispatchDragEvent(kind, 300, 200, data).Do(ctx); err != nil {
				return err
			}
		}
		return nil
	})
}

// weigh holds a page to 60 kB on the way to a tablet, before its score.
func weigh(t *testing.T, ctx context.Context, url string) {
	t.Helper()
	var bytes float64
	do(t, ctx, "weigh", chromedp.Navigate(url), chromedp.WaitReady("main"), chromedp.Evaluate(
		`performance.getEntriesByType("resource").filter(e => ["link", "script"].includes(e.initiatorType)).concat(performance.getEntriesByType("navigation")).reduce((sum, e) => sum + e.encodedBodySize, 0)`, &bytes))
	t.Logf("%s weighs %.1f kB", url, bytes/1000)
	if bytes == 0 || bytes > 60e3 {
		t.Errorf("%s weighs %.0f bytes", url, bytes)
	}
}

// takeAway compares what the page gives with what the command writes.
func takeAway(t *testing.T, ctx context.Context, piece, score string) {
	t.Helper()
	copied, err := os.ReadFile(score)
	if err != nil {
		t.Fatal(err)
	}
	in := filepath.Join(t.TempDir(), filepath.Base(score))
	if err := os.WriteFile(in, copied, 0o644); err != nil {
		t.Fatal(err)
	}
	base := strings.TrimSuffix(in, filepath.Ext(in))
	for _, one := range []struct {
		route   string
		command []string
		file    string
	}{
		{"study.pdf?paper=a4", []string{"study", in}, base + ".study.pdf"},
		{"study.pdf?paper=letter", []string{"study", in, "--paper", "letter"}, base + ".study.pdf"},
		{"marked.musicxml", []string{"study", in}, base + ".marked.musicxml"},
		{"drills.musicxml", []string{"drills", in}, base + ".drills.musicxml"},
	} {
		if out, err := exec.Command(os.Getenv("HARDBARS"), one.command...).CombinedOutput(); err != nil {
			t.Fatalf("%v: %v\n%s", one.command, err, out)
		}
		written, err := os.ReadFile(one.file)
		if err != nil {
			t.Fatal(err)
		}
		var digest string
		do(t, ctx, one.route, chromedp.Navigate(piece), chromedp.Evaluate(fmt.Sprintf(
			`fetch(%q).then(r => r.arrayBuffer()).then(b => crypto.subtle.digest("SHA-256", b)).then(d => [...new Uint8Array(d)].map(x => x.toString(16).padStart(2, "0")).join(""))`,
			piece+"/take/"+one.route), &digest, promise))
		if sum := sha256.Sum256(written); digest != hex.EncodeToString(sum[:]) {
			t.Errorf("%s is not what the command writes", one.route)
		}
	}
}

// changeSpan gives a smaller hand and sees what that makes without a new page;
// the field that was changed keeps the focus.
func changeSpan(t *testing.T, ctx context.Context, piece string) {
	t.Helper()
	const told = `document.querySelector("[role=status], .settings").closest("main").innerText`
	var before, after, focus string
	var same bool
	do(t, ctx, "span", chromedp.Navigate(piece+"/settings"), chromedp.WaitReady("#span"),
		chromedp.Evaluate(`window.same = true; `+told, &before),
		chromedp.SetValue("#span", "160"), chromedp.Focus("#span"),
		chromedp.Evaluate(`document.querySelector("#span").dispatchEvent(new Event("change", {bubbles: true}))`, nil),
		until(`document.querySelector("main").innerText.includes("Reckoned again")`),
		chromedp.Evaluate(told, &after), chromedp.Evaluate(`document.activeElement.id`, &focus), chromedp.Evaluate(`window.same === true`, &same),
		chromedp.SetValue("#span", "giant"), chromedp.Evaluate(`document.querySelector("#span").dispatchEvent(new Event("change", {bubbles: true}))`, nil),
		until(`document.querySelector("#span").getAttribute("aria-invalid") === "true" && document.querySelector("#span").value === "giant"`))
	if before == after {
		t.Error("a hand of 160 mm changes nothing")
	}
	if !same || focus != "span" {
		t.Errorf("the page was loaded anew, or the focus went to %q", focus)
	}
}

// firstPlace is the address of the place that ranks first.
func firstPlace(t *testing.T, ctx context.Context, piece string) (address string) {
	t.Helper()
	do(t, ctx, "places", chromedp.Navigate(piece+"/places"), chromedp.Evaluate(`document.querySelector("ol.places a").href`, &address))
	return address
}

// wholeScore has every line fetched as it comes into sight, plays from a bar that
// is tapped, and chooses bars by a drag and by the keys.
func wholeScore(t *testing.T, ctx context.Context, piece string) {
	t.Helper()
	var lines, bars int
	var told, chosen string
	var began, filled float64
	do(t, ctx, "the score", chromedp.Navigate(piece), until(`document.querySelectorAll(".system").length > 3`),
		chromedp.Evaluate(`performance.now()`, &began),
		chromedp.Evaluate(`document.querySelector(".system").scrollIntoView()`, nil), until(`document.querySelector(".system .bar") !== null`),
		chromedp.Evaluate(`performance.now()`, &filled),
		chromedp.Evaluate(`(async () => { for (const line of document.querySelectorAll(".system")) { line.scrollIntoView(); await new Promise(r => setTimeout(r, 150)); } })()`, nil, promise),
		until(`[...document.querySelectorAll(".system")].every(l => l.querySelector(".bar"))`),
		chromedp.Evaluate(`document.querySelectorAll(".system").length`, &lines), chromedp.Evaluate(`document.querySelectorAll(".system .bar").length`, &bars),
		chromedp.Evaluate(`document.querySelector('.bar[data-index="5"]').scrollIntoView({block: "center"})`, nil),
		tap(`.bar[data-index="5"]`), until(`document.querySelector(".bar.now")?.dataset.index === "5"`),
		chromedp.Click(".whole [data-play]"), until(`!window.hardbarsListen.playing`),
		dragOver(`.bar[data-index="5"]`, `.bar[data-index="6"]`), until(`!document.querySelector(".bar-tools").hidden`),
		chromedp.Text(".bar-tools .chosen", &chosen),
		chromedp.Focus("figure.music"), chromedp.KeyEvent(kb.Escape), until(`document.querySelector(".bar-tools").hidden`),
		chromedp.KeyEvent(kb.ArrowRight), until(`document.querySelector(".told").innerText.startsWith("Bar ")`),
		chromedp.Text(".told", &told))
	t.Logf("%d lines, %d bars; the first line %.0f ms after it came into sight; %q; %q", lines, bars, filled-began, chosen, told)
	if bars != 35 || !strings.HasPrefix(chosen, "Bars ") || !strings.Contains(told, "hand: ") {
		t.Errorf("%d bars on %d lines; chosen: %q; told: %q", bars, lines, chosen, told)
	}
}

// middle is where an element is, in pixels.
func middle(ctx context.Context, selector string) (x, y float64, err error) {
	var at []float64
	err = chromedp.Evaluate(fmt.Sprintf(`(() => { const r = document.querySelector(%q).getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`, selector), &at).Do(ctx)
	if err != nil {
		return 0, 0, err
	}
	return at[0], at[1], nil
}

func tap(selector string) chromedp.Action { return dragOver(selector, selector) }

// dragOver presses the pointer on one element and lets it go on another.
func dragOver(from, to string) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		x, y, err := middle(ctx, from)
		if err != nil {
			return err
		}
		toX, toY, err := middle(ctx, to)
		if err != nil {
			return err
		}
		for _, step := range []struct {
			kind input.MouseType
			x, y float64
		}{{input.MouseMoved, x, y}, {input.MousePressed, x, y}, {input.MouseMoved, (x + toX) / 2, (y + toY) / 2}, {input.MouseMoved, toX, toY}, {input.MouseReleased, toX, toY}} {
			p := input.DispatchMouseEvent(step.kind, step.x, step.y)
			if step.kind != input.MouseMoved || step.x != x {
				p = p.WithButton(input.Left).WithClickCount(1)
			}
			if err := p.Do(ctx); err != nil {
				return err
			}
		}
		return nil
	})
}

// shift holds what moves while a page comes to 0.05 (the layout instability of
// the W3C's draft, summed up).
func shift(t *testing.T, ctx context.Context, piece string) {
	t.Helper()
	var moved float64
	do(t, ctx, "shift", chromedp.Navigate(piece), until(`document.querySelectorAll(".system").length > 3`), chromedp.Sleep(time.Second),
		chromedp.Evaluate(`new Promise(done => { let sum = 0; new PerformanceObserver(l => { for (const e of l.getEntries()) sum += e.value; }).observe({type: "layout-shift", buffered: true}); setTimeout(() => done(sum), 300); })`, &moved, promise))
	t.Logf("layout shift %.3f", moved)
	if moved > 0.05 {
		t.Errorf("%.3f of the page moves while it comes", moved)
	}
}

// narrow holds every view to the width of the smallest phone, and its controls to
// 44 pixels (WCAG 2.2, 1.4.10 and 2.5.5); a link within a sentence is let off, as there.
func narrow(t *testing.T, ctx context.Context, address, piece, place string) {
	t.Helper()
	for _, url := range []string{address + "/", address + "/tonight", address + "/hands", address + "/devices", address + "/bin", piece, piece + "/tonight", piece + "/settings", piece + "/places", place, piece + "/remarks"} {
		var wide float64
		var small []string
		do(t, ctx, url, emulation.SetDeviceMetricsOverride(320, 640, 1, true), chromedp.Navigate(url), chromedp.WaitReady("main"), chromedp.Sleep(300*time.Millisecond),
			chromedp.Evaluate(`document.documentElement.scrollWidth`, &wide),
			chromedp.Evaluate(`[...document.querySelectorAll("main a, main button, main select, main summary, main input:not([type=hidden], [type=checkbox], [type=radio], [type=range]), nav a")]
				.filter(e => e.checkVisibility() && !e.closest(".skip") && !(e.matches("a") && getComputedStyle(e).display === "inline") && e.tabIndex >= 0 && e.getBoundingClientRect().height < 43.5)
				.map(e => e.outerHTML.slice(0, 120))`, &small))
		if wide > 320 {
			t.Errorf("%s is %.0f wide on a screen of 320", url, wide)
		}
		for _, e := range small {
			t.Errorf("%s: too small for a thumb: %s", url, e)
		}
	}
	do(t, ctx, "wide again", emulation.ClearDeviceMetricsOverride())
}

// listen plays a place and holds the lights to the audio clock.
func listen(t *testing.T, ctx context.Context, place string) {
	t.Helper()
	type light struct {
		Head  string
		Heard float64
	}
	var lights []light
	var starts map[string][]float64
	do(t, ctx, "listen", chromedp.Navigate(place),
		chromedp.WaitVisible("[data-play]"), chromedp.Click("[data-play]"),
		until(`window.hardbarsListen.lit.length > 0`),
		chromedp.Evaluate(`new Promise(done => {
			const seen = [], was = new Set(), end = performance.now() + 2500;
			const look = () => {
				const h = window.hardbarsListen;
				for (const head of h.lit) if (!was.has(head)) { was.add(head); seen.push({Head: String(head), Heard: h.heard}); }
				performance.now() < end ? requestAnimationFrame(look) : done(seen);
			};
			look();
		})`, &lights, promise),
		chromedp.Evaluate(`Object.fromEntries(window.hardbarsListen.scheduled.flatMap(e => (e.heads ?? []).map(h => [String(h), e.time]))
			.reduce((all, [h, at]) => all.set(h, [...(all.get(h) ?? []), at]), new Map()))`, &starts),
		chromedp.Click("[data-play]"), until(`!window.hardbarsListen.playing`))
	if len(lights) < 3 {
		t.Fatalf("%d notes lit up", len(lights))
	}
	var off []float64
	for _, l := range lights[1:] { // the first were lit before anybody looked
		nearest := 1e9
		for _, at := range starts[l.Head] {
			nearest = min(nearest, max(at-l.Heard, l.Heard-at))
		}
		off = append(off, nearest)
	}
	slices.Sort(off)
	t.Logf("%d lights, in the middle %.0f ms off the audio clock", len(off), 1000*off[len(off)/2])
	if middle := off[len(off)/2]; middle > 0.25 { // a slow machine paints late, but no light is by chance so near
		t.Errorf("lights are %v s off", middle)
	}
}

// logTempo logs a clean tempo and a remark and finds both in the files.
func logTempo(t *testing.T, ctx context.Context, place, data string) {
	t.Helper()
	do(t, ctx, "log", chromedp.Navigate(place), chromedp.SetValue("#note", "by the window"), chromedp.SetValue("#tempo", "31"),
		chromedp.Click("form.by-hand button"), until(`document.querySelector(".sittings")?.innerText.includes("by the window")`),
		chromedp.SetValue("#text", "sing the upper line"),
		chromedp.Click(`form[action$="/remarks"] button`), until(`document.querySelector(".remark")?.innerText.includes("sing the upper line")`))
	var all strings.Builder
	filepath.WalkDir(data, func(path string, _ os.DirEntry, err error) error {
		if text, err := os.ReadFile(path); err == nil && !strings.HasSuffix(path, ".musicxml") {
			all.Write(text)
		}
		return err
	})
	for _, said := range []string{"by the window", "sing the upper line"} {
		if !strings.Contains(all.String(), said) {
			t.Errorf("%q is in no file", said)
		}
	}
}

// offAndBack takes a piece off the shelf and puts it back.
func offAndBack(t *testing.T, ctx context.Context, address string) {
	t.Helper()
	count := `document.querySelectorAll("ul.shelf > li").length`
	do(t, ctx, "undo", chromedp.Navigate(address+"/"), until(count+` === 3`),
		chromedp.Click(`form[action$="/remove"] button`), until(count+` === 2`),
		chromedp.Click("form.undo button"), until(count+` === 3`))
}
