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

// onShelf opens a page with one piece on its shelf.
func onShelf(t *testing.T) (b *browser, id string) {
	b = open(t)
	taken := b.drop("cross-rhythm.musicxml", testScore(t, "cross-rhythm.musicxml"))
	if taken.Error != "" {
		t.Fatal(taken.Error)
	}
	return b, taken.Piece
}

// firstPlace is the identity of the place that ranks first.
func firstPlace(b *browser, id string) string {
	b.Helper()
	_, after, _ := strings.Cut(b.page("/pieces/"+id+"/places"), `"/pieces/`+id+`/places/`)
	key, _, found := strings.Cut(after, `"`)
	if !found {
		b.Fatal("the piece has no place")
	}
	return key
}

func place(b *browser, id string) string { return "/pieces/" + id + "/places/" + firstPlace(b, id) }

func TestEveryPageWithoutScripts(t *testing.T) {
	b, id := onShelf(t)
	for path, want := range map[string]string{
		"/":                          "Wheels Within",
		"/pieces/" + id:              "Learn these first",
		place(b, id):                 "How to practise it",
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
	b, id := onShelf(t)
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
	b, id := onShelf(t)
	for _, path := range []string{"/", "/pieces/" + id, "/nowhere", "/assets/page.css", "/pieces/" + id + "/music.svg?bars=9"} {
		h := b.get(path).Header()
		csp := h.Get("Content-Security-Policy")
		if !strings.HasPrefix(csp, "default-src 'none';") || strings.Contains(csp, "unsafe") || strings.Contains(csp, "*") || h.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: %v", path, h)
		}
	}
	// The policy lets nothing inline run: there must be nothing.
	page := b.page("/pieces/"+id) + b.page(place(b, id))
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
	if !cookie.HttpOnly || cookie.SameSite != http.SameSiteStrictMode || cookie.MaxAge < 86400 {
		t.Errorf("the cookie %v can be read or sent from elsewhere, or is soon forgotten", cookie)
	}
	as := func(b *browser, host string) int {
		r := request(http.MethodGet, "/", nil)
		r.Host = host
		r.AddCookie(cookie)
		return b.send(r).Code
	}
	if code := as(b, "192.168.1.20:7777"); code != http.StatusOK {
		t.Errorf("with the cookie: %d", code)
	}
	if code := as(b, "rebound.example:7777"); code != http.StatusForbidden {
		t.Errorf("under another name: %d", code)
	}
	// A new start knows the device; its token stands nowhere in the folder.
	again := openAt(t, Options{Data: b.server.shelf.dir, Open: true})
	if code := as(again, "192.168.1.20:7777"); code != http.StatusOK {
		t.Errorf("after a new start: %d", code)
	}
	if w := again.get("/?token=" + b.server.token); w.Code != http.StatusForbidden {
		t.Errorf("the address of the start before pairs: %d", w.Code)
	}
	for _, path := range names(t, b.server.shelf.dir) {
		if data, _ := os.ReadFile(path); strings.Contains(string(data), cookie.Value) {
			t.Errorf("%s has the token", path)
		}
	}
	// The list is emptied by another device, which stays.
	other := again.get("/?token=" + again.server.token).Result().Cookies()[0]
	r := request(http.MethodPost, "/devices/empty", nil)
	r.AddCookie(other)
	if w := again.send(r); w.Code != http.StatusSeeOther || as(again, "192.168.1.20:7777") != http.StatusForbidden {
		t.Errorf("taken back, the device is still let in: %d", w.Code)
	}
	r = request(http.MethodGet, "/devices", nil)
	r.AddCookie(other)
	if w := again.send(r); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "(this one)") {
		t.Errorf("the one that asked: %d", w.Code)
	}
}

