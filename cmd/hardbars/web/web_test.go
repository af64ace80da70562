package web

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"hardbars/annotate/progress"
	"hardbars/cmd/hardbars/beside"
	"hardbars/detect"
)

const (
	host   = "127.0.0.1:7777"
	origin = "http://" + host
)

// evening is when the tests are played.
var evening = time.Date(2026, 3, 2, 20, 15, 0, 0, time.UTC)

// browser asks a page as a browser does that has it open.
type browser struct {
	*testing.T
	server  *Server
	handler http.Handler
}

func open(t *testing.T) *browser { return openAt(t, Options{Data: t.TempDir()}) }

func openAt(t *testing.T, o Options) *browser {
	t.Helper()
	o.Port, o.Now = "7777", func() time.Time { return evening }
	o.Player = func() (detect.Player, error) { return detect.DefaultPlayer(), nil }
	s, err := New(o)
	if err != nil {
		t.Fatal(err)
	}
	return &browser{t, s, s.Handler()}
}

func (b *browser) send(r *http.Request) *httptest.ResponseRecorder {
	b.Helper()
	w := httptest.NewRecorder()
	b.handler.ServeHTTP(w, r)
	return w
}

func request(method, path string, body io.Reader) *http.Request {
	r := httptest.NewRequest(method, path, body)
	r.Host = host
	if method != http.MethodGet {
		r.Header.Set("Origin", origin)
	}
	return r
}

func (b *browser) get(path string) *httptest.ResponseRecorder {
	b.Helper()
	return b.send(request(http.MethodGet, path, nil))
}

// page gets what must be there.
func (b *browser) page(path string) string {
	b.Helper()
	w := b.get(path)
	if w.Code != http.StatusOK {
		b.Fatalf("%s: %d %s", path, w.Code, w.Body)
	}
	return w.Body.String()
}

