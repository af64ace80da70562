package web

import (
	"bytes"
	"context"
	"crypto/rand"
	"embed"
	"encoding/json"
	"errors"
	"html/template"
	"io/fs"
	"log"
	"net/http"
	"net/netip"
	"strings"
	"time"

	"hardbars/detect"
)

// Options is what the page is told from outside.
type Options struct {
	Data    string                        // the folder of the shelf; made where it is not there
	Player  func() (detect.Player, error) // who plays, where a piece says nothing else; asked for each request
	Profile Profile                       // nil where it cannot be changed here
	// Try works a score through in a process of its own, which ends when the context
	// does: what would never end or bring the program down is refused before it is
	// read here. nil for none.
	Try  func(ctx context.Context, path, name string, settings Settings) error
	Now  func() time.Time // the clock; nil for the computer's
	Port string           // under which requests come in; Start sets it
	Open bool             // served beyond loopback: then only with the token; Start sets it
}

// Profile keeps who plays, for all pieces, where the command keeps it too.
type Profile interface {
	Read() (Settings, error)
	Write(before, after Settings) error // only what has changed
}

// Server is the page with its shelf.
type Server struct {
	shelf     *shelf
	kept      kept
	clock     *clock
	set       settingsKept
	queue     *queue
	try       func(ctx context.Context, path, name string, settings Settings) error
	profile   Profile
	rendering chan struct{} // has room for what is rendered at the same time
	player    func() (detect.Player, error)
	now       func() time.Time
	port      string
	token     string // to pair a device with, new at each start; "" on loopback
	devices   *devices
	reach     []netip.AddrPort // by which other devices reach the page; Start sets it
	secret    []byte           // by which a second start knows this one
}

// New lays out the page. It fails where the folder of the shelf cannot be made.
func New(o Options) (*Server, error) {
	shelf, err := openShelf(o.Data)
	if err != nil {
		return nil, err
	}
	s := &Server{shelf: shelf, set: settingsKept{width: usualWidth}, clock: openClock(o.Data), devices: openDevices(o.Data), queue: &queue{atOnce: maxAtOnce, longest: analysisTime}, rendering: make(chan struct{}, maxRendered), try: o.Try, profile: o.Profile, player: o.Player, now: o.Now, port: o.Port, secret: []byte(rand.Text())}
	if s.now == nil {
		s.now = time.Now
	}
	if o.Open {
		s.token = rand.Text()
	}
	return s, nil
}

// Handler is the page for a web server.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /{$}", s.page(s.showShelf))
	mux.Handle("POST /pieces", s.page(s.takeIn))
	mux.Handle("POST /pieces/{id}/remove", s.page(s.remove))
	mux.Handle("POST /trash/{id}/restore", s.page(s.restore))
	mux.Handle("GET /pieces/{id}", s.page(s.showPiece))
	mux.Handle("POST /pieces/{id}/settings", s.page(s.changeSettings))
	mux.Handle("GET /pieces/{id}/settings", s.page(s.showSettings))
	mux.Handle("GET /pieces/{id}/places", s.page(s.showPlaces))
	mux.Handle("GET /pieces/{id}/places/{place}", s.page(s.showPlace))
	mux.Handle("GET /pieces/{id}/score", s.page(s.showScore))
	mux.Handle("GET /pieces/{id}/score/{system}", s.page(s.showSystem))
	mux.Handle("GET /pieces/{id}/words.json", s.page(s.read))
	mux.Handle("GET /pieces/{id}/music.svg", s.page(s.music))
	mux.Handle("GET /pieces/{id}/notes.json", s.page(s.notes))
	mux.Handle("GET /pieces/{id}/tonight", s.page(s.showTonight))
	mux.Handle("POST /pieces/{id}/tonight", s.page(s.tick))
	mux.Handle("POST /pieces/{id}/log", s.page(s.logTempo))
	mux.Handle("POST /pieces/{id}/log/change", s.page(s.changeSitting))
	mux.Handle("POST /example", s.page(s.takeExample))
	mux.Handle("GET /bin", s.page(s.showBin))
	mux.Handle("POST /bin/empty", s.page(s.emptyBin))
	mux.Handle("POST /pieces/{id}/stand", s.page(s.setStand))
	mux.Handle("GET /hands", s.page(s.showHands))
	mux.Handle("POST /hands", s.page(s.changeHands))
	mux.Handle("GET /devices", s.page(s.showDevices))
	mux.Handle("POST /devices/empty", s.page(s.emptyDevices))
	mux.Handle("GET /tonight", s.page(s.showEvening))
	mux.Handle("GET /queue", s.page(s.showQueue))
	mux.Handle("POST /queue/{number}/cancel", s.page(s.cancelJob))
	mux.Handle("POST /clock", s.page(s.setClock))
	mux.Handle("GET /pieces/{id}/progress.json", s.page(s.progress))
	mux.Handle("GET /pieces/{id}/remarks", s.page(s.showRemarks))
	mux.Handle("POST /pieces/{id}/remarks", s.page(s.addRemark))
	mux.Handle("POST /pieces/{id}/remarks/change", s.page(s.changeRemark))
	mux.Handle("GET /pieces/{id}/take/{what}", s.page(s.take))
	mux.Handle("GET /assets/{file}", assetsHandler())
	mux.HandleFunc("GET "+helloPath, s.hello)
	mux.Handle("/", s.page(func(http.ResponseWriter, *http.Request) error {
		return status(http.StatusNotFound, errors.New("there is no such page here; go back to your pieces"))
	}))
	return s.guarded(mux)
}