// A QR code has its three finders, and white around it (ISO/IEC 18004).
func TestQRCode(t *testing.T) {
	text, err := QRText("http://192.168.1.20:8765/?token=ABCDEFGHIJKLMNOPQRSTUVWXYZ")
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(text), "\n")
	size := len([]rune(lines[0]))
	if size%4 != 1 && (size-2*quiet)%4 != 1 || strings.Trim(lines[0], "█") != "" || strings.Trim(lines[1], "█") != "" {
		t.Errorf("%d squares wide:\n%s", size, text)
	}
	for _, row := range []string{lines[2], lines[2]} {
		if r := []rune(row); string(r[:quiet]) != "████" || string(r[quiet:quiet+7]) != " ▄▄▄▄▄ " || string(r[size-quiet-7:size-quiet]) != " ▄▄▄▄▄ " {
			t.Errorf("no finders at the top: %q", row)
		}
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
	b, id := onShelf(t)
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
	b, id := onShelf(t)
	b.server.player = func() (detect.Player, error) { panic("a fault of ours") }
	if w := b.get("/pieces/" + id); w.Code != http.StatusInternalServerError || !strings.Contains(w.Body.String(), "not your fault") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	b.server.player = func() (detect.Player, error) { return detect.DefaultPlayer(), nil }
	b.page("/pieces/" + id)
	fault := func(context.Context) error { panic("in the work") }
	for i := range maxAtOnce + 1 { // every place is free again
		if err := b.server.queue.start(fmt.Sprint(i), "", fault).wait(t.Context()); err != errOwnFault {
			t.Fatal(err)
		}
	}
}

// A score that never ends holds nobody up: its place in the queue is shown, a
// piece that is read already is shown at once, and what hangs is ended, by the
// player or in time.
func TestQueue(t *testing.T) {
	hangs := make(chan string, 9)
	b := openAt(t, Options{Data: t.TempDir(), Try: func(ctx context.Context, _, name string, _ Settings) error {
		if !strings.Contains(name, "hangs") {
			return nil
		}
		hangs <- name
		<-ctx.Done()
		return ctx.Err()
	}})
	id := b.drop("cross-rhythm.musicxml", testScore(t, "cross-rhythm.musicxml")).Piece
	b.page("/pieces/" + id)
	var all sync.WaitGroup
	drop := func(name string, why error) {
		all.Go(func() {
			if f := b.drop(name, []byte(name)); f.Error != name+": "+why.Error() {
				t.Errorf("%+v", f)
			}
		})
	}
	drop("hangs-1.xml", errStopped)
	<-hangs
	b.server.queue.longest = 300 * time.Millisecond
	drop("hangs-2.xml", errLong)
	<-hangs
	b.server.queue.longest = analysisTime
	for len(b.server.queue.list()) < 2 {
		time.Sleep(time.Millisecond)
	}
	drop("hangs-3.xml", errStopped)
	for n := 0; n < 3; n = len(b.server.queue.list()) {
		time.Sleep(time.Millisecond)
	}
	begun := time.Now()
	if b.page("/pieces/" + id); time.Since(begun) > time.Second {
		t.Errorf("a piece that is read already waits for %s", time.Since(begun))
	}
	if page := b.page("/"); !strings.Contains(page, "hangs-3.xml waits, number 1 in the queue") || !strings.Contains(page, "hangs-1.xml is being read") {
		t.Error("the queue is not shown")
	}
	<-hangs // the second's time is up, so the third runs
	// A page that must wait says so, and comes when it can.
	b.server.queue.mu.Lock()
	b.server.queue.atOnce = 2
	b.server.queue.mu.Unlock()
	b.post("/pieces/"+id+"/settings", url.Values{})
	b.server.kept = kept{}
	r := request(http.MethodGet, "/pieces/"+id, nil)
	r.Header.Set("Accept", "text/html")
	if w := b.send(r); w.Code != http.StatusAccepted || w.Header().Get("Refresh") == "" || !strings.Contains(w.Body.String(), "number 1 in the queue") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	for _, j := range b.server.queue.list() {
		if strings.Contains(j.What, "hangs") {
			b.post(fmt.Sprintf("/queue/%d/cancel", j.Number), nil)
		}
	}
	all.Wait()
	b.page("/pieces/" + id)
	if left, _ := os.ReadDir(b.server.shelf.incoming()); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	if w := b.post("/queue/1/cancel", nil); w.Code != http.StatusConflict {
		t.Errorf("cancelled twice: %d", w.Code)
	}
}

