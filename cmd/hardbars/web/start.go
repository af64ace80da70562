package web

import (
	"context"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"

	"hardbars/cmd/hardbars/beside"
)

// Running is a page that is served.
type Running struct {
	URL   string   // to open, with its token where there is one
	Reach []string // the addresses by which other devices reach it; none on loopback
	Found bool     // served by an earlier start: there is nothing to wait for

	server *http.Server
	failed chan error
	note   string // the path of the note that tells a second start of this one
}

// served is the note in the data folder that tells a second start of the first.
type served struct {
	URL    string `json:"url"`
	Secret string `json:"secret"` // with which the first proves that it is the one
}

// Start serves the page on an address such as "127.0.0.1:0", or finds the one
// that serves the same folder already. Beyond loopback a token is asked for.
func Start(address string, o Options) (*Running, error) {
	if err := os.MkdirAll(o.Data, 0o700); err != nil {
		return nil, fmt.Errorf("cannot make the folder for your pieces: %w", err)
	}
	note := filepath.Join(o.Data, "serving.json")
	unlock, err := lockedfile.MutexAt(filepath.Join(o.Data, ".serving.lock")).Lock()
	if err != nil {
		return nil, fmt.Errorf("the folder for your pieces cannot be locked: %w", err)
	}
	defer unlock()
	if there, ok := find(note); ok {
		return &Running{URL: there, Found: true}, nil
	}
	listener, err := listen(address, filepath.Join(o.Data, "port"))
	if err != nil {
		return nil, fmt.Errorf("cannot serve on %s: %w; choose another port with --port", address, err)
	}
	bound := netip.MustParseAddrPort(listener.Addr().String())
	o.Port, o.Open = fmt.Sprint(bound.Port()), !bound.Addr().IsLoopback()
	s, err := New(o)
	if err != nil {
		listener.Close()
		return nil, err
	}
	if o.Open {
		s.reach = addresses(bound)
	}
	run := &Running{URL: s.url(bound), note: note, failed: make(chan error, 1), server: &http.Server{
		Handler: s.Handler(), ReadHeaderTimeout: 10 * time.Second, ReadTimeout: requestTime,
		WriteTimeout: requestTime + 10*time.Second, IdleTimeout: requestTime, MaxHeaderBytes: maxForm,
	}}
	for _, at := range s.reach {
		run.Reach = append(run.Reach, s.address(at))
	}
	if err := s.leaveNote(note, run.URL); err != nil {
		listener.Close()
		return nil, err
	}
	go func() { run.failed <- run.server.Serve(listener) }()
	return run, nil
}

// url is the address to open. One that listens everywhere is opened here.
func (s *Server) url(bound netip.AddrPort) string {
	if bound.Addr().IsUnspecified() {
		bound = netip.AddrPortFrom(netip.AddrFrom4([4]byte{127, 0, 0, 1}), bound.Port())
	}
	return s.address(bound)
}

// listen listens on an address. Where any port will do it is that of the time
// before, if it is free, so that what a tablet remembers still leads here.
func listen(address, memory string) (net.Listener, error) {
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return nil, err
	}
	if last, err := os.ReadFile(memory); err == nil && port == "0" {
		if listener, err := net.Listen("tcp", net.JoinHostPort(host, strings.TrimSpace(string(last)))); err == nil {
			return listener, nil
		}
	}
	listener, err := net.Listen("tcp", address)
	if err == nil && port == "0" {
		_, port, _ = net.SplitHostPort(listener.Addr().String()) // a listener's address has a port
		err = beside.Rewrite(memory, func(w io.Writer) error {
			_, err := fmt.Fprintln(w, port)
			return err
		})
	}
	return listener, err
}

// leaveNote tells a second start of this one; only its owner can read it.
func (s *Server) leaveNote(path, address string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	// The note is made before it is filled, so that nobody else can read it.
	if f, err := os.OpenFile(path, os.O_CREATE|os.O_WRONLY, 0o600); err != nil {
		return err
	} else if err := f.Close(); err != nil {
		return err
	}
	return beside.Rewrite(path, func(w io.Writer) error {
		return json.NewEncoder(w).Encode(served{address, string(s.secret)})
	})
}

// Wait serves until the context ends or the server fails, and stops cleanly:
// what is under way comes to its end first.
func (run *Running) Wait(ctx context.Context) error {
	if run.Found {
		return nil
	}
	defer os.Remove(run.note)
	select {
	case err := <-run.failed:
		return fmt.Errorf("the page stopped: %w", err)
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.Background(), shutdownTime)
	defer cancel()
	if err := run.server.Shutdown(last); err != nil {
		return run.server.Close()
	}
	return nil
}

// helloPath is where a second start asks whether this is the first.
const helloPath = "/hello"

// hello proves that this server has the secret in the note, without telling it.
func (s *Server) hello(w http.ResponseWriter, r *http.Request) {
	io.WriteString(w, answer(s.secret, r.URL.Query().Get("ask")))
}

func answer(secret []byte, ask string) string {
	mac := hmac.New(sha256.New, secret)
	io.WriteString(mac, ask)
	return hex.EncodeToString(mac.Sum(nil))
}

// find asks the server that a note names whether it is there, and is the one.
func find(note string) (address string, ok bool) {
	data, err := os.ReadFile(note)
	if err != nil {
		return "", false
	}
	var there served
	if json.Unmarshal(data, &there) != nil || there.Secret == "" {
		return "", false
	}
	at, err := url.Parse(there.URL)
	if err != nil {
		return "", false
	}
	ask := rand.Text()
	at = &url.URL{Scheme: "http", Host: at.Host, Path: helloPath, RawQuery: url.Values{"ask": {ask}}.Encode()}
	client := http.Client{Timeout: 2 * time.Second, Transport: &http.Transport{DisableKeepAlives: true}} // no proxy: it is this computer
	reply, err := client.Get(at.String())
	if err != nil {
		return "", false
	}
	defer reply.Body.Close()
	said, err := io.ReadAll(io.LimitReader(reply.Body, 1024))
	return there.URL, err == nil && hmac.Equal(said, []byte(answer([]byte(there.Secret), ask)))
}

// Apologise serves one page that says what went wrong at the start, for a player
// who has no terminal to read it in, until the context ends or enough time has
// passed to read it.
func Apologise(ctx context.Context, why error) (address string, wait func(), err error) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return "", nil, err
	}
	server := &http.Server{ReadHeaderTimeout: 10 * time.Second, Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", policy)
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.WriteHeader(http.StatusServiceUnavailable)
		if err := templates.ExecuteTemplate(w, "apology", why.Error()); err != nil {
			log.Print(err)
		}
	})}
	go server.Serve(listener)
	return "http://" + listener.Addr().String() + "/", func() {
		select {
		case <-ctx.Done():
		case <-time.After(readingTime):
		}
		server.Close()
	}, nil
}

// readingTime is how long an apology stays.
const readingTime = 5 * time.Minute