func (b *browser) post(path string, form url.Values) *httptest.ResponseRecorder {
	b.Helper()
	r := request(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return b.send(r)
}

func dropped(files map[string][]byte) *http.Request {
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name, data := range files {
		part, _ := form.CreateFormFile("score", name)
		part.Write(data)
	}
	form.Close()
	r := request(http.MethodPost, "/pieces", &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	r.Header.Set("Accept", "application/json")
	return r
}

// drop drops one file and tells what became of it.
func (b *browser) drop(name string, data []byte) fileView {
	b.Helper()
	w := b.send(dropped(map[string][]byte{name: data}))
	var reply struct{ Files []fileView }
	if err := json.Unmarshal(w.Body.Bytes(), &reply); err != nil || len(reply.Files) != 1 {
		b.Fatalf("%s: %d %v %s", name, w.Code, err, w.Body)
	}
	if taken := reply.Files[0].Error == ""; taken != (w.Code == http.StatusOK) {
		b.Errorf("%s: status %d with %+v", name, w.Code, reply.Files[0])
	}
	return reply.Files[0]
}

func testScore(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// piece opens a page with one piece on its shelf.
func piece(t *testing.T) (b *browser, id string) {
	b = open(t)
	taken := b.drop("cross-rhythm.musicxml", testScore(t, "cross-rhythm.musicxml"))
	if taken.Error != "" {
		t.Fatal(taken.Error)
	}
	return b, taken.Piece
}

func TestEveryPageWithoutScripts(t *testing.T) {
	b, id := piece(t)
	for path, want := range map[string]string{
		"/":                          "Wheels Within",
		"/pieces/" + id:              "Practise these first",
		"/pieces/" + id + "/spots/1": "How to practise it",
		"/pieces/" + id + "/tonight": "Tonight",
		"/pieces/" + id + "/remarks": "Write it down",
	} {
		page := b.page(path)
		if !strings.Contains(page, want) || !strings.Contains(page, "<main") {
			t.Errorf("%s does not say %q", path, want)
		}
		content := b.page(path + "?only=content")
		if strings.Contains(content, "<main") || !strings.Contains(page, content) {
			t.Errorf("%s: the content alone is not that of the page", path)
		}
	}
	// Without scripts a dropped score leads to its page.
	r := dropped(map[string][]byte{"again.xml": testScore(t, "cross-rhythm.musicxml")})
	r.Header.Del("Accept")
	if w := b.send(r); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/pieces/"+id {
		t.Errorf("%d to %q", w.Code, w.Header().Get("Location"))
	}
}

func TestHostAndOrigin(t *testing.T) {
	b, id := piece(t)
	get := func(host string) int {
		r := request(http.MethodGet, "/", nil)
		r.Host = host
		return b.send(r).Code
	}
	for host, want := range map[string]int{
		"127.0.0.1:7777": 200, "localhost:7777": 200, "[::1]:7777": 200,
		"127.0.0.1:7778": 403, "127.0.0.1": 403, "rebound.example:7777": 403, "192.168.1.20:7777": 403, "localhost.example:7777": 403, "": 403,
	} {
		if got := get(host); got != want {
			t.Errorf("host %q: %d, want %d", host, got, want)
		}
	}
	post := func(header ...string) int {
		r := request(http.MethodPost, "/pieces/"+id+"/settings", strings.NewReader("span=tenth"))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Del("Origin")
		for i := 0; i < len(header); i += 2 {
			r.Header.Set(header[i], header[i+1])
		}
		return b.send(r).Code
	}
	for _, evil := range [][]string{
		{}, {"Origin", "null"}, {"Origin", "http://evil.example"}, {"Origin", "https://" + host}, {"Origin", "http://127.0.0.1:80"},
		{"Origin", origin, "Sec-Fetch-Site", "cross-site"}, {"Origin", origin, "Sec-Fetch-Site", "same-site"},
	} {
		if code := post(evil...); code != http.StatusForbidden {
			t.Errorf("a post with %q: %d", evil, code)
		}
	}
	if p, err := b.server.shelf.piece(id); err != nil || p.Settings.Span != "" {
		t.Errorf("a refused post changed %+v, %v", p, err)
	}
	if code := post("Origin", origin, "Sec-Fetch-Site", "same-origin"); code != http.StatusSeeOther {
		t.Errorf("the page's own post: %d", code)
	}
	r := request(http.MethodGet, "/pieces/"+id+"/take/plan.ics", nil)
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	r.Header.Set("Sec-Fetch-Mode", "no-cors")
	if w := b.send(r); w.Code != http.StatusForbidden {
		t.Errorf("a picture's address on another site: %d", w.Code)
	}
}

func TestHeaders(t *testing.T) {
	b, id := piece(t)
	for _, path := range []string{"/", "/pieces/" + id, "/nowhere", "/assets/page.css", "/pieces/" + id + "/music.svg?spot=1"} {
		h := b.get(path).Header()
		csp := h.Get("Content-Security-Policy")
		if !strings.HasPrefix(csp, "default-src 'none';") || strings.Contains(csp, "unsafe") || strings.Contains(csp, "*") || h.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: %v", path, h)
		}
	}
	// The policy lets nothing inline run: there must be nothing.
	page := b.page("/pieces/"+id) + b.page("/pieces/"+id+"/spots/1")
	for _, inline := range []string{" style=", "<style", " onclick=", "javascript:"} {
		if strings.Contains(page, inline) {
			t.Errorf("the page has %q", inline)
		}
	}
}

func TestToken(t *testing.T) {
	b := openAt(t, Options{Data: t.TempDir(), Open: true})
	if w := b.get("/"); w.Code != http.StatusForbidden {
		t.Errorf("without the token: %d", w.Code)
	}
	if w := b.get("/?token=guess"); w.Code != http.StatusForbidden {
		t.Errorf("with a wrong one: %d", w.Code)
	}
	w := b.get("/?token=" + b.server.token)
	if w.Code != http.StatusSeeOther || strings.Contains(w.Header().Get("Location"), "token") || len(w.Result().Cookies()) != 1 {
		t.Fatalf("with the token: %d %v", w.Code, w.Header())
	}
	cookie := w.Result().Cookies()[0]
	if !cookie.HttpOnly || cookie.SameSite != http.SameSiteStrictMode {
		t.Errorf("the cookie %v can be read or sent from elsewhere", cookie)
	}
	r := request(http.MethodGet, "/", nil)
	r.Host = "192.168.1.20:7777"
	r.AddCookie(cookie)
	if w := b.send(r); w.Code != http.StatusOK {
		t.Errorf("with the cookie: %d", w.Code)
	}
	r.Host = "rebound.example:7777"
	if w := b.send(r); w.Code != http.StatusForbidden {
		t.Errorf("under another name: %d", w.Code)
	}
}

// names are all files and folders below a folder.
func names(t *testing.T, dir string) (all []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, _ fs.DirEntry, err error) error {
		all = append(all, path)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestFileNamesNeverBecomePaths(t *testing.T) {
	home := t.TempDir()
	b := openAt(t, Options{Data: filepath.Join(home, "data")})
	for i, name := range []string{"../../evil.musicxml", `..\..\evil.mxl`, "/etc/evil.xml", "a\u202eb.xml", strings.Repeat("long ", 200) + ".xml", "<b>.xml"} {
		data := bytes.Replace(testScore(t, "leap.musicxml"), []byte("<part-list>"), fmt.Appendf(nil, "<!-- %d --><part-list>", i), 1)
		taken := b.drop(name, data)
		if taken.Error != "" || strings.ContainsAny(taken.Name, "/\\\u202e") || len([]rune(taken.Name)) > 120 {
			t.Errorf("%q: %+v", name, taken)
		}
		got := b.get("/pieces/" + taken.Piece + "/take/plan.ics").Header().Get("Content-Disposition")
		if strings.ContainsAny(got, "/\\\r\n") {
			t.Errorf("%q is given away as %q", name, got)
		}
	}
	for _, path := range names(t, home) {
		if strings.Contains(path, "evil") || strings.Contains(path, "long") {
			t.Errorf("a name became the path %s", path)
		}
	}
	if strings.Contains(b.page("/"), "<b>.xml") {
		t.Error("a name became markup")
	}
	for _, id := range []string{"..", "%2e%2e", "..%2f..%2fetc", "0123", strings.Repeat("A", 32), strings.Repeat("0", 32)} {
		if w := b.get("/pieces/" + id); w.Code != http.StatusNotFound && w.Code/100 != 3 {
			t.Errorf("piece %q: %d", id, w.Code)
		}
	}
}

// bomb is an archive that unpacks to far more than it is.
var bomb = sync.OnceValue(func() []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b) // a bytes.Buffer takes all
	w, _ := z.Create("META-INF/container.xml")
	io.WriteString(w, `<container><rootfiles><rootfile full-path="score.xml"/></rootfiles></container>`)
	w, _ = z.Create("score.xml")
	blank := bytes.Repeat([]byte(" "), 1<<20)
	for range 300 {
		w.Write(blank)
	}
	z.Close()
	return b.Bytes()
})