func TestSettings(t *testing.T) {
	b, id := onShelf(t)
	before := b.page("/pieces/" + id)
	w := b.post("/pieces/"+id+"/settings?only=content", url.Values{"tempo": {"30"}, "minutes": {"20"}})
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "quarter = 30 (your own)") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if after := b.page("/pieces/" + id); after == before || !strings.Contains(b.page("/pieces/"+id+"/settings"), `value="20"`) {
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
	b, id := onShelf(t)
	b.post("/pieces/"+id+"/log", url.Values{"place": {firstPlace(b, id)}, "tempo": {"40"}})
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
	b, id := onShelf(t)
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
				w := b.post("/pieces/"+id+"/log", url.Values{"place": {firstPlace(b, id)}, "tempo": {"40"}, "note": {fmt.Sprintf("tab %d, %d", tab, i)}})
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

// Ticking off is logging: the log has the minutes, today's list stays as it is,
// and a tick that is taken back stays in the file as a comment.
func TestTonight(t *testing.T) {
	b, id := onShelf(t)
	tonight := "/pieces/" + id + "/tonight"
	page := b.page(tonight)
	_, after, _ := strings.Cut(page, `name="item" value="`)
	key, _, _ := strings.Cut(after, `"`)
	tick := func(form url.Values) int {
		form.Set("item", key)
		return b.post(tonight, form).Code
	}
	done := func() int { return strings.Count(b.page(tonight), `class="done"`) }
	if code := tick(url.Values{"minutes": {"4"}, "tempo": {"quarter = 40"}}); code != http.StatusSeeOther || done() != 1 {
		t.Fatalf("%d, %d items are ticked off", code, done())
	}
	p, _ := b.server.shelf.piece(id)
	path := beside.Name(b.server.shelf.file(p), "", ".practice.log")
	log, _, err := beside.ReadLog(path)
	if err != nil || len(log.Entries) != 1 || log.Entries[0].Minutes != 4 || log.Entries[0].Tempo != "quarter = 40" || log.Entries[0].Spot+":1" != key {
		t.Fatalf("the log has %+v, %v", log, err)
	}
	if again := b.page(tonight); strings.Count(again, "<li") != strings.Count(page, "<li") || !strings.Contains(again, key) {
		t.Error("the list has changed under the player's hands")
	}
	// The other window still shows it open.
	if code := tick(url.Values{"minutes": {"4"}}); code != http.StatusConflict {
		t.Errorf("ticked off twice: %d", code)
	}
	if code := tick(url.Values{"done": {"no"}}); code != http.StatusSeeOther || done() != 0 {
		t.Errorf("taken back: %d, %d items are ticked off", code, done())
	}
	if code := tick(url.Values{"done": {"no"}}); code != http.StatusConflict {
		t.Errorf("taken back twice: %d", code)
	}
	if data, _ := os.ReadFile(path); !strings.Contains(string(data), "\n# taken back: 2026-03-02 | ") {
		t.Errorf("%s", data)
	}
	tick(url.Values{})
	b.server.now = func() time.Time { return evening.AddDate(0, 0, 1) }
	if done() != 0 {
		t.Error("yesterday's tick counts today")
	}
	if w := b.post(tonight, url.Values{"item": {"../piece"}}); w.Code != http.StatusBadRequest {
		t.Errorf("a key of no item: %d", w.Code)
	}
}

// There is one clock. It goes on over other pages and a new start, and Done logs
// its minutes where none are said.
func TestOneClock(t *testing.T) {
	dir := t.TempDir()
	b := openAt(t, Options{Data: dir})
	id := b.drop("cross-rhythm.musicxml", testScore(t, "cross-rhythm.musicxml")).Piece
	tonight := "/pieces/" + id + "/tonight"
	var keys []string
	for _, part := range strings.Split(b.page(tonight), `name="item" value="`)[1:] {
		if key, _, _ := strings.Cut(part, `"`); !strings.Contains(strings.Join(keys, " "), key) {
			keys = append(keys, key)
		}
	}
	if len(keys) < 2 {
		t.Fatalf("only the items %q", keys)
	}
	at := func(minutes int) {
		b.server.now = func() time.Time { return evening.Add(time.Duration(minutes) * time.Minute) }
	}
	clock := func(do, key string) {
		if w := b.post("/clock", url.Values{"do": {do}, "piece": {id}, "item": {key}, "about": {"bars"}, "from": {"//evil.example"}}); w.Code != http.StatusSeeOther || w.Header().Get("Location") != tonight {
			t.Fatalf("%d to %s", w.Code, w.Header().Get("Location"))
		}
	}
	clock("start", keys[0])
	at(3)
	if page := b.page("/"); !strings.Contains(page, "00:03:00") {
		t.Error("the clock is not on the other pages")
	}
	clock("start", keys[1])
	b.server.clock = openClock(dir) // a new start
	at(5)
	if page := b.page(tonight); strings.Count(page, "data-since") != 2 || !strings.Contains(page, "00:02:00") || !strings.Contains(page, "00:03:00") {
		t.Error("not one clock that runs, in its place and at the top, with the other's three minutes kept")
	}
	for i, want := range []int{3, 2} {
		b.post(tonight, url.Values{"item": {keys[i]}, "done": {"yes"}})
		p, _ := b.server.shelf.piece(id)
		log, _, _ := beside.ReadLog(beside.Name(b.server.shelf.file(p), "", ".practice.log"))
		if len(log.Entries) != i+1 || log.Entries[i].Minutes != want {
			t.Errorf("item %d: %+v, want %d minutes", i, log.Entries, want)
		}
	}
	if strings.Contains(b.page("/"), `data-since`) {
		t.Error("the clock runs on for what is done")
	}
}

// A place is the same place after the settings have changed in another window,
// whatever number it has then; and where it is none any more its bars are shown
// and what is logged is logged for them.
func TestAPlaceOutlivesSettings(t *testing.T) {
	b, id := onShelf(t)
	before := b.page("/pieces/" + id + "/places")
	parts := strings.Split(before, `"/pieces/`+id+`/places/`)
	last, _, _ := strings.Cut(parts[len(parts)-1], `"`)
	b.post("/pieces/"+id+"/settings", url.Values{"tempo": {"20"}, "level": {"advanced"}, "span": {"tenth"}})
	if w := b.post("/pieces/"+id+"/log", url.Values{"place": {last}, "tempo": {"40"}}); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/pieces/"+id+"/places/"+last {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	p, _ := b.server.shelf.piece(id)
	log, _, _ := beside.ReadLog(beside.Name(b.server.shelf.file(p), "", ".practice.log"))
	want, _ := progress.ParseIdentity(last)
	if e := log.Entries[0]; e.Spot != last || e.Hand != want.Hand || e.Kind != want.Kind {
		t.Errorf("logged %s, wanted %s", e.String(), last)
	}
	if page := b.page("/pieces/" + id + "/places/" + last); !strings.Contains(page, "clean at") {
		t.Error("the place does not show what was logged for it")
	}
	gone := "1-2-left-octave-run"
	if page := b.page("/pieces/" + id + "/places/" + gone); !strings.Contains(page, "There is no octave run") || !strings.Contains(page, "<svg") {
		t.Error("bars that are no hard place any more are not shown")
	}
	b.post("/pieces/"+id+"/log", url.Values{"place": {gone}, "minutes": {"5"}})
	if page := b.page("/pieces/" + id + "/tonight"); !strings.Contains(page, "Bars 1–2, left hand, octave run") {
		t.Error("what fits no place of today is not shown with its bars")
	}
	if w := b.get("/pieces/" + id + "/places/900-901-left-leap"); w.Code != http.StatusNotFound {
		t.Errorf("bars that are not there: %d", w.Code)
	}
}

// What cannot be logged leaves no line, and what was typed stays. A line can be
// changed and taken back, and no other than the one that was shown.
func TestLogIsKeptAndChanged(t *testing.T) {
	b, id := onShelf(t)
	key := firstPlace(b, id)
	send := func(path string, form url.Values) *httptest.ResponseRecorder {
		form.Set("place", key)
		return b.post("/pieces/"+id+path, form)
	}
	for _, wrong := range []url.Values{{}, {"tempo": {"fast"}, "note": {"my words"}}, {"minutes": {"soon"}, "note": {"my words"}}} {
		if w := send("/log", wrong); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `role="alert"`) || len(wrong) > 2 && !strings.Contains(w.Body.String(), "my words") {
			t.Errorf("%v: %d", wrong, w.Code)
		}
	}
	p, _ := b.server.shelf.piece(id)
	path := beside.Name(b.server.shelf.file(p), "", ".practice.log")
	if _, exists, _ := beside.ReadLog(path); exists {
		t.Error("a wrong line was written")
	}
	send("/log", url.Values{"tempo": {"40"}})
	log, _, _ := beside.ReadLog(path)
	old := log.Entries[0]
	line := url.Values{"line": {fmt.Sprint(old.Line)}, "was": {old.String()}, "date": {"2026-03-01"}, "tempo": {"quarter=44"}, "minutes": {"7"}, "note": {"better"}, "do": {"change"}}
	if w := send("/log/change", line); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	log, _, _ = beside.ReadLog(path)
	if e := log.Entries[0]; len(log.Entries) != 1 || e.Tempo != "quarter = 44" || e.Minutes != 7 || e.Note != "better" || e.Date.Day() != 1 || e.Print != old.Print {
		t.Errorf("%+v", log.Entries)
	}
	if w := send("/log/change", line); w.Code != http.StatusConflict {
		t.Errorf("a line that is not there any more: %d", w.Code)
	}
	e := log.Entries[0]
	send("/log/change", url.Values{"line": {fmt.Sprint(e.Line)}, "was": {e.String()}, "do": {"back"}})
	if log, _, _ = beside.ReadLog(path); len(log.Entries) != 0 {
		t.Errorf("taken back, there is %+v", log.Entries)
	}
}

