// The page and its engine over HTTP, for one person on one machine.

//go:build !js

package desk

import (
	"bytes"
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"io"
	"io/fs"
	"mime"
	"net"
	"net/http"
	"path"
	"strings"
	"sync"
	"time"
)

// Server answers for the page. It has no path of the disk: the page's own files
// are in the program, and a plan's are those it was made with or that the page
// sends.
type Server struct {
	// Key opens the engine: a page that does not have it is no page of ours.
	Key string

	mu      sync.Mutex
	session *Session
	host    string // the only Host that is answered
}

// NewServer returns a server for a page at an address such as 127.0.0.1:4711,
// with a new key.
func NewServer(address string, s *Session) (*Server, error) {
	key := make([]byte, 16)
	if _, err := rand.Read(key); err != nil {
		return nil, err
	}
	return &Server{Key: hex.EncodeToString(key), session: s, host: address}, nil
}

// ServeHTTP implements http.Handler.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", Policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cache-Control", "no-store")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	if !s.ours(r) {
		http.Error(w, "this desk answers only its own page", http.StatusForbidden)
		return
	}
	switch name := strings.TrimPrefix(path.Clean(r.URL.Path), "/"); {
	case name == "engine":
		s.engine(w, r)
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		http.Error(w, "no such thing here", http.StatusMethodNotAllowed)
	case name == "" || name == "index.html":
		if !s.opened(r.URL.Query().Get("key")) {
			http.Error(w, "the address of the desk ends in ?key=...; take the whole of it from the program", http.StatusForbidden)
			return
		}
		http.ServeContent(w, r, "index.html", time.Time{}, bytes.NewReader(NativeIndex()))
	default:
		data, err := fs.ReadFile(Page(), name)
		if err != nil {
			http.NotFound(w, r)
			return
		}
		if t := mime.TypeByExtension(path.Ext(name)); t != "" && !strings.HasSuffix(name, ".js") {
			h.Set("Content-Type", t)
		} else {
			h.Set("Content-Type", "text/javascript; charset=utf-8")
		}
		http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(data))
	}
}

// ours holds Host and Origin against the desk's own address, so that no other
// page in the browser, and no name that somebody points here, reaches the
// engine.
func (s *Server) ours(r *http.Request) bool {
	if r.Host != s.host && r.Host != s.localName() {
		return false
	}
	origin := r.Header.Get("Origin")
	return origin == "" || origin == "http://"+r.Host
}

// localName is the address with the name that people type.
func (s *Server) localName() string {
	_, port, err := net.SplitHostPort(s.host)
	if err != nil {
		return s.host
	}
	return net.JoinHostPort("localhost", port)
}

func (s *Server) opened(key string) bool {
	return subtle.ConstantTimeCompare([]byte(key), []byte(s.Key)) == 1
}

func (s *Server) engine(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodPost || !s.opened(r.Header.Get("X-Desk-Key")) {
		http.Error(w, "the key is missing or wrong; open the address that the program printed", http.StatusForbidden)
		return
	}
	frame, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxFrame))
	if err != nil {
		http.Error(w, "the frame is too large or was cut", http.StatusRequestEntityTooLarge)
		return
	}
	s.mu.Lock()
	answer := s.session.Handle(frame)
	s.mu.Unlock()
	w.Header().Set("Content-Type", "application/octet-stream")
	_, _ = w.Write(answer) // a page that went away needs no answer
}