func hostile(t testing.TB) map[string][]byte {
	return map[string][]byte{
		"empty.musicxml":   {},
		"noise.mxl":        bytes.Repeat([]byte{0x00, 0xff, 0x50}, 1000),
		"torn.mxl":         []byte("PK\x03\x04torn"),
		"picture.musicxml": []byte("%PDF-1.4 picture"),
		"half.musicxml":    testScore(t, "leap.musicxml")[:3000],
		"deep.xml":         []byte("<score-partwise>" + strings.Repeat("<a>", 100000)),
		"laughs.xml":       []byte(`<!DOCTYPE a [<!ENTITY l "` + strings.Repeat("ha", 1000) + `"><!ENTITY m "&l;&l;&l;&l;">]><score-partwise>&m;</score-partwise>`),
		"outside.xml":      []byte(`<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]><score-partwise><work><work-title>&x;</work-title></work></score-partwise>`),
		"bomb.mxl":         bomb(),
	}
}

func TestOneBadFileHarmsNothing(t *testing.T) {
	b, id := piece(t)
	before := b.page("/pieces/" + id)
	for name, data := range hostile(t) {
		if taken := b.drop(name, data); taken.Error == "" || !strings.HasPrefix(taken.Error, name+": ") {
			t.Errorf("%s: %+v", name, taken)
		}
	}
	if after := b.page("/pieces/" + id); after != before {
		t.Error("the other piece has changed")
	}
	left, err := os.ReadDir(b.server.shelf.incoming())
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
	w := b.send(dropped(map[string][]byte{"good.musicxml": testScore(t, "leap.musicxml"), "bad.xml": []byte("bad")}))
	if pieces, _ := b.server.shelf.all(); len(pieces) != 2 || w.Code != http.StatusUnprocessableEntity {
		t.Errorf("of a good and a bad file: %d pieces, %d %s", len(pieces), w.Code, w.Body)
	}
}

func TestTooLarge(t *testing.T) {
	b := open(t)
	taken := b.drop("large.xml", bytes.Repeat([]byte(" "), maxUpload+1))
	if !strings.Contains(taken.Error, "larger than 32 MB") {
		t.Errorf("%+v", taken)
	}
	w := b.post("/pieces/"+strings.Repeat("0", 32)+"/settings", url.Values{"span": {strings.Repeat("9", maxForm)}})
	if w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("a large form: %d", w.Code)
	}
}