// Two windows: what one has changed is not lost when the other saves.
func TestTwoWindowsOneSetting(t *testing.T) {
	b, id := onShelf(t)
	settings := "/pieces/" + id + "/settings"
	seen := Settings{}.String()
	if !strings.Contains(b.page(settings), `name="seen"`) {
		t.Fatal("the form does not carry what it saw")
	}
	b.post(settings, url.Values{"seen": {seen}, "tempo": {"40"}})
	b.post(settings, url.Values{"seen": {seen}, "span": {"octave"}}) // saw no tempo, changes none
	if p, _ := b.server.shelf.piece(id); p.Settings.Tempo != "40" || p.Settings.Span != "octave" {
		t.Errorf("%+v", p.Settings)
	}
	w := b.post(settings, url.Values{"seen": {seen}, "tempo": {"60"}, "span": {"octave"}})
	if p, _ := b.server.shelf.piece(id); w.Code != http.StatusConflict || p.Settings.Tempo != "40" {
		t.Errorf("%d, %+v", w.Code, p.Settings)
	}
	if page := w.Body.String(); !strings.Contains(page, `value="60"`) || !strings.Contains(page, "set to “40” in another window") {
		t.Error("not both are shown")
	}
	p, _ := b.server.shelf.piece(id)
	b.post(settings, url.Values{"seen": {p.Settings.String()}, "tempo": {"60"}, "span": {"octave"}})
	if p, _ := b.server.shelf.piece(id); p.Settings.Tempo != "60" {
		t.Errorf("sent again: %+v", p.Settings)
	}
	// What is wrong stays in its field.
	if w := b.post(settings, url.Values{"tempo": {"fast"}, "minutes": {"25"}}); !strings.Contains(w.Body.String(), `value="fast"`) || !strings.Contains(w.Body.String(), `value="25"`) || strings.Count(w.Body.String(), "aria-invalid") != 1 {
		t.Error("what was typed is lost, or not told at its field")
	}
}

func TestRemarks(t *testing.T) {
	b, id := onShelf(t)
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
	// It can be changed and taken back, and stays as a comment.
	change := func(form url.Values) int {
		form.Set("line", "1")
		form.Set("was", strings.TrimSpace(line))
		return b.post("/pieces/"+id+"/remarks/change", form).Code
	}
	if code := change(url.Values{"do": {"change"}, "bars": {"2"}, "hand": {"right"}, "text": {"louder"}}); code != http.StatusSeeOther {
		t.Error(code)
	}
	if data, _ := os.ReadFile(path); string(data) != "<!-- changed: "+strings.TrimSpace(line)+" -->\nbar 2 right: louder\n" {
		t.Errorf("%q", data)
	}
	if code := change(url.Values{"do": {"back"}}); code != http.StatusConflict {
		t.Errorf("what is not there was taken back: %d", code)
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
	b, id := onShelf(t)
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
	for path, want := range map[string]int{"notes.json": 400, "notes.json?bars=99": 404, "notes.json?place=99": 404, "music.svg?bars=1&width=1e9": 400, "music.svg?bars=1&width=NaN": 400} {
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
