package web

import (
	"context"
	"crypto/subtle"
	"errors"
	"fmt"
	"log"
	"net"
	"net/http"
	"net/netip"
	"runtime/debug"
	"slices"
	"strings"
	"time"
)

// What a request may ask for.
const (
	maxForm      = 64 << 10        // bytes of a form without a file
	maxUpload    = 32 << 20        // bytes of one score; a long sonata movement takes some 2 MB
	maxUploads   = 8 * maxUpload   // bytes of one drop
	maxFiles     = 64              // scores in one drop
	maxAtOnce    = 2               // scores read and analysed at the same time, which bounds the memory
	maxRendered  = 4               // pictures and files made at the same time
	analysisTime = time.Minute     // for one score to be read and analysed; a sonata takes a few seconds
	requestTime  = 2 * time.Minute // for an answer, the wait in the queue included
	shutdownTime = 5 * time.Second // for what is under way when the page stops
)

// hurried marks the context of a request whose page rather says what it waits
// for than keep its reader waiting.
type hurried struct{}

// policy lets in nothing from elsewhere and nothing inline.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// guarded stands before every route.
func (s *Server) guarded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin") // not no-referrer, which takes the Origin off a form without scripts
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		defer s.survive(w, r)
		if err := s.admit(r); err != nil {
			s.fail(w, r, http.StatusForbidden, err)
			return
		}
		if !s.known(w, r) {
			return
		}
		ctx, cancel := context.WithTimeout(r.Context(), requestTime)
		defer cancel()
		most := int64(maxForm)
		if r.URL.Path == "/pieces" {
			most = maxUploads
		}
		if r.Method == http.MethodGet && !wantsJSON(r) && strings.Contains(r.Header.Get("Accept"), "text/html") {
			ctx = context.WithValue(ctx, hurried{}, true)
		}
		r = r.WithContext(ctx)
		r.Body = http.MaxBytesReader(w, r.Body, most)
		squeezed(w, r, next)
	})
}

// survive answers a request that panics; the page goes on.
func (s *Server) survive(w http.ResponseWriter, r *http.Request) {
	fault := recover()
	if fault == nil {
		return
	}
	if fault == http.ErrAbortHandler {
		panic(fault)
	}
	log.Printf("%s %s: %v\n%s", r.Method, r.URL.Path, fault, debug.Stack())
	s.fail(w, r, http.StatusInternalServerError, errOwnFault)
}

var errOwnFault = errors.New("something went wrong here, and it is not your fault; nothing of yours was lost. Please report it, with the score if you may")

// admit lets in what this page itself asked for. The Host is checked, so that
// no name of another site that is made to lead here can be used (DNS
// rebinding); and the Origin, so that no other site's page can post a form.
func (s *Server) admit(r *http.Request) error {
	if !s.hostKnown(r.Host) {
		return fmt.Errorf("this page is not served under the name %q; open the address that hardbars serve printed", r.Host)
	}
	from := r.Header["Origin"]
	switch {
	case len(from) == 1 && from[0] == "http://"+r.Host:
	case len(from) > 0:
		return errors.New("this was asked for by a page from elsewhere, and was not done")
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		return errors.New("this does not say which page asks for it, and was not done")
	}
	switch site := r.Header.Get("Sec-Fetch-Site"); site {
	case "", "same-origin", "none":
		return nil
	default:
		if r.Method == http.MethodGet && r.Header.Get("Sec-Fetch-Mode") == "navigate" && r.Header.Get("Sec-Fetch-Dest") == "document" {
			return nil // a link to this page, followed by its reader
		}
		return errors.New("this was asked for by a page from elsewhere, and was not done")
	}
}

// hostKnown reports whether a Host is one under which the page is served: a
// loopback name and, where it is served beyond, an address in figures. Names
// can be made to lead anywhere, figures cannot.
func (s *Server) hostKnown(host string) bool {
	name, port, err := net.SplitHostPort(host)
	if err != nil {
		name, port = strings.Trim(host, "[]"), "80"
	}
	if port != s.port {
		return false
	}
	if name == "localhost" {
		return true
	}
	addr, err := netip.ParseAddr(name)
	return err == nil && (addr.IsLoopback() || s.token != "")
}

// tokenName is the cookie that holds a device's token, and the field of an
// address that holds the one to pair with.
const tokenName = "token"

// pairedFor is how long a browser keeps its token; it is renewed by pairing again.
const pairedFor = 400 * 24 * time.Hour // the longest that browsers keep a cookie (RFC 6265bis)

// known reports whether a request may be answered: always on loopback, and beyond
// from a device that is paired. One is paired by the token of this start, which
// comes in the address once.
func (s *Server) known(w http.ResponseWriter, r *http.Request) bool {
	if s.token == "" || r.URL.Path == helloPath {
		return true
	}
	if slices.ContainsFunc(r.CookiesNamed(tokenName), func(c *http.Cookie) bool { return s.devices.known(c.Value) }) {
		if r.URL.Query().Has(tokenName) {
			http.Redirect(w, r, r.URL.Path, http.StatusSeeOther)
			return false
		}
		return true
	}
	if r.Method != http.MethodGet || !s.isToken(r.URL.Query().Get(tokenName)) {
		s.fail(w, r, http.StatusForbidden, errors.New("open the whole address that hardbars serve printed, with its token"))
		return false
	}
	token, err := s.devices.pair(browserWords(r.UserAgent()), s.now())
	if err != nil {
		s.fail(w, r, http.StatusInternalServerError, fmt.Errorf("this device cannot be remembered: %w", err))
		return false
	}
	http.SetCookie(w, &http.Cookie{Name: tokenName, Value: token, Path: "/", MaxAge: int(pairedFor.Seconds()), HttpOnly: true, SameSite: http.SameSiteStrictMode})
	http.Redirect(w, r, r.URL.Path, http.StatusSeeOther)
	return false
}

func (s *Server) isToken(text string) bool {
	return subtle.ConstantTimeCompare([]byte(text), []byte(s.token)) == 1
}

// render sets music and writes what is taken away: work that ends by itself,
// but no more of it at once than the machine bears.
func (s *Server) render(ctx context.Context, do func() error) error {
	select {
	case s.rendering <- struct{}{}:
	case <-ctx.Done():
		return errBusy
	}
	defer func() { <-s.rendering }()
	return guardedly(do)
}