// The load check: 50 uploads at once, good and hostile, are all answered, and
// the memory does not grow with their number.
func TestFiftyUploadsAtOnce(t *testing.T) {
	b := open(t)
	bad := hostile(t)
	var kinds []string
	for name := range bad {
		kinds = append(kinds, name)
	}
	good, peak := testScore(t, "cross-rhythm.musicxml"), uint64(0)
	stop, watched := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(watched)
		for {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			peak = max(peak, m.HeapAlloc)
			select {
			case <-stop:
				return
			case <-time.After(20 * time.Millisecond):
			}
		}
	}()
	var all sync.WaitGroup
	for i := range 50 {
		all.Go(func() {
			if i%2 == 0 {
				name := fmt.Sprintf("good-%d.musicxml", i)
				data := bytes.Replace(good, []byte("<part-list>"), fmt.Appendf(nil, "<!-- %d --><part-list>", i), 1)
				if taken := b.drop(name, data); taken.Error != "" {
					t.Errorf("%+v", taken)
				}
				return
			}
			name := kinds[i/2%len(kinds)]
			if taken := b.drop(name, bad[name]); taken.Error == "" {
				t.Errorf("%s was taken in", name)
			}
		})
	}
	all.Wait()
	close(stop)
	<-watched
	if pieces, damaged := b.server.shelf.all(); len(pieces) != 25 || len(damaged) > 0 {
		t.Errorf("%d pieces, %v", len(pieces), damaged)
	}
	// A bomb is refused before any of it is held. What is left is small: 11 MiB
	// were measured; a race detector takes some times as much.
	if limit := uint64(256 << 20); peak > limit {
		t.Errorf("%d MiB at the peak", peak>>20)
	}
	t.Logf("%d MiB at the peak", peak>>20)
}

func TestAPanicTakesNothingDown(t *testing.T) {
	b, id := piece(t)
	b.server.player = func() (detect.Player, error) { panic("a fault of ours") }
	if w := b.get("/pieces/" + id); w.Code != http.StatusInternalServerError || !strings.Contains(w.Body.String(), "not your fault") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	b.server.player = func() (detect.Player, error) { return detect.DefaultPlayer(), nil }
	b.page("/pieces/" + id)
	err := b.server.work(t.Context(), func() error { panic("in the work") })
	if err != errOwnFault {
		t.Error(err)
	}
	for range maxAtOnce + 1 { // every place is free again
		if err := b.server.work(t.Context(), func() error { return nil }); err != nil {
			t.Fatal(err)
		}
	}
}

func TestSettings(t *testing.T) {
	b, id := piece(t)
	before := b.page("/pieces/" + id)
	w := b.post("/pieces/"+id+"/settings?only=content", url.Values{"tempo": {"30"}, "minutes": {"20"}})
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "quarter = 30 (your own)") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if after := b.page("/pieces/" + id); after == before || !strings.Contains(after, `value="20"`) {
		t.Error("a slower tempo changed nothing")
	}
	for name, value := range map[string]string{"span": "octavo", "level": "genius", "tempo": "fast", "middle-pedal": "perhaps", "minutes": "1", "days": "8"} {
		w := b.post("/pieces/"+id+"/settings", url.Values{name: {value}})
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `role="alert"`) {
			t.Errorf("%s=%s: %d", name, value, w.Code)
		}
	}
	if p, _ := b.server.shelf.piece(id); p.Settings.Tempo != "30" {
		t.Errorf("wrong settings changed the right ones: %+v", p.Settings)
	}
	b.post("/pieces/"+id+"/settings", url.Values{})
	if b.page("/pieces/"+id) != before {
		t.Error("taken back, the settings leave something")
	}
}

func TestOffTheShelfAndBack(t *testing.T) {
	b, id := piece(t)
	b.post("/pieces/"+id+"/log", url.Values{"spot": {"1"}, "tempo": {"40"}})
	before := b.page("/pieces/" + id + "/progress.json")
	w := b.post("/pieces/"+id+"/remove", nil)
	if b.get("/pieces/"+id).Code != http.StatusNotFound {
		t.Error("still there")
	}
	if page := b.page(w.Header().Get("Location")); !strings.Contains(page, "/trash/"+id+"/restore") {
		t.Error("there is no way back")
	}
	if w := b.post("/trash/"+id+"/restore", nil); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	if b.page("/pieces/"+id+"/progress.json") != before {
		t.Error("the log is not as it was")
	}
	if w := b.post("/trash/"+id+"/restore", nil); w.Code != http.StatusConflict {
		t.Errorf("put back twice: %d", w.Code)
	}
	// Dropped again, a piece that was taken off comes with its log.
	b.post("/pieces/"+id+"/remove", nil)
	if again := b.drop("other name.xml", testScore(t, "cross-rhythm.musicxml")); again.Piece != id {
		t.Fatalf("%+v", again)
	}
	if b.page("/pieces/"+id+"/progress.json") != before {
		t.Error("dropped again, the log is not as it was")
	}
}

