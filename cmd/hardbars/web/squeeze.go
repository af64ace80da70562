package web

import (
	"compress/gzip"
	"net/http"
	"strings"
)

// squeezed packs what a browser can unpack, so that a page comes to a tablet in
// a fifth of the bytes. What is taken away goes out as it is.
func squeezed(w http.ResponseWriter, r *http.Request, next http.Handler) {
	if !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") || r.Header.Get("Range") != "" || strings.Contains(r.URL.Path, "/take/") {
		next.ServeHTTP(w, r)
		return
	}
	packed := &squeezing{ResponseWriter: w}
	next.ServeHTTP(packed, r)
	if packed.zip != nil {
		packed.zip.Close() // an error is the connection's, and the browser sees it
	}
}

// squeezing packs the body of an answer of text.
type squeezing struct {
	http.ResponseWriter
	zip   *gzip.Writer
	begun bool
}

func (s *squeezing) WriteHeader(code int) {
	h := s.Header()
	kind := h.Get("Content-Type")
	text := strings.HasPrefix(kind, "text/") || strings.Contains(kind, "json") || strings.Contains(kind, "svg") || strings.Contains(kind, "javascript")
	if !s.begun && text && code != http.StatusNotModified && code != http.StatusNoContent {
		h.Set("Content-Encoding", "gzip")
		h.Add("Vary", "Accept-Encoding")
		h.Del("Content-Length")
		s.zip = gzip.NewWriter(s.ResponseWriter)
	}
	s.begun = true
	s.ResponseWriter.WriteHeader(code)
}

func (s *squeezing) Write(p []byte) (int, error) {
	if !s.begun {
		s.WriteHeader(http.StatusOK)
	}
	if s.zip != nil {
		return s.zip.Write(p)
	}
	return s.ResponseWriter.Write(p)
}
