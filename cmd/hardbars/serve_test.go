package main

import (
	"bytes"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"hardbars/cmd/hardbars/web"
)

// What the page gives away are the bytes that the command writes for the same
// score, log, remarks, player and day.
func TestServeGivesWhatTheCommandWrites(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	for _, name := range []string{"cross-rhythm", "leap", "ornament"} {
		t.Run(name, func(t *testing.T) {
			sameAsCommand(t, filepath.Join("..", "..", "testdata", name+".musicxml"))
		})
	}
}

func sameAsCommand(t *testing.T, path string) {
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	in := filepath.Join(dir, "waltz.musicxml")
	if err := os.WriteFile(in, data, 0o600); err != nil {
		t.Fatal(err)
	}
	page := newPage(t)
	id := page.drop(t, "waltz.musicxml", data)

	// Bare first, then with every setting, a remark and a line in the log.
	page.compare(t, id, dir, in, nil)
	today := time.Now().Format(time.DateOnly)
	page.post(t, "/pieces/"+id+"/settings", url.Values{"span": {"octave"}, "level": {"elementary"}, "tempo": {"90%"}, "middle-pedal": {"yes"}, "minutes": {"20"}, "days": {"4"}})
	page.post(t, "/pieces/"+id+"/remarks", url.Values{"bars": {"2"}, "hand": {"left"}, "text": {"lightly"}})
	page.post(t, "/pieces/"+id+"/log", url.Values{"place": {page.firstPlace(t, id)}, "tempo": {"40"}, "minutes": {"5"}})
	if err := os.WriteFile(filepath.Join(dir, "waltz.remarks.md"), []byte("bar 2 left: lightly\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	who := []string{"--span", "octave", "--level", "elementary", "--middle-pedal", "yes"}
	command(t, append([]string{"log", in, "--spot", "1", "--tempo", "40", "--minutes", "5", "--date", today, "--set", "tempo=90%"}, who...)...)
	page.compare(t, id, dir, in, append(who, "--tempo", "90%"), "--minutes", "20", "--days", "4")
}

func command(t *testing.T, args ...string) {
	t.Helper()
	var out bytes.Buffer
	if code := run(args, strings.NewReader(""), &out, &out); code != exitDone {
		t.Fatalf("hardbars %v: %d %s", args, code, &out)
	}
}

// servedPage is a page that is asked as a browser asks it.
type servedPage struct {
	http.Handler
	data string
}

const pageHost = "127.0.0.1:7777"

func newPage(t *testing.T) servedPage {
	t.Helper()
	dir := t.TempDir()
	s, err := web.New(web.Options{Data: dir, Port: "7777", Player: profilePlayer, Profile: pageProfile{}})
	if err != nil {
		t.Fatal(err)
	}
	return servedPage{s.Handler(), dir}
}

func (p servedPage) ask(t *testing.T, method, path, kind string, body io.Reader) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequest(method, path, body)
	r.Host = pageHost
	r.Header.Set("Origin", "http://"+pageHost)
	r.Header.Set("Content-Type", kind)
	w := httptest.NewRecorder()
	p.ServeHTTP(w, r)
	if w.Code >= http.StatusBadRequest {
		t.Fatalf("%s %s: %d %s", method, path, w.Code, w.Body)
	}
	return w
}

func (p servedPage) post(t *testing.T, path string, form url.Values) {
	t.Helper()
	p.ask(t, http.MethodPost, path, "application/x-www-form-urlencoded", strings.NewReader(form.Encode()))
}

func (p servedPage) drop(t *testing.T, name string, data []byte) (id string) {
	t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, err := form.CreateFormFile("score", name)
	if err != nil {
		t.Fatal(err)
	}
	part.Write(data)
	form.Close()
	w := p.ask(t, http.MethodPost, "/pieces", form.FormDataContentType(), &body)
	return strings.TrimPrefix(w.Header().Get("Location"), "/pieces/")
}

// firstPlace is the identity of the place that is ranked first.
func (p servedPage) firstPlace(t *testing.T, id string) string {
	t.Helper()
	page := p.ask(t, http.MethodGet, "/pieces/"+id+"/places", "", nil).Body.String()
	return regexp.MustCompile(`/places/([^"]+)">1\. `).FindStringSubmatch(page)[1]
}

// compare takes everything away and holds it against what the command writes.
func (p servedPage) compare(t *testing.T, id, dir, in string, who []string, when ...string) {
	t.Helper()
	for _, paper := range []string{"letter", "a4"} {
		command(t, append(append([]string{"study", in, "--paper", paper}, who...), when...)...)
		p.same(t, id, dir, "study.pdf", "?paper="+paper)
		p.same(t, id, dir, "score.pdf", "?paper="+paper)
	}
	p.same(t, id, dir, "marked.musicxml", "")
	command(t, append([]string{"drills", in}, who...)...)
	p.same(t, id, dir, "drills.musicxml", "")
	command(t, append(append([]string{"plan", in, "--ics"}, who...), when...)...)
	p.same(t, id, dir, "plan.ics", "")
}

func (p servedPage) same(t *testing.T, id, dir, what, query string) {
	t.Helper()
	w := p.ask(t, http.MethodGet, fmt.Sprintf("/pieces/%s/take/%s%s", id, what, query), "", nil)
	written, err := os.ReadFile(filepath.Join(dir, "waltz."+what))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(w.Body.Bytes(), written) {
		t.Errorf("%s%s: %d bytes that are not the command's %d", what, query, w.Body.Len(), len(written))
	}
	if got := w.Header().Get("Content-Disposition"); got != "attachment; filename=waltz."+what {
		t.Errorf("%s is called %q", what, got)
	}
}

// What is said on the page about the player stands in the profile that the
// command reads, and leaves the rest of that file alone.
func TestHandsOnThePage(t *testing.T) {
	config := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", config)
	path := filepath.Join(config, "hardbars", "player.conf")
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte("# mine\nlevel = advanced # for now\nleap-rate = 6\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	page := newPage(t)
	page.post(t, "/hands", url.Values{"span": {"octave"}, "minutes": {"25"}})
	data, _ := os.ReadFile(path)
	if got := string(data); !strings.HasPrefix(got, "# mine\n") || !strings.Contains(got, "leap-rate = 6\n") || !strings.Contains(got, "span = octave\n") || strings.Contains(got, "level = ") || !strings.Contains(got, "# for now") {
		t.Errorf("the profile is\n%s", got)
	}
	if p, err := profilePlayer(); err != nil || p.SpanMM[0] > 190 {
		t.Errorf("%+v, %v", p.SpanMM, err)
	}
	if again := page.ask(t, http.MethodGet, "/hands", "", nil).Body.String(); !strings.Contains(again, `value="octave"`) || !strings.Contains(again, `value="25"`) {
		t.Error("the page does not show what was saved")
	}
}