// Two tabs and the command write one log at once; every line is there.
func TestNoLogLineIsLost(t *testing.T) {
	b, id := piece(t)
	p, err := b.server.shelf.piece(id)
	if err != nil {
		t.Fatal(err)
	}
	path := beside.Name(b.server.shelf.file(p), "", ".practice.log")
	const each = 12
	var all sync.WaitGroup
	for tab := range 2 {
		all.Go(func() {
			for i := range each {
				w := b.post("/pieces/"+id+"/log", url.Values{"spot": {"1"}, "tempo": {"40"}, "note": {fmt.Sprintf("tab %d, %d", tab, i)}})
				if w.Code != http.StatusSeeOther {
					t.Errorf("%d %s", w.Code, w.Body)
				}
			}
		})
	}
	all.Go(func() {
		for i := range each {
			e := &progress.Entry{Date: evening, Spot: "1", Bars: "9", Kind: "cross-rhythm", Note: fmt.Sprintf("command, %d", i)}
			if err := beside.AppendLog(path, "Wheels Within", e); err != nil {
				t.Error(err)
			}
		}
	})
	all.Wait()
	log, _, err := beside.ReadLog(path)
	notes := map[string]bool{}
	for _, e := range log.Entries {
		notes[e.Note] = true
	}
	if err != nil || len(log.Damaged) > 0 || len(notes) != 3*each {
		t.Errorf("%d of %d lines, %v, %v", len(notes), 3*each, log.Damaged, err)
	}
}

func TestTonight(t *testing.T) {
	b, id := piece(t)
	page := b.page("/pieces/" + id + "/tonight")
	_, after, _ := strings.Cut(page, `data-item="`)
	key, _, _ := strings.Cut(after, `"`)
	b.post("/pieces/"+id+"/tonight", url.Values{"item": {key}, "done": {"yes"}, "minutes": {"4"}})
	if n := strings.Count(b.page("/pieces/"+id+"/tonight"), `class="done"`); n != 1 {
		t.Errorf("%d items are ticked off", n)
	}
	// What is logged today leaves today's list as it is.
	b.post("/pieces/"+id+"/log", url.Values{"spot": {"1"}, "tempo": {"40"}})
	if again := b.page("/pieces/" + id + "/tonight"); strings.Count(again, "data-item=") != strings.Count(page, "data-item=") || !strings.Contains(again, key) {
		t.Error("the list has changed under the player's hands")
	}
	b.post("/pieces/"+id+"/tonight", url.Values{"item": {key}, "done": {"no"}})
	if strings.Contains(b.page("/pieces/"+id+"/tonight"), `class="done"`) {
		t.Error("the tick cannot be taken back")
	}
	b.post("/pieces/"+id+"/tonight", url.Values{"item": {key}})
	b.server.now = func() time.Time { return evening.AddDate(0, 0, 1) }
	if strings.Contains(b.page("/pieces/"+id+"/tonight"), `class="done"`) {
		t.Error("yesterday's tick counts today")
	}
	if w := b.post("/pieces/"+id+"/tonight", url.Values{"item": {"../piece"}}); w.Code != http.StatusBadRequest {
		t.Errorf("a key of no item: %d", w.Code)
	}
}