//go:embed assets templates
var files embed.FS

func assetsHandler() http.Handler {
	assets, _ := fs.Sub(files, "assets") // a name that is embedded is there
	return http.StripPrefix("/assets/", http.FileServerFS(assets))
}

var templates = template.Must(template.New("").Funcs(template.FuncMap{
	"percent": percent,
	// figure is that of a tempo without its beat: "47" of "quarter = 47".
	"figure": func(tempo string) string { return tempo[strings.LastIndex(tempo, " ")+1:] },
	"under":  func(height float64) float64 { return 100 - height },
	"place": func(p *Piece, v placeView) any {
		return struct {
			placeView
			Piece *Piece
		}{v, p}
	},
	"card": func(p *Piece, v passageView) any {
		return struct {
			passageView
			Piece *Piece
		}{v, p}
	},
	"remark": func(p *Piece, key string, v remarkView) any {
		return struct {
			remarkView
			Piece *Piece
			Key   string
		}{v, p, key}
	},
}).ParseFS(files, "templates/*.html"))

// handler answers a request, or says why not.
type handler func(w http.ResponseWriter, r *http.Request) error

func (s *Server) page(h handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		err := h(w, r)
		var wait notYet
		if errors.As(err, &wait) {
			s.showWaiting(w, r, wait)
		} else if err != nil {
			s.fail(w, r, statusOf(err), err)
		}
	})
}

// failure is an error with the status that it has on the page.
type failure struct {
	code int
	error
}

func (f failure) Unwrap() error { return f.error }

func status(code int, err error) error { return failure{code, err} }

// statusOf is the status of an error: that of a failure, or what the kind of
// error says. Most are of the kind "what was asked for cannot be done".
func statusOf(err error) int {
	var f failure
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &f):
		return f.code
	case errors.Is(err, errNoPiece):
		return http.StatusNotFound
	case errors.Is(err, errBusy):
		return http.StatusServiceUnavailable
	case errors.Is(err, errOwnFault):
		return http.StatusInternalServerError
	case errors.As(err, &large):
		return http.StatusRequestEntityTooLarge
	}
	return http.StatusUnprocessableEntity
}

// fail says why something was not done, as JSON or as a page.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, code int, err error) {
	if wantsJSON(r) {
		writeJSON(w, code, map[string]string{"error": err.Error()})
		return
	}
	s.show(w, r, code, "error", frame{Title: "Not done"}, strings.Split(err.Error(), "\n"))
}

func wantsJSON(r *http.Request) bool {
	return strings.HasSuffix(r.URL.Path, ".json") || strings.Contains(r.Header.Get("Accept"), "application/json")
}

func writeJSON(w http.ResponseWriter, code int, v any) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(code)
	if err := json.NewEncoder(w).Encode(v); err != nil {
		log.Print(err)
	}
}

// frame is what stands around the content of a page.
type frame struct {
	Title string
	Piece *Piece // whose page it is; nil for the shelf
	Here  string // which page: "piece", "tonight", "remarks", "settings", "place"
}

// show writes a page, or its content alone where that is asked for.
func (s *Server) show(w http.ResponseWriter, r *http.Request, code int, name string, f frame, content any) {
	var body bytes.Buffer
	err := templates.ExecuteTemplate(&body, name, content)
	page := &body
	if err == nil && !contentOnly(r) {
		page = &bytes.Buffer{}
		err = templates.ExecuteTemplate(page, "frame", struct {
			frame
			Name    string
			Clock   *clockView // that runs; nil for none
			Path    string
			Content template.HTML
		}{f, name, s.clock.running(s.now()), r.URL.Path, template.HTML(body.String())})
	}
	if err != nil {
		log.Printf("%s: %v", name, err)
		http.Error(w, errOwnFault.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(code)
	w.Write(page.Bytes())
}

func contentOnly(r *http.Request) bool { return r.URL.Query().Get("only") == "content" }

// onward answers a form: with the new content for a script, or else by leading
// to the page.
func (s *Server) onward(w http.ResponseWriter, r *http.Request, to string, h handler) error {
	if contentOnly(r) {
		return h(w, r)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}
