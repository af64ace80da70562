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

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
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
			// 422 is the answer to the broken file, which a browser notes as well.
			if e.Entry.Level == log.LevelError && !strings.Contains(e.Entry.Text, "422") {
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

// until waits for something to become true on the page.
func until(expression string) chromedp.Action {
	return chromedp.Poll(expression, nil, chromedp.WithPollingTimeout(time.Minute), chromedp.WithPollingInterval(50*time.Millisecond))
}

// The page, from the empty shelf to what is taken away.
func TestThePage(t *testing.T) {
	data := t.TempDir()
	address, server := serve(t, data)
	ctx := browse(t)
	var wrong complaints
	wrong.listen(ctx, address)
	pieces := drop(t, ctx, address)
	weigh(t, ctx, address)
	piece := address + pieces["lantern-barcarolle.musicxml"]
	takeAway(t, ctx, piece, testdata+"lantern-barcarolle.musicxml")
	changeSpan(t, ctx, piece)
	listen(t, ctx, piece)
	logTempo(t, ctx, piece, data)
	access(t, ctx, address, piece)
	offAndBack(t, ctx, address)
	if len(wrong.list) > 0 {
		t.Errorf("the browser complains:\n%s", strings.Join(wrong.list, "\n"))
	}
	server.Process.Signal(os.Interrupt)
	if err := server.Wait(); err != nil {
		t.Errorf("Ctrl-C does not stop it cleanly: %v", err)
	}
}

// drop puts three scores and a broken file on the shelf by its form, and gives
// the route of each piece.
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
	do(t, ctx, "drop", chromedp.Navigate(address+"/"),
		chromedp.SetUploadFiles("#score", append(files, broken)),
		chromedp.Click("form.drop button"),
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

// weigh holds the page to 200 kB without the score.
func weigh(t *testing.T, ctx context.Context, address string) {
	t.Helper()
	var bytes float64
	do(t, ctx, "weigh", chromedp.Navigate(address+"/"), chromedp.Evaluate(
		`performance.getEntriesByType("resource").concat(performance.getEntriesByType("navigation")).reduce((sum, e) => sum + e.decodedBodySize, 0)`, &bytes))
	t.Logf("the shelf weighs %.0f kB", bytes/1000)
	if bytes == 0 || bytes > 200e3 {
		t.Errorf("the page weighs %.0f bytes", bytes)
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

// changeSpan gives a smaller hand and sees the list change without a new page.
func changeSpan(t *testing.T, ctx context.Context, piece string) {
	t.Helper()
	var before, after string
	do(t, ctx, "span", chromedp.Navigate(piece), chromedp.WaitReady("#span"),
		chromedp.Evaluate(`window.same = true; document.querySelector("section.all").innerText`, &before),
		chromedp.SetValue("#span", "160"),
		chromedp.Evaluate(`document.querySelector("#span").dispatchEvent(new Event("change", {bubbles: true}))`, nil),
		until(`document.querySelector("#about-span").innerText.includes("160") || document.querySelector("#span").placeholder.includes("160")`),
		chromedp.Evaluate(`document.querySelector("section.all").innerText`, &after))
	if before == after {
		t.Error("a hand of 160 mm changes nothing")
	}
	var same bool
	do(t, ctx, "reload", chromedp.Evaluate(`window.same === true`, &same))
	if !same {
		t.Error("the page was loaded anew")
	}
}

// listen plays a place and holds the lights to the audio clock.
func listen(t *testing.T, ctx context.Context, piece string) {
	t.Helper()
	type light struct {
		Head  string
		Heard float64
	}
	var lights []light
	var starts map[string][]float64
	do(t, ctx, "listen", chromedp.Navigate(piece+"/spots/1"),
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
func logTempo(t *testing.T, ctx context.Context, piece, data string) {
	t.Helper()
	do(t, ctx, "log", chromedp.Navigate(piece+"/spots/1"), chromedp.SetValue("#note", "by the window"), chromedp.SetValue("#tempo", "31"),
		chromedp.Click("form.by-hand button"), chromedp.Sleep(time.Second),
		chromedp.Navigate(piece+"/spots/1"), chromedp.SetValue("#text", "sing the upper line"),
		chromedp.Click(`form[action$="/remarks"] button`), chromedp.Sleep(time.Second))
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