func TestRemarks(t *testing.T) {
	b, id := piece(t)
	add := func(bars, hand, text string) int {
		return b.post("/pieces/"+id+"/remarks", url.Values{"bars": {bars}, "hand": {hand}, "text": {text}}).Code
	}
	if code := add("2–3", "left", "lightly,\nfrom the wrist"); code != http.StatusSeeOther {
		t.Fatal(code)
	}
	p, _ := b.server.shelf.piece(id)
	path := beside.Name(b.server.shelf.file(p), "", ".remarks.md")
	const line = "bars 2-3 left: lightly, from the wrist\n" // the grammar of hardbars remarks
	if data, err := os.ReadFile(path); err != nil || string(data) != line {
		t.Errorf("%q, %v", data, err)
	}
	for _, wrong := range [][3]string{{"99", "left", "x"}, {"", "left", "x"}, {"2", "left", ""}, {"2: skip 1", "", "x"}, {"2\nskip 1", "", "x"}, {"2", "foot", "x"}} {
		if code := add(wrong[0], wrong[1], wrong[2]); code != http.StatusUnprocessableEntity {
			t.Errorf("%q: %d", wrong, code)
		}
	}
	if data, _ := os.ReadFile(path); string(data) != line {
		t.Errorf("what is wrong was written: %q", data)
	}
	// A page that its owner has spoilt is told of, and the piece still shown.
	os.WriteFile(path, []byte("bra 9: slip\n"), 0o600)
	if page := b.page("/pieces/" + id); !strings.Contains(page, "The remarks are left out") {
		t.Error("nothing is said about the remarks")
	}
	if w := b.get("/pieces/" + id + "/take/study.pdf"); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a sheet without the remarks: %d", w.Code)
	}
}

// Bar 9 of the score is three quarters at quarter = 60, with 11 notes over a
// dotted quarter in the right hand and 6 in the left: what it was written as.
func TestNotesToPlay(t *testing.T) {
	b, id := piece(t)
	var p struct {
		Seconds float64
		Beats   []playedBeat
		CountIn []playedBeat `json:"count_in"`
		Notes   []struct {
			At    float64
			Hand  string
			Heads []int
		}
	}
	if err := json.Unmarshal([]byte(b.page("/pieces/"+id+"/notes.json?bars=9")), &p); err != nil {
		t.Fatal(err)
	}
	if p.Seconds != 3 || len(p.Beats) != 3 || len(p.CountIn) != 3 || p.CountIn[0].At != -3 || !p.CountIn[0].First {
		t.Errorf("%+v", p)
	}
	count := map[string]int{}
	svg := b.page("/pieces/" + id + "/music.svg?bars=9")
	for _, n := range p.Notes {
		count[n.Hand]++
		if n.Hand == "right" && n.At != micro(float64(count["right"]-1)*1.5/11) {
			t.Errorf("note %d of the right hand at %v s", count[n.Hand], n.At)
		}
		for _, head := range n.Heads {
			if !strings.Contains(svg, fmt.Sprintf(`data-note="%d"`, head)) {
				t.Errorf("head %d is not in the picture", head)
			}
		}
	}
	if count["right"] != 22 || count["left"] != 12 {
		t.Errorf("%v notes by hand", count)
	}
	for path, want := range map[string]int{"notes.json": 400, "notes.json?bars=99": 404, "notes.json?spot=99": 404, "music.svg?bars=1&width=1e9": 400, "music.svg?bars=1&width=NaN": 400} {
		if w := b.get("/pieces/" + id + "/" + path); w.Code != want {
			t.Errorf("%s: %d, want %d", path, w.Code, want)
		}
	}
}

func TestSecondStartFindsTheFirst(t *testing.T) {
	o := Options{Data: t.TempDir(), Player: func() (detect.Player, error) { return detect.DefaultPlayer(), nil }}
	first, err := Start("127.0.0.1:0", o)
	if err != nil {
		t.Fatal(err)
	}
	second, err := Start("127.0.0.1:0", o)
	if err != nil || !second.Found || second.URL != first.URL {
		t.Errorf("%+v, %v; the first is %s", second, err, first.URL)
	}
	note := filepath.Join(o.Data, "serving.json")
	if info, err := os.Stat(note); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the note can be read by others: %v, %v", info.Mode(), err)
	}
	old, err := os.ReadFile(note)
	if err != nil {
		t.Fatal(err)
	}
	first.stop(t)
	if _, err := os.Stat(note); err == nil {
		t.Error("the note is left behind")
	}
	// A note that is left behind by a crash leads nobody astray, also when
	// another program answers there.
	other := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { io.WriteString(w, "hello") }))
	defer other.Close()
	for _, address := range []string{first.URL, other.URL} {
		os.WriteFile(note, bytes.ReplaceAll(old, []byte(first.URL), []byte(address)), 0o600)
		third, err := Start("127.0.0.1:0", o)
		if err != nil || third.Found {
			t.Fatalf("after a crash: %+v, %v", third, err)
		}
		third.stop(t)
	}
}

// stop stops a page as Ctrl-C does.
func (run *Running) stop(t *testing.T) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := run.Wait(ctx); err != nil {
		t.Error(err)
	}
}
